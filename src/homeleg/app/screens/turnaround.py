"""Between two flights: the steps, and the rule by which the day ends."""

from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import base_of, entry_of, office_of
from homeleg.app.page import Form, page, posted
from homeleg.desk.stop_rule import set_rule
from homeleg.desk.turnaround import turnaround
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.readiness.stop_rule import StopRule

__all__ = ["ROUTES"]

_ADDRESS = "/sortie/{name}/turnaround"
_KEYS = ("flights", "flying", "until")


def show(request: Request) -> Response:
    """Show what lies between the last flight and the next."""
    return _shown(request)


def set_it(request: Request, form: Form) -> Response:
    """Set the rule as typed; what is wrong in it is told beside it."""
    entry = entry_of(request)
    typed = {key: form.get(key, "").strip() for key in _KEYS}
    try:
        set_rule(base_of(request), typed)
    except InputFileError as error:
        return _shown(request, typed, error.problems)
    return RedirectResponse(f"/sortie/{quote(entry.name)}/turnaround", 303)


def _shown(
    request: Request, typed: Form | None = None, problems: tuple[Problem, ...] = ()
) -> Response:
    entry = entry_of(request)
    shown = turnaround(base_of(request), entry, office_of(request).now())
    return page(
        request,
        "turnaround.html",
        status=422 if problems else 200,
        entry=entry,
        turnaround=shown,
        typed=_written(shown.rule) if typed is None else typed,
        problems=problems,
    )


def _written(rule: StopRule) -> dict[str, str]:
    """Return a rule as a person would type it."""
    return {
        "flights": "" if rule.flights is None else str(rule.flights),
        "flying": "" if rule.flying_s is None else f"{rule.flying_s / 60.0:g} min",
        "until": "" if rule.until is None else f"{rule.until:%H:%M}Z",
    }


ROUTES = (
    Route(_ADDRESS, show),
    Route(_ADDRESS, posted(set_it), methods=["POST"]),
)
