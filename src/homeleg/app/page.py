"""Pages: a template, what it shows, and the forms that come back from it."""

from collections.abc import Awaitable, Callable, Mapping
from urllib.parse import parse_qsl

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from homeleg.app.office import office_of
from homeleg.desk.face import Face
from homeleg.verdict.cautions import ADVICE

__all__ = ["Form", "drawn", "page", "posted"]

Form = Mapping[str, str]

_MOST_FIELDS = 200
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
    return HTMLResponse(text, status)


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
        return await run_in_threadpool(answer, request, form)

    return endpoint
