"""Heights above the ellipsoid, as receivers give them, turned into heights above mean sea level."""

from homeleg.formats.findings import Spot
from homeleg.formats.geoid import undulation
from homeleg.formats.plane import Plane
from homeleg.formats.reader import Values
from homeleg.foundation.estimate import Estimate
from homeleg.foundation.heights import Datum, StatedHeight

__all__ = ["items_above_sea_level", "undulation_used", "with_heights_above_sea_level"]


def with_heights_above_sea_level(sortie: Values) -> Values:
    """Return a sortie's values, heights above the ellipsoid as AMSL at the launch point."""
    return _above_sea_level(sortie, *sortie.table("site").items("launch_point", float))


def items_above_sea_level(tables: tuple[Values, ...], launch: Plane) -> tuple[Values, ...]:
    """Return the items of a route, each height above the ellipsoid as AMSL where its item lies."""
    return tuple(
        _above_sea_level(table, *_place(table, launch)) if _is_above_ellipsoid(table) else table
        for table in tables
    )


def undulation_used(sortie: Values, tables: tuple[Values, ...]) -> Estimate | None:
    """Return the geoid at the launch point, None where no height is above the ellipsoid. [m]."""
    if not any(_is_above_ellipsoid(values) for values in (sortie, *tables)):
        return None
    return undulation(*sortie.table("site").items("launch_point", float))


def _above_sea_level(values: Values, latitude_rad: float, longitude_rad: float) -> Values:
    if not _is_above_ellipsoid(values):
        return values
    geoid_m = undulation(latitude_rad, longitude_rad).value

    def changed(value: object, _: Spot) -> object:
        if isinstance(value, StatedHeight) and value.above is Datum.ELLIPSOID:
            return StatedHeight(value.value_m - geoid_m, Datum.AMSL)
        return value

    return values.replaced(changed)


def _is_above_ellipsoid(value: object) -> bool:
    """Return whether a value holds a height above the ellipsoid, however deep."""
    if isinstance(value, Values):
        return any(_is_above_ellipsoid(one) for one in value.found.values())
    if isinstance(value, tuple):
        return any(_is_above_ellipsoid(one) for one in value)
    return isinstance(value, StatedHeight) and value.above is Datum.ELLIPSOID


def _place(table: Values, launch: Plane) -> tuple[float, float]:
    """Return an item's latitude and longitude, the launch point's where it has none. [rad]."""
    latitude_rad, longitude_rad = table.get("latitude", float), table.get("longitude", float)
    if latitude_rad is not None and longitude_rad is not None:
        return latitude_rad, longitude_rad
    return launch.to_geographic(table.get("east", float) or 0.0, table.get("north", float) or 0.0)
