"""Today's likely surface winds as points, from the reports and their spread."""

import math
from statistics import NormalDist

from homeleg.sortie.sortie import Sortie
from homeleg.world.wind import combined_wind

__all__ = ["likely_winds"]

_COUNT = 120
# Steps of the additive recurrence with the plastic number: even in the plane, the same every time.
# Source: M. Roberts, the R2 sequence (MEMORY).
_PLASTIC = 1.32471795724474602596
_STEPS = (1.0 / _PLASTIC, 1.0 / _PLASTIC**2)


def likely_winds(sortie: Sortie) -> tuple[tuple[float, float], ...]:
    """Return speeds and directions, evenly drawn from the wind nearest the ground [m/s, rad]."""
    profile = combined_wind(sortie.weather, sortie.launch_time)
    speed, speed_sd = float(profile.speeds_m_s[0]), float(profile.speed_sds_m_s[0])
    direction, direction_sd = float(profile.from_true_rad[0]), float(profile.direction_sds_rad[0])
    normal = NormalDist()
    points = []
    for k in range(1, _COUNT + 1):
        first, second = (normal.inv_cdf((0.5 + k * step) % 1.0) for step in _STEPS)
        drawn = (direction + direction_sd * second) % math.tau
        points.append((max(speed + speed_sd * first, 0.0), drawn))
    return tuple(points)
