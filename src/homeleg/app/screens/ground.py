"""The ground of a sortie: by eye with a skyline ring, or terrain files dropped on the page."""

from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import entry_of, office_of
from homeleg.app.page import Form, drawn, page, posted
from homeleg.briefing.skyline_ring import LEVEL_RADIUS, PER_DEGREE, SIDE
from homeleg.desk.ground_told import (
    add_skyline_point,
    drop_skyline_point,
    ground_view,
    take_terrain,
    tell_level,
)
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["ROUTES"]

_ADDRESS = "/sortie/{name}/ground"


def ground(request: Request) -> Response:
    """Show the ground as it is told."""
    return _shown(request, {})


def tell(request: Request, form: Form) -> Response:
    """Write one thing that was told and show the ground as it is then."""
    entry = entry_of(request)
    unit = office_of(request).face.unit_for("m")
    typed = {name: text.strip().replace(",", ".") for name, text in form.items()}
    try:
        if "drop" in typed:
            drop_skyline_point(entry.path, int(typed["drop"]) if typed["drop"].isdecimal() else -1)
        elif "within" in typed:
            within, radius, flat_to = (
                f"{typed.get(name, '')} {unit}" if typed.get(name) else ""
                for name in ("within", "radius", "flat_to")
            )
            tell_level(entry.path, within, radius, flat_to)
        else:
            add_skyline_point(entry.path, _point(typed, unit))
    except InputFileError as error:
        return _shown(request, typed, error.problems)
    return RedirectResponse(f"/sortie/{quote(entry.name)}/ground", 303)


async def drop(request: Request) -> Response:
    """Take a terrain file that was dropped on the page."""
    entry = entry_of(request)
    name = request.query_params.get("file", "")
    try:
        await take_terrain(entry.path, name, request.stream())
    except InputFileError as error:
        errors = [
            {"where": one.where, "problem": one.problem, "remedy": one.remedy}
            for one in error.problems
        ]
        return JSONResponse({"ok": False, "errors": errors}, 422)
    return JSONResponse({"ok": True, "errors": []})


def _point(typed: Form, unit: str) -> dict[str, str]:
    seen = typed.get("seen", "")
    point = {
        "bearing": f"{typed.get('bearing', '')} deg",
        "distance": f"{typed.get('distance', '')} {unit}",
    }
    if typed.get("as") == "height":
        return point | {"height": f"{seen} {unit} above launch"}
    return point | {"angle": f"{seen} deg"}


def _shown(request: Request, typed: Form, problems: tuple[Problem, ...] = ()) -> Response:
    entry = entry_of(request)
    if entry.problems:
        raise InputFileError(list(entry.problems))
    return page(
        request,
        "ground.html",
        status=422 if problems else 200,
        entry=entry,
        view=ground_view(entry.path),
        typed=typed,
        problems=problems,
        drawn=drawn,
        ring={"side": SIDE, "level": LEVEL_RADIUS, "per_degree": PER_DEGREE},
    )


ROUTES = (
    Route(_ADDRESS, ground),
    Route(_ADDRESS, posted(tell), methods=["POST"]),
    Route("/drop/{name}/terrain", drop, methods=["POST"]),
)
