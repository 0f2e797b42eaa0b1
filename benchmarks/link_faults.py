"""How often is a faulted transfer called SAME by mistake? Whole commands against another's vehicle.

`python -m benchmarks.link_faults [TRANSFERS] [SEED]` prints what `docs/methods.md` tells. Each
transfer draws a route, a vehicle with its habits and a link: bytes are lost, doubled, late, flipped
or put in between. Half of the transfers load, half compare. All in virtual time; the seed is fixed.
The truth is worked out here from what the vehicle stores, without the comparison under study.
"""

import heapq
import random
import sys
from collections import Counter
from dataclasses import dataclass, field
from itertools import count
from typing import Any

import numpy as np

from benchmarks.link_vehicle import Habits, Stored, Vehicle
from homeleg.foundation.heights import Datum, SpeedKind, StatedAirspeed, StatedHeight
from homeleg.foundation.side import Side
from homeleg.link.codec import SEEDS, Codec
from homeleg.link.conditions import LoadTerms
from homeleg.link.items import StoredSettings, home_item, plans_of
from homeleg.link.machine import Tick
from homeleg.link.messages import PlanType
from homeleg.link.proof import prove
from homeleg.link.session import Loaded, Reading, Session, Writing, read_script, write_script
from homeleg.link.splitter import Splitter
from homeleg.link.watch import Watch
from homeleg.release.comparison import End
from homeleg.release.plain_route import PlainBoundary, PlainItem, PlainPlace, PlainRoute
from homeleg.route.items import ItemKind

SETTINGS = StoredSettings(
    cruise=StatedAirspeed(16.0, SpeedKind.IAS),
    pattern_height=StatedHeight(50.0, Datum.ABOVE_LAUNCH),
)
DAMAGES = ("cut", "swapped", "height", "no number", "nowhere", "reference", "doubled")
CHANGE_OF_SPEED = 178
LONGEST_S = 900.0
AIR_S = 0.06  # a radio that turns round
BYTES_PER_S = 5760.0  # 57,600 baud, ten bits a byte


@dataclass
class Link:
    """A link in virtual time with its rates of faults; frames of the vehicle come as one stream."""

    rng: random.Random
    lost: float
    doubled: float
    late: float
    flipped: float
    noise: float

    def fates(self, data: bytes) -> list[tuple[float, bytes]]:
        """Return when bytes arrive after they were sent, and what is left of them."""
        if not data or self.rng.random() < self.lost:
            return []
        once = [(AIR_S + len(data) / BYTES_PER_S, self._worn(data))]
        if self.rng.random() < self.late:
            once = [(once[0][0] + self.rng.uniform(0.2, 3.0), once[0][1])]
        if self.rng.random() < self.doubled:
            once.append((once[0][0] + self.rng.uniform(0.0, 1.0), data))
        return once

    def _worn(self, data: bytes) -> bytes:
        if self.rng.random() < self.flipped:
            at = self.rng.randrange(len(data))
            data = data[:at] + bytes([data[at] ^ (1 << self.rng.randrange(8))]) + data[at + 1 :]
        if self.rng.random() < self.noise:
            data = self.rng.randbytes(self.rng.randrange(1, 20)) + data
        return data


@dataclass
class Run:
    """One command against one vehicle."""

    vehicle: Vehicle
    link: Link
    codec: Codec = field(default_factory=Codec)
    splitter: Splitter = field(default_factory=lambda: Splitter(seeds=SEEDS))

    def outcome(self, session: Session[Any]) -> tuple[Any, float]:
        """Return how the session ends, and when; None where it does not."""
        order, queue = count(), list[tuple[float, int, str, bytes]]()
        heapq.heappush(queue, (0.0, next(order), "second", b""))
        now_s, step = 0.0, session.begin(0.0)
        while step.outcome is None:
            for message in step.send:
                for delay_s, data in self.link.fates(self.codec.write(message)):
                    heapq.heappush(queue, (now_s + delay_s, next(order), "up", data))
            if step.deadline_s is not None and step.deadline_s < queue[0][0]:
                now_s = max(step.deadline_s, now_s)
                step = session.on(Tick(), now_s)
                continue
            now_s, _, kind, data = heapq.heappop(queue)
            if now_s > LONGEST_S:
                return None, now_s
            if kind == "down":
                step = self._heard(session, data, now_s)
                continue
            said = self.vehicle.second(now_s) if kind == "second" else self._up(data, now_s)
            for delay_s, back in self.link.fates(said):
                heapq.heappush(queue, (now_s + delay_s, next(order), "down", back))
            if kind == "second":
                heapq.heappush(queue, (now_s + 1.0, next(order), "second", b""))
            step = session.on(Tick(), now_s)
        return step.outcome, now_s

    def _up(self, data: bytes, now_s: float) -> bytes:
        """Return what the vehicle says to bytes; noise before a frame is not for it to find."""
        start = data.find(b"\xfd")
        return b"" if start < 0 else self.vehicle.hear(data[start:], now_s)

    def _heard(self, session: Session[Any], data: bytes, now_s: float) -> Any:
        step = session.on(Tick(), now_s)
        sent = list(step.send)
        for frame in self.splitter.feed(data):
            heard = self.codec.read(frame)
            if heard is None or step.outcome is not None:
                continue
            step = session.on(heard, now_s)
            sent += step.send
        return type(step)(send=tuple(sent), deadline_s=step.deadline_s, outcome=step.outcome)


