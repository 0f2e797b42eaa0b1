"""What to carry to the field: word, commit circle, gates, turn-back and what is still to do."""

from collections.abc import Sequence

from homeleg.cli.text import at_the_field, commit_lines, way_home_lines, wrapped
from homeleg.verdict.cautions import word_caution
from homeleg.verdict.result import Gate, Verdict
from homeleg.verdict.wording import clock

__all__ = ["field_text"]

_NAME_WIDTH = 26


def field_text(verdict: Verdict) -> str:
    """Return the lines to carry, on one screen."""
    blocks = [
        [verdict.headline],
        commit_lines(verdict),
        _gates(verdict.gates),
        way_home_lines(verdict.way_home),
        at_the_field(verdict),
        [word_caution(verdict.word)],
    ]
    return "\n\n".join(wrapped(block) for block in blocks if block) + "\n"


def _gates(gates: Sequence[Gate]) -> list[str]:
    if not gates:
        return []
    columns = f"{'clock':>8}{'latest':>8}{'ground m/s':>16}{'volts ≥':>9}{'mAh':>8}{'most mAh':>10}"
    return [
        f"{'Gate (from launch)':<{_NAME_WIDTH}}{columns}",
        *(_gate(gate) for gate in gates),
        "Worse at any gate: turn back.",
    ]


def _gate(gate: Gate) -> str:
    speeds = gate.ground_speed_m_s
    most_ah = gate.most_used_ah
    cells = (
        (8, clock(gate.time_s)),
        (8, clock(gate.latest_s)),
        (16, "-" if speeds is None else f"{speeds[0]:.1f} to {speeds[1]:.1f}"),
        (9, f"{gate.least_volts:.1f}"),
        (8, f"{1000.0 * gate.used_ah:.0f}"),
        (10, "turn back" if most_ah is None else f"{1000.0 * most_ah // 10.0 * 10.0:.0f}"),
    )
    name = gate.name if len(gate.name) < _NAME_WIDTH else f"{gate.name[: _NAME_WIDTH - 2]}…"
    return f"{name:<{_NAME_WIDTH}}" + "".join(f"{text:>{width}}" for width, text in cells)
