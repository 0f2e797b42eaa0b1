"""KML 2.2: shapes and altitudes read, routes written.

An altitude is read as its `altitudeMode` says: `absolute` is AMSL, `relativeToGround` is AGL.
`clampToGround`, which holds wherever no mode is written, means that the altitude is ignored.

References: OGC 07-147r2 (KML 2.2), 6.1, 9.2 and 10; modes and default FOUND in ogckml22.xsd.
"""

from collections.abc import Iterable, Iterator, Mapping
from html import escape

from homeleg.formats.altitudes import amsl_of, height_losses, launch_amsl_m
from homeleg.formats.features import Feature, Features, Vertex
from homeleg.formats.findings import Findings, Spot
from homeleg.formats.plain_shapes import PlainShape, ShapeKind, Written, beside
from homeleg.formats.route_cells import cells_of, shape_cells
from homeleg.formats.toml_text import TextFile
from homeleg.formats.xml_text import (
    Element,
    child,
    children,
    local_name,
    parse_xml,
    passed_over,
    text_of,
)
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.foundation.units import TextError, parse_number
from homeleg.release.plain_route import PlainItem, PlainRoute

__all__ = ["kml_document", "kml_mark", "read_kml", "write_kml"]

_MODES = {"absolute": Datum.AMSL, "relativeToGround": Datum.AGL}
_MODE_OF = {datum: mode for mode, datum in _MODES.items()}
_OF_THE_SEA_FLOOR = ("clampToSeaFloor", "relativeToSeaFloor")
_SHAPES = {
    "Point": ShapeKind.POINT,
    "LineString": ShapeKind.LINE,
    "LinearRing": ShapeKind.POLYGON,
    "Polygon": ShapeKind.POLYGON,
}
_TAGS = {ShapeKind.POINT: "Point", ShapeKind.LINE: "LineString"}
_PASSED_OVER = {
    "NetworkLink": "network links (not followed)",
    "GroundOverlay": "pictures laid on the ground",
    "PhotoOverlay": "photographs",
    "ScreenOverlay": "screen overlays",
    "Model": "models",
    "Track": "recorded tracks (gx:Track)",
    "description": "descriptions",
}


def read_kml(file: TextFile) -> Features:
    """Return the shapes of a KML file; problems stand in its findings."""
    root = parse_xml(file, "kml")
    findings = Findings(file.name, {})
    placemarks = (mark for mark in root.iter() if local_name(mark) == "Placemark")
    features: list[Feature] = []
    for number, mark in enumerate(placemarks, start=1):
        name = text_of(child(mark, "name"))
        spot = findings.top.at(f"Placemark {number}" + (f" ({name[:40]})" if name else ""))
        features += (_feature(shape, mark, name, spot) for shape in _geometries(mark))
    lost = passed_over(root, _PASSED_OVER)
    return Features(findings=findings, features=tuple(features), lost=tuple(lost))


def _geometries(element: Element) -> Iterator[Element]:
    """Yield the shapes of a placemark, those in a collection one by one."""
    for inner in element:
        if local_name(inner) in _SHAPES:
            yield inner
        elif local_name(inner) == "MultiGeometry":
            yield from _geometries(inner)


def _feature(shape: Element, mark: Element, name: str, spot: Spot) -> Feature:
    kind = _SHAPES[local_name(shape)]
    outline = shape
    if local_name(shape) == "Polygon":
        outline = child(child(shape, "outerBoundaryIs"), "LinearRing")
    vertices = _vertices(text_of(child(outline, "coordinates")), spot)
    if kind is ShapeKind.POLYGON and vertices[1:] and vertices[0] == vertices[-1]:
        vertices.pop()
    mode = text_of(child(shape, "altitudeMode"))
    return Feature(
        shape=kind,
        spot=spot,
        vertices=tuple(vertices),
        name=name,
        cells=_data(mark),
        above=_MODES.get(mode),
        doubt=_doubt(mode),
        holes=len(list(children(shape, "innerBoundaryIs"))),
    )


def _doubt(mode: str) -> str:
    """Return in words why heights of this mode are above nothing that is known."""
    if not mode:
        return "no altitudeMode is stated, and KML's default, clampToGround, ignores an altitude"
    if mode == "clampToGround":
        return "KML ignores an altitude written with clampToGround"
    if mode in _OF_THE_SEA_FLOOR:
        return f"{mode} is not a height above land"
    return f'"{mode[:40]}" is no altitudeMode of KML'