def place(rng: random.Random) -> PlainPlace:
    """Return a launch point anywhere."""
    return PlainPlace(
        name="launch point",
        latitude_deg=round(rng.uniform(-60.0, 60.0), 7),
        longitude_deg=round(rng.uniform(-179.0, 179.0), 7),
        height=StatedHeight(round(rng.uniform(0.0, 900.0), 2), Datum.AMSL),
    )


def route(rng: random.Random, launch: PlainPlace) -> PlainRoute:
    """Return a route of 4 to 12 items about a launch point."""
    lat, lon = launch.latitude_deg, launch.longitude_deg

    def item(name: str, kind: ItemKind) -> PlainItem:
        orbit: dict[str, Any] = {}
        if kind is ItemKind.ORBIT:
            side = rng.choice(list(Side))
            orbit = {"radius_m": round(rng.uniform(40.0, 200.0), 2), "side": side, "turns": 2.0}
        speed = round(rng.uniform(13.0, 22.0), 1)
        return PlainItem(
            name=name,
            kind=kind,
            latitude_deg=round(lat + rng.uniform(-0.02, 0.02), 7),
            longitude_deg=round(lon + rng.uniform(-0.02, 0.02), 7),
            height=StatedHeight(
                round(rng.uniform(30.0, 120.0), 2), rng.choice([Datum.ABOVE_LAUNCH, Datum.AGL])
            ),
            airspeed=StatedAirspeed(speed, SpeedKind.IAS) if rng.random() < 0.2 else None,
            **orbit,
        )

    middle = [
        rng.choice([ItemKind.POINT] * 3 + [ItemKind.ORBIT]) for _ in range(rng.randint(2, 10))
    ]
    kinds = [ItemKind.TAKEOFF, *middle, ItemKind.LAND]
    corners = ((lat - 1.0, lon - 1.0), (lat - 1.0, lon + 1.0), (lat + 1.0, lon))
    return PlainRoute(
        launch_point=launch,
        items=tuple(item(f"item {k}", kind) for k, kind in enumerate(kinds, start=1)),
        boundary=PlainBoundary(corners_deg=corners, top=None) if rng.random() < 0.5 else None,
    )


def stored(items: Any) -> list[Stored]:
    return [(one.frame, one.command, one.autocontinue, *one.params, one.x, one.y, one.z)
            for one in items]  # fmt: skip


def is_stored(right: list[Stored], got: list[Stored]) -> bool:
    """Return whether two lists are the same, or the same but for degrees held in 32 bits."""
    return (
        len(right) == len(got)
        and all(
            a[1:3] == b[1:3]
            and (a[0] == b[0] or a[1] == CHANGE_OF_SPEED)  # a frame says what a height is above
            and all(np.float32(p) == np.float32(q) for p, q in zip(a[3:7], b[3:7], strict=True))
            and np.float32(a[9]) == np.float32(b[9])
            and all(_is_place(p, q) for p, q in zip(a[7:9], b[7:9], strict=True))
            for a, b in zip(right, got, strict=True)
        )
    )


def _is_place(right: int, got: int) -> bool:
    through = round(1e7 * float(np.float32(1e-7 * right)))
    return min(abs(got - right), abs(got - through)) <= 1


