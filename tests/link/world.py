"""A link in virtual time: a session on one side, a fake vehicle on the other, and what goes wrong.

Each message takes its time on the way, or comes twice, late or never; nothing waits for a clock.
"""

import heapq
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import count
from typing import Any

from homeleg.foundation.heights import Datum, SpeedKind, StatedAirspeed, StatedHeight
from homeleg.link import messages as m
from homeleg.link.conditions import LoadTerms
from homeleg.link.items import StoredSettings, home_item
from homeleg.link.machine import Closed, Tick
from homeleg.link.session import Session
from homeleg.link.watch import Watch
from homeleg.release.plain_route import PlainBoundary, PlainItem, PlainPlace, PlainRoute
from homeleg.route.items import ItemKind
from tests.link.fake_vehicle import VEHICLE, FakeVehicle, heard

LAUNCH = PlainPlace(
    name="launch point",
    latitude_deg=55.0,
    longitude_deg=-5.0,
    height=StatedHeight(40.0, Datum.AMSL),
)
SETTINGS = StoredSettings(
    cruise=StatedAirspeed(16.0, SpeedKind.IAS),
    pattern_height=StatedHeight(50.0, Datum.ABOVE_LAUNCH),
)
HOME = m.HomePosition(latitude_e7=550_000_000, longitude_e7=-50_000_000, height_amsl_mm=40_000)
TERMS = LoadTerms(system=7, launch=LAUNCH)
# When a message arrives after it was sent, once for each time it arrives [s].
Fate = Callable[[], Sequence[float]]


def point(name: str, step: int, **fields: Any) -> PlainItem:
    told: dict[str, Any] = {
        "kind": ItemKind.POINT,
        "height": StatedHeight(80.0, Datum.ABOVE_LAUNCH),
        **fields,
    }
    return PlainItem(
        name=name, latitude_deg=55.0 + 0.001 * step, longitude_deg=-5.0 + 0.001 * step, **told
    )


ROUTE = PlainRoute(
    launch_point=LAUNCH,
    items=(
        point("off", 0, kind=ItemKind.TAKEOFF, height=StatedHeight(50.0, Datum.ABOVE_LAUNCH)),
        point("Cliff", 2, height=StatedHeight(85.0, Datum.ABOVE_LAUNCH)),
        point("fast", 4, airspeed=StatedAirspeed(19.0, SpeedKind.IAS)),
        point("Bay", 6, height=StatedHeight(120.0, Datum.AMSL)),
        point("home", 1, kind=ItemKind.LAND, height=None),
    ),
    boundary=PlainBoundary(
        corners_deg=((54.99, -5.01), (54.99, -4.98), (55.02, -4.98), (55.02, -5.01)), top=None
    ),
)


def on_time() -> Sequence[float]:
    return (0.05,)


@dataclass
class World:
    """Runs a session against a vehicle that tells of itself each second."""

    vehicle: FakeVehicle
    up: Fate = on_time
    down: Fate = on_time
    told: Callable[[float], Sequence[m.Message]] = field(default=lambda _: standing())
    others: Sequence[tuple[float, m.Heard]] = ()
    closed_at_s: float = float("inf")
    sent: list[tuple[float, m.Message]] = field(default_factory=list)

    def run(self, session: Session[Any], most_s: float = 600.0) -> tuple[Any, float]:
        """Return the outcome and how long it took; fails where it does not come in time."""
        self._order, self._queue = count(), list[tuple[float, int, str, Any]]()
        for time_s, one in self.others:
            self._put(time_s, "down", one)
        self._put(0.0, "second", None)
        now_s, step = 0.0, session.begin(0.0)
        while step.outcome is None:
            for message in step.send:
                self.sent.append((now_s, message))
                for delay_s in self.up():
                    self._put(now_s + delay_s, "up", message)
            next_s = self._queue[0][0]
            if step.deadline_s is not None and step.deadline_s < next_s:
                now_s = max(step.deadline_s, now_s)
                step = session.on(Tick(), now_s)
                continue
            now_s, _, kind, what = heapq.heappop(self._queue)
            assert now_s < most_s, "the session does not end"
            if now_s >= self.closed_at_s:
                step = session.on(Closed("the port is gone"), now_s)
                continue
            step = self._after(session, kind, what, now_s) or step
        self.sent += [(now_s, message) for message in step.send]
        return step.outcome, now_s

    def _after(self, session: Session[Any], kind: str, what: Any, now_s: float) -> Any:
        if kind == "down":
            return session.on(what, now_s)
        if kind == "up":
            self._answer(self.vehicle.hear(what), now_s)
        else:
            self._answer([*self.told(now_s), *self.vehicle.again()], now_s)
            self._put(now_s + 1.0, "second", None)
        return session.on(Tick(), now_s)

    def _answer(self, messages: Sequence[m.Message], now_s: float) -> None:
        for message in messages:
            for delay_s in self.down():
                self._put(now_s + delay_s, "down", heard(message, VEHICLE))

    def _put(self, time_s: float, kind: str, what: Any) -> None:
        heapq.heappush(self._queue, (time_s, next(self._order), kind, what))


def standing(
    *,
    armed: bool = False,
    landed: m.LandedState = m.LandedState.ON_GROUND,
    home: m.HomePosition | None = HOME,
    here: tuple[int, int] = (550_000_000, -50_000_000),
    total: int | None = None,
) -> list[m.Message]:
    """Return what an aircraft tells of itself each second, on its launch point unless told."""
    told: list[m.Message] = [
        m.Heartbeat(vehicle_type=1, autopilot=3, armed=armed),
        m.LandedMessage(state=landed),
        m.Live(name="GLOBAL_POSITION_INT", fields=(("lat", here[0]), ("lon", here[1]))),
    ]
    told += [] if home is None else [home]
    ids = (1, 2, 3)
    told += [] if total is None else [m.PlanCurrent(sequence=0, total=total, plan_ids=ids)]
    return told


def watch() -> Watch:
    return Watch(our_system=245, our_component=190)


HOME_ITEM = home_item(LAUNCH)
