"""Do two numbers after landing teach honestly? Flights of aircraft that are not as recorded.

`python -m benchmarks.learning [TRIALS]` prints what `docs/methods.md` tells. In each trial a
true aircraft is drawn: drag, induced drag and efficiency from the record's own spreads, a polar of
another form (lift at least drag 0.25 instead of 0, which the record does not know of), and a pitot
that reads 4 % wrong. It flies four times, each in a wind of its own; the charger errs by 3 % in
each trial, the same way on every flight, and by 1 % from flight to flight. After each of three
flights its minutes and mAh are noted; the fourth is only foretold. The seeds are fixed.
"""

import sys
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from homeleg.aircraft.performance import level_electrical_power
from homeleg.debrief.two_numbers import TwoNumbers, lesson, prediction
from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown, fly, member_aircraft
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.sortie.draws import draw
from homeleg.sortie.resolve import resolve
from homeleg.sortie.sortie import Sortie

EXAMPLE = Path(__file__).parents[1] / "examples" / "tern-point" / "sortie.toml"
MEMBERS, FLIGHTS = 256, 3
LIFT_AT_LEAST_DRAG, PITOT = 0.25, 0.04
CHARGER_OF_A_TRIAL, CHARGER_OF_A_FLIGHT = 0.03, 0.01


@dataclass(frozen=True)
class Trial:
    """Relative 80 % widths of power after 0 to 3 notes, and which intervals held."""

    widths: tuple[float, ...]
    power_held: tuple[bool, ...]
    charge_held: tuple[bool, ...]


def assumed(value: float, share: float) -> Estimate:
    return Estimate(value=value, sd=share * value, basis=Basis.ASSUMED)


def recorded() -> Sortie:
    """Return the sortie with an aircraft of which little is known, and half the pack."""
    sortie = read_sortie(EXAMPLE).sortie
    aircraft = sortie.aircraft
    aero = replace(
        aircraft.aerodynamics,
        zero_lift_drag=assumed(0.038, 0.20),
        induced_factor=assumed(aircraft.aerodynamics.induced_factor.value, 0.12),
        airspeed_factor=assumed(1.0, 0.05),
    )
    propulsion = replace(aircraft.propulsion, efficiency=assumed(0.50, 0.15))
    battery = replace(aircraft.battery, capacity_ah=5.0)
    return replace(
        sortie,
        aircraft=replace(
            aircraft, aerodynamics=aero, propulsion=propulsion, battery=battery, learned=None
        ),
    )


def true_sortie(sortie: Sortie, random: np.random.Generator) -> Sortie:
    """Return the sortie as it is: one aircraft, a polar of another form, its pitot wrong."""
    aircraft = sortie.aircraft

    def one(estimate: Estimate, factor: float | None = None) -> Estimate:
        drawn = np.exp(random.normal() * estimate.sd / estimate.value) if factor is None else factor
        return Estimate(value=estimate.value * float(drawn), sd=0.0, basis=Basis.FLIGHT)

    aero = replace(
        aircraft.aerodynamics,
        zero_lift_drag=one(aircraft.aerodynamics.zero_lift_drag),
        induced_factor=one(aircraft.aerodynamics.induced_factor),
        airspeed_factor=one(
            aircraft.aerodynamics.airspeed_factor, 1.0 + PITOT * float(random.choice([-1.0, 1.0]))
        ),
        lift_at_least_drag=LIFT_AT_LEAST_DRAG,
    )
    efficiency = one(aircraft.propulsion.efficiency)
    propulsion = replace(aircraft.propulsion, efficiency=efficiency)
    return replace(
        sortie, aircraft=replace(aircraft, aerodynamics=aero, propulsion=propulsion, learned=None)
    )


def flown_once(sortie: Sortie, number: int, seed: int) -> TwoNumbers | None:
    """Return what one flight in an air of its own takes; None where it does not land."""
    resolved = resolve(sortie)
    flown = fly(resolved, resolved.departures[0], 16, seed)
    if not flown.landed[number]:
        return None
    used_ah = flown.results[number, c.CHARGE_USED] - flown.members[number, c.CHARGE_AT_START]
    return TwoNumbers(duration_s=float(flown.results[number, c.DURATION]), charge_ah=float(used_ah))


def ensemble(sortie: Sortie) -> Flown:
    resolved = resolve(sortie)
    return fly(resolved, resolved.departures[0], MEMBERS, 1)


def power_w(sortie: Sortie) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Return the power of level cruise at the airspeed shown, over the members."""
    resolved = resolve(sortie)
    draws = draw(resolved, MEMBERS, 1)
    eas = resolved.speeds.cruise_eas_m_s * draws.value["airspeed_factor"]
    aircraft = member_aircraft(resolved, draws)
    return np.asarray(level_electrical_power(aircraft, eas, resolved.density_kg_m3))


def run(seed: int, sortie: Sortie) -> Trial | None:
    """Return one trial; None where a flight of it did not land."""
    random = np.random.default_rng(seed)
    truth = true_sortie(sortie, random)
    true_w = float(np.median(power_w(truth)))
    charger = float(np.exp(CHARGER_OF_A_TRIAL * random.normal()))
    widths, power_held, charge_held = [], [], []
    for flight in range(FLIGHTS + 1):
        before = ensemble(sortie)
        watts = power_w(sortie)
        low, high = np.percentile(watts, [10.0, 90.0])
        widths.append(float((high - low) / np.median(watts)))
        power_held.append(bool(low <= true_w <= high))
        seen = flown_once(truth, flight, seed)
        if seen is None:
            return None
        foretold = prediction(before, seen)
        charge_held.append(foretold.low_ah <= seen.charge_ah <= foretold.high_ah)
        meter = charger * float(np.exp(CHARGER_OF_A_FLIGHT * random.normal()))
        noted = replace(seen, charge_ah=seen.charge_ah * meter)
        learned = lesson(before, noted, valid="study", learned_from="study")
        sortie = replace(sortie, aircraft=replace(sortie.aircraft, learned=learned))
    return Trial(tuple(widths), tuple(power_held), tuple(charge_held))


def main(trials: int) -> None:
    sortie = recorded()
    done = [trial for seed in range(1, trials + 1) if (trial := run(seed, sortie)) is not None]
    widths = np.array([trial.widths for trial in done])
    power = np.array([trial.power_held for trial in done])
    charge = np.array([trial.charge_held for trial in done])
    print(f"{len(done)} of {trials} trials flew; 80 % intervals, seeds 1 to {trials}")
    print("notes  width of power  times before  power inside  charge of the next flight inside")
    for notes in range(FLIGHTS + 1):
        print(
            f"{notes:5d}  {100.0 * np.median(widths[:, notes]):12.1f} %"
            f"  {np.median(widths[:, notes] / widths[:, 0]):12.2f}"
            f"  {100.0 * power[:, notes].mean():10.0f} %  {100.0 * charge[:, notes].mean():10.0f} %"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100)
