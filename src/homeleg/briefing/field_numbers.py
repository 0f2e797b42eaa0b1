"""The eight numbers to copy onto tape: what a pilot looks at, and nothing else."""

from collections.abc import Sequence
from dataclasses import dataclass

from homeleg.briefing.field_words import launch_direction
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.result import Gate, TurnBack, Verdict
from homeleg.verdict.wording import clock

__all__ = ["FieldNumber", "eight_numbers", "field_numbers"]

_EIGHT = 8


@dataclass(frozen=True, slots=True)
class FieldNumber:
    """A figure, its unit, and what it is in a few words."""

    figure: str
    unit: str
    words: str


def field_numbers(verdict: Verdict, sortie: Sortie) -> list[FieldNumber]:
    """Return at most eight numbers; what was not computed or not told is left out."""
    commit, way = verdict.commit, verdict.way_home
    height = sortie.aircraft.link_loss.return_height
    return eight_numbers(
        verdict.departure,
        None
        if commit is None
        else (commit.most_half_difference_m_s, commit.least_mean_m_s, commit.most_mean_m_s),
        None if way is None else way.turn_back,
        verdict.gates,
        None if height is None else (height.value_m, height.above.value),
        verdict.flight.duration_s.p90,
    )


def eight_numbers(
    departure: str,
    circle_m_s: tuple[float, float, float] | None,
    turn_back: TurnBack | None,
    gates: Sequence[Gate],
    return_height: tuple[float, str] | None,
    slow_flight_s: float | None,
) -> list[FieldNumber]:
    """Return the numbers of an answer, whole or read back from a release.

    `circle_m_s` is the most half difference, the least and the most mean of the commit circle;
    `return_height` is in metres above what it says; `slow_flight_s` is how long a slow flight
    takes, told where one of the eight is missing.
    """
    numbers = [
        FieldNumber(launch_direction(departure).removeprefix("into "), "", "launch into, true")
    ]
    if circle_m_s is not None:
        half, least, most = circle_m_s
        numbers += [
            FieldNumber(f"≤ {half:.1f}", "m/s", "half the difference"),
            FieldNumber(f"{least:.1f}–{most:.1f}", "", "mean, m/s"),
        ]
    if turn_back is not None:
        words = f"turn back by, on {turn_back.leg}"
        numbers.append(FieldNumber(clock(turn_back.time_s), "", words))
    if gates:
        numbers += _gate(_tightest_gate(gates))
    if return_height is not None:
        height_m, above = return_height
        numbers.append(FieldNumber(f"{height_m:.0f}", "m", f"return {above}"))
    if slow_flight_s is not None and len(numbers) < _EIGHT:
        numbers.append(FieldNumber(clock(slow_flight_s), "", "down by, a slow flight"))
    return numbers


def _tightest_gate(gates: Sequence[Gate]) -> Gate:
    """Return the gate where the aircraft may be slowest over the ground; the last if none tells."""
    with_speed = [gate for gate in gates if gate.ground_speed_m_s is not None]
    return min(with_speed, key=lambda gate: gate.ground_speed_m_s or (0.0, 0.0), default=gates[-1])


def _gate(gate: Gate) -> list[FieldNumber]:
    numbers = []
    if gate.ground_speed_m_s is not None:
        least = f"≥ {gate.ground_speed_m_s[0]:.1f}"
        numbers.append(FieldNumber(least, "m/s", f"ground speed at {gate.name}"))
    if gate.most_used_ah is not None:
        most = f"{1000.0 * gate.most_used_ah // 10.0 * 10.0:.0f}"
        numbers.append(FieldNumber(most, "mAh", f"most used at {gate.name}"))
    volts = f"{gate.least_volts:.1f}"
    return [*numbers, FieldNumber(volts, "V", f"least at {gate.name}, motor on")]
