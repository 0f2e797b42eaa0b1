"""For how long a comparison holds: what ends it, since when, and that nothing brings it back."""

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest

from homeleg.cli.main import run
from homeleg.link import messages as m
from homeleg.link.fetch import FetchedPlan
from homeleg.link.messages import PlanType
from homeleg.link.session import Reading
from homeleg.link.verified import Verified, verified_now
from homeleg.link.watch import Watch
from tests.link.fake_vehicle import heard, item
from tests.link.test_command import aircraft, read_aloud
from tests.link.test_listen import glance, line_of
from tests.link.wire import in_hand

AIRCRAFT = m.Heartbeat(vehicle_type=1, autopilot=3, armed=False)
READ_AT_S = 100.0
FOUR_HOURS_S = 14_400.0


def reading(plan_id: int) -> Reading:
    plan = FetchedPlan(plan=PlanType.ROUTE, items=(item(0),), plan_id=plan_id)
    return Reading(
        system=7,
        component=1,
        vehicle_type=1,
        version=2,
        home=None,
        home_first=False,
        plans={PlanType.ROUTE: plan},
        unread={},
    )


def verified(plan_id: int = 5) -> Verified:
    watch = Watch(our_system=245, our_component=190)
    watch.hear(heard(m.SystemTime(since_boot_ms=50_000)), READ_AT_S)
    watch.hear(heard(AIRCRAFT), READ_AT_S)
    return verified_now(watch, reading(plan_id), READ_AT_S)


def hear(held: Verified, now_s: float, *messages: m.Message, told: m.Heard | None = None) -> None:
    for message in messages:
        held.watch.hear(heard(message), now_s)
    if told is not None:
        held.watch.hear(told, now_s)
    held.look(now_s)


def current(*plan_ids: int) -> m.PlanCurrent:
    route, boundary, diversions = plan_ids
    return m.PlanCurrent(sequence=0, total=1, plan_ids=(route, boundary, diversions))


def why(held: Verified) -> tuple[float, str] | None:
    return None if held.ended is None else (held.ended.since_s, held.ended.why)


def test_it_holds_as_long_as_nothing_ends_it() -> None:
    held = verified()
    for second in range(101, 400):
        time = m.SystemTime(since_boot_ms=1000 * (second - 50))
        hear(held, float(second), AIRCRAFT, time, current(5, 8, 9))
    assert why(held) is None
    assert held.tells_changes


def test_a_start_ends_it() -> None:
    held = verified()
    hear(held, 101.0, m.SystemTime(since_boot_ms=400))
    assert why(held) == (101.0, "it was started again")


@pytest.mark.parametrize("ids", [(6, 0, 0), (5, 8, 10)])
def test_another_plan_ends_it(ids: tuple[int, int, int]) -> None:
    held = verified()
    hear(held, 101.0, current(5, 8, 9))
    hear(held, 102.0, current(*ids))
    assert why(held) == (102.0, "a plan in it is another one")


def test_a_plan_that_was_changed_and_changed_back_does_not_hold_again() -> None:
    held = verified()
    hear(held, 101.0, current(6, 8, 9))
    hear(held, 102.0, current(5, 8, 9))
    assert why(held) == (101.0, "a plan in it is another one")


def test_a_writer_ends_it() -> None:
    held = verified()
    count = m.Count(to_system=7, to_component=1, plan=0, count=3)
    hear(held, 104.0, told=heard(count, sender=(255, 190)))
    assert why(held) == (104.0, "another station wrote to it")


def test_silence_ends_it_since_it_was_last_heard() -> None:
    held = verified()
    hear(held, 105.0, AIRCRAFT)
    held.look(115.0)
    assert why(held) is None
    held.look(115.1)
    assert why(held) == (105.0, "nothing was heard of it for over 10 s")


def test_silence_that_nobody_saw_ends_it_as_well() -> None:
    held = verified()
    hear(held, 105.0, AIRCRAFT)
    hear(held, 120.0, AIRCRAFT)  # the machine slept
    assert why(held) == (105.0, "nothing was heard of it for over 10 s")


def test_four_hours_end_it() -> None:
    held = verified()
    second = READ_AT_S
    while second < READ_AT_S + FOUR_HOURS_S:
        second += 5.0
        hear(held, second, AIRCRAFT)
    assert why(held) is None
    hear(held, second + 1.0, AIRCRAFT)
    assert why(held) == (READ_AT_S + FOUR_HOURS_S, "it was read over four hours ago")


def test_it_is_said_on_each_line() -> None:
    held = verified(plan_id=0)
    line = line_of(replace(glance(), verified=held, now_s=160.0))
    assert "verified 60 s ago (it does not number its plans: a change is not seen)" in line
    hear(held, 120.0, AIRCRAFT)
    line = line_of(replace(glance(), verified=held, now_s=300.0))
    words = "NOT VERIFIED since 3 min ago: nothing was heard of it for over 10 s"
    assert words in line
    alone = line_of(replace(glance(), verified=held, now_s=300.0, aircraft=None))
    assert alone.startswith(words)


def test_a_comparison_goes_on_listening(released: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wire = aircraft(released, loaded=True)
    wire.patience_s = 2.5
    with in_hand(wire) as port:
        given = ["--port", port, "--watch", *read_aloud(released)]
        assert run(["link", "compare", str(released), *given]) == 6
    said = capsys.readouterr()
    assert said.out.startswith("SAME as release")
    assert "it says when that holds no more" in " ".join(said.out.split())
    assert re.search(r" \| verified \d s ago \(it does not number its plans", said.out)
    assert "the link was closed at the other end" in said.err


def test_where_it_holds_no_more_is_kept_beside_the_release(released: Path) -> None:
    wire = aircraft(released, loaded=True)
    wire.silent_after_s, wire.patience_s = 8.0, 25.0
    with in_hand(wire) as port:
        given = ["--port", port, "--watch", *read_aloud(released)]
        assert run(["link", "compare", str(released), *given]) == 6
    path = next(released.parent.glob("*.aboard.jsonl"))
    same, doubt = (json.loads(line) for line in path.read_text("utf-8").splitlines())
    assert (same["end"], doubt["end"]) == ("SAME", "CANNOT TELL")
    assert doubt["untold"] == ["nothing was heard of it for over 10 s"]


def test_watching_is_not_for_json_alone(released: Path) -> None:
    given = ["--port", "tcp:127.0.0.1:1", "--watch", "--json", "-"]
    assert run(["link", "compare", str(released), *given]) == 2
