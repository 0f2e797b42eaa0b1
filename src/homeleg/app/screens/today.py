"""Today: when the next sortie can be flown, what is open, and the reach of each aircraft."""

from datetime import datetime
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import Office, office_of
from homeleg.app.page import drawn, page
from homeleg.desk.base import SortieEntry, sorties_in
from homeleg.desk.today import Known, today, which_sortie
from homeleg.foundation.errors import InputFileError, OutOfModelError

__all__ = ["ROUTES"]

_MOST_OTHERS = 6


def show(request: Request) -> Response:
    """Show the day of the next sortie, or of the one asked for; without any, all of the base."""
    office = office_of(request)
    if office.base is None:
        return RedirectResponse("/first", 303)
    entries = sorties_in(office.base)
    now = office.now()
    asked = request.query_params.get("sortie", "")
    entry = next((one for one in entries if one.name == asked and not one.problems), None)
    entry = entry or which_sortie(entries, now)
    if entry is None:
        return RedirectResponse("/base", 303)
    try:
        shown = today(office.base, entry, _known(office, entry), now, office.face)
    except (InputFileError, OutOfModelError):  # its own page says what is wrong with it
        return RedirectResponse("/base", 303)
    others = [one for one in entries if one.name != entry.name and not one.problems]
    return page(
        request,
        "today.html",
        entry=entry,
        today=shown,
        others=others[:_MOST_OTHERS],
        drawn=drawn,
        act=_act(entry, shown.things[0].address if shown.things else "", now),
    )


def _known(office: Office, entry: SortieEntry) -> Known:
    """Return what the checks of this run know of a sortie."""
    standing = office.checks.standing(entry.path)
    if standing is None:
        return Known()
    return Known(
        verdict=None if standing.answer is None else standing.answer.verdict,
        looked=None
        if standing.looked is None
        else (standing.looked.winds, standing.looked.height_agl_m),
    )


def _act(entry: SortieEntry, first: str, now: datetime) -> tuple[str, str]:
    """Return the words and the address of what comes next."""
    if entry.launch_time is not None and entry.launch_time < now:  # asks what changed as well
        return f"{entry.title} again today", f"/sortie/{quote(entry.name)}/again"
    if first.endswith("/changed"):
        return "What changed since the last flight?", first
    return f"Check {entry.title}", f"/sortie/{quote(entry.name)}"


ROUTES = (Route("/", show),)
