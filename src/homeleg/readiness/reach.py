"""The reach an aircraft has earned: how far it may go, and what opens more."""

from dataclasses import dataclass

__all__ = ["MAIDEN_WIND_M_S", "Reach", "earned_reach"]

_MAIDEN_REACH_M = 200.0
_FIRST_REACH_M = 400.0
MAIDEN_WIND_M_S = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """A step of reach; `limit_m` None leaves the distance to the margins."""

    step: int
    limit_m: float | None
    words: str
    next_words: str

    @property
    def only_by_pilot(self) -> bool:
        """Whether a pilot must fly, by hand or assisted."""
        return self.step < 2


def earned_reach(
    *, flights: int, energies_inside: int, place_moved: bool, sight_limit_m: float
) -> Reach:
    """Return the reach of an aircraft with declared flights.

    `energies_inside` counts the last flights whose charge fell inside its predicted band;
    `place_moved` says that a pack or payload place was moved since it last flew.
    """
    if flights < 2:
        return Reach(
            step=0,
            limit_m=_MAIDEN_REACH_M,
            words="circuits by hand within 200 m, wind 4 m/s or less",
            next_words="2 flights with the trim and stall cards open 400 m",
        )
    if place_moved or flights < 3:
        return Reach(
            step=1,
            limit_m=_FIRST_REACH_M,
            words="400 m, within gliding distance of the field",
            next_words="fly the gentle stall card with the new balance"
            if place_moved
            else "a third flight with the commanded-return and link-loss cards opens sight",
        )
    if flights < 5 or energies_inside < 2:
        return Reach(
            step=2,
            limit_m=sight_limit_m,
            words="within sight",
            next_words="5 flights, minutes and mAh of the last two inside their bands",
        )
    return Reach(step=3, limit_m=None, words="what the margins allow", next_words="")
