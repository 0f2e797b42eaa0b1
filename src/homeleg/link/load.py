"""Load one plan into an aircraft: offer it, serve the items it asks for, hear that it has them.

idle -> offered -> serving items as asked -> acknowledged | refused | failed. Whatever comes out,
only a fetch tells what the aircraft holds: its acknowledgement is no proof.
"""

from dataclasses import dataclass, field, replace

from homeleg.link.fetch import Failed, refusal_words
from homeleg.link.items import WITH_A_PLACE
from homeleg.link.machine import LIST_WAITS_S, Closed, Event, Step, Tries
from homeleg.link.messages import Ack, AckResult, Count, Heard, Item, Message, PlanType, Request
from homeleg.link.parties import Parties

__all__ = ["Acknowledged", "Load"]

# Once it asks, the aircraft is the one that asks again: we only wait this long for a question, and
# this long for one that it did not ask before. Ours.
_PATIENCE_S = 10.0
_PROGRESS_S = 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Acknowledged:
    """The aircraft says that it took the plan, under this id where it tells one (0: none)."""

    plan_id: int


@dataclass(slots=True, kw_only=True)
class Load:
    """The machine of one load; `items` are numbered from 0 in their order.

    `accepted` and `refused` tell what the aircraft said of it, where it said anything.
    """

    parties: Parties
    plan: PlanType
    items: tuple[Item, ...]
    _asked_for: int | None = None
    accepted: bool = False
    refused: bool = False
    _asked: set[int] = field(default_factory=set)
    _progress_s: float = 0.0
    _tries: Tries = field(default_factory=lambda: Tries(LIST_WAITS_S))
    _deadline_s: float | None = None

    @property
    def doing(self) -> str:
        """How far it is, in words."""
        return f"Writing the {self.plan.words}: {self.sent} of {len(self.items)} items"

    @property
    def offered(self) -> bool:
        """Whether the aircraft was told how many items there are."""
        return self._tries.asked > 0

    @property
    def sent(self) -> int:
        """How many of its items were sent, each counted once."""
        return len(self._asked)

    def begin(self, now_s: float) -> Step[Acknowledged | Failed]:
        """Offer the plan."""
        return self._offer(now_s)

    def on(self, event: Event, now_s: float) -> Step[Acknowledged | Failed]:
        """Take what was heard, or that time has passed."""
        if isinstance(event, Closed):
            return self._failed(event.words)
        if isinstance(event, Heard) and self.parties.are_of(event):
            step = self._heard(event.message, now_s)
            if step is not None:
                return step
        if self._deadline_s is not None and now_s >= self._deadline_s:
            if self._asked_for is None:
                return self._offer(now_s)
            return self._failed(f"nothing more came for {_PATIENCE_S:.0f} s")
        return Step(deadline_s=self._deadline_s)

    def cancel(self, reason: str) -> Step[Acknowledged | Failed]:
        """Break the load off and tell the aircraft so."""
        cancelled = self.parties.ack(self.plan, AckResult.CANCELLED)
        return replace(self._failed(reason), send=(cancelled,))

    def _heard(self, message: Message | None, now_s: float) -> Step[Acknowledged | Failed] | None:
        match message:
            case Request(plan=plan) if plan == self.plan:
                return self._serve(message, now_s)
            case Ack(plan=plan) if plan == self.plan:
                return self._acknowledged(message)
            case _:
                return None

    def _serve(self, asked: Request, now_s: float) -> Step[Acknowledged | Failed]:
        if asked.sequence >= len(self.items):
            return self.cancel(
                f"the aircraft asked for item {asked.sequence + 1} of {len(self.items)}"
            )
        if asked.sequence not in self._asked:
            self._asked.add(asked.sequence)
            self._progress_s = now_s
        if now_s > self._progress_s + _PROGRESS_S:
            return self.cancel(f"it asked for nothing new for {_PROGRESS_S:.0f} s")
        self._asked_for = asked.sequence
        self._deadline_s = now_s + _PATIENCE_S
        item = self.items[asked.sequence]
        sent = item if asked.precise else _in_degrees(item)
        return Step(send=(sent,), deadline_s=self._deadline_s)

    def _acknowledged(self, told: Ack) -> Step[Acknowledged | Failed]:
        self.accepted = told.result == AckResult.ACCEPTED
        self.refused = not self.accepted
        if self.accepted:
            return Step(outcome=Acknowledged(plan_id=told.plan_id))
        return self._failed(f"the aircraft refused: {refusal_words(told.result)}")

    def _offer(self, now_s: float) -> Step[Acknowledged | Failed]:
        deadline_s = self._tries.next_deadline_s(now_s)
        if deadline_s is None:
            return self._failed("no answer")
        self._deadline_s = deadline_s
        offered = Count(
            to_system=self.parties.system,
            to_component=self.parties.component,
            plan=self.plan,
            count=len(self.items),
        )
        return Step(send=(offered,), deadline_s=deadline_s)

    def _failed(self, reason: str) -> Step[Acknowledged | Failed]:
        if self._asked_for is None:
            step = f"offered {len(self.items)} items"
        else:
            step = f"sent item {self._asked_for + 1} of {len(self.items)}"
        return Step(outcome=Failed(step=step, reason=reason))


def _in_degrees(item: Item) -> Item:
    """Return an item in the old form, positions in degrees; what is no position stays."""
    scale = 1e-7 if item.command in WITH_A_PLACE else 1.0
    return replace(item, precise=False, x=item.x * scale, y=item.y * scale)
