"""Files dropped on the board: a route or ground, with what only a person knows of it."""

from collections.abc import Mapping

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from homeleg.app.office import base_of, entry_of
from homeleg.desk.bring_in import Purpose
from homeleg.desk.dropped import Dropped, HeightsAskedError, take_file
from homeleg.desk.one_at_a_time import one_at_a_time
from homeleg.formats.wording import one_of
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["ROUTES"]

_PURPOSES = {purpose.value: purpose for purpose in Purpose}
_SAY_BELOW = "Say below what its heights are above, or give all one height."


async def bring(request: Request) -> Response:
    """Bring a dropped file in and say what became of it, or ask what its heights are above."""
    content = await request.body()
    return await run_in_threadpool(_brought, request, content)


def _brought(request: Request, content: bytes) -> Response:
    entry, given = entry_of(request), request.query_params
    name = given.get("file", "")
    asks = False
    try:
        told = _told(given)
        with one_at_a_time(base_of(request).folder):
            result = take_file(entry.path, name, content, told)
    except InputFileError as error:
        asks = isinstance(error, HeightsAskedError)
        errors = [
            {
                "where": one.where,
                "problem": one.problem,
                "remedy": _SAY_BELOW if asks else one.remedy,
            }
            for one in error.problems
        ]
        return JSONResponse({"ok": False, "asks_heights": asks, "errors": errors}, 422)
    return JSONResponse(
        {
            "ok": True,
            "count": result.count,
            "changed": list(result.changed),
            "lost": list(result.lost),
        }
    )


def _told(given: Mapping[str, str]) -> Dropped:
    """Return what was said of a file; raises InputFileError where it is not said what it is."""
    purpose = _PURPOSES.get(given.get("purpose", ""))
    if purpose is None:
        name = given.get("file", "")[:80]
        problem = Problem(where=name, problem="what is it?", remedy=one_of(tuple(_PURPOSES)))
        raise InputFileError([problem])
    words = {name: given.get(name, "").strip() for name in ("heights", "kind", "top", "columns")}
    return Dropped(purpose=purpose, **words)


ROUTES = (Route("/drop/{name}/file", bring, methods=["POST"]),)
