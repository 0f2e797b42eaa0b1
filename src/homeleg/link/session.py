"""A command on the link as a row of machines: listen, look at the conditions, fetch, load, fetch.

A script is a generator that yields the next machine and is sent its outcome with the time; the
session feeds the machine at work and never has two at once. Pure, as the machines are.
"""

from collections.abc import Callable, Generator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any, Generic, Protocol, TypeVar

from homeleg.link.conditions import LoadTerms, broken_off, refusals
from homeleg.link.fetch import Failed, Fetch, FetchedPlan
from homeleg.link.items import addressed
from homeleg.link.listening import Listen, Refused
from homeleg.link.load import Acknowledged, Load
from homeleg.link.machine import Event, Step
from homeleg.link.messages import PRESENCE, Heard, HomePosition, Item, Message, PlanType
from homeleg.link.numbering import home_of, keeps_home_first
from homeleg.link.parties import Parties
from homeleg.link.watch import Station, Watch

__all__ = ["Loaded", "Reading", "Session", "Writing", "read_script", "write_script"]

_PRESENT_EACH_S = 1.0
_FETCHES = 3
_CANCELS = 3  # nobody waits to hear that it came, and a radio may lose one. Ours.
# Route last: the aircraft never holds it without its boundary and diversion points.
_WRITING_ORDER = (PlanType.BOUNDARY, PlanType.DIVERSIONS, PlanType.ROUTE)
Outcome = TypeVar("Outcome")


class Machine(Protocol):
    """What a session can feed; `doing` says in words how far it is."""

    @property
    def doing(self) -> str:
        """How far it is."""

    def begin(self, now_s: float) -> Step[Any]:
        """Begin."""

    def on(self, event: Event, now_s: float) -> Step[Any]:
        """Take an event."""


