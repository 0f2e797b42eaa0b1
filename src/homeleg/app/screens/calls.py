"""The calls at the aircraft, one a screen; each answer goes into the sortie's file at once."""

from dataclasses import dataclass
from datetime import datetime
from urllib.parse import quote, urlencode

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import Office, entry_of, office_of
from homeleg.app.page import Form, drawn, page, posted
from homeleg.desk.base import SortieEntry
from homeleg.desk.calls import FieldCall, Stands, field_calls, from_behind, keep_call, unplug
from homeleg.desk.field_offer import field_offer
from homeleg.foundation.errors import InputFileError

__all__ = ["ROUTES", "to_do_of"]

_ADDRESS = "/sortie/{name}/calls"
_LATER, _SAID = ",", "|"
_LONGEST_NUMBER = 8


@dataclass(frozen=True, slots=True)
class _Void:
    """Calls that unplugging would void, as spans of their numbers, and when the first was made."""

    spans: tuple[tuple[int, int], ...]
    since: datetime | None

    @property
    def words(self) -> str:
        """The calls by number, with their verb; empty where there is none."""
        if not self.spans:
            return ""
        parts = [
            str(first) if first == last else f"{first} to {last}" for first, last in self.spans
        ]
        *others, end = parts
        listed = f"{', '.join(others)} and {end}" if others else end
        return f"call {listed} is" if listed.isdecimal() else f"calls {listed} are"


def calls(request: Request) -> Response:
    """Ask the call that is due, or the one of the address; after the last, show how all stand."""
    entry, every = _asked_for(request)
    if field_offer(entry.path, office_of(request).now()).old:
        return RedirectResponse(f"/sortie/{quote(entry.name)}/numbers?then=calls", 303)
    given = request.query_params
    later = _split(given.get("later", ""), _LATER)
    due = _due(every, given.get("item", ""), later)
    if due is None:
        return page(
            request,
            "calls_made.html",
            entry=entry,
            every=every,
            void=_void(every),
            aircraft=entry.record,
        )
    return _shown(request, entry, every, due, given)


def answer(request: Request, form: Form) -> Response:
    """Take one answer; write the item when its last one is given."""
    entry, every = _asked_for(request)
    due = _due(every, form.get("item", ""), [])
    if due is None:
        raise HTTPException(404)
    said = [*_split(form.get("said", ""), _SAID), form.get("answer", "").strip().replace(",", ".")]
    later = _split(form.get("later", ""), _LATER)
    refused = _refused(due, said)
    if refused:
        return _shown(request, entry, every, due, form, refused)
    outcome = due.outcome(said)
    if outcome is None:
        return _next(entry, later, item=due.item, said=_SAID.join(said))
    if outcome == Stands.OPEN:
        return _next(entry, [*later, due.item])
    try:
        keep_call(entry.path, due, said, office_of(request).now())
    except InputFileError as error:
        return _shown(request, entry, every, due, form, error.problems[0].problem)
    return _next(entry, later)


def unplugged(request: Request, form: Form) -> Response:
    """Void what rests on the pack having stayed plugged in, and begin there again."""
    del form
    entry, _every = _asked_for(request)
    unplug(entry.path)
    return _next(entry, [])


def _shown(
    request: Request,
    entry: SortieEntry,
    every: tuple[FieldCall, ...],
    due: FieldCall,
    given: Form,
    refused: str = "",
) -> Response:
    said = _split(given.get("said", ""), _SAID)
    step = min(len(said), len(due.calls) - 1)
    before = sum(len(one.calls) for one in every[: every.index(due)])
    marks = [
        "now" if one is due and number == step else "open" if _is_ahead(one, due) else "done"
        for one in every
        for number in range(len(one.calls))
    ]
    return page(
        request,
        "calls.html",
        status=422 if refused else 200,
        entry=entry,
        due=due,
        call=due.calls[step],
        number=before + step + 1,
        marks=marks,
        said=_SAID.join(said),
        later=given.get("later", ""),
        typed=given.get("answer", ""),
        refused=refused,
        void=_void(every),
        drawing=drawn(from_behind()),
    )


def _is_ahead(one: FieldCall, due: FieldCall) -> bool:
    return one.stands == Stands.OPEN or one is due


def _refused(due: FieldCall, said: list[str]) -> str:
    """Return why the last answer cannot be taken, empty where it can."""
    if len(said) > len(due.calls):
        return "Take one of the answers."
    call, last = due.calls[len(said) - 1], said[-1]
    if last in call.leave:
        return ""
    if not call.unit:
        return "" if last in call.answers else "Take one of the answers."
    bare = last.removeprefix("-").replace(".", "", 1)
    if bare.isascii() and bare.isdecimal() and len(last) <= _LONGEST_NUMBER:
        return ""
    return f"Type a number of {call.unit}, such as 4."


def _void(every: tuple[FieldCall, ...]) -> _Void:
    """Return which calls unplugging the pack would void."""
    spans: list[tuple[int, int]] = []
    first = 1
    for one in every:
        last = first + len(one.calls) - 1
        if one.voided and one.stands != Stands.OPEN:
            joins = bool(spans) and spans[-1][1] == first - 1
            spans[-1:] = [(spans[-1][0], last)] if joins else [*spans[-1:], (first, last)]
        first = last + 1
    since = (one.seen for one in every if one.voided and one.stands != Stands.OPEN)
    return _Void(
        spans=tuple(spans), since=min((at for at in since if at is not None), default=None)
    )


def _due(every: tuple[FieldCall, ...], item: str, later: list[str]) -> FieldCall | None:
    if item:
        return next((one for one in every if one.item == item), None)
    opened = (one for one in every if one.stands == Stands.OPEN and one.item not in later)
    return next(opened, None)


def _next(entry: SortieEntry, later: list[str], **more: str) -> Response:
    fields = {"later": _LATER.join(later)} if later else {}
    query = urlencode({**fields, **more})
    return RedirectResponse(f"/sortie/{quote(entry.name)}/calls{'?' if query else ''}{query}", 303)


def _split(text: str, by: str) -> list[str]:
    return text.split(by) if text else []


def _asked_for(request: Request) -> tuple[SortieEntry, tuple[FieldCall, ...]]:
    office, entry = office_of(request), entry_of(request)
    return entry, field_calls(entry.path, to_do_of(office, entry), office.now())


def to_do_of(office: Office, entry: SortieEntry) -> set[str]:
    """Return what the last verdict on a sortie found to do."""
    standing = office.checks.standing(entry.path)
    found = None if standing is None else standing.answer
    return set() if found is None else {one.item for one in found.verdict.to_do}


ROUTES = (
    Route(_ADDRESS, calls),
    Route(_ADDRESS, posted(answer), methods=["POST"]),
    Route("/sortie/{name}/unplugged", posted(unplugged), methods=["POST"]),
)
