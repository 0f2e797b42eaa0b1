"""The calls made at the aircraft: what is asked, what may be said, which answer is right.

A call asks what was seen and never says what should be. Only the pilot's own eye knows; the page
compares.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from homeleg.aircraft.priors import BodyPlan
from homeleg.readiness.told import TOLD_ITEMS, ToldItem
from homeleg.verdict.result import Verdict

__all__ = ["SWITCHED_OFF", "Call", "calls_for", "calls_of"]

_LATER = "CAN'T SAY YET"
_GOOD_BAD = ("GOOD", "NOT GOOD", _LATER)
# What has to be seen again once the pack was unplugged.
SWITCHED_OFF = ("sense", "heading", "position", "route_aboard")
_OPTIONS = {
    "pack.temperature": ("--pack-temperature", "degC"),
    "pack.health": ("--pack-capacity", "%"),
}
_KEYS = {"speed.pitot": "pitot"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """One screen. `right` is the answer that makes the item good, `leave` those that leave it open.

    A call with a `unit` asks for a number, which goes behind `option`; others end as told items.
    """

    item: str
    group: str
    ask: str
    how: str
    answers: tuple[str, ...] = _GOOD_BAD
    right: tuple[str, ...] = ("GOOD",)
    leave: tuple[str, ...] = (_LATER,)
    option: str = ""
    unit: str = ""
    drawn: bool = False

    @property
    def voided(self) -> bool:
        """Whether unplugging the pack makes its answer worthless."""
        return self.item in SWITCHED_OFF


def calls_of(verdict: Verdict, plan: BodyPlan) -> tuple[Call, ...]:
    """Return the calls for what is still open; all of them where nothing is."""
    open_items = {one.item for one in verdict.to_do}
    return calls_for([item for item in TOLD_ITEMS if item.name in open_items] or TOLD_ITEMS, plan)


def calls_for(items: Iterable[ToldItem], plan: BodyPlan) -> tuple[Call, ...]:
    """Return the calls for told items, in their order."""
    calls: list[Call] = []
    for item in items:
        if item.name == "sense":
            calls += _surfaces(plan)
        elif item.name == "wing":
            calls += _rigging()
        else:
            option, unit = _OPTIONS.get(item.name, ("", ""))
            key = _KEYS.get(item.name, item.name)
            group = item.name.replace("_", " ").replace(".", " ")
            calls.append(
                Call(item=key, group=group, ask=item.ask, how="", option=option, unit=unit)
            )
    return tuple(calls)


def _rigging() -> tuple[Call, ...]:
    """Return the calls of the wing's attachment: count, wear, and a pull at each tip.

    The right answers are other words each time, so that none is given by habit.
    """
    asked = (
        (
            "Count what holds the wing: is all of it there?",
            "Pins, bolts, bands, catches. Touch each, count aloud, against the number on its card.",
            ("ALL", "NOT ALL", _LATER),
        ),
        (
            "What of it is cracked, worn, soft or too old?",
            "Bands, screws, tape, tubes, sockets. Look at both ends of each.",
            ("NONE OF IT", "SOME OF IT", _LATER),
        ),
        (
            "Pull the LEFT tip up, then back: what moved?",
            "Hold the body. As hard as the flight will.",
            ("NOTHING", "THE JOINT", _LATER),
        ),
        (
            "Pull the RIGHT tip up, then back: what moved?",
            "Hold the body. As hard as the flight will.",
            ("NOTHING", "THE JOINT", _LATER),
        ),
    )
    return tuple(
        Call(item="wing", group="wing", ask=ask, how=how, answers=answers, right=answers[:1])
        for ask, how, answers in asked
    )


def _surfaces(plan: BodyPlan) -> tuple[Call, ...]:
    """Return a call for each command; a flying wing mixes two of them on the same surfaces."""
    wing = plan is BodyPlan.FLYING_WING
    surface = "rear edge" if wing else "aileron"
    sides = ("LEFT", "RIGHT", "NEITHER", "CAN'T SEE")
    heights = ("UP", "DOWN", "NOWHERE", "CAN'T SEE")
    behind = "Hold it. Stand behind. Say what you see."
    pulled = "where did both rear edges go?" if wing else "where did the elevator's rear edge go?"
    unseen = ("CAN'T SEE",)
    group = "surfaces"
    calls = [
        Call(
            item="sense",
            group=group,
            ask=f"Right stick: which {surface} went UP?",
            how=behind,
            answers=sides,
            right=("RIGHT",),
            leave=unseen,
            drawn=True,
        ),
        Call(
            item="sense",
            group=group,
            ask=f"Stick pulled to you: {pulled}",
            how=behind,
            answers=heights,
            right=("UP",),
            leave=unseen,
        ),
    ]
    if not wing:
        calls.append(
            Call(
                item="sense",
                group=group,
                ask="Right rudder: to which side did its rear edge go?",
                how=behind,
                answers=("LEFT", "RIGHT", "NO RUDDER", "CAN'T SEE"),
                right=("RIGHT", "NO RUDDER"),
                leave=unseen,
            )
        )
    ask = "Each surface: full throw both ways, and hardly any slop?"
    return (*calls, Call(item="sense", group=group, ask=ask, how="At most 2 degrees of slop."))
