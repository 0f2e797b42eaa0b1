"""What was read from an aircraft, number by number, for JSON."""

import hashlib
import json
from collections.abc import Sequence
from typing import Any

from homeleg.link.items import one_frame
from homeleg.link.messages import Item
from homeleg.link.session import Reading

__all__ = ["reading_document"]


def reading_document(reading: Reading) -> dict[str, Any]:
    """Return an aircraft with its plans as they were read; each plan with its SHA-256."""
    home = reading.home
    return {
        "system": reading.system,
        "component": reading.component,
        "type": reading.vehicle_type,
        "protocol_version": reading.version,
        "home": home
        and {
            "latitude_1e7_deg": home.latitude_e7,
            "longitude_1e7_deg": home.longitude_e7,
            "height_amsl_mm": home.height_amsl_mm,
        },
        "home_first": reading.home_first,
        "plans": {
            plan.name.lower(): {
                "id": fetched.plan_id,
                "sha256": _digest(fetched.items),
                "items": [_stored(item) for item in fetched.items],
            }
            for plan, fetched in reading.plans.items()
        },
        "unread": {plan.name.lower(): why for plan, why in reading.unread.items()},
    }


def _digest(items: Sequence[Item]) -> str:
    """Return the SHA-256 of items in one form, whichever of two twins a frame is told as."""
    folded = [{**_stored(item), "frame": one_frame(item.frame)} for item in items]
    text = json.dumps(folded, separators=(",", ":"), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def _stored(item: Item) -> dict[str, Any]:
    """Return the numbers of an item as they were told; texts, as some are no numbers in JSON."""
    return {
        "command": item.command,
        "frame": item.frame,
        "autocontinue": item.autocontinue,
        "params": [f"{value:.9g}" for value in item.params],
        "x": f"{item.x:.10g}",
        "y": f"{item.y:.10g}",
        "z": f"{item.z:.9g}",
    }
