"""Packs: how often each was used, how it ages, how warm it was last, and where it is.

`held` are entries as `standing` returns them.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from homeleg.readiness.entries import Entry, Flight, PackSeen, things

__all__ = ["PackState", "pack_in", "packs_of"]

Trend = tuple[tuple[datetime, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PackState:
    """A pack as the logbook knows it, in SI.

    `cycles` is its count where somebody told it once, with the flights since then; `flights` are
    those in this logbook. The trends hold what was measured, the earliest first.
    """

    name: str
    aircraft: str | None
    flights: int
    cycles: int | None
    capacity_ah: Trend
    resistance_ohm: Trend
    temperature_k: Trend
    swollen: bool


def packs_of(held: Sequence[Entry]) -> tuple[PackState, ...]:
    """Return the packs by name, with what is known of each."""
    seen: dict[str, list[tuple[datetime, PackSeen]]] = defaultdict(list)
    flown: dict[str, list[datetime]] = defaultdict(list)
    inside: dict[str, str] = {}
    for entry in held:
        match entry.thing:
            case PackSeen() as one:
                seen[one.pack].append((entry.at, one))
                if one.aircraft is not None:
                    inside[one.aircraft] = one.pack
            case Flight() as flight:
                pack = flight.pack or inside.get(flight.aircraft)
                if pack is not None:
                    flown[pack].append(entry.at)
            case _:
                pass
    where = {pack: aircraft for aircraft, pack in inside.items()}
    return tuple(
        _state(name, where.get(name), seen[name], flown[name]) for name in sorted({*seen, *flown})
    )


def pack_in(held: Sequence[Entry], aircraft: str, at: datetime) -> str | None:
    """Return the pack that was put into an aircraft last before a time."""
    put_in = [
        seen.pack
        for entry, seen in things(held, PackSeen)
        if seen.aircraft == aircraft and entry.at <= at
    ]
    return put_in[-1] if put_in else None


def _state(
    name: str,
    aircraft: str | None,
    seen: Sequence[tuple[datetime, PackSeen]],
    flown: Sequence[datetime],
) -> PackState:
    cycles = None
    for told_at, one in seen:
        if one.cycles is not None:
            cycles = one.cycles + sum(at > told_at for at in flown)
    told_swollen = [one.swollen for _, one in seen if one.swollen is not None]
    return PackState(
        name=name,
        aircraft=aircraft,
        flights=len(flown),
        cycles=cycles,
        capacity_ah=_trend(seen, "capacity_ah"),
        resistance_ohm=_trend(seen, "resistance_ohm"),
        temperature_k=_trend(seen, "temperature_k"),
        swollen=bool(told_swollen and told_swollen[-1]),
    )


def _trend(seen: Sequence[tuple[datetime, PackSeen]], field: str) -> Trend:
    values = [(at, getattr(one, field)) for at, one in seen]
    return tuple((at, value) for at, value in values if value is not None)