def _vertices(text: str, spot: Spot) -> list[Vertex]:
    """Return the places of a coordinates element, after reporting the first that is none."""
    vertices = []
    for triple in text.split():
        vertex = _vertex(triple)
        if vertex is None:
            spot.report(
                f'"{triple[:40]}" is not a place',
                "Write longitude,latitude,altitude without spaces, points in numbers.",
            )
            return []
        vertices.append(vertex)
    if not vertices:
        spot.report("has no coordinates", "Write them, or take the placemark out.")
    return vertices


def _vertex(triple: str) -> Vertex | None:
    try:
        numbers = [parse_number(number) for number in triple.split(",")]
    except TextError:
        return None
    if not 2 <= len(numbers) <= 3:
        return None
    return Vertex(
        longitude_deg=numbers[0],
        latitude_deg=numbers[1],
        height_m=numbers[2] if len(numbers) == 3 else None,
    )


def _data(mark: Element) -> dict[str, str]:
    """Return what a placemark says of itself in its extended data."""
    extended = child(mark, "ExtendedData")
    data = {one.get("name", ""): text_of(child(one, "value")) for one in children(extended, "Data")}
    for schema in children(extended, "SchemaData"):
        data |= {one.get("name", ""): text_of(one) for one in children(schema, "SimpleData")}
    return data


def write_kml(route: PlainRoute, name: str) -> Written:
    """Return a route as KML; heights above launch become AMSL where the launch point's is known."""
    launch_m = launch_amsl_m(route)
    marks = [_item_mark(item, launch_m) for item in route.items]
    marks += [_shape_mark(shape, launch_m) for shape in beside(route)]
    heights = [item.height for item in route.items]
    losses = height_losses(heights, launch_m, "an altitude", also=(Datum.AGL,))
    losses.append(
        "airspeeds, orbits and what else an item says stand as extended data, which other "
        "programs pass over"
    )
    return Written(text=kml_document(name, marks), losses=tuple(losses))


def kml_document(name: str, marks: Iterable[str]) -> str:
    """Return a whole document of placemarks, or of whatever else is ready as KML."""
    head = '<?xml version="1.0" encoding="UTF-8"?>\n<kml xmlns="http://www.opengis.net/kml/2.2">'
    lines = (
        head,
        "<Document>",
        f"<name>{escape(name)}</name>",
        *marks,
        "</Document>",
        "</kml>",
        "",
    )
    return "\n".join(lines)


def _item_mark(item: PlainItem, launch_m: float | None) -> str:
    place = ((item.latitude_deg, item.longitude_deg),)
    shape = _shape_text(ShapeKind.POINT, place, item.height, launch_m)
    return kml_mark(item.name, cells_of(item), shape)


def _shape_mark(shape: PlainShape, launch_m: float | None) -> str:
    text = _shape_text(shape.shape, shape.corners_deg, shape.height, launch_m)
    return kml_mark(shape.name, shape_cells(shape), text)


def kml_mark(name: str, cells: Mapping[str, str], shape: str) -> str:
    """Return a placemark: its name, what else it says of itself, and its shape as KML."""
    data = "".join(
        f'<Data name="{escape(key)}"><value>{escape(value)}</value></Data>'
        for key, value in cells.items()
        if key != "name"
    )
    extended = f"<ExtendedData>{data}</ExtendedData>" if data else ""
    return f"<Placemark><name>{escape(name)}</name>{extended}{shape}</Placemark>"


def _shape_text(
    kind: ShapeKind,
    corners_deg: tuple[tuple[float, float], ...],
    height: StatedHeight | None,
    launch_m: float | None,
) -> str:
    mode, end = "clampToGround", ""
    if height is not None and height.above is Datum.AGL:
        mode, end = "relativeToGround", f",{height.value_m:.2f}"
    elif (amsl_m := amsl_of(height, launch_m)) is not None:
        mode, end = "absolute", f",{amsl_m:.2f}"
    closed_deg = corners_deg + (corners_deg[:1] if kind is ShapeKind.POLYGON else ())
    places = " ".join(f"{longitude:.8f},{latitude:.8f}{end}" for latitude, longitude in closed_deg)
    told = f"<altitudeMode>{mode}</altitudeMode>"
    coordinates = f"<coordinates>{places}</coordinates>"
    if kind is ShapeKind.POLYGON:
        ring = f"<LinearRing>{coordinates}</LinearRing>"
        return f"<Polygon>{told}<outerBoundaryIs>{ring}</outerBoundaryIs></Polygon>"
    return f"<{_TAGS[kind]}>{told}{coordinates}</{_TAGS[kind]}>"
