"""Pages: a template, what it shows, and the forms that come back from it."""

from collections.abc import Awaitable, Callable, Mapping
from urllib.parse import parse_qsl, urlsplit

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response

from homeleg.app.made_from import (
    FIELD,
    HEADER,
    conflict_with,
    files_asked_for,
    remembered,
    with_state,
)
from homeleg.app.office import office_of
from homeleg.desk.edit_conflict import EditConflict
from homeleg.desk.face import Face
from homeleg.desk.one_at_a_time import one_at_a_time
from homeleg.verdict.cautions import ADVICE

__all__ = ["Form", "drawn", "page", "posted"]

Form = Mapping[str, str]

_MOST_FIELDS = 200
_LOOK = "Load this page anew to see it."
_TEMPLATES = Environment(
    loader=PackageLoader("homeleg.app"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)


def page(request: Request, template: str, *, status: int = 200, **shown: object) -> HTMLResponse:
    """Return a page made from a template of `templates/`, in the light and units of this base.

    Every template finds `face`, `base` and `advice` beside what it is given, and `units`, which
    puts a sentence or figure of the program's into the units of the face.
    """
    office = office_of(request)
    face = office.face
    text = _TEMPLATES.get_template(template).render(
        face=face, base=office.base, advice=ADVICE, units=_units(face), **shown
    )
    return HTMLResponse(with_state(request, text), status)


def _units(face: Face) -> Callable[[str], Markup]:
    """Return what puts words into the units of a face: escaped, save for figures drawn by us."""

    def put(words: str | Markup) -> Markup:
        return Markup(face.text(str(escape(words))))  # noqa: S704 (escaped in this line)

    return put


def drawn(svg: str) -> Markup:
    """Return a figure that this program has drawn, as it stands: its words are escaped already."""
    return Markup(svg)  # noqa: S704 (see above)


def posted(answer: Callable[[Request, Form], Response]) -> Callable[[Request], Awaitable[Response]]:
    """Return the endpoint for a function of a request and the form that came with it."""

    async def endpoint(request: Request) -> Response:
        body = (await request.body()).decode("utf-8", "replace")
        form = dict(parse_qsl(body, keep_blank_values=True, max_num_fields=_MOST_FIELDS))
        return await run_in_threadpool(_saved, answer, request, form)

    return endpoint


def _saved(answer: Callable[[Request, Form], Response], request: Request, form: Form) -> Response:
    """Return the answer to a form, unless a file that it would change was changed since."""
    office = office_of(request)
    files = files_asked_for(office.base, request.url.path, form)
    if office.base is None or not files:
        return answer(request, form)
    with one_at_a_time(office.base.folder):
        conflict = conflict_with(request, form, files, answer)
        if conflict is None:
            response = answer(request, form)
        else:
            response = _not_saved(request, form, conflict)
        response.headers[HEADER] = remembered(office, files)
    return response


def _not_saved(request: Request, form: Form, conflict: EditConflict) -> Response:
    """Return what says why a save was not made, with what was typed to make it on top."""
    if "text/html" in request.headers.get("accept", ""):
        typed = {name: text for name, text in form.items() if name != FIELD}
        return page(
            request,
            "conflict.html",
            status=409,
            conflict=conflict,
            typed=typed,
            address=request.url.path,
            back=_came_from(request),
        )
    names = ", ".join(dict.fromkeys(line.file for line in conflict.lines))
    told = {"where": names, "problem": f"{names} was changed elsewhere: not kept.", "remedy": _LOOK}
    return JSONResponse({"ok": False, "errors": [told]}, 409)


def _came_from(request: Request) -> str:
    """Return the page of ours that a form was on, else the base."""
    page_before = urlsplit(request.headers.get("referer", ""))
    if page_before.netloc != request.url.netloc:
        return "/"
    return f"{page_before.path}?{page_before.query}" if page_before.query else page_before.path
