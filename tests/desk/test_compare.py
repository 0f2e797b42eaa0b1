"""A release against files: round trips through every format, and what an edit would do."""

import io
import json
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from homeleg import formats
from homeleg.cli import compare as command
from homeleg.cli.main import run
from homeleg.desk import compare as desk
from homeleg.desk.check import CheckResult
from homeleg.desk.compare import compare_release, comparison_json
from homeleg.desk.export import export_release
from homeleg.desk.release import write_release
from homeleg.formats.route_writers import ROUTE_WRITERS
from homeleg.formats.sortie_file import SortieFiles
from homeleg.foundation.errors import InputFileError, RefusedError
from homeleg.release.comparison import End
from homeleg.release.plain_route import Aspect
from homeleg.release.release import Release, Stage

SCHEMA = Path(formats.__file__).parent / "schemas" / "comparison.schema.json"
TERN_POINT = Path(__file__).parent.parent.parent / "examples" / "tern-point"


@pytest.fixture
def released(tmp_path: Path, make_release: Callable[..., Release]) -> Path:
    """Return a release file beside the route it was made from, with a check that flies nothing."""
    shutil.copy(TERN_POINT / "route.csv", tmp_path)
    made = make_release()
    verdict: Any = made.frozen["verdict"]
    rows = [{"slug": row["slug"], "status": "GO"} for row in verdict["rows"]]
    path = tmp_path / "r.json"
    write_release(replace(made, answer={**made.answer, "members": 64, "rows": rows}), path)
    return path


@pytest.fixture
def flown(monkeypatch: pytest.MonkeyPatch, make_verdict: Any) -> list[SortieFiles]:
    """Put a NO-GO made by hand in place of the flown verdict, and keep what was to be flown."""
    kept: list[SortieFiles] = []

    def check(files: SortieFiles, **_: Any) -> Any:
        kept.append(files)
        return CheckResult(verdict=make_verdict(), sortie=files.sortie, sources=())

    monkeypatch.setattr(desk, "check_read_sortie", check)
    return kept


@pytest.mark.parametrize("kind", [ending.removeprefix(".") for ending in ROUTE_WRITERS])
def test_every_format_comes_back_the_same(released: Path, tmp_path: Path, kind: str) -> None:
    out = tmp_path / f"out.{kind}"
    exported = export_release(released, kind, out)
    compared = compare_release(released, out)
    assert compared.comparison.differences == ()
    assert compared.comparison.end is End.SAME
    assert exported.losses
    assert "launch point launch point" not in " ".join(exported.losses)
    with pytest.raises(InputFileError, match="such a file already"):
        export_release(released, kind, out)


def test_the_route_it_was_made_from_is_the_same(released: Path, tmp_path: Path) -> None:
    compared = compare_release(released, tmp_path / "route.csv")
    assert compared.comparison.end is End.SAME
    assert compared.consequence is None
    assert compared.comparison.rounding_m == 0.0


def edited(tmp_path: Path, old: str, new: str) -> Path:
    text = (tmp_path / "route.csv").read_text("utf-8")
    assert old in text
    path = tmp_path / "found.csv"
    path.write_text(text.replace(old, new), "utf-8")
    return path


def test_digits_that_no_release_stores_are_no_difference(released: Path, tmp_path: Path) -> None:
    # A release stores 0.1 m/s and whole centimetres.
    finer = edited(tmp_path, "760,130,85,launch,15.5", "760,130,85.004,launch,15.53")
    assert compare_release(released, finer).comparison.end is End.SAME


