"""The JSON answer: it keeps its schema, in plain numbers, null where nothing is known."""

import json
import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import jsonschema
import numpy as np
import pytest

from homeleg.formats.check_json import check_document, check_json, check_schema
from homeleg.formats.plane import Plane
from homeleg.verdict.result import (
    Block,
    EdgePoint,
    GlideEdge,
    Narrowest,
    Percentiles,
    Ribbon,
    Status,
    StoppedSecond,
    Verdict,
    WayHome,
)

GIVEN_AT = datetime(2026, 6, 9, 17, 55, 3, tzinfo=timezone(timedelta(hours=1)))
DIGEST = "0" * 64


LAUNCH_POINT = Plane(math.radians(55.0), math.radians(-5.0))
# One degree of longitude at 55 N on WGS 84: 111.320 km cos 55 / sqrt(1 - e2 sin2 55), by hand.
DEGREE_OF_LONGITUDE_M = 63_994.0


def document(verdict: Verdict) -> Any:
    made = check_document(
        verdict, plane=LAUNCH_POINT, sources=[("sortie.toml", DIGEST)], given_at=GIVEN_AT
    )
    return json.loads(check_json(made))


@pytest.fixture(scope="module")
def validator() -> Any:
    schema = check_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


@pytest.mark.parametrize("word", [Status.GO, Status.MARGINAL, Status.NO_GO])
def test_output_keeps_its_schema(make_verdict: Any, validator: Any, word: Status) -> None:
    answer = document(make_verdict(word))
    validator.validate(answer)
    assert answer["verdict"] == word.value


def test_a_maiden_keeps_the_schema_too(maiden_verdict: Verdict, validator: Any) -> None:
    answer = document(maiden_verdict)
    validator.validate(answer)
    assert answer["maiden"]["verdict"] == "GO"


def test_a_key_too_many_breaks_the_schema(make_verdict: Any, validator: Any) -> None:
    answer = document(make_verdict())
    answer["rows"][0]["extra"] = 1
    assert not validator.is_valid(answer)


def test_a_key_too_few_breaks_the_schema(make_verdict: Any, validator: Any) -> None:
    answer = document(make_verdict())
    del answer["flight"]["legs"][0]["crab_deg"]
    assert not validator.is_valid(answer)


def test_units_are_those_of_the_keys(make_verdict: Any) -> None:
    answer = document(make_verdict())
    leg = answer["flight"]["legs"][0]
    assert leg["energy_wh"]["p50"] == pytest.approx(1.0)
    assert leg["crab_deg"]["p50"] == pytest.approx(23.0)
    assert answer["flight"]["energy_wh"]["p50"] == pytest.approx(10.6)
    assert (leg["from"], leg["to"]) == ("P0", "P1")


def test_a_place_is_told_in_latitude_and_longitude(make_verdict: Any) -> None:
    row = document(make_verdict())["rows"][1]
    assert row["slug"] == "headway.ground_speed"
    assert row["where"] == {
        "leg": "B to launch point",
        "time_s": 1150.0,
        "latitude_deg": pytest.approx(55.0, abs=1e-4),
        "longitude_deg": pytest.approx(-5.0 + 7000.0 / DEGREE_OF_LONGITUDE_M, abs=1e-4),
        "height_above_launch_m": 90.0,
    }
    assert (row["reading"], row["want"], row["hard"]) == (2.1, 5.0, 3.0)
    assert row["judged_at"] == "adverse"


def test_nothing_known_is_null(make_verdict: Any) -> None:
    answer = document(make_verdict())
    assert answer["aircraft"]["static_margin_fraction"] is None
    assert answer["valid_until"] is None
    assert [answer[key] for key in ("way_home", "ribbon", "wind_window")] == [None] * 3
    assert answer["gates"][1]["most_used_ah"] is None
    assert answer["gates"][1]["least_ground_speed_m_s"] is None


def test_a_ribbon_keeps_the_schema(make_verdict: Any, validator: Any) -> None:
    band = (Percentiles(p10=0.9, p50=1.0, p90=1.0), Percentiles(p10=0.8, p50=0.9, p90=0.95))
    ribbon = Ribbon(
        times_s=(0.0, 200.0),
        left_fraction=band,
        needed_fraction=band,
        legs=(Block(name="launch", start_s=0.0, end_s=200.0),),
        narrowest=Narrowest(time_s=0.0, margin_fraction=0.2),
        want_fraction=0.15,
        usable_ah=9.2,
        usable_wh=136.0,
    )
    answer = document(replace(make_verdict(), ribbon=ribbon))
    validator.validate(answer)
    assert answer["ribbon"]["left_fraction"] == {
        "p10": [0.9, 0.8],
        "p50": [1.0, 0.9],
        "p90": [1.0, 0.95],
    }
    assert answer["ribbon"]["legs"] == [{"name": "launch", "start_s": 0.0, "end_s": 200.0}]


def test_a_way_home_keeps_the_schema(make_verdict: Any, validator: Any) -> None:
    place = make_verdict().rows[1].where
    way = WayHome(
        worst=place,
        charge=None,
        turn_back=None,
        assumed=(),
        motor_stopped=StoppedSecond(
            where=place,
            reaches="bar",
            distance_m=math.nan,
            bearing_rad=math.pi / 2.0,
            spare_height_m=None,
            words="bar, 92 m towards 090 deg",
        ),
        glide_edge=GlideEdge(
            height_above_launch_m=70.0,
            landing_m=(0.0, 0.0),
            points=(EdgePoint(bearing_rad=math.pi, p10_m=220.0, p50_m=270.0),),
        ),
    )
    answer = document(replace(make_verdict(), way_home=way))
    validator.validate(answer)
    assert answer["way_home"]["motor_stopped"]["bearing_deg"] == pytest.approx(90.0)
    assert answer["way_home"]["motor_stopped"]["distance_m"] is None
    edge = answer["way_home"]["glide_edge"]
    assert (edge["latitude_deg"], edge["longitude_deg"]) == pytest.approx((55.0, -5.0))
    assert edge["points"] == [{"bearing_deg": 180.0, "p10_m": 220.0, "p50_m": 270.0}]


def test_numpy_numbers_become_plain(make_verdict: Any, validator: Any) -> None:
    verdict = make_verdict()
    flight = verdict.flight
    object.__setattr__(
        flight,
        "duration_s",
        Percentiles(p10=np.float64(1.0), p50=np.float32(2.0), p90=np.float64(math.inf)),  # type: ignore[arg-type]
    )
    answer = document(verdict)
    validator.validate(answer)
    assert answer["flight"]["duration_s"] == {"p10": 1.0, "p50": 2.0, "p90": None}


def test_times_are_utc(make_verdict: Any) -> None:
    assert document(make_verdict())["given_at"] == "2026-06-09T16:55:03Z"
    assert GIVEN_AT.astimezone(UTC).hour == 16


def test_the_caution_goes_with_the_word(make_verdict: Any) -> None:
    cautions = document(make_verdict(Status.NO_GO))["cautions"]
    assert cautions[0] == "At least one limit fails. Change something, or do not fly."
    assert len(cautions) == 3