def transfer(seed: int, *, clean: bool) -> tuple[str, bool, float]:
    """Return how one transfer ends, whether the vehicle holds the release, and how long it took."""
    rng = random.Random(seed)  # noqa: S311 - draws, not secrets
    launch = place(rng)
    released = route(rng, launch)
    plans = plans_of(released, SETTINGS)
    front = home_item(launch)
    home = round(front.x), round(front.y), round(1000.0 * front.z)
    loads = rng.random() < 0.5
    vehicle = Vehicle(home, _clean_habits(rng) if clean else _habits(rng), rng)
    if not loads:
        _fill(vehicle, plans)
    link = Link(rng, *((0.05, 0.02, 0.02, 0.01, 0.05) if clean else _rates(rng)))
    watch = Watch(our_system=245, our_component=190)
    if loads:
        writing = Writing(plans=plans, home=front if vehicle.habits.home_first else None)
        script: Any = write_script(watch, LoadTerms(system=1, launch=launch), writing, [])
    else:
        script = read_script(watch, None)
    outcome, took_s = Run(vehicle, link).outcome(Session(watch, script))
    if vehicle.edited_s > vehicle.last_list_s:
        vehicle.plans[0] = vehicle.before_edit  # what was there as the last reading began
    holds = all(
        is_stored(
            stored(plans[plan]), vehicle.plans[plan][vehicle.habits.home_first * (plan == 0) :]
        )
        for plan in PlanType
    )
    holds = holds and abs(vehicle.habits.home_off_e7) < 900  # 10 m, by 11.1 mm a step
    return _word(outcome, released, home_first=vehicle.habits.home_first), holds, took_s


def _word(outcome: Any, released: PlainRoute, *, home_first: bool) -> str:
    if outcome is None:
        return "NO END"
    reading, failed = outcome, None
    if isinstance(outcome, Loaded):
        reading, failed = outcome.after, outcome.failed
    if failed is not None or not isinstance(reading, Reading):
        return "NO ANSWER"  # the link failed, or the load was refused
    return prove(released, SETTINGS, reading, home_first=home_first).end.value


def _fill(vehicle: Vehicle, plans: Any) -> None:
    """Put the release into a vehicle, and what its habits make of it."""
    for plan in PlanType:
        items = vehicle.damaged(plan, stored(plans[plan]))
        vehicle.plans[plan] = [*vehicle.plans[plan][: vehicle.habits.home_first], *items]


def _clean_habits(rng: random.Random) -> Habits:
    return Habits(
        old_form=rng.random() < 0.1,
        float_degrees=rng.random() < 0.2,
        home_first=rng.random() < 0.3,
    )


def _habits(rng: random.Random) -> Habits:
    habits = _clean_habits(rng)
    habits.mute_at_the_end = rng.random() < 0.1
    habits.damage = rng.choice(DAMAGES) if rng.random() < 0.5 else ""
    if rng.random() < 0.15:
        habits.edit_at_s = rng.uniform(0.0, 15.0)
    if rng.random() < 0.1:
        habits.restart_at_s = rng.uniform(0.0, 15.0)
    if rng.random() < 0.1:
        habits.home_off_e7 = rng.choice([-1, 1]) * rng.randrange(1000, 100_000)
    return habits


def _rates(rng: random.Random) -> tuple[float, ...]:
    return tuple(rng.choice([0.0, 0.02, most]) for most in (0.3, 0.2, 0.2, 0.1, 0.3))


def main() -> None:
    transfers = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    for name, number, clean in (("faulted", transfers, False), ("clean", transfers // 5, True)):
        told = [transfer(first + k, clean=clean) for k in range(number)]
        words = Counter((word, holds) for word, holds, _ in told)
        print(f"{name}: {number} transfers, seeds {first} to {first + number - 1}")
        for (word, holds), times in sorted(words.items()):
            truth = "the release is aboard" if holds else "another route is aboard"
            print(f"  {word:12s} {truth:24s} {times:6d}")
        false_same = words[End.SAME.value, False]
        false_other = words[End.NOT_THE_SAME.value, True]
        print(f"  false SAME {false_same}, false NOT THE SAME {false_other}")
        took_s = [seconds for *_, seconds in told]
        print(f"  time: median {np.median(took_s):.0f} s, longest {max(took_s):.0f} s")


if __name__ == "__main__":
    main()
