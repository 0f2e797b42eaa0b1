"""The field's numbers, as the anemometer and a hand on the pack say them now."""

from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import entry_of, office_of
from homeleg.app.page import Form, page, posted
from homeleg.desk.face import Face
from homeleg.desk.field_offer import FieldOffer, field_offer, keep_numbers
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["ROUTES"]

_ADDRESS = "/sortie/{name}/numbers"
_THEN = {
    "calls": "Go on to the calls",
    "release": "Go on to the release",
    "verdict": "Check with these",
}
_NUMBERS = {
    "speed": "Wind speed",
    "gust": "Strongest gust",
    "from": "Blows from",
    "height": "Height of the anemometer",
    "pack": "Pack temperature",
}
_NEEDED = ("speed", "from", "height")


def numbers(request: Request) -> Response:
    """Offer the numbers that the sortie has, to be measured again."""
    entry, face = entry_of(request), office_of(request).face
    offer = field_offer(entry.path, office_of(request).now())
    return _shown(request, _typed(offer, face), request.query_params.get("then", ""), offer=offer)


def keep(request: Request, form: Form) -> Response:
    """Write the numbers into the sortie's file, seen now, and go on."""
    entry, office = entry_of(request), office_of(request)
    typed = {name: form.get(name, "").strip().replace(",", ".") for name in _NUMBERS}
    problems = tuple(_problems(typed))
    if not problems:
        try:
            keep_numbers(entry.path, typed, office.face.unit_for("m/s"), office.now())
        except InputFileError as error:
            problems = error.problems
    then = form.get("then", "")
    if problems:
        offer = field_offer(entry.path, office.now())
        return _shown(request, typed, then, offer=offer, problems=problems)
    room = {"verdict": ""}.get(then, f"/{then}" if then in _THEN else "/calls")
    return RedirectResponse(f"/sortie/{quote(entry.name)}{room}", 303)


def _shown(
    request: Request,
    typed: dict[str, str],
    then: str,
    *,
    offer: FieldOffer,
    problems: tuple[Problem, ...] = (),
) -> Response:
    then = then if then in _THEN else "calls"
    return page(
        request,
        "numbers.html",
        status=422 if problems else 200,
        entry=entry_of(request),
        offer=offer,
        typed=typed,
        then=then,
        act=_THEN[then],
        problems=problems,
        speed_unit=office_of(request).face.unit_for("m/s"),
    )


def _typed(offer: FieldOffer, face: Face) -> dict[str, str]:
    """Return the offered numbers as a person would type them."""
    return {
        "speed": _figure(offer.speed_m_s, face),
        "gust": _figure(offer.gust_m_s, face),
        "from": "" if offer.from_deg is None else f"{offer.from_deg:03.0f}",
        "height": f"{offer.height_m:g}",
        "pack": "" if offer.pack_deg_c is None else f"{offer.pack_deg_c:.0f}",
    }


def _figure(speed_m_s: float | None, face: Face) -> str:
    return "" if speed_m_s is None else f"{face.shown(speed_m_s, 'm/s'):.1f}"


def _problems(typed: dict[str, str]) -> list[Problem]:
    return [
        Problem(where=words, problem=f"{text or 'nothing'} is no number", remedy="Such as 5.")
        for name, words in _NUMBERS.items()
        if not _is_number(text := typed[name]) and (text or name in _NEEDED)
    ]


def _is_number(text: str) -> bool:
    bare = text.removeprefix("-").replace(".", "", 1)
    return bare.isascii() and bare.isdecimal() and len(text) <= 8


ROUTES = (
    Route(_ADDRESS, numbers),
    Route(_ADDRESS, posted(keep), methods=["POST"]),
)
