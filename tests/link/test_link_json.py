"""What the link tells as JSON, against the schema that ships."""

import json
from contextlib import nullcontext
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from homeleg import formats
from homeleg.cli import link as cli_link
from homeleg.cli.main import run
from homeleg.desk.link_answer import heard_json
from homeleg.link import steady_clock
from tests.link.test_command import aircraft, read_aloud
from tests.link.test_listen import glance
from tests.link.test_verified import AIRCRAFT, hear, verified
from tests.link.wire import in_hand

SCHEMAS = Path(formats.__file__).parent / "schemas"


def checked(text: str, name: str = "link") -> Any:
    schema = json.loads((SCHEMAS / f"{name}.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    document = json.loads(text)
    jsonschema.validate(document, schema)
    return document


def test_a_comparison(released: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with in_hand(aircraft(released, loaded=True)) as port:
        given = ["--port", port, "--json", "-", *read_aloud(released)]
        assert run(["link", "compare", str(released), *given]) == 0
    told = checked(capsys.readouterr().out)
    assert told["end"] == "SAME"
    checked(json.dumps(told["comparison"]), "comparison")


def test_a_difference_with_what_it_would_do(
    released: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wire, path = aircraft(released, loaded=True), tmp_path / "told.json"
    wire.vehicle.plans[0][1] = replace(wire.vehicle.plans[0][1], z=20.0)
    with in_hand(wire) as port:
        assert run(["link", "compare", str(released), "--port", port, "--json", str(path)]) == 5
    assert capsys.readouterr().out.startswith("NOT THE SAME")
    told = checked(path.read_text("utf-8"))["comparison"]
    assert checked(json.dumps(told), "comparison")["consequence"]["after"]


def test_what_was_fetched(tmp_path: Path, released: Path, capsys: Any) -> None:
    out = tmp_path / "aboard.csv"
    with in_hand(aircraft(released, loaded=True)) as port:
        assert run(["link", "fetch", "--port", port, "--out", str(out), "--json", "-"]) == 0
    told = checked(capsys.readouterr().out)
    assert told["route_file"] == str(out)
    assert len(told["aircraft"]["plans"]["route"]["items"]) > 3


def test_what_is_heard_a_line_a_second(
    tmp_path: Path, released: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "heard.jsonl"
    with in_hand(aircraft(released, loaded=True)) as port:
        command = ["link", "listen", str(released), "--port", port, "--seconds", "4"]
        assert run([*command, "--json", str(path)]) == 0
        assert "aircraft 7" in capsys.readouterr().out
        assert run([*command, "--json", "-"]) == 0
    lines = [checked(line) for line in path.read_text("utf-8").splitlines()]
    assert lines[-1]["system"] == 7
    assert [checked(line)["schema"] for line in capsys.readouterr().out.splitlines()]


def test_a_moment_of_a_flight_that_is_watched() -> None:
    held = verified()
    hear(held, 105.0, AIRCRAFT)
    told = checked(heard_json(replace(glance(), verified=held, now_s=110.0)))
    assert told["margin"] == {"seconds": 200.0, "cause": "charge at Bay", "remarks": []}
    assert told["verified"] == {"age_s": 10.0, "tells_changes": False, "ended": None}
    held.look(120.0)
    told = checked(heard_json(replace(glance(), verified=held, now_s=120.0)))
    why = "nothing was heard of it for over 10 s"
    assert told["verified"]["ended"] == {"age_s": 15.0, "why": why}


def test_what_was_recorded(
    tmp_path: Path, released: Path, capsys: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    wire, out = aircraft(released, loaded=True), tmp_path / "flight.rec"
    with in_hand(wire) as port:
        monkeypatch.setattr(cli_link, "held_back", lambda: nullcontext(_stop_after_four_seconds))
        assert run(["link", "record", "--port", port, "--out", str(out), "--json", "-"]) == 0
    told = checked(capsys.readouterr().out)
    assert told["ended"] == ""
    assert told["frames"] > 0


def _stop_after_four_seconds() -> None:
    """Press Ctrl-C."""
    if steady_clock.steady_s() > 4.0:
        raise KeyboardInterrupt
