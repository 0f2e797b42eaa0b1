"""Where to look for an aircraft, as KML 2.2: areas, places in order, launch point, last seen.

Everything lies on the ground: no altitude is written. Reference: OGC 07-147r2, 10 (polygons with
holes: the outer ring, then one inner ring for each).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from homeleg.formats.kml import kml_document, kml_mark

__all__ = ["DegreesArea", "NamedPlace", "search_kml"]

Ring = tuple[tuple[float, float], ...]

_ON_GROUND = "<altitudeMode>clampToGround</altitudeMode>"
# Colours are written alpha, blue, green, red.
_STYLES = (
    '<Style id="most"><LineStyle><color>ff66560e</color><width>3</width></LineStyle>'
    "<PolyStyle><color>3366560e</color></PolyStyle></Style>",
    '<Style id="half"><LineStyle><color>ff2b2014</color><width>3</width></LineStyle>'
    "<PolyStyle><color>662b2014</color></PolyStyle></Style>",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DegreesArea:
    """An area by its outlines, each with its holes; corners are latitude and longitude. [deg]."""

    name: str
    style: str
    outlines: tuple[tuple[Ring, tuple[Ring, ...]], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedPlace:
    """A place with its name and what is said of it. [deg]."""

    name: str
    words: str
    latitude_deg: float
    longitude_deg: float


def search_kml(name: str, areas: Sequence[DegreesArea], places: Sequence[NamedPlace]) -> str:
    """Return areas and places as the text of a KML file."""
    return kml_document(name, [*_STYLES, *map(_area_mark, areas), *map(_place_mark, places)])


def _area_mark(area: DegreesArea) -> str:
    polygons = "".join(_polygon(outer, holes) for outer, holes in area.outlines)
    return (
        f"<Placemark><name>{escape(area.name)}</name><styleUrl>#{area.style}</styleUrl>"
        f"<MultiGeometry>{polygons}</MultiGeometry></Placemark>"
    )


def _polygon(outer: Ring, holes: tuple[Ring, ...]) -> str:
    inner = "".join(f"<innerBoundaryIs>{_ring(hole)}</innerBoundaryIs>" for hole in holes)
    boundary = f"<outerBoundaryIs>{_ring(outer)}</outerBoundaryIs>"
    return f"<Polygon>{_ON_GROUND}{boundary}{inner}</Polygon>"


def _ring(ring: Ring) -> str:
    corners = " ".join(_corner(*corner) for corner in (*ring, ring[0]))
    return f"<LinearRing><coordinates>{corners}</coordinates></LinearRing>"


def _place_mark(place: NamedPlace) -> str:
    at = _corner(place.latitude_deg, place.longitude_deg)
    point = f"<Point>{_ON_GROUND}<coordinates>{at}</coordinates></Point>"
    return kml_mark(place.name, {"how": place.words}, point)


def _corner(latitude_deg: float, longitude_deg: float) -> str:
    return f"{longitude_deg:.7f},{latitude_deg:.7f}"
