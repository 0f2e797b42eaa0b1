"""Told items: what only a person at the field can say, each with its time and its expiry."""

from dataclasses import dataclass
from datetime import datetime, timedelta

__all__ = ["DECLARED_ITEMS", "TOLD_ITEMS", "ToldAnswer", "ToldItem", "is_open"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldAnswer:
    """An answer given at the field.

    `good` is the plain answer (None where only numbers were given); `numbers` holds measured
    values in SI units by their name in the told table.
    """

    item: str
    good: bool | None
    numbers: dict[str, float]
    seen: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldItem:
    """Something to look at or measure at the field, and how long the answer stands."""

    name: str
    ask: str
    stands_for: timedelta


_A_DAY_OF_FLYING = timedelta(hours=12)

# In the order in which they are best done. Times ours; what an event voids is readiness' business.
TOLD_ITEMS: tuple[ToldItem, ...] = (
    ToldItem(
        name="wing",
        ask="Count what holds the wing, look at its age, pull each tip.",
        stands_for=_A_DAY_OF_FLYING,
    ),
    ToldItem(
        name="sense",
        ask="Speak each command and see which way its surface moves, full throw, no slop.",
        stands_for=_A_DAY_OF_FLYING,
    ),
    ToldItem(
        name="speed.pitot",
        ask="Cover the tube: note the zero offset; press gently: does it hold?",
        stands_for=_A_DAY_OF_FLYING,
    ),
    ToldItem(
        name="heading",
        ask="Point the nose at a landmark: how far is the heading off?",
        stands_for=_A_DAY_OF_FLYING,
    ),
    ToldItem(
        name="position",
        ask="How far is the launch point shown from the one planned?",
        stands_for=_A_DAY_OF_FLYING,
    ),
    ToldItem(
        name="pack.temperature",
        ask="Feel or measure the pack's temperature.",
        stands_for=timedelta(hours=1),
    ),
    ToldItem(
        name="pack.health",
        ask="Pack: capacity and resistance against new, cell spread, swelling?",
        stands_for=timedelta(days=30),
    ),
    ToldItem(
        name="walk",
        ask="Walk the launch and landing ground; look for wires, cranes, new growth.",
        stands_for=_A_DAY_OF_FLYING,
    ),
    ToldItem(
        name="airspace",
        ask="Check the airspace for the time of the flight.",
        stands_for=_A_DAY_OF_FLYING,
    ),
    ToldItem(
        name="route_aboard",
        ask="Fetch the route back from the aircraft and compare it.",
        stands_for=timedelta(hours=4),
    ),
    ToldItem(
        name="settings",
        ask="Read aloud return height, link-loss action and timer, boundary action.",
        stands_for=_A_DAY_OF_FLYING,
    ),
    ToldItem(
        name="crew",
        ask="Agree who has control when, and the words to stop.",
        stands_for=_A_DAY_OF_FLYING,
    ),
    ToldItem(
        name="papers",
        ask="Registration, certificate, insurance, permission: at hand and in date?",
        stands_for=timedelta(days=1),
    ),
)

# What the files may declare. Where they do not, a person at the field says that all is well.
DECLARED_ITEMS: tuple[ToldItem, ...] = (
    ToldItem(
        name="boundary",
        ask="No boundary declared: give [site] boundary, or say there is none to keep.",
        stands_for=_A_DAY_OF_FLYING,
    ),
    ToldItem(
        name="people",
        ask="No keep-out ground declared: list people, roads, buildings, railways in [site] "
        "keep_out, or say there are none.",
        stands_for=_A_DAY_OF_FLYING,
    ),
    ToldItem(
        name="visibility",
        ask="No visibility told: give [weather] visibility, or say you see 5 km and more.",
        stands_for=timedelta(hours=1),
    ),
    ToldItem(
        name="radio",
        ask="No radio declared: give [radio] of the aircraft, or say its link was tried this far.",
        stands_for=_A_DAY_OF_FLYING,
    ),
    ToldItem(
        name="cloud",
        ask="No cloud base told: give [weather] cloud_base, or say there is no low cloud.",
        stands_for=timedelta(hours=1),
    ),
)


def is_open(item: ToldItem, answer: ToldAnswer | None, at: datetime) -> bool:
    """Return whether an item still has to be done: not answered, without a time, or too old."""
    if answer is None or answer.seen is None:
        return True
    return at - answer.seen > item.stands_for
