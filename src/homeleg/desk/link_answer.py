"""What the link told, as JSON: a comparison, plans that were read, a moment, a recording."""

import json
from typing import Any

from homeleg import __version__
from homeleg.desk.compare import comparison_json
from homeleg.desk.link import Aboard
from homeleg.desk.listen import Glance
from homeleg.desk.reading_json import reading_document
from homeleg.desk.record_link import Kept
from homeleg.formats.comparison_json import document_text
from homeleg.link.session import Reading
from homeleg.link.verified import Verified

__all__ = ["aboard_json", "heard_json", "read_json", "recorded_json"]

_PROGRAM = f"homeleg {__version__}"


def aboard_json(aboard: Aboard) -> str:
    """Return a comparison, and all that is known of the aircraft's plans, as JSON text."""
    return document_text(
        {
            "schema": "homeleg/link-comparison/1",
            "program": _PROGRAM,
            "end": aboard.end.value,
            "settings_to_read": list(aboard.to_read),
            "comparison": json.loads(comparison_json(aboard.compared)),
            "aircraft": reading_document(aboard.reading),
        }
    )


def read_json(reading: Reading, out: str) -> str:
    """Return the plans that were read, and where their route was written, as JSON text."""
    document = {"route_file": out, "aircraft": reading_document(reading)}
    return document_text({"schema": "homeleg/reading/1", "program": _PROGRAM, **document})


def heard_json(glance: Glance) -> str:
    """Return what is known at one moment, as one line of JSON."""
    told, now = glance.margin, glance.flight
    document: dict[str, Any] = {
        "schema": "homeleg/heard/1",
        "system": None if glance.aircraft is None else glance.aircraft.system,
        "stations": [
            {"system": one.system, "component": one.component, "is_aircraft": one.is_aircraft}
            for one in glance.stations
        ],
        "age_s": glance.age_s,
        "margin": told
        and {"seconds": told.seconds, "cause": told.cause, "remarks": list(told.remarks)},
        "flown_s": now and now.time_s,
        "ground_speed_m_s": now and now.ground_speed_m_s,
        "volts": now and now.volts,
        "used_ah": now and now.used_ah,
        "circle": glance.circle,
        "missing": list(glance.missing),
        "home_off_m": glance.home_off_m,
        "verified": glance.verified and _verified(glance.verified, glance.now_s),
    }
    return json.dumps(document, allow_nan=False, ensure_ascii=False) + "\n"


def recorded_json(kept: Kept, out: str) -> str:
    """Return what was recorded, as JSON text; `ended` is empty where a person ended it."""
    document = {
        "schema": "homeleg/recorded/1",
        "program": _PROGRAM,
        "recording": out,
        "frames": kept.frames,
        "skipped_bytes": kept.skipped_bytes,
        "ended": kept.ended,
    }
    return document_text(document)


def _verified(held: Verified, now_s: float) -> dict[str, Any]:
    ended = held.ended
    return {
        "age_s": now_s - held.since_s,
        "tells_changes": held.tells_changes,
        "ended": ended and {"age_s": now_s - ended.since_s, "why": ended.why},
    }
