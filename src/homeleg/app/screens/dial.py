"""The wind dial of a sortie: which winds would do, and where the one measured lies."""

import asyncio
import math

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from homeleg.app.office import base_of, entry_of, office_of
from homeleg.app.page import drawn, page
from homeleg.app.screens.events import event_stream
from homeleg.briefing.dial import DialWinds
from homeleg.desk.dial_view import dial_view
from homeleg.desk.face import Face
from homeleg.foundation.units import Dimension, TextError, parse_number, parse_quantity

__all__ = ["ROUTES"]

_ADDRESS = "/sortie/{name}/dial"


def dial(request: Request) -> Response:
    """Show the dial, once other winds have been looked at, with the wind told or typed."""
    office, entry = office_of(request), entry_of(request)
    standing = office.checks.standing(entry.path)
    looked = None if standing is None else standing.looked
    if standing is None or looked is None:
        refused = () if standing is None or standing.refused is None else standing.refused.problems
        return page(request, "dial_waits.html", entry=entry, problems=entry.problems or refused)
    typed = {key: request.query_params.get(key, "").strip() for key in ("speed", "from")}
    measured, refusal = looked.winds.measured or (0.0, 0.0), ""
    if any(typed.values()):
        try:
            measured = _wind(typed, office.face)
        except TextError as error:
            refusal = f"{error.problem}. {error.remedy}"
    if not refusal:
        typed = _as_typed(measured, office.face)
    return page(
        request,
        "dial.html",
        status=422 if refusal else 200,
        entry=entry,
        view=dial_view(looked.winds, measured),
        key=looked.key,
        height_m=looked.height_agl_m,
        looked_at=_count(looked.winds),
        typed=typed,
        refusal=refusal,
        speed_unit=office.face.unit_for("m/s"),
        drawn=drawn,
    )


async def events(request: Request) -> Response:
    """Say how far the look at other winds has come, as server-sent events."""
    entry = await asyncio.to_thread(entry_of, request)
    checks = office_of(request).checks
    return event_stream(checks.follow_winds(entry.path, base_of(request).aircraft))


def _count(winds: DialWinds) -> int:
    return len(winds.directions_rad) * len(winds.speeds_m_s)


def _wind(typed: dict[str, str], face: Face) -> tuple[float, float]:
    """Return speed [m/s] and direction [rad] as typed; raises TextError."""
    speed = parse_number(typed["speed"].replace(",", "."))
    from_deg = parse_number(typed["from"])
    if not 0.0 <= from_deg <= 360.0:
        raise TextError(f"{typed['from']} is no direction", "It is 0 to 360 degrees true.")
    if not 0.0 <= speed <= 200.0:
        raise TextError(f"{typed['speed']} is no wind speed", "Type what the anemometer shows.")
    speed_m_s = parse_quantity(f"{speed} {face.unit_for('m/s')}", Dimension.SPEED)
    return speed_m_s, math.radians(from_deg)


def _as_typed(measured: tuple[float, float], face: Face) -> dict[str, str]:
    """Return a wind as a person would type it."""
    speed_m_s, from_rad = measured
    return {
        "speed": f"{face.shown(speed_m_s, 'm/s'):.1f}",
        "from": f"{math.degrees(from_rad) % 360.0:03.0f}",
    }


ROUTES = (
    Route(_ADDRESS, dial),
    Route(f"{_ADDRESS}/events", events),
)
