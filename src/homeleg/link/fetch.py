"""Fetch one plan of an aircraft: how many items, each item in turn, then the acknowledgement.

idle -> asked how many -> asked item i -> fetched | failed. Answers count only from the aircraft
named, to us, of the plan and the item asked for; all else is somebody else's, late or doubled.
"""

from dataclasses import dataclass, field

from homeleg.link.machine import ITEM_WAITS_S, LIST_WAITS_S, Closed, Event, Step, Tries
from homeleg.link.messages import (
    Ack,
    AckResult,
    Count,
    Heard,
    Item,
    Message,
    PlanType,
    Request,
    RequestList,
)
from homeleg.link.parties import Parties

__all__ = ["Failed", "Fetch", "FetchedPlan"]

# More items than any aircraft of this size holds: a count beyond is noise. Ours.
_MOST_ITEMS = 5000


@dataclass(frozen=True, slots=True, kw_only=True)
class FetchedPlan:
    """A plan as the aircraft gave it, with the id it gave for it (0: none)."""

    plan: PlanType
    items: tuple[Item, ...]
    plan_id: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Failed:
    """A transfer that did not come to its end: at which step, and why, in words.

    `is_final` where trying again is of no use: no answer at all, not supported, link gone.
    """

    step: str
    reason: str
    is_final: bool = False


@dataclass(slots=True, kw_only=True)
class Fetch:
    """The machine of one fetch."""

    parties: Parties
    plan: PlanType
    _count: int | None = None
    _plan_id: int = 0
    _precise: bool = True
    _items: list[Item] = field(default_factory=list)
    _tries: Tries = field(default_factory=lambda: Tries(LIST_WAITS_S))
    _deadline_s: float | None = None

    @property
    def doing(self) -> str:
        """How far it is, in words."""
        if self._count is None:
            return f"Asking for the {self.plan.words}"
        return f"Reading the {self.plan.words}: {len(self._items)} of {self._count} items"

    def begin(self, now_s: float) -> Step[FetchedPlan | Failed]:
        """Ask how many items there are."""
        return self._ask(now_s)

    def on(self, event: Event, now_s: float) -> Step[FetchedPlan | Failed]:
        """Take what was heard, or that time has passed."""
        if isinstance(event, Closed):
            return self._failed(event.words, is_final=True)
        if isinstance(event, Heard) and self.parties.are_of(event):
            step = self._heard(event.message, now_s)
            if step is not None:
                return step
        if self._deadline_s is not None and now_s >= self._deadline_s:
            return self._ask(now_s)
        return Step(deadline_s=self._deadline_s)

    def _heard(self, message: Message | None, now_s: float) -> Step[FetchedPlan | Failed] | None:
        """Return the step an answer leads to; None for what is no answer."""
        match message:
            case Count(plan=plan) if plan == self.plan:
                return self._counted(message, now_s)
            case Item(plan=plan, sequence=sequence) if plan == self.plan:
                asked = self._count is not None and sequence == len(self._items)
                return self._took(message, now_s) if asked else None
            case Ack(plan=plan, result=result) if plan == self.plan and result != 0:
                return self._refused(result, now_s)
            case _:
                return None

    def _counted(self, told: Count, now_s: float) -> Step[FetchedPlan | Failed] | None:
        if self._count is not None:
            if told.count == self._count:
                return None  # doubled or late
            return self._failed(
                f"the plan changed from {self._count} to {told.count} items while it was read"
            )
        if told.count > _MOST_ITEMS:
            return self._failed(f"it says that it holds {told.count} items")
        self._count = told.count
        self._plan_id = told.plan_id
        return self._next(now_s)

    def _took(self, item: Item, now_s: float) -> Step[FetchedPlan | Failed]:
        self._items.append(item)
        return self._next(now_s)

    def _next(self, now_s: float) -> Step[FetchedPlan | Failed]:
        """Ask for the next item, or end."""
        if len(self._items) < (self._count or 0):
            self._tries = Tries(ITEM_WAITS_S)
            return self._ask(now_s)
        done = self.parties.ack(self.plan, AckResult.ACCEPTED)
        fetched = FetchedPlan(plan=self.plan, items=tuple(self._items), plan_id=self._plan_id)
        return Step(send=(done,), outcome=fetched)

    def _ask(self, now_s: float) -> Step[FetchedPlan | Failed]:
        deadline_s = self._tries.next_deadline_s(now_s)
        if deadline_s is None:
            if self._count is not None and self._precise and not self._items:
                return self._ask_the_old_way(now_s)
            return self._failed("no answer", is_final=self._count is None)
        self._deadline_s = deadline_s
        return Step(send=(self._question(),), deadline_s=deadline_s)

    def _ask_the_old_way(self, now_s: float) -> Step[FetchedPlan | Failed]:
        """Ask for positions in single precision: some aircraft answer to nothing else."""
        self._precise = False
        self._tries = Tries(ITEM_WAITS_S)
        return self._ask(now_s)

    def _question(self) -> Message:
        to_system, to_component = self.parties.system, self.parties.component
        if self._count is None:
            return RequestList(to_system=to_system, to_component=to_component, plan=self.plan)
        return Request(
            to_system=to_system,
            to_component=to_component,
            plan=self.plan,
            sequence=len(self._items),
            precise=self._precise,
        )

    def _refused(self, result: int, now_s: float) -> Step[FetchedPlan | Failed]:
        unsupported = result in (AckResult.UNSUPPORTED, AckResult.UNSUPPORTED_FRAME)
        if unsupported and self._count is not None and self._precise and not self._items:
            return self._ask_the_old_way(now_s)
        return self._failed(f"the aircraft refused: {refusal_words(result)}", is_final=unsupported)

    def _failed(self, reason: str, *, is_final: bool = False) -> Step[FetchedPlan | Failed]:
        if self._count is None:
            step = "asked how many items it holds"
        else:
            step = f"asked for item {len(self._items) + 1} of {self._count}"
        return Step(outcome=Failed(step=step, reason=reason, is_final=is_final))


def refusal_words(result: int) -> str:
    """Return a result of the common set in words."""
    known = result in set(AckResult)
    return AckResult(result).name.lower().replace("_", " ") if known else f"result {result}"
