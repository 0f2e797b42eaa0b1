"""A route that was fetched, against its release: SAME, NOT THE SAME, or CANNOT TELL."""

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from homeleg.app.office import office_of
from homeleg.app.page import Form, page, posted
from homeleg.app.screens.release import release_of
from homeleg.app.worker import Refused
from homeleg.desk.compare import compare_release
from homeleg.desk.field_compare import compare_text
from homeleg.desk.releases import inside, numbers_of, release_named, releases_in
from homeleg.foundation.errors import Problem

__all__ = ["ROUTES"]

_ADDRESS = "/compare/{code}"
# One grammar of weight for every answer: solid, hatched, hollow.
_WEIGHTS = {"SAME": "go", "CANNOT TELL": "marginal", "NOT THE SAME": "no-go"}


def ask(request: Request) -> Response:
    """Ask for the route that was fetched."""
    return _asked(request, {})


def compare(request: Request, form: Form) -> Response:
    """Compare what was given, and fly what differs."""
    base, entry, held = release_of(request)
    inside(base, entry.path.parent / held.folder)
    errands = office_of(request).errands
    if code := form.get("other", ""):
        other = release_named(base, code)
        if other is None:
            raise HTTPException(404)
        said = errands.do(compare_release, entry.path, other.path)
    else:
        given = (form.get(name, "") for name in ("name", "text", "heights"))
        said = errands.do(compare_text, entry.path, *given)
    if isinstance(said, Refused):
        return _asked(request, form, said.problems)
    comparison = said.comparison
    end = comparison.end.value
    unlike = {one.item for one in comparison.differences if one.item is not None}
    return page(
        request,
        "compared.html",
        entry=entry,
        end=end,
        weight=_WEIGHTS[end],
        comparison=comparison,
        consequence=said.consequence,
        count=len(held.route.items),
        unlike=len(unlike),
        numbers=numbers_of(held),
    )


def _asked(request: Request, given: Form, problems: tuple[Problem, ...] = ()) -> Response:
    base, entry, _held = release_of(request)
    return page(
        request,
        "compare.html",
        status=422 if problems else 200,
        entry=entry,
        given={name: given.get(name, "") for name in ("name", "text", "heights")},
        problems=problems,
        others=[one for one in releases_in(base) if one.release and one.code != entry.code],
    )


ROUTES = (
    Route(_ADDRESS, ask),
    Route(_ADDRESS, posted(compare), methods=["POST"]),
)
