"""For how long what was read from an aircraft may be taken as what it still holds.

It ends where the aircraft was started again, tells another plan, somebody writes to it, nothing was
heard of it for a while, or too much time has passed; what has ended stays ended.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

from homeleg.link.messages import PlanType
from homeleg.link.session import Reading
from homeleg.link.watch import Station, Watch

__all__ = ["Ended", "Verified", "verified_now"]

_SILENT_S = 10.0
_LONGEST_S = 4 * 3600.0


@dataclass(frozen=True, slots=True)
class Ended:
    """Since when it is not verified any more [s], and why, in words."""

    since_s: float
    why: str


@dataclass(slots=True, kw_only=True)
class Verified:
    """What was read at `since_s`, on a watch that goes on; `plan_ids` are those known, by plan."""

    watch: Watch
    station: Station
    since_s: float
    boots: int
    plan_ids: dict[PlanType, int]
    ended: Ended | None = None
    _heard_s: float = field(init=False)

    def __post_init__(self) -> None:
        self._heard_s = self.since_s

    @property
    def tells_changes(self) -> bool:
        """Whether the aircraft numbers its plans, so that a change is seen."""
        current = self.station.plan_current
        return bool(self.plan_ids) and current is not None and any(current.plan_ids)

    def look(self, now_s: float) -> Ended | None:
        """Return since when it is over, and why; None as long as it holds. Ask each second."""
        if self.ended is None:
            self.ended = next(self._ends(now_s), None)
        self._heard_s = max(self._heard_s, self.station.last_heard_s)
        return self.ended

    def _ends(self, now_s: float) -> Iterator[Ended]:
        if self.station.boots != self.boots:
            yield Ended(now_s, "it was started again")
        writer_s = self.watch.other_writer_s
        if writer_s is not None and writer_s > self.since_s:
            yield Ended(writer_s, "another station wrote to it")
        if self._is_another_plan():
            yield Ended(now_s, "a plan in it is another one")
        heard_s = max(self.station.last_heard_s, self._heard_s)
        if heard_s - self._heard_s > _SILENT_S:
            heard_s = self._heard_s  # it was silent since then, and was heard again
        if now_s - heard_s > _SILENT_S:
            yield Ended(heard_s, f"nothing was heard of it for over {_SILENT_S:.0f} s")
        if now_s - self.since_s > _LONGEST_S:
            yield Ended(self.since_s + _LONGEST_S, "it was read over four hours ago")

    def _is_another_plan(self) -> bool:
        """Return whether it tells the id of another plan; one that it never told is taken now."""
        current = self.station.plan_current
        told = (0, 0, 0) if current is None else current.plan_ids
        for plan, plan_id in zip(PlanType, told, strict=True):
            if plan_id and self.plan_ids.setdefault(plan, plan_id) != plan_id:
                return True
        return False


def verified_now(watch: Watch, reading: Reading, now_s: float) -> Verified:
    """Return that what was read holds from now on."""
    station = watch.stations[reading.system, reading.component]
    known = {plan: one.plan_id for plan, one in reading.plans.items() if one.plan_id}
    return Verified(
        watch=watch, station=station, since_s=now_s, boots=station.boots, plan_ids=known
    )
