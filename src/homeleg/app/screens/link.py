"""The link on a screen: who is there, what is aboard against a release, and a release into it."""

import asyncio
import json
from collections.abc import AsyncIterator
from dataclasses import asdict
from typing import TYPE_CHECKING

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response, StreamingResponse
from starlette.routing import Route

from homeleg.app.office import Office, base_of, office_of
from homeleg.app.page import Form, page, posted
from homeleg.app.screens.release import release_of
from homeleg.desk.link_extra import need_the_extra
from homeleg.desk.link_files import (
    file_given,
    key_files,
    new_fetched,
    new_recording,
    settings_maps,
)
from homeleg.desk.read_aloud import SETTINGS, read_aloud_from
from homeleg.desk.releases import ReleaseEntry, numbers_of
from homeleg.foundation.units import TextError
from homeleg.release.declared import READ_CHOICES, ReadAloud, ReadChoice, declared_choice
from homeleg.release.release import Release

if TYPE_CHECKING:
    from homeleg.app.links import Link

__all__ = ["ROUTES"]

_ADDRESS = "/release/{code}/link"
_LOOK_EVERY_S = 0.2
_HOME_FIRST = {"yes": True, "no": False}
_HIGHEST_SYSTEM = 255


def link(request: Request) -> Response:
    """Show how far the link has come: the port to choose, who is heard, what is aboard."""
    need_the_extra()
    _base, entry, _release = release_of(request)
    return _shown(request, entry)


def live(request: Request) -> Response:
    """Show what is heard, large: its age, the margin, whether the comparison still holds."""
    need_the_extra()
    _base, entry, _release = release_of(request)
    held = _link_of(office_of(request), entry)
    if held is None:
        return _back(entry)
    return page(request, "link_live.html", entry=entry, link=held)


def opened(request: Request, form: Form) -> Response:
    """Open a link, and close the one that was open."""
    need_the_extra()
    from homeleg.app.links import Given, Link  # noqa: PLC0415 (libraries of an extra)

    base, entry, _release = release_of(request)
    office, system = office_of(request), form.get("system", "").strip()
    if system and not (system.isdecimal() and 1 <= int(system) <= _HIGHEST_SYSTEM):
        return _shown(request, entry, "The system id is a number of 1 to 255.", form)
    given = Given(
        port=form.get("port", "").strip() or form.get("device", ""),
        system=int(system) if system else None,
        present="present" in form,
        home_first=_HOME_FIRST.get(form.get("home_first", "")),
        key_file=file_given(base, form.get("key_file", "")),
        settings_map=file_given(base, form.get("settings_map", "")),
    )
    if office.link is not None:
        office.link.close()
    office.link = Link(entry.path, given, office.now)
    return _back(entry)


def compare(request: Request, form: Form) -> Response:
    """Read what is aboard and compare it."""
    _base, entry, _release = release_of(request)
    held = _link_of(office_of(request), entry)
    read = _read_aloud(form)
    if isinstance(read, str):
        return _shown(request, entry, read, form)
    if held is not None:
        held.typed = _typed(form)
        held.compare(read)
    return _back(entry)


def load(request: Request, form: Form) -> Response:
    """Load the release into the only aircraft heard, once it was named."""
    _base, entry, _release = release_of(request)
    held = _link_of(office_of(request), entry)
    read = _read_aloud(form)
    if isinstance(read, str):
        return _shown(request, entry, read, form)
    if held is not None and len(systems := _named(held)) == 1:
        held.typed = _typed(form)
        held.load(systems[0], read, seen_on_ground="on_ground" in form)
    return _back(entry)


def answer(request: Request, form: Form) -> Response:
    """Take what answers the question of a load: the system id, or whether item 0 is home."""
    _base, entry, _release = release_of(request)
    held = _link_of(office_of(request), entry)
    if held is not None:
        held.answer(form.get("answer", "").strip() or "none")
    return _back(entry)


def fetch(request: Request, form: Form) -> Response:
    """Read the route that is aboard into a file of the base."""
    del form
    base, entry, _release = release_of(request)
    office = office_of(request)
    held = _link_of(office, entry)
    if held is not None:
        held.fetch(new_fetched(base, entry.code, office.now()))
    return _back(entry)


def record(request: Request, form: Form) -> Response:
    """Begin to record all that is heard into a file of the base, or end it."""
    base, entry, _release = release_of(request)
    office = office_of(request)
    held = _link_of(office, entry)
    if held is not None and "end" in form:
        held.end_recording()
    elif held is not None:
        held.record(new_recording(base, entry.code, office.now()))
    return _back(entry, "/live" if "live" in form else "")


