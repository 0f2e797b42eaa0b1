"""Whole commands in virtual time: reading twice, loading, reading back, and every fault on the way.

The vehicle shares no transfer code with the program; the messages are the protocol's own.
"""

import random
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.link import messages as m
from homeleg.link.fetch import Failed
from homeleg.link.items import plans_of
from homeleg.link.listening import Refused
from homeleg.link.messages import PlanType
from homeleg.link.proof import prove
from homeleg.link.session import Loaded, Reading, Session, Writing, read_script, write_script
from homeleg.release.comparison import End
from tests.link.fake_vehicle import FakeVehicle, heard, item
from tests.link.world import (
    HOME,
    HOME_ITEM,
    ROUTE,
    SETTINGS,
    TERMS,
    World,
    standing,
    watch,
)

PLANS = plans_of(ROUTE, SETTINGS)
DELAYS = st.lists(st.lists(st.sampled_from([0.02, 0.3, 2.0]), max_size=2), max_size=80)
WRITES = (m.Count, m.Item)


def holding(**changes: Any) -> FakeVehicle:
    return FakeVehicle(plans={int(plan): list(items) for plan, items in PLANS.items()}, **changes)


def empty(**changes: Any) -> FakeVehicle:
    return FakeVehicle(**changes)


def fates(drawn: list[list[float]]) -> Any:
    coming = iter(drawn)
    return lambda: next(coming, (0.05,))


def read(world: World, system: int | None = None) -> Any:
    looked = watch()
    return world.run(Session(looked, read_script(looked, system)))[0]


def load(world: World, *, home: m.Item | None = None) -> Any:
    looked = watch()
    writing = Writing(plans=PLANS, home=home)
    return world.run(Session(looked, write_script(looked, TERMS, writing, [])))[0]


def end(reading: Any, *, home_first: bool = False) -> End:
    assert isinstance(reading, Reading)
    return prove(ROUTE, SETTINGS, reading, home_first=home_first).end


def stored(vehicle: FakeVehicle) -> list[Any]:
    """Return the numbers that a vehicle holds, without who they were addressed to."""
    return [
        [
            (one.frame, one.command, one.autocontinue, one.params, one.x, one.y, one.z)
            for one in vehicle.plans[plan]
        ]
        for plan in PlanType
    ]


def test_what_was_released_is_the_same() -> None:
    reading = read(World(holding()))
    compared = prove(ROUTE, SETTINGS, reading, home_first=False)
    assert compared.differences == ()
    assert compared.end is End.SAME


def test_a_load_is_read_back_the_same() -> None:
    vehicle = empty()
    loaded = load(World(vehicle))
    assert isinstance(loaded, Loaded)
    assert loaded.failed is None
    assert end(loaded.after) is End.SAME
    assert stored(vehicle) == stored(holding())


def test_with_home_first_the_launch_point_goes_in_front() -> None:
    vehicle = empty()
    loaded = load(World(vehicle, told=lambda _: standing(total=len(PLANS[PlanType.ROUTE]))),
                  home=HOME_ITEM)  # fmt: skip
    assert isinstance(loaded.after, Reading)
    assert loaded.after.home_first is True
    assert end(loaded.after, home_first=True) is End.SAME
    assert vehicle.plans[0][0].x == HOME.latitude_e7


@given(up=DELAYS, down=DELAYS, cut=st.integers(0, 7), edit=st.integers(0, 7))
def test_a_load_ends_once_and_is_never_the_same_by_mistake(
    up: list[list[float]], down: list[list[float]], cut: int, edit: int
) -> None:
    def stores(items: list[m.Item]) -> list[m.Item]:
        kept = list(items[: len(items) - cut] if cut < 3 else items)
        if edit < len(kept):
            kept[edit] = replace(kept[edit], z=kept[edit].z - 30.0)
        return kept

    vehicle = empty(stores=stores)
    world = World(vehicle, up=fates(up), down=fates(down))
    outcome = load(world)
    allowed = (m.RequestList, m.Request, m.Ack, m.Count, m.Item)
    assert all(isinstance(message, allowed) for _, message in world.sent)
    reading = outcome.after if isinstance(outcome, Loaded) else None
    if isinstance(reading, Reading) and end(reading) is End.SAME:
        assert stored(vehicle) == stored(holding())


