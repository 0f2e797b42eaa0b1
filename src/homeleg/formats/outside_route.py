"""A route out of what a file holds: one line, or points in their order; and what lies beside it."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median_low

from homeleg.formats.features import Feature, Features, Vertex, report_bad_places
from homeleg.formats.outside_heights import Heights, height_of, stated_height
from homeleg.formats.plain_shapes import BOUNDARY, DIVERSION, LAUNCH_POINT, ShapeKind
from homeleg.formats.reader import Values
from homeleg.formats.route_file import ROUTE_COLUMNS, inline_item
from homeleg.formats.route_items import ROUTE_ITEM
from homeleg.foundation.counted import counted
from homeleg.foundation.heights import StatedAirspeed, StatedHeight
from homeleg.foundation.side import Side
from homeleg.release.plain_route import Aspect, PlainBoundary, PlainItem, PlainPlace, PlainRoute
from homeleg.route.items import ItemKind, Passing

__all__ = ["ALTITUDE_MOVED", "RouteFound", "only_named", "route_from"]

_KINDS = [kind.value for kind in ItemKind]
_PLACES = ("latitude_deg", "longitude_deg", "east_m", "north_m")
_OURS = tuple(column for column in ROUTE_COLUMNS if column not in _PLACES)
_BESIDE = (LAUNCH_POINT, BOUNDARY, DIVERSION)
_SAME_DEG = 1e-7
# Altitudes are written to the centimetre.
_SAME_HEIGHT_M = 0.02
ALTITUDE_MOVED = "was changed since"


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteFound:
    """A route out of a file; for each item "" or why it has no height; what was left behind."""

    route: PlainRoute
    no_heights: tuple[str, ...]
    lost: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stop:
    """A place of the route, with the shape it belongs to and what it says of itself."""

    feature: Feature
    vertex: Vertex
    name: str
    cells: dict[str, str]

    @property
    def is_ours(self) -> bool:
        return self.cells.get("kind") in _KINDS


def route_from(found: Features, heights: Heights = None) -> RouteFound:
    """Return the route that a file holds; an item's height is None where nobody knows its datum.

    Raises InputFileError when the file holds none, or more than one.
    """
    beside = [one for one in found.features if one.cells.get("kind") in _BESIDE]
    others = [one for one in found.features if one not in beside]
    lines = [one for one in others if one.shape is ShapeKind.LINE]
    points = [one for one in others if one.shape is ShapeKind.POINT]
    stops = _stops(found, lines, points)
    read = [_item(stop, heights) for stop in stops]
    _report_altitudes_moved(stops, [item for item, _ in read])
    found.findings.raise_if_any()
    items = tuple(item for item, _ in read)
    areas = len(others) - len(lines) - len(points)
    passed = Counter(key for stop in stops for key in stop.cells if key not in _OURS)
    lost = [*found.lost, *([f"areas ({areas})"] if areas else [])]
    lost += [f"what places say as {key} ({count})" for key, count in passed.items()]
    route = _with_beside(PlainRoute(items=items), beside)
    return RouteFound(
        route=replace(route, untold=_untold(route, stops)),
        no_heights=tuple(why for _, why in read),
        lost=tuple(lost),
    )


def only_named(found: Features, name: str) -> Features:
    """Return the shapes of this name alone; raises InputFileError when there are none."""
    chosen = tuple(feature for feature in found.features if feature.name == name)
    if not chosen:
        names = ", ".join(dict.fromkeys(one.name for one in found.features if one.name))
        problem = f'nothing in it is called "{name}"'
        found.findings.top.report(problem, f"There are: {names[:400] or 'no names'}.")
        found.findings.raise_if_any()
    return replace(found, features=chosen)


def _stops(found: Features, lines: list[Feature], points: list[Feature]) -> list[_Stop]:
    """Return the places of the one line there is, or of the points, each with its name."""
    if len(lines) > 1 or (lines and points and not _is_drawn_through(lines[0], points)):
        held = [counted(len(lines), "line")]
        held += [counted(len(points), "point")] if points else []
        names = {one.name for one in (*lines, *points)}
        found.findings.top.report(
            f"holds {' and '.join(held)}: which is the route?",
            'Name it: --only "its name".'
            if len(names) > 1
            else "Give the one that is meant a name of its own in that file, and name it: --only.",
        )
    if not lines and not points:
        found.findings.top.report("holds no line and no points", "A route is one or the other.")
    found.findings.raise_if_any()
    if points:
        _report_leaps(found, points)
        pairs = [(point, point.vertices[0], point.name, point.cells) for point in points]
    else:
        line = lines[0]
        pairs = [(line, vertex, vertex.name, vertex.cells) for vertex in line.vertices]
    return [
        _Stop(feature=feature, vertex=vertex, name=name or f"P{number}", cells=dict(cells))
        for number, (feature, vertex, name, cells) in enumerate(pairs, start=1)
    ]


def _is_drawn_through(line: Feature, points: list[Feature]) -> bool:
    """Return whether a line is the points once more, in the same order."""
    places = [point.vertices[0] for point in points]
    return len(places) == len(line.vertices) and all(
        abs(a.latitude_deg - b.latitude_deg) <= _SAME_DEG
        and abs(a.longitude_deg - b.longitude_deg) <= _SAME_DEG
        for a, b in zip(places, line.vertices, strict=True)
    )


def _report_leaps(found: Features, points: list[Feature]) -> None:
    joined = tuple(point.vertices[0] for point in points)
    line = Feature(shape=ShapeKind.LINE, spot=found.findings.top, vertices=joined)
    report_bad_places(replace(found, features=(line,)))


def _item(stop: _Stop, heights: Heights) -> tuple[PlainItem, str]:
    """Return an item as it speaks of itself, and why it has no height.

    Of an item whose kind is not ours only kind and name are heard.
    """
    row = {"kind": ItemKind.POINT.value}
    if stop.is_ours or "kind" not in stop.cells:
        row |= {key: cell for key, cell in stop.cells.items() if key in _OURS and cell}
    table = ROUTE_ITEM.read(inline_item({**row, "name": stop.name}), stop.feature.spot)
    table = table or Values(stop.feature.spot, {})
    height, no_height = table.get("height", StatedHeight), ""
    if height is None or isinstance(heights, StatedHeight):
        height, no_height = height_of(stop.feature, stop.vertex, heights)
    minutes = table.get("minutes", float)
    kind = table.get("kind", ItemKind) or ItemKind.POINT
    item = PlainItem(
        name=stop.name,
        kind=kind if stop.is_ours else stop.cells.get("kind", kind),
        latitude_deg=stop.vertex.latitude_deg,
        longitude_deg=stop.vertex.longitude_deg,
        height=height,
        airspeed=table.get("airspeed", StatedAirspeed),
        passing=table.get("pass", Passing),
        radius_m=table.get("radius", float),
        side=table.get("side", Side),
        turns=table.get("turns", float),
        duration_s=None if minutes is None else 60.0 * minutes,
        picture=table.get("picture", bool),
    )
    return item, no_height


def _report_altitudes_moved(stops: Sequence[_Stop], items: Sequence[PlainItem]) -> None:
    """Report an altitude that another program changed, and the stated height beside it was not.

    Written together they differ by the height of one datum over the other, the same everywhere: as
    at most of them.
    """
    both = [
        (stop, stop.vertex.height_m, item.height)
        for stop, item in zip(stops, items, strict=True)
        if stop.vertex.height_m is not None and item.height is not None and "above" in stop.cells
    ]
    for stop, written_m, stated in both:
        apart_m = 0.0
        if stop.feature.above is not stated.above:
            apart_m = median_low(w - s.value_m for _, w, s in both if s.above is stated.above)
        if abs(written_m - stated.value_m - apart_m) > _SAME_HEIGHT_M:
            stop.feature.spot.report(
                f"{stop.name} is stated at {stated.value_m:g} m {stated.above.value}, and its "
                f"altitude of {written_m:g} m {ALTITUDE_MOVED}",
                "Which is right? Write the height anew.",
            )


def _with_beside(route: PlainRoute, beside: list[Feature]) -> PlainRoute:
    """Return the route with launch point, boundary and diversion points as we write them."""
    for feature in beside:
        about, height = feature.cells["kind"], stated_height(feature.cells, feature.spot)
        corners_deg = tuple((one.latitude_deg, one.longitude_deg) for one in feature.vertices)
        if about == BOUNDARY:
            closed = corners_deg[:1] == corners_deg[-1:] and corners_deg[1:]
            open_deg = corners_deg[:-1] if closed else corners_deg
            route = replace(route, boundary=PlainBoundary(corners_deg=open_deg, top=height))
            continue
        latitude_deg, longitude_deg = corners_deg[0]
        place = PlainPlace(
            name=feature.name, latitude_deg=latitude_deg, longitude_deg=longitude_deg, height=height
        )
        if about == LAUNCH_POINT:
            route = replace(route, launch_point=place)
        else:
            route = replace(route, diversions=(*route.diversions, place))
    return route


def _untold(route: PlainRoute, stops: Sequence[_Stop]) -> frozenset[Aspect]:
    """Return what the file cannot tell: of a file of ours only what lies beside the route."""
    untold = set()
    if route.launch_point is None:
        untold.add(Aspect.LAUNCH_POINT)
    if route.boundary is None:
        untold.add(Aspect.BOUNDARY)
    if not route.diversions:
        untold.add(Aspect.DIVERSIONS)
    if any("kind" in stop.cells for stop in stops):
        return frozenset(untold)
    untold |= {Aspect.KIND, Aspect.AIRSPEED, Aspect.PASSING, Aspect.ORBIT, Aspect.PICTURE}
    if not any(stop.vertex.name or stop.feature.name for stop in stops):
        untold.add(Aspect.NAME)
    if all(item.height is None for item in route.items):
        untold.add(Aspect.HEIGHT)
    return frozenset(untold)