Script = Generator[Machine, tuple[Any, float], Outcome]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What an aircraft holds, read twice and both times the same.

    `unread` says of a plan why it could not be read; `home_first` is None where nothing tells
    whether item 0 of the route is the launch point. `settings` are those that it told meanwhile.
    """

    system: int
    component: int
    vehicle_type: int
    version: int
    home: HomePosition | None
    home_first: bool | None
    plans: Mapping[PlanType, FetchedPlan]
    unread: Mapping[PlanType, str]
    settings: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """A load: what failed in it, if anything, and what the aircraft held afterwards."""

    failed: Failed | None
    after: Reading | Failed


@dataclass(frozen=True, slots=True, kw_only=True)
class Writing:
    """What is to be written: items by plan, those of the route without the launch point.

    `home` is the launch point to be put in front of the route where the aircraft keeps it there.
    """

    plans: Mapping[PlanType, Sequence[Item]]
    home: Item | None

    def order(self) -> tuple[PlanType, ...]:
        """Return the plans that are written, in the order in which they are."""
        return tuple(plan for plan in _WRITING_ORDER if self.plans.get(plan))

    def items(self, plan: PlanType) -> tuple[Item, ...]:
        """Return the items of a plan as the aircraft is to store them."""
        front = (self.home,) if plan is PlanType.ROUTE and self.home is not None else ()
        return (*front, *self.plans.get(plan, ()))


@dataclass(slots=True)
class Session(Generic[Outcome]):
    """Runs a script; with `present` it says each second that we are there."""

    watch: Watch
    script: Script[Outcome]
    present: bool = False
    _machine: Machine | None = None
    _presented_s: float | None = None

    @property
    def doing(self) -> str:
        """What is being done, in words."""
        return "" if self._machine is None else self._machine.doing

    def begin(self, now_s: float) -> Step[Outcome]:
        """Start the first machine."""
        self._machine = next(self.script)
        return self._led_on(self._machine.begin(now_s), now_s)

    def on(self, event: Event, now_s: float) -> Step[Outcome]:
        """Take an event; what was heard is noted before the machine sees it."""
        if isinstance(event, Heard):
            self.watch.hear(event, now_s)
        if self._machine is None:
            raise RuntimeError("the session has ended")
        return self._led_on(self._machine.on(event, now_s), now_s)

    def stop(self) -> Step[Outcome]:
        """Return what is still to be sent where a person stops it: a load is cancelled."""
        machine, self._machine = self._machine, None
        cancelled = machine.load.cancel("stopped") if isinstance(machine, _Guarded) else Step()
        return Step(send=_CANCELS * cancelled.send)

    def _led_on(self, step: Step[Any], now_s: float) -> Step[Outcome]:
        """Begin machine after machine as they end; return what is to be done at last."""
        sent: list[Message] = []
        while step.outcome is not None:
            sent += step.send
            try:
                self._machine = self.script.send((step.outcome, now_s))
            except StopIteration as end:
                self._machine = None
                return Step(send=tuple(sent), outcome=end.value)
            step = self._machine.begin(now_s)
        return self._presenting(replace(step, send=(*sent, *step.send)), now_s)

    def _presenting(self, step: Step[Any], now_s: float) -> Step[Outcome]:
        if not self.present:
            return step
        if self._presented_s is None or now_s >= self._presented_s + _PRESENT_EACH_S:
            self._presented_s = now_s
            step = replace(step, send=(*step.send, PRESENCE))
        next_s = self._presented_s + _PRESENT_EACH_S
        deadline_s = next_s if step.deadline_s is None else min(next_s, step.deadline_s)
        return replace(step, deadline_s=deadline_s)


@dataclass(slots=True)
class _Guarded:
    """A load that is cancelled as soon as what must hold all along does not."""

    load: Load
    broken: Callable[[float], str | None]

    @property
    def doing(self) -> str:
        return self.load.doing

    def begin(self, now_s: float) -> Step[Acknowledged | Failed]:
        reason = self.broken(now_s)
        return self.load.cancel(reason) if reason else self.load.begin(now_s)

    def on(self, event: Event, now_s: float) -> Step[Acknowledged | Failed]:
        reason = self.broken(now_s)
        return self.load.cancel(reason) if reason else self.load.on(event, now_s)


def read_script(
    watch: Watch, system: int | None, terms: LoadTerms | None = None
) -> Script[Reading | Failed | Refused]:
    """Find the aircraft and read its plans; with `terms` only where it may be loaded now."""
    station: Station | Failed | Refused
    station, now_s = yield Listen(watch=watch, system=system)
    if not isinstance(station, Station):
        return station
    watch.take_free_system()
    reasons = () if terms is None else refusals(watch, station, terms, now_s)
    if reasons:
        return Refused(reasons)
    reading: Reading | Failed = yield from _read(watch, station)
    return reading


def write_script(
    watch: Watch, terms: LoadTerms, writing: Writing, loads: list[Load]
) -> Script[Loaded | Failed | Refused]:
    """Write plans into the aircraft if all conditions hold, and read back what it then holds.

    Each load is put into `loads` as it begins: they tell how far it came, however it ends.
    """
    station: Station | Failed | Refused
    station, now_s = yield Listen(watch=watch, system=terms.system)
    if not isinstance(station, Station):
        return station
    watch.take_free_system()
    reasons = refusals(watch, station, terms, now_s)
    if reasons:
        return Refused(reasons)
    parties, begun_s, boots = _parties(watch, station), now_s, station.boots
    broken = partial(broken_off, watch, station, terms, begun_s, boots)
    failed = None
    for plan in writing.order():
        to_send = addressed(writing.items(plan), parties.system, parties.component)
        load = Load(parties=parties, plan=plan, items=to_send)
        loads.append(load)
        told, _ = yield _Guarded(load, broken)
        if isinstance(told, Failed):
            failed = told
            break
    after = yield from _read(watch, station)
    return Loaded(failed=failed, after=after)


def _read(watch: Watch, station: Station) -> Script[Reading | Failed]:
    parties, boots = _parties(watch, station), station.boots
    first = yield from _fetch_all(parties, tuple(PlanType))
    second = yield from _fetch_all(
        parties, tuple(plan for plan in PlanType if isinstance(first[plan], FetchedPlan))
    )
    plans = {plan: told for plan, told in first.items() if isinstance(told, FetchedPlan)}
    unread = {plan: told.reason for plan, told in first.items() if isinstance(told, Failed)}
    for plan, once in plans.items():
        again = second[plan]
        if isinstance(again, Failed):
            return again
        if repr(once) != repr(again):  # by text: a field that is no number equals itself there
            return Failed(step="read the plans twice", reason="the two readings differ")
    route = first[PlanType.ROUTE]
    if isinstance(route, Failed):
        return route
    if station.boots != boots:
        return Failed(step="read the plans", reason="the aircraft was started again meanwhile")
    home_first = keeps_home_first(station, route.items)
    return Reading(
        system=station.system,
        component=station.component,
        vehicle_type=station.vehicle_type or 0,
        version=station.version,
        home=home_of(station, route.items, home_first=bool(home_first)),
        home_first=home_first,
        plans=plans,
        unread=unread,
        settings=dict(station.settings),
    )


def _fetch_all(
    parties: Parties, plans: Sequence[PlanType]
) -> Script[dict[PlanType, FetchedPlan | Failed]]:
    """Fetch plans in turn, each again where it fails; a refusal is not asked a second time."""
    told: dict[PlanType, FetchedPlan | Failed] = {}
    for plan in plans:
        if isinstance(told.get(PlanType.ROUTE), Failed):
            told[plan] = told[PlanType.ROUTE]  # without the route nothing is of use
            continue
        for _ in range(_FETCHES):
            told[plan], _now_s = yield Fetch(parties=parties, plan=plan)
            outcome = told[plan]
            if isinstance(outcome, FetchedPlan) or outcome.is_final:
                break
    return told


def _parties(watch: Watch, station: Station) -> Parties:
    return Parties(
        system=station.system,
        component=station.component,
        our_system=watch.our_system,
        our_component=watch.our_component,
    )
