"""Latitude and longitude to the plane in metres about the launch point, and back."""

import math
from dataclasses import dataclass

from geographiclib.geodesic import Geodesic

__all__ = ["Plane"]


@dataclass(frozen=True, slots=True)
class Plane:
    """The azimuthal equidistant plane about a launch point, on the WGS 84 ellipsoid. [rad].

    Distance and bearing from the launch point are true; everything else is within 1e-6 of true
    at the distances flown.
    """

    latitude_rad: float
    longitude_rad: float

    def to_plane(self, latitude_rad: float, longitude_rad: float) -> tuple[float, float]:
        """Return metres east and north of the launch point."""
        line = Geodesic.WGS84.Inverse(
            *self._origin_deg, math.degrees(latitude_rad), math.degrees(longitude_rad)
        )
        bearing_rad = math.radians(line["azi1"])
        return line["s12"] * math.sin(bearing_rad), line["s12"] * math.cos(bearing_rad)

    def distance_m(self, latitude_rad: float, longitude_rad: float) -> float:
        """Return how far a place lies from the launch point. [m]."""
        return math.hypot(*self.to_plane(latitude_rad, longitude_rad))

    def to_geographic(self, east_m: float, north_m: float) -> tuple[float, float]:
        """Return latitude and longitude of a point of the plane. [rad]."""
        bearing_deg = math.degrees(math.atan2(east_m, north_m))
        line = Geodesic.WGS84.Direct(*self._origin_deg, bearing_deg, math.hypot(east_m, north_m))
        return math.radians(line["lat2"]), math.radians(line["lon2"])

    @property
    def _origin_deg(self) -> tuple[float, float]:
        return math.degrees(self.latitude_rad), math.degrees(self.longitude_rad)
