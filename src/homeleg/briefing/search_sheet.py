"""Where to look for an aircraft, in words: for the terminal and for one page of paper."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from homeleg.briefing.paper import PaperSize, typeset
from homeleg.verdict.cautions import ADVICE

__all__ = ["SEARCH_CAUTIONS", "SearchSheet", "Spot", "search_pdf", "spot_line"]

# Common practice, no source.
SEARCH_CAUTIONS = (
    "It may still be flying: ring air traffic first where it could meet somebody, then look.",
    "Somebody hurt, or smoke: the emergency services first. They lead from there on.",
    "Ask whoever owns or keeps the ground before you walk onto it. Not onto railway, road, cliff, "
    "ice, mud or water; not alone; not in the dark.",
    "A pack that fell may burn an hour later. Come from up-wind, keep others away. If it hisses, "
    "smokes, swells or is hot: touch nothing, stay 20 m off, ring the fire service.",
    "The motor may start. Out of its propeller's plane, take the pack out first; into sand, in the "
    "open, not into the car.",
    "Photograph it as it lies before you move it. Local rules say who has to be told.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place to look, in the order in which to look: how much of the likelihood lies there.

    Bearing true and distance are from the launch point [deg, m], places WGS 84 [deg].
    """

    number: int
    share: float
    bearing_deg: int
    distance_m: float
    latitude_deg: float
    longitude_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchSheet:
    """All that is said to those who go and look; `picture` is the map as SVG."""

    name: str
    code: str
    seen: str
    kept: tuple[str, ...]
    area: tuple[str, ...]
    spots: tuple[Spot, ...]
    around: float
    notes: tuple[str, ...]
    picture: str


def spot_line(spot: Spot) -> tuple[str, str, str, str]:
    """Return share, bearing, distance and place of a spot, in words."""
    north, east = spot.latitude_deg >= 0.0, spot.longitude_deg >= 0.0
    place = (
        f"{abs(spot.latitude_deg):.5f} {'N' if north else 'S'}, "
        f"{abs(spot.longitude_deg):.5f} {'E' if east else 'W'}"
    )
    share = 100.0 * spot.share
    return (
        "under 1 %" if share < 1.0 else f"{share:.0f} %",
        f"{spot.bearing_deg:03d}°",
        f"{spot.distance_m:.0f} m"
        if spot.distance_m < 1000.0
        else f"{spot.distance_m / 1000.0:.2f} km",
        place,
    )


def search_pdf(sheet: SearchSheet, paper: PaperSize = PaperSize.A4) -> bytes:
    """Return the page as a tagged PDF."""
    return typeset("search.typ", _content(sheet), paper)


def _content(sheet: SearchSheet) -> dict[str, Any]:
    rows: Sequence[list[str]] = [[str(spot.number), *spot_line(spot)] for spot in sheet.spots]
    return {
        "name": sheet.name,
        "code": f"{sheet.code[:3]} {sheet.code[3:]}",
        "seen": sheet.seen,
        "kept": list(sheet.kept),
        "area": list(sheet.area),
        "spots": rows,
        "around": f"{sheet.around:.0f} m",
        "notes": list(sheet.notes),
        "cautions": list(SEARCH_CAUTIONS),
        "advice": ADVICE,
        "picture": sheet.picture,
    }
