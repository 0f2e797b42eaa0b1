"""The page on importing holds: its files, its commands, and what they print."""

import re
import shlex
from pathlib import Path

import pytest

from homeleg.cli.main import run
from homeleg.desk.check import limits_of
from homeleg.formats.rules_file import PROFILES
from homeleg.formats.sortie_file import SortieFiles, read_sortie

PAGE = Path(__file__).parents[2].joinpath("docs", "how-to-import.md").read_text("utf-8")
BLOCK = re.compile(r"^```(\w+)(?: (\S+))?\n(.*?)^```$", re.MULTILINE | re.DOTALL)
EXAMPLE = Path(__file__).parents[2] / "examples" / "tern-point"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    for kind, name, text in BLOCK.findall(PAGE):
        if kind == "file":
            (tmp_path / name).write_text(text, "utf-8")
    return tmp_path


def words(text: str) -> list[str]:
    return text.split()


def followed(capsys: pytest.CaptureFixture[str]) -> None:
    blocks = [(kind, text) for kind, _, text in BLOCK.findall(PAGE) if kind in ("sh", "text")]
    assert len(blocks) == 10
    for (_, command), (_, answer) in zip(blocks[::2], blocks[1::2], strict=True):
        status = run(shlex.split(command)[1:])
        printed = capsys.readouterr()
        assert words(printed.out + printed.err) == words(answer), command
        assert status == (0 if answer.startswith("Wrote") else 2)


def sortie_with(folder: Path, *changes: tuple[str, str]) -> SortieFiles:
    text = (EXAMPLE / "sortie.toml").read_text("utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    (folder / "sortie.toml").write_text(text, "utf-8")
    (folder / "petrel.toml").write_bytes((EXAMPLE / "petrel.toml").read_bytes())
    return read_sortie(folder / "sortie.toml")


def test_the_page_as_a_newcomer_follows_it(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    followed(capsys)
    # What came in is named in the sortie as the answers say, and read.
    files = sortie_with(
        folder,
        ('{ hull_margin = "250 m", top =', '{ file = "edge.geojson", top ='),
        ("keep_out = []", 'keep_out = []\nobstacle = ["trees.geojson"]'),
        ("[weather]\n", '[weather]\nwinds_file = { file = "winds.csv" }\n'),
        ('profile = "own"', 'profile = "club.toml"'),
    )
    assert [item.name for item in files.sortie.route.items][1:4] == ["P1", "P2", "P3"]
    boundary = files.sortie.site.boundary
    assert boundary is not None
    assert len(boundary.vertices_m) == 6
    assert [one.name for one in files.sortie.site.obstacles] == [
        f"poplars {k}" for k in range(1, 7)
    ]
    assert len(files.sortie.weather.layers) == 2
    assert limits_of(files.sortie)["inside.ceiling"].hard == 90.0


def test_every_profile_is_named() -> None:
    assert [name for name in PROFILES if f"`{name}`" not in PAGE] == []
