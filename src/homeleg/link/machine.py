"""What every machine of a link is: told of an event and the time, it says what to send until when.

No socket, clock or thread: a wait is a deadline, so a test runs an hour of link in milliseconds.
Times are seconds of any clock that only goes forward.
"""

from dataclasses import dataclass
from typing import Generic, TypeVar

from homeleg.link.messages import Heard, Message

__all__ = ["ITEM_WAITS_S", "LIST_WAITS_S", "Closed", "Event", "Step", "Tick", "Tries"]

# How long to wait for an answer before asking again, five tries (MAVLink guide, mission service:
# 1500 ms, for items 250 ms, MEMORY; the steps between are ours, kind to slow radios).
LIST_WAITS_S = (1.5, 1.5, 1.5, 1.5, 1.5)
ITEM_WAITS_S = (0.25, 0.5, 1.0, 1.5, 1.5)


@dataclass(frozen=True, slots=True)
class Tick:
    """Time has passed and nothing was heard."""


@dataclass(frozen=True, slots=True)
class Closed:
    """The link is gone; `words` say how."""

    words: str


Outcome = TypeVar("Outcome")
Event = Heard | Tick | Closed


@dataclass(frozen=True, slots=True, kw_only=True)
class Step(Generic[Outcome]):
    """What to do now: send these, come back by then; with an outcome there is no more to do."""

    send: tuple[Message, ...] = ()
    deadline_s: float | None = None
    outcome: Outcome | None = None


@dataclass(slots=True)
class Tries:
    """Counts the tries of one question, each with its own patience; progress starts them anew."""

    waits_s: tuple[float, ...]
    asked: int = 0

    def next_deadline_s(self, now_s: float) -> float | None:
        """Return until when to wait for the answer to one more try; None when there is none."""
        if self.asked == len(self.waits_s):
            return None
        self.asked += 1
        return now_s + self.waits_s[self.asked - 1]
