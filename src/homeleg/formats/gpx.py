"""GPX 1.1: waypoints, routes and walked tracks read, routes written.

`<ele>` is metres above what the format does not say: whoever reads one is asked. What we write
is above mean sea level, and says so.

References: GPX 1.1 schema (gpx.xsd), FOUND: "elevation (in meters)", rte a plan, trk a record.
"""

from html import escape

from homeleg.formats.altitudes import amsl_of, height_losses, launch_amsl_m
from homeleg.formats.features import Feature, Features, Vertex
from homeleg.formats.findings import Findings, Spot
from homeleg.formats.plain_shapes import PlainShape, ShapeKind, Written, beside
from homeleg.formats.route_cells import cells_of, shape_cells
from homeleg.formats.toml_text import TextFile
from homeleg.formats.xml_text import Element, child, children, parse_xml, passed_over, text_of
from homeleg.foundation.heights import StatedHeight
from homeleg.foundation.units import TextError, parse_number
from homeleg.release.plain_route import PlainItem, PlainRoute

__all__ = ["read_gpx", "write_gpx"]

_OURS = "urn:homeleg:item:1"
_DOUBT = "GPX does not say what an elevation is above"
_PASSED_OVER = {"time": "times", "desc": "descriptions", "link": "links"}


def read_gpx(file: TextFile) -> Features:
    """Return the shapes of a GPX file; problems stand in its findings."""
    root = parse_xml(file, "gpx")
    findings = Findings(file.name, {})
    features = [
        _feature(ShapeKind.POINT, [point], point, findings.top.at(f"wpt {number}"))
        for number, point in enumerate(children(root, "wpt"), start=1)
    ]
    for number, route in enumerate(children(root, "rte"), start=1):
        points = list(children(route, "rtept"))
        features.append(_feature(ShapeKind.LINE, points, route, findings.top.at(f"rte {number}")))
    for number, track in enumerate(children(root, "trk"), start=1):
        for part, segment in enumerate(children(track, "trkseg"), start=1):
            spot = findings.top.at(f"trk {number}, part {part}")
            points = list(children(segment, "trkpt"))
            features.append(_feature(ShapeKind.LINE, points, track, spot))
    lost = passed_over(root, _PASSED_OVER)
    return Features(findings=findings, features=tuple(features), lost=tuple(lost))


def _feature(kind: ShapeKind, points: list[Element], named: Element, spot: Spot) -> Feature:
    vertices = [_vertex(point, number, spot) for number, point in enumerate(points, start=1)]
    if not vertices:
        spot.report("holds no points", "Take it out, or record it again.")
    return Feature(
        shape=kind,
        spot=spot,
        vertices=tuple(vertex for vertex in vertices if vertex is not None),
        name=text_of(child(named, "name")),
        cells=_data(named),
        doubt=_DOUBT,
    )


def _vertex(point: Element, number: int, spot: Spot) -> Vertex | None:
    elevation = text_of(child(point, "ele"))
    try:
        return Vertex(
            latitude_deg=parse_number(point.get("lat", "")),
            longitude_deg=parse_number(point.get("lon", "")),
            height_m=parse_number(elevation) if elevation else None,
            name=text_of(child(point, "name")),
            cells=_data(point),
        )
    except TextError as error:
        spot.report(f"lat, lon or ele of point {number}: {error.problem}", error.remedy)
        return None


def _data(point: Element) -> dict[str, str]:
    """Return what a point says in our own extension, by column."""
    items = children(child(point, "extensions"), "item")
    return next((dict(one.items()) for one in items if one.tag == f"{{{_OURS}}}item"), {})


def write_gpx(route: PlainRoute, name: str) -> Written:
    """Return a route as GPX; heights above launch become AMSL where the launch point's is known."""
    launch_m = launch_amsl_m(route)
    points = [shape for shape in beside(route) if shape.shape is ShapeKind.POINT]
    others = [shape for shape in beside(route) if shape.shape is not ShapeKind.POINT]
    stops = [_item_point(item, launch_m) for item in route.items]
    title = escape(name)
    text = "\n".join(
        (
            '<?xml version="1.0" encoding="UTF-8"?>',
            '<gpx version="1.1" creator="homeleg" xmlns="http://www.topografix.com/GPX/1/1">',
            f"<metadata><name>{title}</name>"
            "<desc>Elevations are metres above mean sea level.</desc></metadata>",
            *(_shape_point("wpt", shape, launch_m) for shape in points),
            *((f"<rte><name>{title}</name>", *stops, "</rte>") if stops else ()),
            *(_track(shape) for shape in others),
            "</gpx>",
            "",
        )
    )
    losses = height_losses([item.height for item in route.items], launch_m, "an elevation")
    losses.append(
        "airspeeds, orbits and what else an item says stand in an extension of ours, which other "
        "programs pass over"
    )
    if any(shape.shape is ShapeKind.POLYGON for shape in others):
        losses.append("GPX knows no areas: each is written as a closed track")
    return Written(text=text, losses=tuple(losses))


def _item_point(item: PlainItem, launch_m: float | None) -> str:
    place = (item.latitude_deg, item.longitude_deg)
    return _point("rtept", place, item.height, launch_m, cells_of(item))


def _shape_point(tag: str, shape: PlainShape, launch_m: float | None) -> str:
    return _point(tag, shape.corners_deg[0], shape.height, launch_m, shape_cells(shape))


def _track(shape: PlainShape) -> str:
    closed_deg = shape.corners_deg
    if shape.shape is ShapeKind.POLYGON:
        closed_deg += shape.corners_deg[:1]
    points = "".join(_point("trkpt", place, None, None, {}) for place in closed_deg)
    ours = _extension(shape_cells(shape))
    return f"<trk><name>{escape(shape.name)}</name>{ours}<trkseg>{points}</trkseg></trk>"


def _point(
    tag: str,
    place_deg: tuple[float, float],
    height: StatedHeight | None,
    launch_m: float | None,
    cells: dict[str, str],
) -> str:
    latitude_deg, longitude_deg = place_deg
    amsl_m = amsl_of(height, launch_m)
    elevation = "" if amsl_m is None else f"<ele>{amsl_m:.2f}</ele>"
    name = f"<name>{escape(cells['name'])}</name>" if "name" in cells else ""
    where = f'lat="{latitude_deg:.8f}" lon="{longitude_deg:.8f}"'
    return f"<{tag} {where}>{elevation}{name}{_extension(cells)}</{tag}>"


def _extension(cells: dict[str, str]) -> str:
    told = "".join(f' {key}="{escape(cell)}"' for key, cell in cells.items() if key != "name")
    return f'<extensions><item xmlns="{_OURS}"{told}/></extensions>' if told else ""
