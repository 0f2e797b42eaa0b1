import math

import pytest

from homeleg.desk.first_figures import first_figures

WING = {"plan": "tail-boom pusher", "span": "1.90 m", "chord": "245 mm", "mass": "2.60 kg"}
PACK = {"cells": "4", "capacity": "10 Ah"}


def by_name(answers: dict[str, str]) -> dict[str, float]:
    found = first_figures(answers)
    assert found is not None
    return {one.name: one.p50 for one in found.figures}


def test_nothing_follows_before_the_wing_and_the_mass() -> None:
    for missing in WING:
        assert first_figures({k: v for k, v in WING.items() if k != missing}) is None


def test_a_slip_shows_nothing_and_does_not_break() -> None:
    assert first_figures({**WING, "span": "1.9 furlong"}) is None


def test_middle_figures_by_hand() -> None:
    # Hand: S = 1.90 x 0.245 = 0.4655 m2; Vs = sqrt(2 m g / (rho S CLmax)), CLmax 1.15 of the prior:
    # sqrt(2 x 25.497 / (1.225 x 0.4655 x 1.15)) = 8.82 m/s; CLmax is known to 12 %, so nine in ten
    # stall speeds stay below 8.82 (1 + 0.5 x 1.2816 x 0.12) = 9.50; cruise 1.5 times that = 14.25.
    # k = 1 / (pi 0.75 7.755) = 0.05473; q S = 0.5 x 1.225 x 14.25^2 x 0.4655 = 57.87 N,
    # CL = 0.4406, D = 57.87 x (0.038 + 0.05473 x 0.1941) = 2.814 N,
    # P = 2.814 x 14.25 / 0.50 + 8 W of avionics.
    figures = by_name({**WING, **PACK})
    assert figures["Stall speed"] == pytest.approx(8.82, rel=0.01)
    assert figures["Likely cruise"] == pytest.approx(14.25, rel=0.01)
    power_w = 2.814 * 14.25 / 0.50 + 8.0
    assert figures["Power in cruise"] == pytest.approx(power_w, rel=0.02)
    # 4 x 3.7 V x 10 Ah = 148 Wh, 85 % of it usable where nothing is told.
    minutes = 60.0 * 148.0 * 0.85 / power_w
    assert figures["Level flight, pack run flat"] == pytest.approx(minutes, rel=0.03)


def test_the_spread_of_the_stall_speed_by_hand() -> None:
    # Hand: Vs goes with the root of m and of 1 / CLmax: relative sd 0.5 sqrt(0.03^2 + 0.12^2)
    # = 0.0618 with a mass as declared and CLmax assumed; 8 in 10 lie within 1.2816 sd.
    found = first_figures(WING)
    assert found is not None
    stall = found.figures[0]
    assert math.log(stall.p90 / stall.p10) == pytest.approx(2.0 * 1.2816 * 0.0618, rel=0.06)


def test_what_narrows_most_comes_with_how_and_how_long() -> None:
    # Hand: at that airspeed CD0 (20 %) makes 73 % of the drag, k 27 % (10 %), efficiency 15 %:
    # 0.73 x 20 = 14.6 % against 15 %.
    found = first_figures(WING)
    assert found is not None
    assert found.narrows_most.startswith(("efficiency (", "zero lift drag ("))
    assert found.narrows_most.endswith("min)")
