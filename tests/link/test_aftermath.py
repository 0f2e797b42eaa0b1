"""What an aircraft may hold after a load that failed: by what was said, and by reading back."""

from dataclasses import replace
from typing import Any

import pytest

from homeleg.link import messages as m
from homeleg.link.aftermath import read_back_words, said_words
from homeleg.link.fetch import FetchedPlan
from homeleg.link.items import plans_of
from homeleg.link.load import Load
from homeleg.link.messages import PlanType
from homeleg.link.session import Loaded, Reading, Session, Writing, write_script
from tests.link.fake_vehicle import FakeVehicle, item
from tests.link.world import ROUTE, SETTINGS, TERMS, World, standing, watch

PLANS = plans_of(ROUTE, SETTINGS)
WRITING = Writing(plans=PLANS, home=None)
ITEMS = len(PLANS[PlanType.ROUTE])
BEFORE = {PlanType.ROUTE: (item(0), item(1))}


def holding_another(**changes: Any) -> FakeVehicle:
    return FakeVehicle(plans={0: list(BEFORE[PlanType.ROUTE]), 1: [], 2: []}, **changes)


def loaded(world: World) -> tuple[Any, list[Load]]:
    looked, loads = watch(), list[Load]()
    session = Session(looked, write_script(looked, TERMS, WRITING, loads))
    return world.run(session)[0], loads


class Deaf(FakeVehicle):
    """Hears no more from the message of a plan and number on: an offer is number -1."""

    plan = 0
    number = -1
    answers = False

    def hear(self, message: m.Message) -> list[m.Message]:
        number = message.sequence if isinstance(message, m.Item) else -1
        writes = isinstance(message, m.Item | m.Count) and message.plan == self.plan
        if writes and number >= self.number:
            return [self._to(m.Ack, plan=self.plan, result=14)] if self.answers else []
        return super().hear(message)


def deaf(plan: int, number: int, *, answers: bool = False) -> Deaf:
    vehicle = Deaf(plans={0: list(BEFORE[PlanType.ROUTE]), 1: [], 2: []})
    vehicle.plan, vehicle.number, vehicle.answers = plan, number, answers
    return vehicle


# What an aircraft does by the standard's sequence: it can store no item that was never sent, and
# what it refuses at the offer it did not take (MAVLink guide, mission service, MEMORY).
SAID = {
    "no answer to the offer": (
        deaf(1, -1),
        "boundary as before, or none; route as before, nothing of it was sent",
    ),
    "the offer refused": (
        deaf(1, -1, answers=True),
        "boundary as before: it refused; route as before, nothing of it was sent",
    ),
    "mute in the middle": (
        deaf(0, 1),
        "boundary as released, as the aircraft says; route as before, or part of the released one",
    ),
    "refused in the middle": (
        deaf(0, 1, answers=True),
        "boundary as released, as the aircraft says; route as before, or part of the released one",
    ),
    "mute at the last item": (
        deaf(0, ITEMS - 1),
        "boundary as released, as the aircraft says; route as before, as released, or part of it",
    ),
    "all taken": (
        holding_another(),
        "boundary as released, as the aircraft says; route as released, as the aircraft says",
    ),
}


@pytest.mark.parametrize("case", SAID)
def test_by_what_was_said(case: str) -> None:
    vehicle, words = SAID[case]
    _, loads = loaded(World(vehicle))
    assert "; ".join(said_words(WRITING, loads)) == words


def test_a_load_that_was_never_offered_left_all_as_before() -> None:
    words = "boundary as before, nothing of it was sent; route as before, nothing of it was sent"
    assert "; ".join(said_words(WRITING, [])) == words


def read_back(world: World) -> str:
    outcome, _ = loaded(world)
    assert isinstance(outcome, Loaded)
    assert outcome.failed is not None
    assert isinstance(outcome.after, Reading)
    return "; ".join(read_back_words(WRITING, BEFORE, outcome.after))


def test_an_aircraft_that_keeps_its_route_until_all_is_there() -> None:
    assert read_back(World(deaf(0, 1))) == "boundary as released; route as before"


def test_an_aircraft_that_stores_item_by_item() -> None:
    class Hasty(Deaf):
        def hear(self, message: m.Message) -> list[m.Message]:
            if isinstance(message, m.Item) and message.plan == 0:
                kept = [one for one in self.plans[0] if one.sequence < message.sequence]
                self.plans[0] = [*kept, message]
            return super().hear(message)

    vehicle = Hasty(plans={0: list(BEFORE[PlanType.ROUTE]), 1: [], 2: []})
    vehicle.number = 2
    words = "boundary as released; route neither as before nor as released, 3 items"
    assert read_back(World(vehicle)) == words


def test_an_aircraft_that_took_all_and_never_said_so() -> None:
    vehicle = holding_another(never_acknowledges=True)
    assert read_back(World(vehicle)) == "boundary as released; route as before"


def test_one_armed_in_the_middle_is_read_back() -> None:
    def told(now_s: float) -> list[m.Message]:
        return standing(armed=now_s >= 4.0)

    words = read_back(World(holding_another(), up=lambda: (0.2,), told=told))
    assert words.endswith("route as before")


def after(**fields: Any) -> Reading:
    told: dict[str, Any] = {"plans": {}, "unread": {}, **fields}
    return Reading(
        system=7, component=1, vehicle_type=1, version=2, home=None, home_first=None, **told
    )


def test_a_plan_that_cannot_be_read_back_is_not_known() -> None:
    found = after(unread={PlanType.BOUNDARY: "no answer"})
    assert read_back_words(WRITING, {}, found) == ("boundary not known", "route not known")


def test_degrees_in_single_precision_are_as_before() -> None:
    one = replace(item(0), precise=False, x=item(0).x * 1e-7, y=item(0).y * 1e-7)
    fetched = FetchedPlan(plan=PlanType.ROUTE, items=(one,), plan_id=1)
    writing = Writing(plans={PlanType.ROUTE: PLANS[PlanType.ROUTE]}, home=None)
    found = after(plans={PlanType.ROUTE: fetched})
    assert read_back_words(writing, {PlanType.ROUTE: (one,)}, found) == ("route as before",)