@given(up=DELAYS, down=DELAYS, place=st.integers(0, 5), change=st.integers(0, 7))
def test_no_changed_number_is_the_same(
    up: list[list[float]], down: list[list[float]], place: int, change: int
) -> None:
    changes: list[dict[str, Any]] = [
        {"x": 550_000_100},
        {"y": 50_000_000},
        {"z": 20.0},
        {"frame": 11},  # above the ground: none was released so
        {"frame": 10, "z": 20.5},
        {"command": 17},
        {"autocontinue": 0},
        {"params": (1.0, 7.0, 0.0, 0.0)},
    ]
    vehicle = holding()
    vehicle.plans[0][place] = replace(vehicle.plans[0][place], **changes[change])
    if vehicle.plans[0][place].command == 178 and change in (3, 4):
        return  # a change of speed has no height, above nothing
    if vehicle.plans[0][place] == PLANS[PlanType.ROUTE][place]:
        return
    reading = read(World(vehicle, up=fates(up), down=fates(down)))
    if isinstance(reading, Reading):
        assert end(reading) is End.NOT_THE_SAME


def test_one_item_lower_is_one_sentence() -> None:
    vehicle = holding()
    vehicle.plans[0][1] = replace(vehicle.plans[0][1], z=55.0)
    compared = prove(ROUTE, SETTINGS, read(World(vehicle)), home_first=False)
    assert [one.sentence for one in compared.differences] == [
        "Item 2 (Cliff): 30 m lower than released, 55 instead of 85 m above launch."
    ]


def test_a_home_elsewhere_is_told() -> None:
    moved = replace(HOME, latitude_e7=HOME.latitude_e7 + 10_000)  # 111 m by 1e-3 degree of latitude
    reading = read(World(holding(), told=lambda _: standing(home=moved)))
    compared = prove(ROUTE, SETTINGS, reading, home_first=False)
    assert [one.sentence for one in compared.differences] == [
        "The launch point is 111 m from the one released."
    ]


def test_a_home_not_told_leaves_heights_unproven() -> None:
    assert end(read(World(holding(), told=lambda _: standing(home=None)))) is End.CANNOT_TELL


def test_a_boundary_that_cannot_be_read_is_not_taken_for_the_same() -> None:
    vehicle = holding()
    del vehicle.plans[1]
    assert end(read(World(vehicle))) is End.CANNOT_TELL


def test_float_degrees_are_rounding() -> None:
    vehicle = holding(old_only=True)
    compared = prove(ROUTE, SETTINGS, read(World(vehicle)), home_first=False)
    assert compared.end is End.SAME


def test_a_plan_edited_between_the_readings_is_no_reading() -> None:
    vehicle = holding()

    def told(now_s: float) -> list[m.Message]:
        if now_s >= 4.0:
            vehicle.plans[0][1] = replace(vehicle.plans[0][1], z=54.0 + now_s)
        return standing()

    failed = read(World(vehicle, told=told, up=lambda: (0.1,)))
    assert failed == Failed(step="read the plans twice", reason="the two readings differ")


def test_nobody_there() -> None:
    failed = read(World(empty(), told=lambda _: []))
    assert failed == Failed(step="listened", reason="nothing was heard for 5 s")


def test_two_aircraft_are_asked_nothing_until_one_is_named() -> None:
    other = heard(m.Heartbeat(vehicle_type=1, autopilot=3, armed=False), sender=(8, 1))
    others = [(0.5 + second, other) for second in range(60)]
    world = World(holding(), others=others)
    assert read(world) == Refused(("systems 7 and 8 are heard: name one with --system",))
    assert world.sent == []
    assert end(read(World(holding(), others=others), 7)) is End.SAME


def test_a_restart_in_mid_transfer_is_no_reading() -> None:
    def told(now_s: float) -> list[m.Message]:
        since_boot_ms = 90_000 if now_s < 4.0 else 1000
        return [*standing(), m.SystemTime(since_boot_ms=since_boot_ms + round(1000.0 * now_s))]

    failed = read(World(holding(), told=told, up=lambda: (0.2,)))
    assert isinstance(failed, Failed)
    assert "started again" in failed.reason


