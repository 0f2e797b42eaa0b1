import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.link import messages as m
from homeleg.link.fetch import Failed, Fetch, FetchedPlan
from homeleg.link.load import Acknowledged, Load
from homeleg.link.machine import Closed, Tick
from tests.link.fake_vehicle import PARTIES, FakeVehicle, Faults, heard, item, run

FATES = st.lists(st.sampled_from(["well", "lost", "doubled", "late"]), max_size=60)


def holding(count: int) -> FakeVehicle:
    return FakeVehicle(plans={0: [item(k) for k in range(count)], 1: [], 2: []})


def as_stored(items: tuple[m.Item, ...]) -> list[tuple[object, ...]]:
    """Return what must be the same, positions in whole steps (the old form holds degrees)."""
    scale = {True: 1.0, False: 1e7}
    return [
        (
            one.sequence,
            one.command,
            round(one.x * scale[one.precise]),
            round(one.y * scale[one.precise]),
            one.z,
            one.params,
        )
        for one in items
    ]


@given(st.integers(0, 12), FATES, FATES)
def test_a_fetch_ends_with_the_whole_plan_or_a_failure(
    count: int, up: list[str], down: list[str]
) -> None:
    outcome, sent, _ = run(
        Fetch(parties=PARTIES, plan=m.PlanType.ROUTE), holding(count), Faults(up), Faults(down)
    )
    assert all(isinstance(one, m.RequestList | m.Request | m.Ack) for one in sent)
    if isinstance(outcome, FetchedPlan):
        stored = tuple(item(k) for k in range(count))
        assert as_stored(outcome.items) == as_stored(stored)
        assert outcome.plan_id == 1
    else:
        assert isinstance(outcome, Failed)


@given(st.integers(1, 12), FATES, FATES)
def test_a_load_acknowledged_is_stored_whole(count: int, up: list[str], down: list[str]) -> None:
    vehicle = holding(0)
    items = tuple(item(k) for k in range(count))
    outcome, sent, _ = run(
        Load(parties=PARTIES, plan=m.PlanType.ROUTE, items=items), vehicle, Faults(up), Faults(down)
    )
    assert all(isinstance(one, m.Count | m.Item | m.Ack) for one in sent)
    if isinstance(outcome, Acknowledged):
        assert as_stored(tuple(vehicle.plans[0])) == as_stored(items)
        assert outcome.plan_id == 99
    else:
        assert isinstance(outcome, Failed)


def test_five_lost_answers_end_a_fetch() -> None:
    outcome, sent, now_s = run(
        Fetch(parties=PARTIES, plan=m.PlanType.ROUTE), holding(3), Faults(["lost"] * 99), Faults()
    )
    step = "asked how many items it holds"
    assert outcome == Failed(step=step, reason="no answer", is_final=True)
    assert len(sent) == 5
    assert now_s == pytest.approx(7.5)  # five waits of 1.5 s


def test_a_lost_item_is_asked_for_again_after_a_quarter_second() -> None:
    fetch = Fetch(parties=PARTIES, plan=m.PlanType.ROUTE)
    fetch.begin(0.0)
    step = fetch.on(heard(m.Count(to_system=245, to_component=190, plan=0, count=2)), 1.0)
    assert step.deadline_s == pytest.approx(1.25)
    again = fetch.on(Tick(), 1.25)
    assert again.send == step.send
    assert again.deadline_s == pytest.approx(1.75)


def test_an_aircraft_that_knows_the_old_request_alone_is_read() -> None:
    vehicle = holding(3)
    vehicle.old_only = True
    fetch = Fetch(parties=PARTIES, plan=m.PlanType.ROUTE)
    outcome, _, _ = run(fetch, vehicle, Faults(), Faults())
    assert isinstance(outcome, FetchedPlan)
    assert [one.precise for one in outcome.items] == [False] * 3
    assert outcome.items[1].x == pytest.approx(55.0001)


def test_an_aircraft_that_asks_the_old_way_is_served() -> None:
    vehicle = holding(0)
    vehicle.old_only = True
    load = Load(parties=PARTIES, plan=m.PlanType.ROUTE, items=(item(0),))
    outcome, sent, _ = run(load, vehicle, Faults(), Faults())
    assert isinstance(outcome, Acknowledged)
    served = [one for one in sent if isinstance(one, m.Item)]
    assert served[0].x == pytest.approx(55.0)
    assert not served[0].precise


