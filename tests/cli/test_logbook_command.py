"""`homeleg logbook`: which base, what it says, its exit status."""

import json
import re
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from homeleg.cli.main import run
from homeleg.desk.base import Base, make_base
from homeleg.desk.examples import add_example
from homeleg.desk.user_folder import remember_base_folder


@pytest.fixture
def base(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Base:
    """Return a base, stood in."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "notes"))
    monkeypatch.setenv("APPDATA", str(tmp_path / "notes"))
    made = make_base(tmp_path / "base")
    add_example(made, "tern-point")
    monkeypatch.chdir(made.folder)
    return made


Said = pytest.CaptureFixture[str]


def code_in(text: str) -> str:
    found = re.match(r"\w{6}", text)
    assert found
    return found[0]


def test_from_a_defect_to_its_mending(base: Base, capsys: Said) -> None:
    assert run(["logbook", "defect", "petrel", "crack in the tail boom", "--by", "Kim"]) == 0
    code = code_in(capsys.readouterr().out)
    assert run(["logbook"]) == 0
    said = capsys.readouterr().out
    assert f"! {code}  petrel: crack in the tail boom." in said
    assert "petrel: no flight here yet." in said
    assert run(["logbook", "done", code.lower(), "--by", "Kim"]) == 0
    capsys.readouterr()
    assert run(["logbook", "show"]) == 0
    assert "Open" not in capsys.readouterr().out


def test_wrong_input_is_told_and_writes_nothing(base: Base, capsys: Said) -> None:
    run(["logbook"])
    before = (base.folder / "logbook.db").read_bytes()
    capsys.readouterr()
    assert run(["logbook", "flight", "petral", "--minutes", "-3"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    for words in ("minutes: -3 cannot be", 'no aircraft "petral"', "pilot: is missing"):
        assert words in said.err
    assert (base.folder / "logbook.db").read_bytes() == before


def test_a_changed_aircraft_is_asked_about_and_answered(base: Base, capsys: Said) -> None:
    run(["logbook"])
    petrel = base.aircraft / "petrel.toml"
    petrel.write_text(petrel.read_text("utf-8").replace('"0.28 m"', '"0.30 m"'), "utf-8")
    capsys.readouterr()
    run(["logbook"])
    found = re.search(r"! (\w{6})  petrel: propulsion.propeller_diameter", capsys.readouterr().out)
    assert found
    assert run(["logbook", "answer", found[1], "Propeller or motor"]) == 0
    assert "petrel: propeller or motor." in capsys.readouterr().out


def test_the_base_is_the_one_told_stood_in_or_opened_last(
    base: Base, tmp_path: Path, capsys: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = make_base(tmp_path / "other")
    assert run(["logbook", "--base", str(other.folder)]) == 0
    assert f"Logbook of {other.folder}" in capsys.readouterr().out
    monkeypatch.chdir(base.sorties / "tern-point")
    run(["logbook"])
    assert f"Logbook of {base.folder}" in capsys.readouterr().out
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    assert run(["logbook"]) == 2
    assert "no base was opened yet" in capsys.readouterr().err
    remember_base_folder(tmp_path / "notes" / "homeleg", other.folder)
    run(["logbook"])
    assert f"Logbook of {other.folder}" in capsys.readouterr().out
    assert run(["logbook", "--base", str(elsewhere)]) == 2
    assert "this folder is no base" in capsys.readouterr().err
    assert list(elsewhere.iterdir()) == []


def test_verify_says_where_it_breaks(base: Base, capsys: Said) -> None:
    run(["logbook", "note", "fog until nine"])
    run(["logbook", "note", "sun since ten"])
    capsys.readouterr()
    assert run(["logbook", "verify"]) == 0
    assert "Whole: every entry is as it was written" in capsys.readouterr().out
    with closing(sqlite3.connect(base.folder / "logbook.db", isolation_level=None)) as connection:
        connection.execute("DROP TRIGGER entry_is_as_written")
        connection.execute("UPDATE entry SET record = replace(record, 'fog', 'fig')")
    assert run(["logbook", "verify"]) == 4
    said = " ".join(capsys.readouterr().out.split())
    assert "NOT WHOLE. Entry 3," in said
    assert "what stood before entry 4" in said
    assert run(["logbook"]) == 2
    assert "is not as it was written" in capsys.readouterr().err
    assert run(["logbook", "rescue", "saved.db"]) == 0
    assert "3 entries saved into saved.db" in capsys.readouterr().out


def test_all_of_it_as_json(base: Base, capsys: Said, tmp_path: Path) -> None:
    run(["logbook", "note", "fog until nine"])
    capsys.readouterr()
    assert run(["logbook", "show", "--json", "-"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["schema"] == "homeleg/logbook/1"
    assert [one["kind"] for one in document["entries"]] == ["book", "configuration", "note"]
    assert run(["logbook", "show", "--json", str(tmp_path / "all.json")]) == 0
    kept = json.loads((tmp_path / "all.json").read_text("utf-8"))
    assert kept["entries"] == document["entries"]


def test_out_and_back(base: Base, capsys: Said, tmp_path: Path) -> None:
    run(["logbook", "note", "fog until nine"])
    assert run(["logbook", "export", str(tmp_path / "out")]) == 0
    other = make_base(tmp_path / "other")
    capsys.readouterr()
    merge = ["logbook", "--base", str(other.folder), "merge"]
    assert run([*merge, str(tmp_path / "out" / "logbook.json")]) == 0
    assert "3 entries and 0 files taken over" in capsys.readouterr().out
    assert run([*merge, str(base.folder)]) == 0
    assert "0 entries and 3 files taken over" in capsys.readouterr().out
    assert run([*merge, str(tmp_path / "none.json")]) == 2
