"""GeoJSON (RFC 7946): shapes read, routes written.

A third number is metres above the WGS 84 ellipsoid by section 4, and height above sea level in many
files: whoever reads one is asked. We write places of two numbers, and the height as a property
with its datum.

References: RFC 7946, sections 3.1, 3.1.1, 4; FOUND for section 4 through its erratum 7261.
"""

import json
from collections.abc import Iterator
from typing import Any, NoReturn

from homeleg.formats.features import Feature, Features, Vertex
from homeleg.formats.findings import Findings, Spot
from homeleg.formats.plain_shapes import PlainShape, ShapeKind, Written, beside
from homeleg.formats.route_cells import cells_of, shape_cells
from homeleg.formats.toml_text import TextFile
from homeleg.formats.wording import described, one_of
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.units import shown
from homeleg.release.plain_route import PlainRoute

__all__ = ["read_geojson", "write_geojson", "write_geojson_shapes"]

_DOUBT = (
    "by RFC 7946 a third number is above the ellipsoid, and in many files it is above sea level"
)
_SHAPES = {
    "Point": ShapeKind.POINT,
    "LineString": ShapeKind.LINE,
    "Polygon": ShapeKind.POLYGON,
    "MultiPoint": ShapeKind.POINT,
    "MultiLineString": ShapeKind.LINE,
    "MultiPolygon": ShapeKind.POLYGON,
}
_NAMES = {ShapeKind.POINT: "Point", ShapeKind.LINE: "LineString", ShapeKind.POLYGON: "Polygon"}
_GEOMETRIES = (*_SHAPES, "GeometryCollection")
_DEEPEST = 20


def read_geojson(file: TextFile) -> Features:
    """Return the shapes of a GeoJSON file; problems stand in its findings.

    Raises InputFileError when it is not JSON at all.
    """
    findings = Findings(file.name, {})
    found = _parsed(file)
    if not isinstance(found, dict):
        findings.top.report(f"{described(found)} is not GeoJSON", "Choose a GeoJSON file.")
        return Features(findings=findings, features=())
    if "crs" in found:
        findings.top.at("crs").report(
            "names a coordinate system, and RFC 7946 knows WGS 84 only",
            "Write it again in WGS 84, longitude first, without crs.",
        )
    features: list[Feature] = []
    for number, raw in enumerate(_raw_features(found, findings.top), start=1):
        spot = findings.top.at(f"feature {number}")
        features += _features_of(raw, spot)
    return Features(findings=findings, features=tuple(features))


def _parsed(file: TextFile) -> Any:
    try:
        return json.loads(
            file.text, parse_constant=_refuse_constant, object_pairs_hook=_without_twins
        )
    except json.JSONDecodeError as error:
        where, problem = f"{file.name}, line {error.lineno}", f"is not JSON: {error.msg}"
    except RecursionError:
        where, problem = file.name, "is nested too deeply"
    except ValueError as error:  # NaN, a key twice, or a number of thousands of digits
        where, problem = file.name, f"is not JSON: {str(error)[:60]}"
    remedy = "Write it again from the program it came from."
    raise InputFileError([Problem(where=where, problem=problem, remedy=remedy)])


def _refuse_constant(word: str) -> NoReturn:
    raise ValueError(f"{word} is no number of JSON")


