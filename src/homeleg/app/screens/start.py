"""The base: its sorties and aircraft, broken files with what is wrong; at first, two ways in."""

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import office_of
from homeleg.app.page import Form, page, posted
from homeleg.desk.base import aircraft_in, sorties_in, title_of
from homeleg.desk.examples import add_example, examples
from homeleg.desk.releases import releases_in

__all__ = ["ROUTES"]

_RELEASES = 8  # the latest


def start(request: Request) -> Response:
    """Show all that the base holds; where there is no base yet, go and make one."""
    base = office_of(request).base
    if base is None:
        return RedirectResponse("/first", 303)
    sorties, aircraft = sorties_in(base), aircraft_in(base)
    there = {entry.name for entry in sorties}
    ready = [entry for entry in sorties if not entry.problems]
    return page(
        request,
        "start.html",
        sorties=sorties,
        aircraft=aircraft,
        releases=releases_in(base)[:_RELEASES],
        latest=max(ready, key=lambda entry: entry.path.stat().st_mtime, default=None),
        examples=[(name, title_of(name)) for name in examples() if name not in there],
    )


def take_example(request: Request, form: Form) -> Response:
    """Copy an example into the base and open its sortie."""
    base = office_of(request).base
    if base is None:
        return RedirectResponse("/first", 303)
    name = form.get("example", "")
    add_example(base, name)
    return RedirectResponse(f"/sortie/{name}", 303)


ROUTES = (
    Route("/base", start),
    Route("/examples", posted(take_example), methods=["POST"]),
)