def test_a_difference_is_flown(released: Path, tmp_path: Path, flown: list[SortieFiles]) -> None:
    compared = compare_release(released, edited(tmp_path, "760,130,85", "760,130,55"))
    [difference] = compared.comparison.differences
    words = "Item 5 (D): 30 m lower than released, 55 instead of 85 m above launch."
    assert difference.sentence == words
    [files] = flown
    heights = [item.height.value_m for item in files.sortie.route.items if item.height]
    assert 55.0 in heights
    assert compared.consequence is not None
    assert (compared.consequence.before, compared.consequence.after) == ("GO", "NO-GO")
    assert [row.slug for row in compared.consequence.rows] == ["headway.ground_speed"]
    document = json.loads(comparison_json(compared))
    schema = json.loads(SCHEMA.read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(document, schema)
    assert document["end"] == "NOT THE SAME"
    assert document["consequence"]["rows"][0]["after"] == "NO-GO"


def test_what_no_sortie_can_be_flown_on_is_said(
    released: Path, tmp_path: Path, flown: list[SortieFiles]
) -> None:
    out = tmp_path / "out.kml"
    export_release(released, "kml", out)
    text = out.read_text("utf-8")
    assert ">hand_over<" not in text
    out.write_text(text.replace(">land</value>", ">point</value>"), "utf-8")
    compared = compare_release(released, out)
    assert compared.consequence is not None
    assert compared.consequence.after is None
    assert "neither lands nor hands over" in compared.consequence.not_flown
    assert flown == []


def test_what_a_line_cannot_tell_is_never_the_same(released: Path, tmp_path: Path) -> None:
    route = json.loads(released.read_text("utf-8"))["frozen"]["route"]["items"]
    places = [[one["longitude_1e7_deg"] / 1e7, one["latitude_1e7_deg"] / 1e7] for one in route]
    line = {"type": "LineString", "coordinates": places}
    path = tmp_path / "line.geojson"
    path.write_text(json.dumps({"type": "Feature", "properties": {}, "geometry": line}), "utf-8")
    compared = compare_release(released, path)
    assert compared.comparison.end is End.CANNOT_TELL
    assert {Aspect.HEIGHT, Aspect.AIRSPEED, Aspect.KIND} <= set(compared.comparison.unproven)


def test_a_plan_is_not_exported(tmp_path: Path, make_release: Callable[..., Release]) -> None:
    path = tmp_path / "plan.json"
    write_release(replace(make_release(), stage=Stage.PLAN), path)
    with pytest.raises(RefusedError, match="is a plan"):
        export_release(path, "kml", tmp_path / "out.kml")


def test_exit_status_and_words(
    released: Path,
    tmp_path: Path,
    flown: list[SortieFiles],
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["compare", str(released), str(tmp_path / "route.csv")]) == 0
    assert capsys.readouterr().out.startswith("SAME as release ")
    found = edited(tmp_path, "760,130,85", "760,130,55")
    target = tmp_path / "answer.json"
    assert run(["compare", str(released), str(found), "--json", str(target)]) == 5
    said = capsys.readouterr().out
    assert "1 difference.\n  1 Item 5 (D): 30 m lower" in said
    assert "Flown in computation: GO as released, NO-GO as found." in said
    assert json.loads(target.read_text("utf-8"))["end"] == "NOT THE SAME"
    out = tmp_path / "out.gpx"
    assert run(["export", str(released), "--as", "gpx", "--out", str(out)]) == 0
    assert "Heights were released as above launch." in capsys.readouterr().out
    assert run(["compare", str(released), str(released)]) == 0
    assert run(["compare", str(released), str(tmp_path / "none.csv")]) == 2
    assert len(flown) == 1


def shown(released: Path, capsys: pytest.CaptureFixture[str]) -> str:
    capsys.readouterr()
    assert run(["show", str(released)]) == 0
    return " ".join(capsys.readouterr().out.split())


def test_a_comparison_is_kept_beside_the_release(
    released: Path,
    tmp_path: Path,
    flown: list[SortieFiles],
    capsys: pytest.CaptureFixture[str],
) -> None:
    before = released.read_bytes()
    assert "The route aboard has not been compared. No launch before SAME." in shown(
        released, capsys
    )
    # The route it was made from, byte for byte: nothing was fetched.
    assert run(["compare", str(released), str(tmp_path / "route.csv")]) == 0
    assert "it was not fetched from the aircraft" in " ".join(capsys.readouterr().out.split())
    assert "has not been compared" in shown(released, capsys)
    finer = edited(tmp_path, "760,130,85,launch,15.5", "760,130,85.004,launch,15.53")
    assert run(["compare", str(released), str(finer)]) == 0
    assert "Kept beside the release" in capsys.readouterr().out
    said = shown(released, capsys)
    assert "Route aboard SAME, from the file fetched back (found.csv)" in said
    assert "Fetch the route back" not in said
    assert run(["compare", str(released), str(edited(tmp_path, "760,130,85", "760,130,55"))]) == 5
    said = shown(released, capsys)
    assert "The route aboard is NOT THE SAME, from the file fetched back (found.csv)" in said
    assert "Fetch the route back from the aircraft and compare it." in said
    assert released.read_bytes() == before
    assert len(flown) == 1


def test_read_aloud_at_the_terminal(
    released: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def answers(text: str) -> int:
        monkeypatch.setattr("sys.stdin", io.StringIO(text))
        return run(["compare", str(released), "--read-aloud", "Kim Park"])

    lines = 12  # launch point, ten items, the settings of the lost link
    assert answers("y\n" * (lines - 1)) == 7
    assert "11 of 12 lines were read" in capsys.readouterr().err
    assert answers("y\n" * lines) == 0
    assert "Route aboard SAME, read aloud by Kim Park" in capsys.readouterr().out
    assert answers("y\n" * 5 + "n\n" + "y\n" * (lines - 6)) == 5
    assert "NOT THE SAME, read aloud by Kim Park" in shown(released, capsys)
    assert run(["compare", str(released)]) == 2
    assert run(["compare", str(released), str(released), "--read-aloud", "Kim"]) == 2


@pytest.mark.parametrize(("at", "is_over"), [("2026-06-09T16:55Z", False), ("2027-01-01", True)])
def test_same_as_a_release_that_is_over_says_so(
    released: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    at: str,
    is_over: bool,  # noqa: FBT001 (a case of the table)
) -> None:
    now = datetime.fromisoformat(at).replace(tzinfo=UTC)
    clock = type("Clock", (datetime,), {"now": classmethod(lambda *_: now)})
    monkeypatch.setattr(command, "datetime", clock)
    assert run(["compare", str(released), str(tmp_path / "route.csv")]) == 0
    assert ("It has expired: release the sortie again." in capsys.readouterr().out) is is_over
    monkeypatch.setattr("sys.stdin", io.StringIO("y\n" * 12))
    assert run(["compare", str(released), "--read-aloud", "Kim Park"]) == 0
    assert ("It has expired: release the sortie again." in capsys.readouterr().out) is is_over


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("found.csv", "", "is empty"),
        ("found.kml", "", "is empty"),
        ("found.gpx", " \n", "is empty"),
        ("petrel.toml", 'name = "Petrel"\n', "is no kind of file that is read here"),
        ("picture.png", "PNG", "is no kind of file that is read here"),
        ("picture.csv", "\x89PNG\0\0", "is not a text file"),
        ("check.json", '{"schema": "homeleg/check/1"}', "is a check file of this program"),
        ("later.json", '{"schema": "homeleg/release/2"}', "another version wrote this"),
    ],
)
def test_what_is_no_route_is_one_error(
    released: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    name: str,
    content: str,
    said: str,
) -> None:
    (tmp_path / name).write_text(content, "utf-8")
    assert run(["compare", str(released), str(tmp_path / name)]) == 2
    error = capsys.readouterr().err
    assert error.startswith(f"{name}: ")
    assert said in error
    assert "Traceback" not in error
    assert not list(tmp_path.glob("*.aboard.jsonl"))


