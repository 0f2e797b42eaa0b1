"""The weather of a sortie told anew: by anemometer, by a pasted METAR, or by eye in three taps."""

from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import entry_of, office_of
from homeleg.app.page import Form, page, posted
from homeleg.desk.guided_sortie import COMPASS, SIGNS
from homeleg.desk.weather_told import tell_metar, tell_signs
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["ROUTES"]

_ADDRESS = "/sortie/{name}/weather"


def weather(request: Request) -> Response:
    """Show the three ways to tell it."""
    return _shown(request, {})


def tell(request: Request, form: Form) -> Response:
    """Write what was told into the sortie's file; the verdict follows by itself."""
    entry, now = entry_of(request), office_of(request).now()
    try:
        if "metar" in form:
            far = form.get("distance", "").strip().replace(",", ".")
            tell_metar(entry.path, form["metar"], f"{far} km" if far else "", now)
        else:
            sign, blows_from, gusty = (form.get(name, "") for name in ("sign", "from", "gusty"))
            tell_signs(entry.path, sign, blows_from, gusty, now)
    except InputFileError as error:
        return _shown(request, form, error.problems)
    return RedirectResponse(f"/sortie/{quote(entry.name)}", 303)


def _shown(request: Request, typed: Form, problems: tuple[Problem, ...] = ()) -> Response:
    return page(
        request,
        "weather.html",
        status=422 if problems else 200,
        entry=entry_of(request),
        typed=typed,
        signs=SIGNS,
        compass=COMPASS,
        problems=problems,
    )


ROUTES = (
    Route(_ADDRESS, weather),
    Route(_ADDRESS, posted(tell), methods=["POST"]),
)
