"""A route for other programs, in each format it is written in."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from homeleg.formats.columns_csv import write_columns
from homeleg.formats.geojson import write_geojson
from homeleg.formats.gpx import write_gpx
from homeleg.formats.kml import write_kml
from homeleg.formats.plain_shapes import Written
from homeleg.release.plain_route import PlainRoute

__all__ = ["ROUTE_WRITERS"]

# By the ending of the file: what writes a route under a name of its own.
ROUTE_WRITERS: Mapping[str, Callable[[PlainRoute, str], Written]] = MappingProxyType(
    {".kml": write_kml, ".gpx": write_gpx, ".geojson": write_geojson, ".csv": write_columns}
)
