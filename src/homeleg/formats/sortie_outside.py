"""What a sortie file takes from files of other programs: its boundary, ground, obstacles."""

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from homeleg.formats.features import Features
from homeleg.formats.outside_file import read_outside
from homeleg.formats.outside_heights import NO_HEIGHT, Heights
from homeleg.formats.outside_obstacles import obstacles_from
from homeleg.formats.outside_route import only_named
from homeleg.formats.outside_shapes import ShapesFound, areas_from, points_from, why_no_boundary
from homeleg.formats.plain_shapes import PlainShape
from homeleg.formats.plane import Plane
from homeleg.formats.reader import Values
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.world.ground import Obstacle
from homeleg.world.outline import distance_outside
from homeleg.world.site import Boundary, ComeDownPlace, KeepOutGround, KeepOutKind

__all__ = ["SiteFiles"]

_FARTHEST_M = 50_000.0
_KINDS = {kind.value: kind for kind in KeepOutKind}
# A height in a file that does not say how well it is known (MEMORY).
_HEIGHT_SD_SHARE = 0.1

Taken = Callable[[Features, Heights], ShapesFound]
Corners = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class SiteFiles:
    """The files named by a site: beside which folder, about which launch point, which were read."""

    folder: Path
    launch: Plane
    sources: list[tuple[str, str]] = field(default_factory=list)

    def boundary(self, table: Values) -> Boundary | None:
        """Return the boundary a file draws, None after reporting what is wrong with it."""
        areas = self._shapes(table, areas_from)
        if not areas:
            return None
        if told := why_no_boundary(areas, 'only = "its name"'):
            table.spot.at("file").report(*told)
            return None
        top = table.get("top", StatedHeight) or areas[0].height
        if top is None or top.above is Datum.ELLIPSOID:
            table.spot.at("file").report(
                f"does not say how high one may fly: {areas[0].no_height or 'ellipsoid'}",
                'Add top = "118 m above launch".',
            )
            return None
        return Boundary(vertices_m=self._corners_m(table, areas[0]), top=top)

    def keep_out(self, table: Values) -> tuple[KeepOutGround, ...]:
        """Return ground not to fly over, after reporting what nobody says the kind of.

        An island inside counts as part of it.
        """
        told, areas = table.get("kind", KeepOutKind), self._shapes(table, areas_from)
        kinds = [told or _KINDS.get(area.about) for area in areas]
        if None in kinds:
            table.spot.at("file").report(
                "does not say what kind of ground it is",
                f"Add kind, one of: {', '.join(_KINDS)}.",
            )
        return tuple(
            KeepOutGround(
                name=area.name or f"{table.need('file', str)} {number}",
                kind=kind,
                vertices_m=self._corners_m(table, area),
            )
            for number, (area, kind) in enumerate(zip(areas, kinds, strict=True), start=1)
            if kind is not None
        )

    def come_down(self, table: Values) -> tuple[ComeDownPlace, ...]:
        """Return places where it may be lost: circles about points, or inside areas."""
        radius_m = table.get("radius", float)
        take = areas_from if radius_m is None else points_from
        return tuple(
            self._come_down(table, shape, radius_m, number)
            for number, shape in enumerate(self._shapes(table, take), start=1)
        )

    def _come_down(
        self, table: Values, shape: PlainShape, radius_m: float | None, number: int
    ) -> ComeDownPlace:
        corners_m = self._corners_m(table, shape)
        east_m = sum(corner_m[0] for corner_m in corners_m) / len(corners_m)
        north_m = sum(corner_m[1] for corner_m in corners_m) / len(corners_m)
        if radius_m is None:
            radius_m = -float(distance_outside(corners_m, np.array(east_m), np.array(north_m)))
        if radius_m < 1.0 or shape.holes:
            table.spot.at("file").report(
                f"area {number} has no room about its middle",
                'Give points with a radius instead: radius = "30 m".',
            )
        name = shape.name or f"{table.need('file', str)} {number}"
        return ComeDownPlace(name=name, east_m=east_m, north_m=north_m, radius_m=radius_m)

    def obstacles(self, table: Values) -> tuple[Obstacle, ...]:
        """Return things that stand up; reports those whose height above the ground is not known."""
        return tuple(
            obstacle
            for number, shape in enumerate(self._shapes(table, obstacles_from), start=1)
            if (obstacle := self._obstacle(table, shape, number)) is not None
        )

    def _obstacle(self, table: Values, shape: PlainShape, number: int) -> Obstacle | None:
        name = shape.name or f"{table.need('file', str)} {number}"
        if shape.height is None or shape.height.above is not Datum.AGL:
            why = shape.no_height if shape.height is None else f"it is {shape.height.above.value}"
            table.spot.at("file").report(
                f"the height of {name} above the ground there is not known: {why}",
                'Say how high it stands: heights = "12 m AGL".'
                if shape.no_height == NO_HEIGHT
                else 'Say so if it is above the ground: heights = "AGL".',
            )
            return None
        ((east_m, north_m),) = self._corners_m(table, shape)
        height_m = shape.height.value_m
        return Obstacle(
            name=name,
            east_m=east_m,
            north_m=north_m,
            height_m=Estimate(
                value=height_m, sd=_HEIGHT_SD_SHARE * abs(height_m), basis=Basis.ASSUMED
            ),
            seen=None,
        )

    def _shapes(self, table: Values, take: Taken) -> tuple[PlainShape, ...]:
        """Return the shapes of the file a table names, none after reporting its problems."""
        path = self.folder / table.need("file", str)
        only, said = table.get("only", str), table.get("heights", object)
        heights = said if isinstance(said, Datum | StatedHeight) else None
        try:
            outside = read_outside(path)
            found = outside.found if only is None else only_named(outside.found, only)
            shapes = take(found, heights).shapes
        except InputFileError as error:
            table.spot.findings.problems.extend(error.problems)
            return ()
        self.sources.append(outside.source)
        return shapes

    def _corners_m(self, table: Values, shape: PlainShape) -> Corners:
        """Return the corners on the plane, after reporting a shape far from the launch point."""
        corners_m = tuple(
            self.launch.to_plane(math.radians(latitude_deg), math.radians(longitude_deg))
            for latitude_deg, longitude_deg in shape.corners_deg
        )
        farthest_m = max(math.hypot(*corner_m) for corner_m in corners_m)
        if farthest_m > _FARTHEST_M:
            table.spot.at("file").report(
                f"reaches {farthest_m / 1000.0:,.0f} km from the launch point",
                "Is a sign missing, or are latitude and longitude swapped?",
            )
        return corners_m