REFUSED = {
    "armed": (standing(armed=True), "the aircraft is armed"),
    "flying": (standing(landed=m.LandedState.IN_AIR), "it is in air"),
    "unknown": (standing(landed=m.LandedState.UNKNOWN), "--on-ground"),
    # One degree of longitude at 55 N is 63.9 km by hand: cos 55 deg times 111.3 km.
    "far": (standing(here=(550_000_000, -40_000_000)), "from the released launch point"),
    "home": (standing(home=replace(HOME, height_amsl_mm=50_000)), "its home lies 10 m above"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_nothing_is_written_unless_all_holds(case: str) -> None:
    told, words = REFUSED[case]
    world = World(empty(), told=lambda _: told)
    refused = load(world)
    assert isinstance(refused, Refused)
    assert len(refused.reasons) == 1
    assert words in refused.reasons[0]
    assert world.sent == []


@given(armed_s=st.floats(2.6, 8.0), up=DELAYS)
def test_no_write_after_armed(armed_s: float, up: list[list[float]]) -> None:
    world = World(empty(), told=lambda now_s: standing(armed=now_s >= armed_s), up=fates(up))
    outcome = load(world)
    known_s = next(float(second) for second in range(99) if second >= armed_s) + 0.05
    assert not [message for time_s, message in world.sent if time_s > known_s
                and isinstance(message, WRITES)]  # fmt: skip
    if isinstance(outcome, Loaded) and outcome.failed is not None:
        assert outcome.failed.reason == "the aircraft was armed"


def broken_off(world: World) -> str:
    """Return why a load was broken off: once cancelled, nothing written after, read back."""
    loaded = load(world)
    assert isinstance(loaded, Loaded)
    assert loaded.failed is not None
    # 15 is MAV_MISSION_OPERATION_CANCELLED of the common set
    (place,) = [
        place
        for place, (_, one) in enumerate(world.sent)
        if isinstance(one, m.Ack) and one.result == 15
    ]
    assert any(isinstance(one, WRITES) for _, one in world.sent[:place])
    assert not any(isinstance(one, WRITES) for _, one in world.sent[place:])
    assert any(isinstance(one, m.RequestList) for _, one in world.sent[place:])
    return loaded.failed.reason


@pytest.mark.parametrize("sender", [(255, 190), (245, 190)])  # the second is our own id
def test_another_writer_breaks_the_load_off(sender: tuple[int, int]) -> None:
    count = m.Count(to_system=7, to_component=1, plan=0, count=4)
    world = World(empty(), up=lambda: (0.2,), others=[(3.5, heard(count, sender=sender))])
    assert broken_off(world) == "another station is writing a plan"


def test_heartbeats_that_stop_break_the_load_off() -> None:
    # The last heartbeat comes at 3 s; each item takes 0.9 s to get there.
    world = World(empty(), up=lambda: (0.9,), told=lambda now_s: standing() if now_s < 3.5 else [])
    reason = broken_off(world)
    assert reason == "no heartbeat came for 5 s: whether it is armed is not known"
    last_s = max(time_s for time_s, one in world.sent if isinstance(one, WRITES))
    assert last_s <= 3.1 + 5.0


def test_signing_that_begins_without_a_key_breaks_the_load_off() -> None:
    beat = replace(heard(standing()[0]), signed=True)
    world = World(empty(), up=lambda: (0.2,), others=[(3.5, beat)])
    assert "no key" in broken_off(world)


def test_a_store_that_was_cut_is_found_in_spite_of_the_acknowledgement() -> None:
    loaded = load(World(empty(stores=lambda items: items[:-1])))
    assert loaded.failed is None
    assert end(loaded.after) is End.NOT_THE_SAME


@pytest.mark.parametrize("closed_at_s", [0.5, 2.6, 3.2, 4.0, 5.0])
def test_a_port_that_vanishes_ends_the_load(closed_at_s: float) -> None:
    outcome = load(World(empty(), closed_at_s=closed_at_s))
    if isinstance(outcome, Loaded):
        assert isinstance(outcome.after, Failed)
    else:
        assert isinstance(outcome, Failed)


def test_a_slow_radio_that_loses_one_in_twenty() -> None:
    # 57,600 baud carry 5760 bytes a second of 8 bits, start and stop; an item is 50 bytes on the
    # wire (MISSION_ITEM_INT: 38 of payload and 12 around it), and a radio turns round in 60 ms.
    rng = random.Random(5)  # noqa: S311 - loss, not a secret

    def fate() -> list[float]:
        return [] if rng.random() < 0.05 else [0.06 + 50.0 / 5760.0]

    vehicle = empty()
    plans = {**PLANS, PlanType.ROUTE: tuple(item(place) for place in range(60))}
    looked = watch()
    script = write_script(looked, TERMS, Writing(plans=plans, home=None), [])
    loaded, took_s = World(vehicle, up=fate, down=fate).run(Session(looked, script))
    assert loaded.failed is None
    assert len(loaded.after.plans[PlanType.ROUTE].items) == 60
    assert took_s < 120.0


def test_presenting_sends_a_heartbeat_each_second() -> None:
    looked = watch()
    world = World(holding())
    _, took_s = world.run(Session(looked, read_script(looked, None), present=True))
    beats = [time_s for time_s, one in world.sent if isinstance(one, m.Heartbeat)]
    assert len(beats) == pytest.approx(took_s, abs=1.5)
