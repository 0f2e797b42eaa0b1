"""Shares of a row's spread, and what to measure next, on formulas whose shares are known."""

from dataclasses import replace
from itertools import pairwise
from statistics import NormalDist
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from homeleg.sortie.draws import Draws
from homeleg.verdict.contributions import contributions
from homeleg.verdict.judge import _in_doubt
from homeleg.verdict.measure_next import measure_next
from homeleg.verdict.result import Contribution, Contributions, Explained, Percentiles


def draws(count: int = 2048, **sd: float) -> Draws:
    random = np.random.default_rng(5)
    normal = {name: random.standard_normal(count) for name in sd}
    return Draws(normal=normal, value={name: 10.0 + sd[name] * normal[name] for name in sd})


def shares(found: Contributions | None) -> dict[str, float]:
    assert found is not None
    return {one.input: one.share for one in found.inputs}


def test_a_sum_of_independent_inputs() -> None:
    # y = 3 a + 2 b + c, unit variances: shares 9/14, 4/14, 1/14. Sampling error of 2,048: 0.03.
    of = draws(mass=1.0, throw=1.0, fix=1.0)
    y = 3.0 * of.value["mass"] + 2.0 * of.value["throw"] + of.value["fix"]
    found = contributions("row", y, of)
    assert found is not None
    assert found.explained is Explained.REGRESSION
    assert found.r2 == pytest.approx(1.0)
    expected = {"mass": 9 / 14, "throw": 4 / 14, "fix": 1 / 14}
    assert shares(found) == pytest.approx(expected, abs=0.04)
    assert sum(shares(found).values()) == pytest.approx(1.0, abs=1e-9)


def test_inputs_drawn_together_share_what_they_explain() -> None:
    # a and b rise together with correlation 0.8, y = a + b: by symmetry one half each.
    a, c = np.random.default_rng(6).standard_normal((2, 4096))
    b = 0.8 * a + 0.6 * c
    of = Draws(normal={}, value={"mass": a, "efficiency": b})
    assert shares(contributions("row", a + b, of)) == pytest.approx(
        {"mass": 0.5, "efficiency": 0.5}, abs=0.03
    )


def test_a_bend_is_read_from_the_flights_themselves() -> None:
    # y = a^2 + b with unit normals: variances 2 and 1, and no line explains a^2 at all. Groups lose
    # what varies inside them: a^2 has the mean 1 + (l f(l) - h f(h)) 64 in the one of 64 between l
    # and h, f the normal density.
    normal = NormalDist()
    edges = [-9.0, *(normal.inv_cdf(k / 64) for k in range(1, 64)), 9.0]
    means = [
        (low * normal.pdf(low) - high * normal.pdf(high)) * 64 for low, high in pairwise(edges)
    ]
    bend = float(np.mean(np.square(means)))
    of = draws(8192, mass=1.0, throw=1.0, fix=1.0)
    a, b = of.normal["mass"], of.normal["throw"]
    found = contributions("row", a**2 + b, of)
    assert found is not None
    assert found.explained is Explained.GIVEN_DATA
    assert found.r2 == pytest.approx(1.0 / 3.0, abs=0.04)
    assert shares(found) == pytest.approx({"mass": bend / 3.0, "throw": 1.0 / 3.0}, abs=0.04)
    assert bend > 1.7


def test_what_does_nothing_is_left_out_and_unread_flights_too() -> None:
    of = draws(mass=1.0, fix=1.0)
    y = np.where(np.arange(2048) % 2 == 0, of.value["mass"], np.nan)
    assert shares(contributions("row", y, of)) == pytest.approx({"mass": 1.0}, abs=1e-6)


def test_values_of_the_first_members() -> None:
    of = draws(mass=1.0, fix=1.0)
    assert shares(contributions("row", of.value["fix"][:128], of)) == pytest.approx({"fix": 1.0})


@pytest.mark.parametrize("values", [np.full(2048, 3.0), np.array([1.0, 2.0]), np.full(9, np.nan)])
def test_nothing_to_tell(values: Any) -> None:
    assert contributions("row", values, draws(mass=1.0)) is None


def row(**inputs: float) -> Contributions:
    named = tuple(Contribution(input=name, share=share) for name, share in inputs.items())
    return Contributions(row="row", r2=0.9, explained=Explained.REGRESSION, inputs=named)


def drawn(mean: float, sd: float) -> Any:
    return np.array([mean - sd, mean + sd])


def test_measuring_leaves_a_spread_of_its_own() -> None:
    # A scale leaves 0.5 % of 2.0 kg = 0.010 kg; known to 0.020 kg now: 1 - (1 / 2)^2 = 3/4 of it.
    of: Any = SimpleNamespace(value={"mass": drawn(2.0, 0.020)})
    [one] = measure_next([row(mass=0.8)], of)
    assert (one.input, one.minutes) == ("mass", 2)
    assert one.share == pytest.approx(0.8 * 0.75)


def test_what_cannot_be_measured_better_is_not_asked() -> None:
    of: Any = SimpleNamespace(value={"mass": drawn(2.0, 0.009), "throw": drawn(8.0, 0.5)})
    assert measure_next([row(mass=0.6, throw=0.4)], of) == ()


def test_at_most_three_each_once_the_best_first() -> None:
    names = ("mass", "efficiency", "resistance", "usable_charge")
    of: Any = SimpleNamespace(value={name: drawn(1.0, 10.0) for name in names})
    tight = [row(mass=0.2, efficiency=0.3), row(mass=0.5, resistance=0.25, usable_charge=0.15)]
    assert [one.input for one in measure_next(tight, of)] == ["mass", "efficiency", "resistance"]


@pytest.mark.parametrize(
    ("p90", "hard", "asked"),
    [(1.6, 1.0, True), (0.9, 1.0, False), (0.9, None, True)],
)
def test_nothing_is_measured_for_a_row_that_fails_anyway(
    make_verdict: Any,
    p90: float,
    hard: float | None,
    asked: bool,  # noqa: FBT001
) -> None:
    row = make_verdict().rows[1]
    value = Percentiles(p10=0.2, p50=0.5, p90=p90)
    tight = Contributions(row=row.limit.slug, r2=0.9, explained=Explained.REGRESSION, inputs=())
    assert bool(_in_doubt([tight], [replace(row, value=value, hard=hard)])) is asked
