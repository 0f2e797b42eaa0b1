"""The route aboard against its release: fetched back or read aloud, and how that ends."""

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import office_of
from homeleg.app.page import Form, page, posted
from homeleg.app.screens.release import release_of
from homeleg.app.worker import Refused
from homeleg.desk.field_compare import compare_fetched, compare_text
from homeleg.desk.releases import inside, numbers_of, release_named, releases_in
from homeleg.desk.route_aboard import aboard_of, keep_read_aloud, lines_of
from homeleg.foundation.errors import Problem, RefusedError

__all__ = ["ROUTES"]

_ADDRESS = "/compare/{code}"
_SAME, _UNKNOWN = "SAME", "CANNOT TELL"
# One grammar of weight for every answer: solid, hatched, hollow.
_WEIGHTS = {_SAME: "go", _UNKNOWN: "marginal", "NOT THE SAME": "no-go"}


def ask(request: Request) -> Response:
    """Ask for the route that was fetched."""
    return _asked(request, {})


def compare(request: Request, form: Form) -> Response:
    """Compare what was given, and fly what differs."""
    base, entry, held = release_of(request)
    inside(base, entry.path.parent / held.folder)
    office = office_of(request)
    if code := form.get("other", ""):
        other = release_named(base, code)
        if other is None:
            raise HTTPException(404)
        said = office.errands.do(compare_fetched, entry.path, other.path, office.now())
    else:
        given = (form.get(name, "") for name in ("name", "text", "heights"))
        said = office.errands.do(compare_text, entry.path, *given, office.now())
    if isinstance(said, Refused):
        return _asked(request, form, said.problems)
    comparison = said.compared.comparison
    end = comparison.end.value
    if end == _SAME and said.not_kept and not code:
        end = _UNKNOWN  # of the aircraft, which is what was asked
    return page(
        request,
        "compared.html",
        entry=entry,
        end=end,
        weight=_WEIGHTS[end],
        comparison=comparison,
        consequence=said.compared.consequence,
        not_kept=said.not_kept,
        other=code,
        count=len(held.route.items),
        unlike=len({one.item for one in comparison.differences if one.item is not None}),
        numbers=numbers_of(held),
    )


def aloud(request: Request) -> Response:
    """Ask line by line whether the aircraft holds what was released."""
    return _lines(request, {})


def read_aloud(request: Request, form: Form) -> Response:
    """Keep what was read aloud, and by whom."""
    _base, entry, held = release_of(request)
    said = [form.get(f"line-{n}", "") for n in range(len(lines_of(held)))]
    same = [one == "same" for one in said if one]
    try:
        keep_read_aloud(entry.path, form.get("who", "").strip(), same, office_of(request).now())
    except RefusedError as error:
        return _lines(request, form, error.problems)
    return RedirectResponse(f"/release/{entry.code}", 303)


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


def _lines(request: Request, given: Form, problems: tuple[Problem, ...] = ()) -> Response:
    _base, entry, held = release_of(request)
    return page(
        request,
        "read_aloud.html",
        status=422 if problems else 200,
        entry=entry,
        lines=lines_of(held),
        given=given,
        problems=problems,
        aboard=aboard_of(held, entry.path, office_of(request).now()),
    )


ROUTES = (
    Route(_ADDRESS, ask),
    Route(_ADDRESS, posted(compare), methods=["POST"]),
    Route(_ADDRESS + "/aloud", aloud),
    Route(_ADDRESS + "/aloud", posted(read_aloud), methods=["POST"]),
)
