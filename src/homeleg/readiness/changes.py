"""What happens to an aircraft between flights, and what each change makes worthless."""

from dataclasses import dataclass
from enum import Enum

__all__ = ["Change", "Void", "may_be", "void_by"]


class Change(Enum):
    """What was done to an aircraft, or what befell it, in the words of the trade."""

    WING_REFITTED = "wing refitted"
    LEAD_REPLUGGED = "lead replugged"
    PLACE_MOVED = "camera or pack place moved"
    PROPELLER_OR_MOTOR = "propeller or motor"
    AUTOPILOT = "autopilot software or settings"
    HARD_LANDING = "hard landing"
    NEW_PACK = "new pack"
    TUBE_DISTURBED = "tube disturbed"
    WRITTEN_ANEW = "only written down better"


@dataclass(frozen=True, slots=True, kw_only=True)
class Void:
    """What a change makes worthless.

    `told` names the told items whose answers from before it count no more, `cards` the test cards
    to fly again, `reach_step` the step the reach falls back to, and `words` the rest.
    `until_flown` says that one flight earns the step again; else the cards have to be flown.
    """

    told: tuple[str, ...] = ()
    cards: tuple[str, ...] = ()
    reach_step: int | None = None
    until_flown: bool = False
    words: str = ""


# The wing's two are one row of the table: what was taken off may have been put back wrong.
_REFITTED = Void(told=("wing", "sense"), words="see every surface move, pull each tip")
_VOID = {
    Change.WING_REFITTED: _REFITTED,
    Change.LEAD_REPLUGGED: _REFITTED,
    Change.PLACE_MOVED: Void(
        cards=("stall",),
        reach_step=1,
        until_flown=True,
        words="balance it again, then the gentle stall card",
    ),
    Change.PROPELLER_OR_MOTOR: Void(
        cards=("G3", "F4"), words="what it draws is known no better than at first"
    ),
    Change.AUTOPILOT: Void(
        told=("settings",),
        cards=("commanded return", "link loss"),
        reach_step=1,
        words="its guidance figures are as stated, not as flown",
    ),
    # Alignment is of wing and tail as of the heading: both are looked at again.
    Change.HARD_LANDING: Void(
        told=("wing", "sense", "speed.pitot", "heading"),
        words="look at alignment, mounts and tube; balance it again",
    ),
    Change.NEW_PACK: Void(
        told=("pack.health", "pack.temperature"), words="its resistance is assumed until measured"
    ),
    Change.TUBE_DISTURBED: Void(told=("speed.pitot",), words="the pitot bench card again"),
    Change.WRITTEN_ANEW: Void(),
}

# By how the keys of an aircraft's record begin: what a changed value may stand for. The first is
# supposed until somebody says which; without any, nothing on the aircraft was touched.
_MAY_BE = {
    "stations": (Change.PLACE_MOVED, Change.WRITTEN_ANEW),
    "mass": (Change.PLACE_MOVED, Change.WRITTEN_ANEW),
    "propulsion": (Change.PROPELLER_OR_MOTOR, Change.WRITTEN_ANEW),
    "battery": (Change.NEW_PACK, Change.WRITTEN_ANEW),
    "wing": (Change.WING_REFITTED, Change.WRITTEN_ANEW),
    "guidance": (Change.AUTOPILOT, Change.WRITTEN_ANEW),
    "takeoff": (Change.AUTOPILOT, Change.WRITTEN_ANEW),
    "link_loss": (Change.AUTOPILOT, Change.WRITTEN_ANEW),
}


def void_by(change: Change) -> Void:
    """Return what a change makes worthless."""
    return _VOID[change]


def may_be(key: str) -> tuple[Change, ...]:
    """Return what a changed key of an aircraft's record may stand for, the gravest first."""
    return _MAY_BE.get(key.partition(".")[0], ())
