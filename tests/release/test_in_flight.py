"""The margin in flight against figures worked out by hand."""

import math
from dataclasses import replace
from typing import Any

import pytest

from homeleg.release.in_flight import Now, Passed, Sample, circle_of, circle_words, margin


def gate(name: str, time_s: float, used_ah: float, most_used_ah: float | None) -> dict[str, Any]:
    return {
        "name": name,
        "time_s": time_s,
        "latest_s": time_s + 40.0,
        "least_volts": 14.0,
        "used_ah": used_ah,
        "most_used_ah": most_used_ah,
    }


ANSWER: dict[str, Any] = {
    "way_home": {"turn_back": {"time_s": 500.0}},
    "gates": [gate("Cliff", 100.0, 0.5, 1.0), gate("Bay", 300.0, 1.5, 1.8)],
    "commit": {
        "most_half_difference_m_s": 6.0,
        "least_mean_m_s": 14.0,
        "most_mean_m_s": 18.0,
    },
}
NOW = Now(time_s=60.0, used_ah=0.3, volts=15.0, ground_speed_m_s=15.0, to_gate_m=300.0)


def test_the_smallest_margin_with_its_cause() -> None:
    # Cliff is due at 100 s and reached no earlier; 40 s are left at it, 440 s to the turn-back
    # point. Charge: 0.005 Ah/s, 0.3 + 40 x 0.005 = 0.5 at Cliff, 0.5 to spare: 100 s.
    told = margin(ANSWER, NOW, Passed())
    assert told is not None
    assert told.seconds == pytest.approx(40.0)
    assert (told.cause, told.remarks) == ("time at Cliff", ())


def test_charge_that_goes_faster_than_planned() -> None:
    # 0.9 Ah in 60 s: 0.015 Ah/s; 1.5 Ah at Cliff, 0.5 too many: 33.3 s too late.
    told = margin(ANSWER, replace(NOW, used_ah=0.9), Passed())
    assert told is not None
    assert told.seconds == pytest.approx(-0.5 / 0.015)
    assert told.cause == "charge at Cliff"


def test_a_head_wind_makes_it_late() -> None:
    # 300 m at 3 m/s are 100 s: there at 160 s, and 140 s was the latest.
    told = margin(ANSWER, replace(NOW, ground_speed_m_s=3.0), Passed())
    assert told is not None
    assert told.seconds == pytest.approx(-20.0)
    assert told.cause == "time at Cliff"


def test_lateness_at_one_gate_is_lateness_at_the_next() -> None:
    # Cliff passed at 130 s; Bay is 200 s behind it: 330 s, and 340 s is the latest.
    now = Now(time_s=140.0, used_ah=None, volts=13.5, ground_speed_m_s=15.0, to_gate_m=50.0)
    told = margin(ANSWER, now, Passed(count=1, time_s=130.0))
    assert told is not None
    assert told.seconds == pytest.approx(10.0)
    assert told.cause == "time at Bay"
    assert told.remarks == (
        "13.5 V, and Bay wants 14.0 V",
        "mAh not told: charge does not count in the margin",
    )


def test_behind_the_last_gate_the_turn_back_point_is_left() -> None:
    told = margin(ANSWER, replace(NOW, time_s=320.0), Passed(count=2, time_s=300.0))
    assert told is not None
    assert (told.seconds, told.cause) == (180.0, "the planned turn-back point")


def test_no_use_low_enough_leaves_nothing() -> None:
    answer = {"gates": [gate("Cliff", 100.0, 0.5, None)]}
    told = margin(answer, replace(NOW, ground_speed_m_s=None), Passed())
    assert told is not None
    assert (told.seconds, told.cause) == (0.0, "no use of charge is low enough at Cliff")
    assert margin({}, NOW, Passed()) is None


def turning(wind_m_s: float, airspeed_m_s: float, turns: float, seconds: int = 80) -> list[Sample]:
    """Circle in a wind from the west, by the wind triangle: each velocity is air plus wind."""
    samples = []
    for second in range(seconds + 1):
        heading = math.tau * turns * second / seconds
        north, east = airspeed_m_s * math.cos(heading), airspeed_m_s * math.sin(heading) + wind_m_s
        samples.append(Sample(float(second), math.hypot(north, east), math.atan2(east, north)))
    return samples


def test_two_turns_tell_wind_and_airspeed() -> None:
    circle = circle_of(turning(5.0, 16.0, 2.05))
    assert circle is not None
    assert circle.half_difference_m_s == pytest.approx(5.0, abs=0.05)
    assert circle.mean_m_s == pytest.approx(16.0, abs=0.05)
    assert circle_words(ANSWER, circle).endswith(": within the commit circle")
    strong = circle_of(turning(8.0, 16.0, 2.05))
    assert strong is not None
    assert circle_words(ANSWER, strong).endswith(": OUTSIDE the commit circle")


def test_less_than_two_turns_or_too_slow_ones_tell_nothing() -> None:
    assert circle_of(turning(5.0, 16.0, 1.9)) is None
    assert circle_of(turning(5.0, 16.0, 2.05, seconds=200)) is None
    assert circle_of([]) is None
