"""What a release code stands for: route, boundary, stated settings, aircraft, loading, verdict."""

from collections.abc import Sequence
from dataclasses import fields
from datetime import datetime

from homeleg.release.canonical import Frozen, recorded
from homeleg.release.plain_route import PlainRoute
from homeleg.release.stored import stored_height, stored_route, stored_speed
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.judging import as_printed
from homeleg.verdict.result import Row, Verdict

__all__ = ["frozen_of"]

# Known by the digest of the files they come from.
_GROUND = ("ground", "canopy")


def frozen_of(
    sortie: Sortie,
    route: PlainRoute,
    verdict: Verdict,
    terrain: Sequence[tuple[str, str]],
    valid_until: datetime,
) -> dict[str, Frozen]:
    """Return all that is signed, as canonical values.

    `route` is the sortie's with its places in degrees; `terrain` are name and SHA-256 of every
    ground file. The time at which the answer was given is left out: the same sortie has one code.
    """
    kept = {field.name for field in fields(sortie)} - {"route", "site"}
    site = {field.name for field in fields(sortie.site)} - set(_GROUND)
    return {
        "route": stored_route(route),
        "settings": _settings(sortie),
        "sortie": {name: recorded(getattr(sortie, name)) for name in sorted(kept)},
        "site": {name: recorded(getattr(sortie.site, name)) for name in sorted(site)},
        "ground_files": [{"name": name, "sha256": digest} for name, digest in terrain],
        "verdict": _verdict(verdict),
        "valid_until": recorded(valid_until),
    }


def _settings(sortie: Sortie) -> dict[str, Frozen]:
    """Return what the aircraft must be set to, as the user stated it."""
    aircraft = sortie.aircraft
    loss, guidance = aircraft.link_loss, aircraft.guidance
    return {
        "link_loss": {
            "after_ds": None if loss.after_s is None else round(10.0 * loss.after_s),
            "climb_first": loss.climb_first,
            "return_height": stored_height(loss.return_height),
            "airspeed": stored_speed(loss.airspeed),
            "path": recorded(loss.path),
            "at_launch_point": recorded(loss.at_launch_point),
            "orbit_ds": None if loss.orbit_s is None else round(10.0 * loss.orbit_s),
        },
        "takeoff": {"along": recorded(aircraft.takeoff.along)},
        "pattern_height": stored_height(guidance.pattern_height),
        "cruise": stored_speed(aircraft.speeds.cruise),
    }


def _verdict(verdict: Verdict) -> dict[str, Frozen]:
    return {
        "word": verdict.word.value,
        "headline": verdict.headline,
        "departure": verdict.departure,
        "members": int(verdict.members),
        "seed": int(verdict.seed),
        "rows": [_row(row) for row in verdict.rows],
    }


def _row(row: Row) -> dict[str, Frozen]:
    reading = None if row.reading is None else as_printed(row.reading, row.limit.unit)
    return {
        "slug": row.limit.slug,
        "status": row.status.value,
        "reading": recorded(reading),
        "limit_changed": row.limit.changed,
    }
