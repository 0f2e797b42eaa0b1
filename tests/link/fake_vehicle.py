"""A small vehicle without I/O: it holds plans and answers for them, with the faults it is told."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace

from homeleg.link import messages as m
from homeleg.link.fetch import Failed
from homeleg.link.machine import Closed, Event, Tick
from homeleg.link.parties import Parties

VEHICLE = (7, 1)
PARTIES = Parties(system=7, component=1, our_system=245, our_component=190)


def item(sequence: int, **changes: object) -> m.Item:
    plain = m.Item(
        to_system=7,
        to_component=1,
        plan=0,
        sequence=sequence,
        frame=6,
        command=16,
        current=0,
        autocontinue=1,
        params=(0.0, 0.0, 0.0, 0.0),
        x=550_000_000 + 1000 * sequence,
        y=-50_000_000 - 1000 * sequence,
        z=80.0 + sequence,
        precise=True,
    )
    return replace(plain, **changes)  # type: ignore[arg-type]


@dataclass
class FakeVehicle:
    """Holds plans by type. `old_only` answers only to requests in the old form."""

    plans: dict[int, list[m.Item]] = field(default_factory=lambda: {0: [], 1: [], 2: []})
    old_only: bool = False
    never_acknowledges: bool = False
    stores: Callable[[list[m.Item]], list[m.Item]] = lambda items: items
    result: int = 0
    _incoming: dict[int, m.Item] = field(default_factory=dict)
    _expected: tuple[int, int] | None = None  # plan, count

    def hear(self, message: m.Message) -> list[m.Message]:
        match message:
            case m.RequestList(plan=plan) | m.Request(plan=plan) if plan not in self.plans:
                return [self._to(m.Ack, plan=plan, result=3)]
            case m.RequestList(plan=plan):
                return [self._to(m.Count, plan=plan, count=len(self.plans[plan]), plan_id=plan + 1)]
            case m.Request(plan=plan, sequence=sequence, precise=precise):
                stored = self.plans[plan][sequence]
                return [] if precise and self.old_only else [self._addressed(stored, precise)]
            case m.Count(plan=plan, count=count):
                return self._offered(plan, count)
            case m.Item():
                return self._take(message)
            case _:
                pass
        return []

    def again(self) -> list[m.Message]:
        """Ask again for what is missing, as vehicles do."""
        if self._expected is None:
            return []
        return [self._ask(self._expected[0], len(self._incoming))]

    def _offered(self, plan: int, count: int) -> list[m.Message]:
        if self.result:
            return [self._to(m.Ack, plan=plan, result=self.result)]
        self._expected, self._incoming = (plan, count), {}
        return [self._ask(plan, 0)]

    def _take(self, taken: m.Item) -> list[m.Message]:
        if self._expected is None:
            return []
        plan, count = self._expected
        if taken.sequence == len(self._incoming):
            self._incoming[taken.sequence] = taken
        if len(self._incoming) < count:
            return [self._ask(plan, len(self._incoming))]
        self.plans[plan] = self.stores(list(self._incoming.values()))
        self._expected = None
        done = self._to(m.Ack, plan=plan, result=0, plan_id=99)
        return [] if self.never_acknowledges else [done]

    def _ask(self, plan: int, sequence: int) -> m.Message:
        return self._to(m.Request, plan=plan, sequence=sequence, precise=not self.old_only)

    def _addressed(self, stored: m.Item, precise: bool) -> m.Item:  # noqa: FBT001
        to = replace(stored, to_system=245, to_component=190, precise=precise)
        return to if precise else replace(to, x=to.x * 1e-7, y=to.y * 1e-7)

    @staticmethod
    def _to(kind: Callable[..., m.Message], **fields: object) -> m.Message:
        return kind(to_system=245, to_component=190, **fields)


def heard(message: m.Message, sender: tuple[int, int] = VEHICLE) -> m.Heard:
    return m.Heard(
        system=sender[0], component=sender[1], sequence=0, version=2, signed=False, message=message
    )


@dataclass
class Faults:
    """What happens to each message on its way, in order: dropped, doubled, late; then all well."""

    schedule: Iterable[str] = ()

    def __post_init__(self) -> None:
        self._coming = iter(self.schedule)
        self._late: list[m.Message] = []

    def pass_on(self, messages: Iterable[m.Message]) -> list[m.Message]:
        arriving = []
        for message in messages:
            late, self._late = self._late, []
            match next(self._coming, "well"):
                case "lost":
                    pass
                case "doubled":
                    arriving += [message, message]
                case "late":
                    self._late.append(message)
                case _:
                    arriving.append(message)
            arriving += late
        return arriving


def run(machine, vehicle: FakeVehicle, up: Faults, down: Faults, most: int = 10_000):  # type: ignore[no-untyped-def]
    """Run a machine against a vehicle until its outcome; time passes only where it waits."""
    now_s = 0.0
    step = machine.begin(now_s)
    sent: list[m.Message] = []
    waiting: list[m.Message] = []
    for _ in range(most):
        sent += step.send
        if step.outcome is not None:
            return step.outcome, sent, now_s
        for message in up.pass_on(step.send):
            waiting += down.pass_on(vehicle.hear(message))
        if waiting:
            event: Event = heard(waiting.pop(0))
        elif step.deadline_s is None:
            event = Closed("nothing to wait for")
        else:
            now_s = min(step.deadline_s, now_s + 1.0)
            waiting += down.pass_on(vehicle.again())
            event = Tick()
        step = machine.on(event, now_s)
    raise AssertionError("the machine never ended")


__all__ = ["PARTIES", "VEHICLE", "Failed", "FakeVehicle", "Faults", "heard", "item", "run"]
