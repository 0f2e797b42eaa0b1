"""What was read from an aircraft, as text on one screen."""

import textwrap
from pathlib import Path

from homeleg.cli.compare_text import KEPT, compared_text
from homeleg.cli.text import WIDTH
from homeleg.desk.link import Aboard, Before
from homeleg.link.messages import Item, PlanType
from homeleg.link.session import Reading
from homeleg.release.plain_route import PlainRoute
from homeleg.release.read_aloud import item_words, place_words
from homeleg.release.release import Stage

__all__ = ["aboard_text", "before_text", "fetched_text", "item_0_text"]

_PROVES = (
    "It proves what was stored just now, not how it will be flown, and nobody looks on: with "
    "--watch it says when the aircraft is started again, tells another plan, is written to or is "
    "not heard for over 10 s, or when four hours are over."
)
_WATCHED = (
    "It proves what was stored just now, not how it will be flown. From here on it says when that "
    "holds no more; Ctrl-C ends it."
)


def aboard_text(aboard: Aboard, *, watched: bool = False) -> str:
    """Return the comparison in words, and the settings that are still to be read aloud."""
    proves = _WATCHED if watched else _PROVES
    is_plan = aboard.compared.release.stage is Stage.PLAN
    kept = "A plan is in no aircraft: nothing was kept." if is_plan else KEPT
    text = compared_text(aboard.compared, proves, kept=kept)
    if not aboard.to_read:
        return text
    words = (
        f"{aboard.to_read_words} No link reads that: read it aloud in the maker's own tool and "
        "type it, with --return-height, --link-loss-after, --link-loss-climb, --link-loss-path, "
        "--link-loss-action, and who reads with --read-by."
    )
    if aboard.is_as_released:
        words = f"CANNOT TELL. {words} The rest:"
        return f"{textwrap.fill(words, WIDTH)}\n{text}"
    return f"{text}{textwrap.fill(words, WIDTH)}\n"


def before_text(before: Before) -> str:
    """Return what a person must see before a load."""
    reading = before.reading
    count = len(reading.plans[PlanType.ROUTE].items)
    away_m = f"{before.launch_distance_m:.0f} m"
    words = (
        f"System {reading.system}, type {reading.vehicle_type}, {away_m} from the released launch "
        f"point, holds a route of {count} items now; kept in {before.kept_in}. "
        "Take the propeller off, or hold the aircraft fast."
    )
    return textwrap.fill(words, WIDTH)


def item_0_text(reading: Reading) -> str:
    """Return what a person must know to say whether item 0 is the launch point."""
    items = reading.plans[PlanType.ROUTE].items
    held = "It holds no route now" if not items else f"Item 0 of its route now: {_stored(items[0])}"
    words = (
        f"{held}. Some aircraft keep their launch point in front of the route, and count it. The "
        "maker's manual says so; the wrong answer shows as NOT THE SAME."
    )
    return textwrap.fill(words, WIDTH)


def _stored(item: Item) -> str:
    scale = 1e-7 if item.precise else 1.0
    place = f"{scale * item.x:.6f}, {scale * item.y:.6f}"
    return f"command {item.command} at {place}, height {item.z:.1f} m"


def fetched_text(reading: Reading, route: PlainRoute, out: Path) -> str:
    """Return what the aircraft holds, item by item."""
    launch = (
        "launch point: not told" if route.launch_point is None else place_words(route.launch_point)
    )
    lines = [
        f"System {reading.system} holds {len(route.items)} items, written to {out}.",
        f"{launch[0].upper()}{launch[1:]}",
        *(f"{place:3d} {item_words(item)}" for place, item in enumerate(route.items, start=1)),
        f"Boundary: {len(route.boundary.corners_deg) if route.boundary else 'no'} corners. "
        f"Diversion points: {len(route.diversions) or 'none'}.",
        *(
            f"The {plan.name.lower()} could not be read: {why}."
            for plan, why in reading.unread.items()
        ),
        "Airspeeds are written as IAS: the link does not say which they are.",
    ]
    return "\n".join(textwrap.fill(line, WIDTH, subsequent_indent="    ") for line in lines) + "\n"
