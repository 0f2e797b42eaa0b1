"""The second page: the flight card, which folds to A6."""

import math
from typing import Any

from homeleg.briefing.briefing_input import BriefingInput
from homeleg.briefing.field_words import (
    coordinates,
    launch_direction,
    link_lost,
    motor_stopped,
    turn_back_line,
)
from homeleg.verdict.result import CommitCircle, Gate, Verdict
from homeleg.verdict.wording import clock

__all__ = ["flight_card"]

_NO_CONTACTS = tuple((who, "") for who in ("Emergency", "Air traffic", "Landowner", "Second pilot"))


def flight_card(given: BriefingInput) -> dict[str, Any]:
    """Return the words of the card by their place on it."""
    verdict = given.verdict
    decimal, minutes = coordinates(given.sortie)
    return {
        "when": f"{given.name}, {given.sortie.launch_time:%-d %B, %H:%M} UTC. "
        f"{given.sortie.aircraft.name}.",
        "code": given.spaced_code or "no code",
        "code_words": "release code: must match the aircraft's"
        if given.released
        else "plan, not released",
        "route": given.route_words,
        "route_is_same": given.route_is_same,
        "launch": launch_direction(verdict.departure),
        "no-go": "" if given.may_fly else "NO-GO. This card is not for flying.",
        "circle": _circle(verdict.commit),
        "gates": [_gate(gate) for gate in verdict.gates],
        "turn_back": turn_back_line(verdict),
        "land_by": _land_by(verdict),
        "link_lost": link_lost(given.sortie),
        "motor_stopped": motor_stopped(verdict),
        "contacts": [
            {"who": who, "number": number} for who, number in given.contacts or _NO_CONTACTS
        ],
        "place": given.place,
        "decimal": decimal,
        "minutes": minutes,
    }


def _circle(commit: CommitCircle | None) -> dict[str, str] | None:
    if commit is None:
        return None
    return {
        "turns": "two full turns" if commit.turns == 2 else f"{commit.turns} full turns",
        "fly": f"overhead, {commit.height_above_launch_m:.0f} m above launch, "
        f"{commit.true_airspeed_m_s:.1f} m/s TAS, bank "
        f"{math.degrees(commit.bank_rad):.0f}°.",
        "half": f"≤ {commit.most_half_difference_m_s:.1f} m/s",
        "mean": f"{commit.least_mean_m_s:.1f}–{commit.most_mean_m_s:.1f} m/s",
    }


def _gate(gate: Gate) -> dict[str, str]:
    speed, most_ah = gate.ground_speed_m_s, gate.most_used_ah
    return {
        "at": gate.name,
        "clock": clock(gate.latest_s),
        "ground": "" if speed is None else f"{speed[0]:.0f}–{speed[1]:.0f}",
        "volts": f"{gate.least_volts:.1f}",
        "mah": "none" if most_ah is None else f"{1000.0 * most_ah // 10.0 * 10.0:,.0f}",
    }


def _land_by(verdict: Verdict) -> dict[str, str]:
    """Return the middle flight's landing, and what its pack should still hold."""
    flight = verdict.flight
    left_ah = flight.charge_used_ah.p50 / max(1.0 - flight.landing_charge_fraction.p50, 1e-6)
    least = 1000.0 * left_ah * flight.landing_charge_fraction.p10
    return {
        "title": f"Lands at {clock(flight.duration_s.p50)} on the middle flight",
        "words": f"{clock(flight.duration_s.p90)} on a slow one; {least // 10.0 * 10.0:,.0f} mAh "
        "or more in the pack, nine times in ten.",
    }
