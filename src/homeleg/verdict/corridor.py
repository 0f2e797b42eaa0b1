"""Where some members of an ensemble are, second by second, up to their final."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown, states_at
from homeleg.route.geometry import Leg
from homeleg.verdict.evidence import in_unit
from homeleg.verdict.result import Place, Row
from homeleg.world.ground import ground_height

Array = NDArray[np.float64]

__all__ = ["Corridor", "corridor_of"]

_MEMBERS = 64
# States kept at once, about 45 MB; longer flights and more members are looked at less often.
_MOST_STATES = 115_000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Corridor:
    """Positions of the first members at evenly spaced seconds (seconds, members).

    Metres east and north of the launch point and above it, NaN before release and from the final
    on; `on_route` is false in the climb-out and in the pattern. `charge_used_ah` stays what it was
    at a flight's end. `ground_error_m` (members,) is how much higher each member's ground is than
    the surface shows.
    """

    seconds: Array
    east_m: Array
    north_m: Array
    up_m: Array
    leg: NDArray[np.int64]
    on_route: NDArray[np.bool_]
    charge_used_ah: Array
    ground_error_m: Array
    legs: tuple[Leg, ...]

    @property
    def spacing_s(self) -> float:
        """Seconds between two positions."""
        return float(self.seconds[1] - self.seconds[0])

    def heights_over_ground_m(self, flown: Flown) -> Array:
        """Return heights over the bare ground, trees left out, as each member has it. [m]."""
        ground_m = ground_height(flown.resolved.surface, self.east_m, self.north_m)
        # At the launch point the ground is known; a hundred metres away its spread is in full.
        share = np.minimum(np.hypot(self.east_m, self.north_m) / 100.0, 1.0)
        return np.asarray(self.up_m - ground_m - self.ground_error_m * share)

    def located(self, row: Row, values_si: Array, worst: NDArray[np.int64]) -> Row:
        """Return the row with the place where the member that stands for its reading read it.

        `values_si` (members,) are those of the row, `worst` (members,) the second of each.
        """
        if row.reading is None:
            return row
        off = np.abs(in_unit(row.limit, values_si) - row.reading)
        member = int(np.argmin(np.where(np.isfinite(off), off, np.inf)))
        at = (int(worst[member]), member)
        leg = self.legs[self.leg[at]]
        place = Place(
            leg=f"{leg.start} to {leg.end}" if leg.start != leg.end else leg.end,
            time_s=float(self.seconds[at[0]]),
            east_m=float(self.east_m[at]),
            north_m=float(self.north_m[at]),
            height_above_launch_m=float(self.up_m[at]),
        )
        return replace(row, where=place)


def corridor_of(flown: Flown, members: int = _MEMBERS) -> Corridor:
    """Return where the first members were at every whole second, or less often on long flights."""
    members = min(members, flown.draws.members)
    longest_s = float(np.max(flown.results[:members, c.DURATION]))
    spacing_s = max(1.0, np.ceil(longest_s * members / _MOST_STATES))
    seconds = np.arange(0.0, longest_s + 2.0 * spacing_s, spacing_s)
    states, before_final = states_at(flown, members, seconds)
    leg = states[:, :, c.LEG].astype(np.int64)
    legs = flown.departure.legs
    on_route = np.array([one.on_route for one in legs])[leg]
    east_m, north_m, up_m = (
        np.where(before_final, states[:, :, column], np.nan) for column in (c.EAST, c.NORTH, c.UP)
    )
    return Corridor(
        seconds=seconds,
        east_m=east_m,
        north_m=north_m,
        up_m=up_m,
        leg=leg,
        on_route=before_final & on_route,
        charge_used_ah=np.where(
            seconds[:, np.newaxis] < flown.results[:members, c.DURATION],
            states[:, :, c.CHARGE],
            flown.results[:members, c.CHARGE_USED],
        ),
        ground_error_m=flown.members[:members, c.GROUND_ERROR],
        legs=legs,
    )