def _without_twins(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    table = dict(pairs)
    if len(table) < len(pairs):
        keys = [key for key, _ in pairs]
        twin = next(key for key in keys if keys.count(key) > 1)
        raise ValueError(f"{shown(twin)} stands twice in one table")
    return table


def _raw_features(found: dict[str, Any], top: Spot) -> list[dict[str, Any]]:
    """Return the features of a file, each a table with geometry and properties."""
    kind = found.get("type")
    if kind == "Feature":
        return [found]
    if kind in _GEOMETRIES:
        return [{"geometry": found}]
    raw = found.get("features")
    if kind != "FeatureCollection" or not isinstance(raw, list):
        top.report("is not GeoJSON", 'A "FeatureCollection" with a list of "features" is wanted.')
        return []
    return [one if isinstance(one, dict) else {} for one in raw]


def _features_of(raw: dict[str, Any], spot: Spot) -> Iterator[Feature]:
    """Yield the shapes of one feature, those of a collection one by one."""
    properties = raw.get("properties")
    cells = _cells(properties if isinstance(properties, dict) else {})
    for kind, places in _shapes(raw.get("geometry"), spot, 0):
        rings = places if kind is ShapeKind.POLYGON else [places]
        vertices = _vertices(rings[0] if isinstance(rings, list) and rings else None, spot)
        if kind is ShapeKind.POLYGON and vertices[1:] and vertices[0] == vertices[-1]:
            vertices.pop()
        yield Feature(
            shape=kind,
            spot=spot,
            vertices=tuple(vertices),
            name=cells.get("name", ""),
            cells=cells,
            doubt=_DOUBT,
            holes=len(rings) - 1 if isinstance(rings, list) else 0,
        )


def _shapes(geometry: object, spot: Spot, depth: int) -> Iterator[tuple[ShapeKind, Any]]:
    """Yield shape and places of a geometry: a point's in a list as well, a polygon's by ring."""
    if geometry is None:
        return
    kind = geometry.get("type") if isinstance(geometry, dict) else None
    if not isinstance(geometry, dict) or kind not in _GEOMETRIES or depth > _DEEPEST:
        spot.report(f"{described(kind)} is not a geometry", one_of(_GEOMETRIES))
        return
    if kind == "GeometryCollection":
        inner = geometry.get("geometries")
        for one in inner if isinstance(inner, list) else ():
            yield from _shapes(one, spot, depth + 1)
        return
    places = geometry.get("coordinates")
    if kind.startswith("Multi") and not isinstance(places, list):
        spot.report("has no coordinates", "Write them as a list.")
        return
    for one in places if isinstance(places, list) and kind.startswith("Multi") else [places]:
        yield _SHAPES[kind], [one] if _SHAPES[kind] is ShapeKind.POINT else one


def _vertices(raw: object, spot: Spot) -> list[Vertex]:
    """Return the places of a list, after reporting the first that is none."""
    if not isinstance(raw, list) or not raw:
        spot.report("has no coordinates", "Write them as a list of places.")
        return []
    vertices = []
    for place in raw:
        numbers = [_number(one) for one in place[:3]] if isinstance(place, list) else []
        longitude_deg, latitude_deg, height_m = (*numbers, None, None, None)[:3]
        if longitude_deg is None or latitude_deg is None or None in numbers:
            spot.report(
                f"{json.dumps(place)[:40]} is not a place",
                "Write [longitude, latitude] in degrees, two or three numbers.",
            )
            return []
        vertices.append(
            Vertex(latitude_deg=latitude_deg, longitude_deg=longitude_deg, height_m=height_m)
        )
    return vertices


def _number(raw: object) -> float | None:
    if isinstance(raw, bool) or not isinstance(raw, int | float):
        return None
    try:
        return float(raw)
    except OverflowError:
        return None


def _cells(properties: dict[str, Any]) -> dict[str, str]:
    """Return the properties of a feature as text, without lists and tables of their own."""
    words = {True: "yes", False: "no"}
    return {
        key: words[value] if isinstance(value, bool) else " ".join(str(value).split())
        for key, value in properties.items()
        if isinstance(value, str | int | float)
    }


def write_geojson(route: PlainRoute, name: str) -> Written:
    """Return a route as GeoJSON, one feature an item."""
    features = [
        _feature(ShapeKind.POINT, ((item.latitude_deg, item.longitude_deg),), cells_of(item))
        for item in route.items
    ]
    return _written(name, [*features, *_shape_features(beside(route))])


def write_geojson_shapes(shapes: tuple[PlainShape, ...], name: str) -> Written:
    """Return shapes as GeoJSON, one feature each."""
    return _written(name, _shape_features(shapes))


def _shape_features(shapes: tuple[PlainShape, ...]) -> list[dict[str, Any]]:
    return [_feature(one.shape, one.corners_deg, shape_cells(one)) for one in shapes]


def _written(name: str, features: list[dict[str, Any]]) -> Written:
    document = {"type": "FeatureCollection", "name": name, "features": features}
    losses = (
        "heights stand as properties with their datum, not as a third number, which RFC 7946 reads "
        "as above the ellipsoid",
    )
    text = json.dumps(document, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    return Written(text=text, losses=losses)


def _feature(
    shape: ShapeKind, corners_deg: tuple[tuple[float, float], ...], cells: dict[str, str]
) -> dict[str, Any]:
    places: Any = [[round(longitude, 8), round(latitude, 8)] for latitude, longitude in corners_deg]
    if shape is ShapeKind.POLYGON:
        # Counterclockwise, as section 3.1.6 wants the outer ring.
        turn = sum(
            (x1 - x0) * (y1 + y0)
            for (x0, y0), (x1, y1) in zip(places, [*places[1:], places[0]], strict=True)
        )
        places = places[::-1] if turn > 0.0 else places
        places = [[*places, places[0]]]
    return {
        "type": "Feature",
        "geometry": {
            "type": _NAMES[shape],
            "coordinates": places[0] if shape is ShapeKind.POINT else places,
        },
        "properties": cells,
    }