def test_a_route_of_another_place_is_not_the_same(
    released: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    line = {"type": "LineString", "coordinates": [[10.0, 47.0, 100.0], [10.01, 47.01, 100.0]]}
    path = tmp_path / "far.geojson"
    path.write_text(json.dumps({"type": "Feature", "properties": {}, "geometry": line}), "utf-8")
    assert run(["compare", str(released), str(path)]) == 5
    assert "1 It is another route: " in capsys.readouterr().out


@pytest.mark.parametrize(
    "words", ["show {0} {0}", "compare {0} {0} {0}", "export {0} {0} --as kml --out x.kml"]
)
def test_one_release_more_than_is_meant(
    released: Path, capsys: pytest.CaptureFixture[str], words: str
) -> None:
    assert run([word.format(released) for word in words.split()]) == 2
    assert "unexpected extra argument" in capsys.readouterr().err


def test_an_altitude_changed_outside_is_not_the_same(released: Path, tmp_path: Path) -> None:
    out = tmp_path / "out.kml"
    export_release(released, "kml", out)
    text = out.read_text("utf-8")
    # D, 85 m above a launch point at 35 m, is written at 120 m above the sea.
    at_d = text.index(",120", text.index("<name>D</name>"))
    out.write_text(f"{text[:at_d]},90{text[at_d + 4 :]}", "utf-8")
    compared = compare_release(released, out)
    assert compared.comparison.end is End.NOT_THE_SAME
    [difference] = compared.comparison.differences
    assert difference.released == "D is stated at 85 m above launch"
    assert difference.aboard == "altitude of 90 m"
    out.write_text(f"{text[:at_d]},x{text[at_d + 4 :]}", "utf-8")
    with pytest.raises(InputFileError):
        compare_release(released, out)