def stop(request: Request, form: Form) -> Response:
    """Stop what is being done; a load is cancelled in the aircraft."""
    del form
    _base, entry, _release = release_of(request)
    held = _link_of(office_of(request), entry)
    if held is not None:
        held.stop()
    return _back(entry)


def close(request: Request, form: Form) -> Response:
    """Close the link, whatever release it is open for."""
    del form
    _base, entry, _release = release_of(request)
    office = office_of(request)
    if office.link is not None:
        office.link.close()
        office.link = None
    return _back(entry)


async def events(request: Request) -> Response:
    """Say what happens on the link, as server-sent events; 204 ends them where none is open."""
    _base, entry, _release = await asyncio.to_thread(release_of, request)
    office = office_of(request)
    if _link_of(office, entry) is None:
        return Response(status_code=204)
    return StreamingResponse(_told(office, entry), media_type="text/event-stream")


async def _told(office: Office, entry: ReleaseEntry) -> AsyncIterator[str]:
    """Say each turn, what is being done, and each moment that was heard."""
    last: dict[str, object] = {}
    while (held := _link_of(office, entry)) is not None:
        glance = held.glance
        words = None if glance is None else office.face.text(json.dumps(asdict(glance)))
        frames = None if held.recording is None else held.recording.frames
        now = {
            "turned": held.turns,
            "doing": held.doing or None,
            "recording": frames,
            "heard": words,
        }
        for kind, data in now.items():
            fresh = glance if kind == "heard" else data
            if data is not None and last.get(kind) is not fresh and last.get(kind) != data:
                yield f"event: {kind}\ndata: {data}\n\n"
            last[kind] = fresh
        await asyncio.sleep(_LOOK_EVERY_S)
    yield "event: turned\ndata: closed\n\n"


def _shown(
    request: Request, entry: ReleaseEntry, refused: str = "", given: Form | None = None
) -> Response:
    from homeleg.link.ports import serial_ports  # noqa: PLC0415 (libraries of an extra)

    office, base = office_of(request), base_of(request)
    held, release = _link_of(office, entry), entry.release
    stage = "other" if office.link is not None and held is None else "closed"
    if held is not None:
        stage = held.stage.value
        if stage == "listening" and (held.aboard or held.problems or held.left or held.fetched):
            stage = "told"
    return page(
        request,
        f"link_{stage}.html",
        status=422 if refused else 200,
        entry=entry,
        release=release,
        link=office.link,
        systems=() if held is None else _named(held),
        numbers=() if release is None else numbers_of(release),
        devices=serial_ports(),
        key_files=key_files(base),
        settings_maps=settings_maps(base),
        choices={} if release is None else _choices(release),
        refused=refused,
        given=given or ({} if held is None else held.typed),
    )


def _choices(release: Release) -> dict[str, ReadChoice]:
    """Return what is read as one of a few words, of what a release declares."""
    loss = release.settings["link_loss"]
    return {key: one for key, one in READ_CHOICES.items() if declared_choice(loss, key) is not None}


def _named(held: "Link") -> tuple[int, ...]:
    """Return the aircraft heard, the named one alone where one was named."""
    wanted = held.given.system
    return tuple(one for one in held.heard if wanted in (None, one))


def _link_of(office: Office, entry: ReleaseEntry) -> "Link | None":
    """Return the link that is open for a release."""
    held = office.link
    return held if held is not None and held.release == entry.path else None


def _typed(form: Form) -> dict[str, str]:
    """Return what was typed of the settings, to be shown again."""
    return {key: form.get(key, "") for key in (*SETTINGS, "read_by")}


def _read_aloud(form: Form) -> ReadAloud | str:
    """Return the settings that a person read and typed, or why they cannot be taken."""
    try:
        return read_aloud_from(form)
    except TextError as error:
        return str(error)


def _back(entry: ReleaseEntry, page: str = "") -> Response:
    return RedirectResponse(f"/release/{entry.code}/link{page}", 303)


ROUTES = (
    Route(_ADDRESS, link),
    Route(_ADDRESS + "/live", live),
    Route(_ADDRESS + "/events", events),
    Route(_ADDRESS + "/open", posted(opened), methods=["POST"]),
    Route(_ADDRESS + "/compare", posted(compare), methods=["POST"]),
    Route(_ADDRESS + "/load", posted(load), methods=["POST"]),
    Route(_ADDRESS + "/answer", posted(answer), methods=["POST"]),
    Route(_ADDRESS + "/fetch", posted(fetch), methods=["POST"]),
    Route(_ADDRESS + "/record", posted(record), methods=["POST"]),
    Route(_ADDRESS + "/stop", posted(stop), methods=["POST"]),
    Route(_ADDRESS + "/close", posted(close), methods=["POST"]),
)
