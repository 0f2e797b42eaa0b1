"""The eight numbers to copy onto tape: what a pilot looks at, and nothing else."""

from dataclasses import dataclass

from homeleg.briefing.field_words import launch_direction
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.result import CommitCircle, Gate, Verdict
from homeleg.verdict.wording import clock

__all__ = ["FieldNumber", "field_numbers"]


@dataclass(frozen=True, slots=True)
class FieldNumber:
    """A figure, its unit, and what it is in a few words."""

    figure: str
    unit: str
    words: str


def field_numbers(verdict: Verdict, sortie: Sortie) -> list[FieldNumber]:
    """Return at most eight numbers; what was not computed or not told is left out."""
    numbers = [
        FieldNumber(launch_direction(verdict).removeprefix("into "), "", "launch into, true")
    ]
    if verdict.commit is not None:
        numbers += _circle(verdict.commit)
    way = verdict.way_home
    if way is not None and way.turn_back is not None:
        words = f"turn back by, on {way.turn_back.leg}"
        numbers.append(FieldNumber(clock(way.turn_back.time_s), "", words))
    if verdict.gates:
        numbers += _gate(_tightest_gate(verdict.gates))
    height = sortie.aircraft.link_loss.return_height
    if height is not None:
        numbers.append(FieldNumber(f"{height.value_m:.0f}", "m", f"return {height.above.value}"))
    return numbers


def _circle(commit: CommitCircle) -> list[FieldNumber]:
    mean = f"{commit.least_mean_m_s:.1f}–{commit.most_mean_m_s:.1f}"
    return [
        FieldNumber(f"≤ {commit.most_half_difference_m_s:.1f}", "m/s", "half the difference"),
        FieldNumber(mean, "", "mean, m/s"),
    ]


def _tightest_gate(gates: tuple[Gate, ...]) -> Gate:
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
