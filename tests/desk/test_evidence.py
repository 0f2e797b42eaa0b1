"""The evidence on a release: what is in the zip, what is missing, and that it can be verified."""

import hashlib
import io
import json
import shutil
import subprocess
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from homeleg.cli.main import run
from homeleg.desk.base import Base, make_base
from homeleg.desk.evidence import Evidence, gather
from homeleg.desk.logbook import enter, open_logbook
from homeleg.desk.release import write_release
from homeleg.foundation.errors import InputFileError
from homeleg.logbook.store import Laptop
from homeleg.readiness.entries import Flight, Paper, PaperKind
from homeleg.release.release import Release

EXAMPLES = Path(__file__).parents[2] / "examples"
LAPTOP = Laptop(id="0123456789abcdef", name="field laptop")
NOW = datetime(2026, 6, 9, 18, 0, tzinfo=UTC)


@pytest.fixture
def base(tmp_path: Path) -> Base:
    made = make_base(tmp_path / "base")
    shutil.copytree(EXAMPLES / "tern-point", made.sorties / "tern-point")
    shutil.copy(EXAMPLES / "tern-point" / "petrel.toml", made.aircraft / "petrel.toml")
    return made


@pytest.fixture
def released(base: Base, make_release: Callable[..., Release]) -> Path:
    made = make_release()
    path = base.releases / f"{made.code}.release.json"
    object.__setattr__(made, "folder", str(base.sorties / "tern-point"))
    write_release(made, path)
    return path


def code_of(path: Path) -> str:
    return path.name.partition(".")[0]


def held(made: Evidence) -> dict[str, bytes]:
    archive = zipfile.ZipFile(io.BytesIO(made.content))
    return {name.partition("/")[2]: archive.read(name) for name in archive.namelist()}


def missing(made: Evidence) -> list[str]:
    return [part.what for part in made.parts if part.missing]


def test_what_is_not_there_is_listed(released: Path) -> None:
    made = gather(released)
    assert missing(made) == [
        "The release page and flight card",
        "The card for a phone",
        "The calls for a phone",
        "What the aircraft held",
        "The note after landing",
        "The entries of the logbook",
        "Digests of recordings",
    ]
    words = " ".join(held(made)["README.txt"].decode().split())
    for part in made.parts[1:]:
        assert f"{part.what}: {part.missing}." in words
    assert list(held(made)) == [released.name, "README.txt", "SHA256SUMS"]


def test_all_of_it(base: Base, released: Path) -> None:
    code = code_of(released)
    pages = base.releases / code
    pages.mkdir()
    for name in ("A4.pdf", "Letter.pdf", "card.html", "calls.html"):
        (pages / name).write_text(f"page {name}", "utf-8")
    (base.releases / f"{code}.aboard.jsonl").write_text('{"end": "SAME"}\n', "utf-8")
    (base.folder / "recordings" / f"{code}.recording").write_bytes(b"heard")
    aircraft = base.sorties / "tern-point" / "petrel.toml"
    flown = ('on = "2026-06-09"', 'duration = "9.5 min"', 'charge = "800 mAh"')
    noted = "\n".join(("", "[[flown]]", *flown, f'release = "{code}"', ""))
    aircraft.write_text(aircraft.read_text("utf-8") + noted, "utf-8")
    open_logbook(base, LAPTOP, NOW)
    flight = Flight(
        aircraft="petrel",
        duration_s=570.0,
        charge_ah=0.8,
        place="Tern Point",
        pilot="Kim",
        release=code,
        pack="pack 1",
    )
    enter(base, LAPTOP, NOW, flight, at=datetime(2026, 6, 9, 17, 2, tzinfo=UTC))
    made = gather(released)
    assert missing(made) == []
    files = held(made)
    assert files["pages/card.html"] == b"page card.html"
    assert files[f"aboard/{code}.aboard.jsonl"] == b'{"end": "SAME"}\n'
    digest = hashlib.sha256(b"heard").hexdigest()
    assert files["recordings.sha256"].decode() == f"{digest}  {code}.recording\n"
    assert json.loads(files["note.json"]) == [
        {"on": "2026-06-09", "duration": "9.5 min", "charge": "800 mAh", "release": code}
    ]
    entries = [json.loads(line) for line in files["logbook.jsonl"].splitlines()]
    assert [one["kind"] for one in entries] == ["release", "flight"]
    assert "What is missing\n  Nothing.\n" in files["README.txt"].decode()


def test_people_and_papers_only_if_asked(base: Base, released: Path) -> None:
    open_logbook(base, LAPTOP, NOW)
    paper = Paper(kind=PaperKind.INSURANCE, holder="Kim", number="P-77", until=None, conditions=())
    enter(base, LAPTOP, NOW, paper)
    assert b"P-77" not in gather(released).content
    assert b"P-77" in gather(released, people=True).content


def test_the_same_files_give_the_same_bytes(released: Path, tmp_path: Path) -> None:
    first = gather(released).content
    copied = tmp_path / "elsewhere" / "releases"
    shutil.copytree(released.parent, copied)
    shutil.copytree(released.parent.parent / "sorties", tmp_path / "elsewhere" / "sorties")
    assert gather(released).content == first
    assert hashlib.sha256(first).hexdigest() == gather(copied / released.name).sha256


SHA256SUM = shutil.which("sha256sum") or ""


def sums_agree(folder: Path) -> bool:
    command = [SHA256SUM, "--check", "--strict", "SHA256SUMS"]
    done = subprocess.run(command, cwd=folder, capture_output=True, check=False)  # noqa: S603 (ours)
    return done.returncode == 0


@pytest.mark.skipif(not SHA256SUM, reason="the system has no sha256sum")
def test_the_sums_are_those_of_the_system_tool(released: Path, tmp_path: Path) -> None:
    zipfile.ZipFile(io.BytesIO(gather(released).content)).extractall(tmp_path / "out")
    folder = tmp_path / "out" / code_of(released)
    assert sums_agree(folder)
    (folder / "README.txt").write_text("changed", "utf-8")
    assert not sums_agree(folder)


def test_a_changed_release_is_refused(released: Path) -> None:
    released.write_text(released.read_text("utf-8").replace('"cm": 8500', '"cm": 5500', 1), "utf-8")
    with pytest.raises(InputFileError, match="no release any more"):
        gather(released)


def test_the_command(released: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out, page = tmp_path / "e.zip", tmp_path / "signed.pdf"
    page.write_bytes(b"%PDF")
    arguments = ["evidence", str(released), "--out", str(out)]
    assert run([*arguments, "--page", str(page)]) == 0
    said = capsys.readouterr().out
    assert hashlib.sha256(out.read_bytes()).hexdigest() in said
    assert "Pages that were added: 1 file." in said
    assert "The note after landing: missing, no note on this release" in said
    assert run(arguments) == 2
    assert "there is such a file already" in capsys.readouterr().err
    out.unlink()
    assert run([*arguments, "--recording", str(tmp_path / "gone")]) == 2
    assert "gone: cannot be read (no such file or directory)" in capsys.readouterr().err
    assert not out.exists()
    assert run([*arguments, "--page", str(page), "--page", str(page)]) == 2
    assert "two pages have this name" in capsys.readouterr().err
