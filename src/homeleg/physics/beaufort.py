"""The Beaufort scale: the wind read off what it does on land."""

from collections.abc import Mapping
from enum import Enum
from types import MappingProxyType

__all__ = ["FORCE_OF_SIGN", "STRONGEST_FORCE", "LandSign", "beaufort_limits"]

# Wind at 10 m over open ground at which each force begins [m/s]; the last ends force 11.
# WMO, Manual on Codes, code table 1100 (FOUND via the ICU library's unit conversion, which
# quotes the WMO limits).
_BEGINS_M_S = (0.0, 0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7)
# Force 12 has no upper limit, so it has no middle either.
STRONGEST_FORCE = len(_BEGINS_M_S) - 2


class LandSign(Enum):
    """What the wind does on land, calm to violent storm, in short words."""

    SMOKE_RISES = "smoke rises straight up"
    SMOKE_DRIFTS = "smoke drifts, vanes stay still"
    FELT_ON_FACE = "wind felt on the face, leaves rustle"
    TWIGS_MOVE = "leaves and small twigs move all the time"
    BRANCHES_MOVE = "dust and paper rise, small branches move"
    SMALL_TREES_SWAY = "small trees in leaf sway"
    LARGE_BRANCHES_MOVE = "large branches move, wires whistle"
    WHOLE_TREES_MOVE = "whole trees move"
    TWIGS_BREAK = "twigs break off, walking is hard"
    SLIGHT_DAMAGE = "slight damage to buildings"
    TREES_UPROOTED = "trees are uprooted"
    WIDE_DAMAGE = "damage far and wide"


# WMO, specifications for use on land, one a force (FOUND in many public copies of the table).
FORCE_OF_SIGN: Mapping[LandSign, int] = MappingProxyType(
    {sign: force for force, sign in enumerate(LandSign)}
)


def beaufort_limits(force: int) -> tuple[float, float]:
    """Return the wind at which a Beaufort force begins and ends.

    Parameters
    ----------
    force
        Beaufort number, 0 to 11.

    Returns
    -------
    tuple[float, float]
        Least and greatest ten-minute mean wind at 10 m over open ground. [m/s]

    Raises
    ------
    ValueError
        If there is no such force, or it is 12, which has no upper limit.

    References
    ----------
    WMO, Manual on Codes, code table 1100, as for the limits above.
    """
    if not 0 <= force <= STRONGEST_FORCE:
        raise ValueError(f"Beaufort force {force} is outside 0 to {STRONGEST_FORCE}")
    return _BEGINS_M_S[force], _BEGINS_M_S[force + 1]
