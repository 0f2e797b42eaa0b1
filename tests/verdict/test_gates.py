"""Gates: the most charge used, by hand; charge against the states of the flight itself."""

from pathlib import Path

import numpy as np
import pytest

from homeleg.flight import layout as c
from homeleg.flight.ensemble import fly, states_at
from homeleg.formats.limits_file import read_limits
from homeleg.formats.sortie_file import read_sortie
from homeleg.physics.battery import open_circuit_volts
from homeleg.sortie.resolve import resolve
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.gates import charge_used, gates, most_used, volts_under_load

EXAMPLES = Path(__file__).parents[2] / "examples"
EVENLY = np.linspace(-1.0, 1.0, 1001)


def test_most_used_without_a_link_between_before_and_after() -> None:
    # The rest takes 3.0 +- 1.0 Ah evenly, of 8.5 Ah above the reserve, whatever was used before:
    # 9 in 10 rests take 3.8 or less, so 8.5 - 3.8 = 4.7 may be used.
    used = np.where(np.arange(1001) % 2 == 0, 1.9, 2.1)
    rest = 3.0 + EVENLY
    assert most_used(used, 8.5 - rest) == pytest.approx(4.7, abs=0.01)


def test_who_used_more_will_use_more() -> None:
    # Drag: the rest always takes twice what was used. u + 2 u = 8.5: 2.83 Ah; read apart, one
    # would grant 8.5 - 4.36 = 4.14 and come home with less than nothing above the reserve.
    used = 2.0 + 0.3 * EVENLY
    assert most_used(used, 8.5 - 2.0 * used) == pytest.approx(8.5 / 3.0)


def test_with_drag_and_doubt_nine_in_ten_still_land() -> None:
    # At the limit the rest is drawn again as the flights have it: close to 1 in 10 fall short.
    random = np.random.default_rng(1)
    used = random.normal(2.0, 0.2, 4096)
    rest = 2.0 * used + random.normal(0.0, 0.3, 4096)
    most = most_used(used, 8.5 - rest)
    assert most is not None
    rest_from_there = 2.0 * most + np.random.default_rng(2).normal(0.0, 0.3, 50_000)
    assert np.mean(most + rest_from_there > 8.5) == pytest.approx(0.1, abs=0.02)


def test_nothing_is_granted_for_a_tail_wind_on_the_way_out() -> None:
    # Who used more had less wind and needs less for the way back. The rest takes 3 +- 1: as above.
    used = 2.0 + 0.3 * EVENLY
    rest = 3.0 - EVENLY
    assert most_used(used, 8.5 - rest) == pytest.approx(4.7, abs=0.01)


def test_no_use_is_low_enough_where_too_many_are_lost() -> None:
    allowed = np.where(np.arange(1000) % 5 == 0, -np.inf, 6.0)
    assert most_used(np.full(1000, 2.0), allowed) is None
    assert most_used(np.full(10, 2.0), np.full(10, -0.5)) is None
    few = np.where(np.arange(1000) % 20 == 0, -np.inf, 6.0)
    assert most_used(np.full(1000, 2.0), few) == 6.0


@pytest.fixture(scope="module", params=["tern-point", "skarv-moor"])
def evidence(request: pytest.FixtureRequest) -> Evidence:
    resolved = resolve(read_sortie(EXAMPLES / request.param / "sortie.toml").sortie)
    return Evidence.of(fly(resolved, resolved.departures[0], 64, 1), read_limits())


def test_charge_and_volts_are_those_of_the_flight(evidence: Evidence) -> None:
    # Saved states at the second in which each of eight flights ends a leg of the route.
    flown = evidence.flown
    ends = np.cumsum(flown.leg_results[:, :, c.LEG_TIME], axis=1)
    used = charge_used(evidence)
    for number, leg in enumerate(flown.departure.legs):
        if not leg.on_route:
            continue
        for member in range(8):
            states, _ = states_at(flown, member + 1, np.array([ends[member, number]]))
            charge = states[0, member, c.CHARGE] - flown.members[member, c.CHARGE_AT_START]
            assert used[member, number] == pytest.approx(charge, rel=0.02, abs=0.002)


def test_gates_of_a_flight(evidence: Evidence) -> None:
    flown = evidence.flown
    found = gates(evidence)
    route = [leg for leg in flown.departure.legs if leg.on_route]
    assert len(found) == min(len(route), 10)
    assert [gate.time_s for gate in found] == sorted(gate.time_s for gate in found)
    for gate in found:
        assert gate.latest_s >= gate.time_s
        if gate.most_used_ah is not None:
            assert 0.0 < gate.most_used_ah < float(flown.members[:, c.USABLE].max())


def test_volts_are_those_under_load(evidence: Evidence) -> None:
    # Saved states on the last straight leg of the route, a second before the middle flight ends it:
    # V = (E + sqrt(E^2 - 4 P R)) / 2. Power comes and goes with gusts and height, volts by tenths.
    flown = evidence.flown
    number = max(k for k, leg in enumerate(flown.departure.legs) if leg.on_route)
    end_s = float(np.median(np.cumsum(flown.leg_results[:, :, c.LEG_TIME], axis=1)[:, number]))
    states, _ = states_at(flown, 64, np.array([end_s - 1.0]))
    state = states[0]
    there = state[:, c.LEG] == number
    battery = evidence.resolved.sortie.aircraft.battery
    left = np.clip(1.0 - state[:, c.CHARGE] / flown.members[:, c.CAPACITY], 0.0, 1.0)
    at_rest = battery.cells * open_circuit_volts(left, battery.chemistry) - state[:, c.RELAXATION]
    power = state[:, c.POWER] + flown.members[:, c.AVIONICS_POWER]
    inside = np.maximum(at_rest**2 - 4.0 * power * state[:, c.RESISTANCE], 0.0)
    expected = 0.5 * (at_rest + np.sqrt(inside))
    got = volts_under_load(evidence, number, charge_used(evidence))
    assert there.sum() >= 10
    assert np.median((got - expected)[there]) == pytest.approx(0.0, abs=0.1)
