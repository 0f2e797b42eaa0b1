"""A release: verified or changed, its code and numbers, its pages, the route for other programs."""

from urllib.parse import quote

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import base_of, office_of
from homeleg.app.page import Form, page, posted
from homeleg.desk.base import Base
from homeleg.desk.calls import with_next_pack
from homeleg.desk.export import exported
from homeleg.desk.field_release import PAPERS
from homeleg.desk.releases import (
    ReleaseEntry,
    inside,
    numbers_of,
    release_named,
    sortie_released,
)
from homeleg.desk.route_aboard import aboard_of, keep_doubt
from homeleg.foundation.errors import InputFileError
from homeleg.release.refusals import ROUTE_NOT_COVERED
from homeleg.release.release import Release
from homeleg.release.route_aboard import RouteAboard

__all__ = ["ROUTES", "release_of"]

_ADDRESS = "/release/{code}"
_PHONE = ("card.html", "calls.html")
_PDF, _HTML = "application/pdf", "text/html; charset=utf-8"
_KINDS = {
    "kml": "application/vnd.google-earth.kml+xml",
    "gpx": "application/gpx+xml",
    "geojson": "application/geo+json",
    "csv": "text/csv; charset=utf-8",
}


def release(request: Request) -> Response:
    """Show a release; one that was changed with what is wrong."""
    base, entry = _asked_for(request)
    office, held = office_of(request), entry.release
    if held is None:
        words = "This is no release any more."
        return page(request, "problems.html", sentence=words, problems=entry.problems)
    aboard, now = aboard_of(held, entry.path, office.now()), office.now()
    return page(
        request,
        "release.html",
        entry=entry,
        release=held,
        aboard=aboard,
        older=_is_older(entry, aboard),
        not_covered=ROUTE_NOT_COVERED,
        numbers=numbers_of(held),
        expired=held.has_expired(now),
        sortie=sortie_released(base, entry),
        papers=[name for name in PAPERS if (entry.pages / f"{name}.pdf").is_file()],
        printing=office.errands.is_printing(entry.pages),
        phone=[name for name in _PHONE if (entry.pages / name).is_file()],
        kinds={kind: exported(held, entry.path.name, kind).losses for kind in _KINDS},
    )


def carried(request: Request) -> Response:
    """Hand out a page of a release; made to be kept, so that no page of ours has to run it."""
    base, entry, _held = release_of(request)
    name = request.path_params["name"]
    stem = name.removesuffix(".pdf")
    if name in _PHONE:
        path, kind = entry.pages / name, _HTML
    elif stem in PAPERS and name != stem:
        if problems := office_of(request).errands.printed(entry.pages):
            raise InputFileError(list(problems))
        path, kind = entry.pages / name, _PDF
    else:
        raise HTTPException(404)
    if not path.is_file() or not base.holds(path):
        raise HTTPException(404)
    return FileResponse(path, media_type=kind, filename=f"{entry.code}-{name}")


def paper(request: Request, form: Form) -> Response:
    """Make the pages of a release, as its route aboard stands now; it is flown again for it."""
    del form
    base, entry, held = release_of(request)
    for folder in (entry.pages, entry.path.parent / held.folder):
        inside(base, folder)
    office = office_of(request)
    office.errands.print(entry.path, entry.pages, None, office.now())
    return RedirectResponse(f"/release/{entry.code}", 303)


def export(request: Request) -> Response:
    """Hand out the route in a format of other programs."""
    _base, entry, held = release_of(request)
    kind = request.path_params["kind"]
    if kind not in _KINDS:
        raise HTTPException(404)
    headers = {"Content-Disposition": f'attachment; filename="{entry.code}.{kind}"'}
    text = exported(held, entry.path.name, kind).text
    return Response(text, media_type=_KINDS[kind], headers=headers)


def unplugged(request: Request, form: Form) -> Response:
    """Void what was known of the route aboard."""
    del form
    _base, entry, _held = release_of(request)
    keep_doubt(entry.path, "the pack was unplugged", office_of(request).now())
    return RedirectResponse(f"/release/{entry.code}", 303)


def again(request: Request, form: Form) -> Response:
    """Open the sortie again for the next pack: route as released, pack and wind to be measured."""
    del form
    base, entry, held = release_of(request)
    sortie = sortie_released(base, entry)
    if sortie is None:
        raise HTTPException(404)
    with_next_pack(sortie.path, held, office_of(request).now())
    return RedirectResponse(f"/sortie/{quote(sortie.name)}/numbers?then=calls", 303)


def release_of(request: Request) -> tuple[Base, ReleaseEntry, Release]:
    """Return the release that a request names, verified; raises InputFileError where it is not."""
    base, entry = _asked_for(request)
    if entry.release is None:
        raise InputFileError(list(entry.problems))
    return base, entry, entry.release


def _is_older(entry: ReleaseEntry, aboard: RouteAboard) -> bool:
    """Return whether the pages were made before the route aboard was last compared."""
    card = entry.pages / _PHONE[0]
    if aboard.proof is None or not card.is_file():
        return False
    return card.stat().st_mtime < aboard.proof.at.timestamp()


def _asked_for(request: Request) -> tuple[Base, ReleaseEntry]:
    base = base_of(request)
    entry = release_named(base, request.path_params["code"])
    if entry is None:
        raise HTTPException(404)
    return base, entry


ROUTES = (
    Route(_ADDRESS, release),
    Route(_ADDRESS + "/pages/{name}", carried),
    Route(_ADDRESS + "/paper", posted(paper), methods=["POST"]),
    Route(_ADDRESS + "/export/{kind}", export),
    Route(_ADDRESS + "/unplugged", posted(unplugged), methods=["POST"]),
    Route(_ADDRESS + "/again", posted(again), methods=["POST"]),
)
