"""What lies under the board: a picture tied by two points, a world file or KML; a walked way."""

from collections.abc import Callable

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route

from homeleg.app.office import base_of, entry_of
from homeleg.app.page import Form, posted
from homeleg.desk.one_at_a_time import one_at_a_time
from homeleg.desk.underlay import (
    drop_underlay,
    picture_path,
    take_overlay,
    take_picture,
    tie_by_points,
    tie_by_world,
    underlay_of,
)
from homeleg.desk.walked_way import drop_walked, take_walked
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["ROUTES"]

_ADDRESS = "/sortie/{name}/underlay"


def underlay(request: Request) -> Response:
    """Tell what lies under the board, in metres."""
    return JSONResponse({"ok": True, **underlay_of(entry_of(request).path)})


def picture(request: Request) -> Response:
    """Give the picture as it came."""
    found = picture_path(entry_of(request).path)
    if found is None:
        raise HTTPException(404)
    return FileResponse(found[0], media_type=found[1])


async def drop(request: Request) -> Response:
    """Take a dropped picture, overlay or walked way, told apart by the ending of its name."""
    content = await request.body()
    name = request.query_params.get("file", "")

    def take() -> None:
        path = entry_of(request).path
        with one_at_a_time(base_of(request).folder):  # as a posted form has it
            match name.lower().rpartition(".")[2]:
                case "kml" | "kmz":
                    take_overlay(path, name, content)
                case "gpx":
                    take_walked(path, name, content)
                case _:
                    take_picture(path, name, content)

    return await run_in_threadpool(_done, request, take)


def tie(request: Request, form: Form) -> Response:
    """Tie the picture by two points or its world file, or take away what lies there."""
    path = entry_of(request).path

    def work() -> None:
        match form.get("by", ""):
            case "points":
                pixels = [[_number(form, f"{axis}{n}") for axis in "xy"] for n in (1, 2)]
                tie_by_points(path, pixels, [form.get(f"place{n}", "") for n in (1, 2)])
            case "world":
                tie_by_world(path, form.get("world", ""))
            case "nothing":
                drop_underlay(path)
            case _:
                drop_walked(path)

    return _done(request, work)


def _done(request: Request, work: Callable[[], None]) -> Response:
    """Do it, and tell what then lies under the board, or what is wrong."""
    path = entry_of(request).path
    try:
        work()
        return JSONResponse({"ok": True, **underlay_of(path)})
    except InputFileError as error:
        errors = [
            {"where": one.where, "problem": one.problem, "remedy": one.remedy}
            for one in error.problems
        ]
        return JSONResponse({"ok": False, "errors": errors}, 422)


def _number(form: Form, name: str) -> float:
    try:
        value = float(form.get(name, ""))
    except ValueError:
        value = float("nan")
    if not 0.0 <= value <= 1e5:
        problem = Problem(where=name, problem="is no place of the picture", remedy="Click there.")
        raise InputFileError([problem])
    return value


ROUTES = (
    Route(_ADDRESS, underlay),
    Route(_ADDRESS, posted(tie), methods=["POST"]),
    Route(f"{_ADDRESS}/picture", picture),
    Route("/drop/{name}/underlay", drop, methods=["POST"]),
)
