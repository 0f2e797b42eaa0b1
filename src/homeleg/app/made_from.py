"""Forms know which files they were made from: a save onto files changed since is not made.

One place for every screen: each page of a sortie or an aircraft puts into its forms what stands for
the files as they were when it was asked for; each save is held against that before it is made.
"""

import re
import shutil
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from urllib.parse import unquote

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.types import ASGIApp, Receive, Scope, Send

from homeleg.app.office import Office, office_of
from homeleg.desk.base import Base, aircraft_path, sortie_path
from homeleg.desk.edit_conflict import (
    EditConflict,
    conflict_of,
    files_of_sortie,
    state_of,
    texts_of,
)
from homeleg.desk.releases import release_named, sortie_released
from homeleg.foundation.errors import HomelegError

__all__ = ["FIELD", "HEADER", "MadeFrom", "conflict_with", "files_asked_for", "with_state"]

FIELD, HEADER = "made-from", "Made-From"
_SCOPE = "homeleg.made_from"
_REMEMBERED = 200
_COPIED, _RELEASES = ("aircraft", "sites", "sorties"), "releases"
_STATE = re.compile(r"[0-9a-f-]{1,200}")
_FORM = re.compile(r'<form\b[^>]*\bmethod="post"[^>]*>')
_OF_RELEASE = ("", "again", "after")  # its page, and what saves from there

Answer = Callable[[Request, Mapping[str, str]], Response]


@dataclass(frozen=True, slots=True)
class MadeFrom:
    """Notes for each page what its files hold, before anything of it is made."""

    app: ASGIApp
    office: Office

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, with what stands for the files it asks for."""
        if scope["type"] == "http" and scope["method"] == "GET":
            query = Request(scope).query_params
            if files := files_asked_for(self.office.base, scope["path"], query):
                scope[_SCOPE] = remembered(self.office, files)
        await self.app(scope, receive, send)


def files_asked_for(base: Base | None, path: str, given: Mapping[str, str]) -> tuple[Path, ...]:
    """Return the files that a page of this address is about, and may save."""
    room, name, *rest = (*unquote(path).strip("/").split("/"), "", "")
    if base is None or not name:
        return ()
    if room == "aircraft":
        found = aircraft_path(base, name)
        return () if found is None else (found,)
    if room == "release" and rest[0] in _OF_RELEASE:
        return _files_released(base, name)
    if room != "sortie" or rest[0] == "release":
        return ()
    found = sortie_path(base, given.get("sortie", "") if name == "new" else name)
    return () if found is None else files_of_sortie(found)


def _files_released(base: Base, code: str) -> tuple[Path, ...]:
    entry = release_named(base, code)
    sortie = None if entry is None else sortie_released(base, entry)
    return () if sortie is None else files_of_sortie(sortie.path)


def remembered(office: Office, files: tuple[Path, ...]) -> str:
    """Return what stands for files as they are, whose texts are kept to tell what changed since."""
    texts = texts_of(files)
    state = state_of(texts)
    office.shown.pop(state, None)
    office.shown[state] = texts
    while len(office.shown) > _REMEMBERED:
        office.shown.pop(next(iter(office.shown)))
    return state


def with_state(request: Request, page: str) -> str:
    """Return a page with what it was made from in each of its forms, and for its script."""
    state = request.scope.get(_SCOPE)
    if state is None:
        return page
    field = f'<input type="hidden" name="{FIELD}" value="{state}">'
    page = page.replace("<html ", f'<html data-{FIELD}="{state}" ', 1)
    return _FORM.sub(rf"\g<0>{field}", page)


def conflict_with(
    request: Request, form: Mapping[str, str], files: tuple[Path, ...], answer: Answer
) -> EditConflict | None:
    """Return what stands against a save; None where it can be made.

    What it would change is found by making it on copies. Notes the files for the page that follows.
    """
    office = office_of(request)
    state = form.get(FIELD) or request.headers.get(HEADER, "")
    state = state if _STATE.fullmatch(state) else ""  # else none of ours
    now = remembered(office, files)
    # What is refused at a field is shown as it was typed, and still made from the files before.
    request.scope[_SCOPE] = state or now
    if not state or state == now:
        return None
    saved = _tried(request, form, files, answer)
    conflict = conflict_of(state, office.shown.get(state), texts_of(files), saved)
    if conflict is not None:
        request.scope[_SCOPE] = now
    return conflict


def _tried(
    request: Request, form: Mapping[str, str], files: tuple[Path, ...], answer: Answer
) -> dict[Path, str]:
    """Return what the files would hold after a save; as they are where it would be refused."""
    office = office_of(request)
    if office.base is None:
        return texts_of(files)
    with tempfile.TemporaryDirectory(prefix="homeleg-") as made:
        copy = Path(made).resolve()
        _copy_of(office.base.folder, copy)
        own: dict[str, Any] = {
            field.name: dict(value)
            for field in fields(office)
            if isinstance(value := getattr(office, field.name), dict)
        }
        tried = replace(office, base=Base(copy), **own)
        there = SimpleNamespace(state=SimpleNamespace(office=tried))
        try:
            answer(Request({**request.scope, "app": there}), form)
        except (HomelegError, HTTPException):
            return texts_of(files)  # and refused again where it is really made
        return {path: _of_copy(path, office.base, copy) for path in files}


def _copy_of(folder: Path, copy: Path) -> None:
    """Copy what a save may read or write: no pages of releases, no recordings."""
    for name in _COPIED:
        if (folder / name).is_dir():
            shutil.copytree(folder / name, copy / name)
    (copy / _RELEASES).mkdir()
    for path in (folder / _RELEASES).glob("*.json"):
        shutil.copyfile(path, copy / _RELEASES / path.name)


def _of_copy(path: Path, base: Base, copy: Path) -> str:
    """Return what a file of the base holds in the copy; one outside the base is not copied."""
    if not base.holds(path):
        return texts_of([path])[path]
    there = copy / path.resolve().relative_to(base.folder.resolve())
    return texts_of([there])[there]
