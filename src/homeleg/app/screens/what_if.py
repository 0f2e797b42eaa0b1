"""What if: inputs turned on a page, both verdicts side by side, written only where wanted."""

import asyncio
from urllib.parse import quote

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import Office, entry_of, office_of
from homeleg.app.page import Form, drawn, page, posted
from homeleg.app.screens.events import event_stream
from homeleg.app.what_ifs import AskedWhatIf, flown_events
from homeleg.app.worker import Refused
from homeleg.desk.base import SortieEntry
from homeleg.desk.typed_number import FieldsError
from homeleg.desk.what_if import WhatIf, still_stands, take_what_if
from homeleg.desk.what_if_inputs import GROUPS, inputs_of, points_of, turned_files
from homeleg.desk.what_if_view import what_if_view
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["ROUTES"]

_ADDRESS = "/sortie/{name}/what-if"


def what_if(request: Request) -> Response:
    """Show the inputs; what is being flown; or both answers."""
    office, entry = _asked_for(request)
    asked = office.what_ifs.get(entry.path)
    if asked is None:
        return _inputs(request, entry, {})
    if asked.said is None:
        return page(request, "what_if_flying.html", entry=entry)
    if isinstance(asked.said, Refused):
        return _inputs(request, entry, asked.typed, problems=asked.said.problems)
    if not still_stands(entry.path, asked.said):
        changed = Problem(
            where=entry.title,
            problem="its files were changed since this was flown",
            remedy="What you typed is kept: fly it again on the files as they are now.",
        )
        return _inputs(request, entry, asked.typed, problems=(changed,))
    return _inputs(request, entry, asked.typed, flown=asked.said)


def ask(request: Request, form: Form) -> Response:
    """Take what was typed, to be flown; what cannot be taken is refused at its field."""
    office, entry = _asked_for(request)
    typed = {name: text.strip() for name, text in form.items() if text.strip()}
    try:
        turned_files(read_sortie(entry.path), entry.path.parent, typed, office.face)
    except FieldsError as refused:
        return _inputs(request, entry, typed, wrong=refused.wrong)
    earlier = office.what_ifs.get(entry.path)
    before = earlier.said.before if earlier and isinstance(earlier.said, WhatIf) else None
    office.what_ifs[entry.path] = AskedWhatIf(typed, before)
    return _back(entry, "/what-if")


async def events(request: Request) -> Response:
    """Fly it, and say how far it has come, as server-sent events."""
    office, entry = await asyncio.to_thread(_asked_for, request)
    asked = office.what_ifs.get(entry.path)
    if asked is None:
        raise HTTPException(404)
    face = await asyncio.to_thread(lambda: office.face)
    return event_stream(flown_events(asked, entry.path, face, office.errands.worker))


def take(request: Request, form: Form) -> Response:
    """Write it into the files; the verdict's screen offers to take that back."""
    office, entry = _asked_for(request)
    asked = office.what_ifs.get(entry.path)
    said = None if asked is None else asked.said
    if not isinstance(said, WhatIf) or said.words != form.get("words"):
        problem = "this is not what was flown last"
        remedy = "Nothing was written. Look at the page again."
        raise InputFileError([Problem(where=entry.title, problem=problem, remedy=remedy)])
    office.made.setdefault(entry.path, []).append(take_what_if(entry.path, said))
    del office.what_ifs[entry.path]
    return _back(entry, "")


def forget(request: Request, form: Form) -> Response:
    """Forget what was typed and flown; no file was touched."""
    del form
    office, entry = _asked_for(request)
    office.what_ifs.pop(entry.path, None)
    return _back(entry, "")


def _inputs(
    request: Request,
    entry: SortieEntry,
    typed: Form,
    *,
    flown: WhatIf | None = None,
    wrong: dict[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
) -> Response:
    """Return the page of inputs, below both answers where there are any."""
    sortie = read_sortie(entry.path).sortie
    return page(
        request,
        "what_if.html" if flown is None else "what_if_flown.html",
        status=422 if wrong else 200,
        entry=entry,
        groups=GROUPS,
        inputs=inputs_of(sortie, office_of(request).face),
        points=points_of(sortie),
        typed=typed,
        wrong=wrong or {},
        problems=problems,
        view=None if flown is None else what_if_view(flown),
        drawn=drawn,
    )


def _asked_for(request: Request) -> tuple[Office, SortieEntry]:
    entry = entry_of(request)
    if entry.problems:
        raise InputFileError(list(entry.problems))
    return office_of(request), entry


def _back(entry: SortieEntry, room: str) -> Response:
    return RedirectResponse(f"/sortie/{quote(entry.name)}{room}", 303)


ROUTES = (
    Route(_ADDRESS, what_if),
    Route(_ADDRESS, posted(ask), methods=["POST"]),
    Route(f"{_ADDRESS}/events", events),
    Route(f"{_ADDRESS}/take", posted(take), methods=["POST"]),
    Route(f"{_ADDRESS}/forget", posted(forget), methods=["POST"]),
)