@pytest.mark.parametrize("result", range(1, 16))
def test_every_refusal_is_told(result: int) -> None:
    vehicle = holding(0)
    vehicle.result = result
    load = Load(parties=PARTIES, plan=m.PlanType.ROUTE, items=(item(0),))
    outcome, _, _ = run(load, vehicle, Faults(), Faults())
    assert isinstance(outcome, Failed)
    assert outcome.reason.startswith("the aircraft refused: ")


def test_no_last_acknowledgement_is_a_failure() -> None:
    vehicle = holding(0)
    vehicle.never_acknowledges = True
    load = Load(parties=PARTIES, plan=m.PlanType.ROUTE, items=(item(0), item(1)))
    outcome, _, _ = run(load, vehicle, Faults(), Faults())
    assert outcome == Failed(step="sent item 2 of 2", reason="nothing more came for 10 s")


def test_an_absurd_count_is_not_waited_for() -> None:
    fetch = Fetch(parties=PARTIES, plan=m.PlanType.ROUTE)
    fetch.begin(0.0)
    step = fetch.on(heard(m.Count(to_system=245, to_component=190, plan=0, count=65_535)), 1.0)
    assert isinstance(step.outcome, Failed)
    assert step.outcome.reason == "it says that it holds 65535 items"


def test_a_plan_edited_during_the_fetch_is_a_failure() -> None:
    fetch = Fetch(parties=PARTIES, plan=m.PlanType.ROUTE)
    fetch.begin(0.0)
    fetch.on(heard(m.Count(to_system=245, to_component=190, plan=0, count=3)), 0.1)
    step = fetch.on(heard(m.Count(to_system=245, to_component=190, plan=0, count=4)), 0.2)
    assert isinstance(step.outcome, Failed)
    assert "changed from 3 to 4 items" in step.outcome.reason


@pytest.mark.parametrize(
    "stranger",
    [
        heard(m.Count(to_system=245, to_component=190, plan=0, count=9), sender=(8, 1)),
        heard(m.Count(to_system=200, to_component=190, plan=0, count=9)),
        heard(m.Count(to_system=245, to_component=190, plan=1, count=9)),
        heard(m.Ack(to_system=245, to_component=190, plan=1, result=4)),
        heard(m.Ack(to_system=200, to_component=190, plan=0, result=4)),
    ],
)
def test_what_others_say_is_not_taken(stranger: m.Heard) -> None:
    fetch = Fetch(parties=PARTIES, plan=m.PlanType.ROUTE)
    first = fetch.begin(0.0)
    step = fetch.on(stranger, 0.5)
    assert step.outcome is None
    assert step.send == ()
    assert step.deadline_s == first.deadline_s


def test_positions_that_are_none_are_kept_as_they_came() -> None:
    strange = item(0, x=2_147_483_647, z=math.nan)
    vehicle = FakeVehicle(plans={0: [strange], 1: [], 2: []})
    outcome, _, _ = run(Fetch(parties=PARTIES, plan=m.PlanType.ROUTE), vehicle, Faults(), Faults())
    assert isinstance(outcome, FetchedPlan)
    assert outcome.items[0].x == 2_147_483_647
    assert math.isnan(outcome.items[0].z)


def test_asking_for_an_item_that_is_not_there_breaks_the_load_off() -> None:
    load = Load(parties=PARTIES, plan=m.PlanType.ROUTE, items=(item(0),))
    load.begin(0.0)
    request = m.Request(to_system=245, to_component=190, plan=0, sequence=1, precise=True)
    step = load.on(heard(request), 0.1)
    assert step.send == (m.Ack(to_system=7, to_component=1, plan=0, result=m.AckResult.CANCELLED),)
    assert isinstance(step.outcome, Failed)


def test_a_lost_link_ends_either() -> None:
    for machine in (
        Fetch(parties=PARTIES, plan=m.PlanType.ROUTE),
        Load(parties=PARTIES, plan=m.PlanType.ROUTE, items=(item(0),)),
    ):
        machine.begin(0.0)
        outcome = machine.on(Closed("the port is gone"), 0.1).outcome
        assert isinstance(outcome, Failed)
        assert outcome.reason == "the port is gone"
