"""What changed since the last flight, what that voids, and what holds the reach back.

The table is the project's own ("What a change voids"): its rows are written out here by hand.
"""

import pytest

from homeleg.readiness.changes import Change, may_be, void_by
from homeleg.readiness.entries import CardFlown, Configuration, Entry, Event, Withdrawal
from homeleg.readiness.since import (
    changes_of,
    held_back_by,
    last_landing,
    since_last_flight,
    void_before,
)
from homeleg.readiness.told import TOLD_ITEMS
from tests.readiness.held import START, entry, flight, held

CARDS = ("commanded return", "link loss")


def event(
    change: Change, hours: float, aircraft: str = "petrel", about: Entry | None = None
) -> Entry:
    thing = Event(aircraft=aircraft, change=change, words="", by="Kim")
    return entry(thing, hours, about)


def card(name: str, hours: float) -> Entry:
    return entry(CardFlown(aircraft="petrel", card=name, by="Kim"), hours)


def configuration(hours: float, *supposed: Change) -> Entry:
    thing = Configuration(aircraft="petrel", text="", changed=("a: 1 -> 2",), supposed=supposed)
    return entry(thing, hours)


@pytest.mark.parametrize(
    ("change", "told", "cards", "step"),
    [
        (Change.WING_REFITTED, {"sense", "wing"}, set(), None),
        (Change.LEAD_REPLUGGED, {"sense", "wing"}, set(), None),
        (Change.PLACE_MOVED, set(), {"stall"}, 1),
        (Change.PROPELLER_OR_MOTOR, set(), {"G3", "F4"}, None),
        (Change.AUTOPILOT, {"settings"}, {"commanded return", "link loss"}, 1),
        (Change.HARD_LANDING, {"wing", "sense", "heading", "speed.pitot"}, set(), None),
        (Change.NEW_PACK, {"pack.health", "pack.temperature"}, set(), None),
        (Change.TUBE_DISTURBED, {"speed.pitot"}, set(), None),
        (Change.WRITTEN_ANEW, set(), set(), None),
    ],
)
def test_each_change_voids_its_row_of_the_table(
    change: Change, told: set[str], cards: set[str], step: int | None
) -> None:
    void = void_by(change)
    assert (set(void.told), set(void.cards), void.reach_step) == (told, cards, step)
    assert told <= {item.name for item in TOLD_ITEMS}


def test_every_change_has_its_row() -> None:
    assert all(void_by(change) is not None for change in Change)


def test_only_what_came_after_the_last_launch_is_asked_about() -> None:
    book = held(
        event(Change.PROPELLER_OR_MOTOR, 0), flight(1), event(Change.HARD_LANDING, 1.2),
        event(Change.NEW_PACK, 2, "heron"),
    )  # fmt: skip
    assert [one.change for one in since_last_flight(book, "petrel")] == [Change.HARD_LANDING]
    assert [one.change for one in since_last_flight(book, "heron")] == [Change.NEW_PACK]
    landing = last_landing(book, "petrel")
    assert landing is not None
    assert (landing - START).total_seconds() == 3600 + 600
    assert last_landing(book, "heron") is None


def test_what_a_record_may_mean_counts_until_somebody_says_what_was_done() -> None:
    record = configuration(1, Change.PLACE_MOVED)
    [supposed] = changes_of(held(record), "petrel")
    assert (supposed.change, supposed.supposed) == (Change.PLACE_MOVED, True)
    assert held_back_by(held(record), "petrel") == supposed
    answer = event(Change.WRITTEN_ANEW, 1.1, about=record)
    [told] = changes_of(held(record, answer), "petrel")
    assert (told.change, told.supposed) == (Change.WRITTEN_ANEW, False)
    assert held_back_by(held(record, answer), "petrel") is None


def test_answers_from_before_the_latest_change_are_void() -> None:
    book = held(event(Change.WING_REFITTED, 1), event(Change.HARD_LANDING, 2))
    void = void_before(book, "petrel")
    assert {name: one.change for name, one in void.items()} == {
        "wing": Change.HARD_LANDING,
        "sense": Change.HARD_LANDING,
        "heading": Change.HARD_LANDING,
        "speed.pitot": Change.HARD_LANDING,
    }


def test_a_moved_place_holds_the_reach_back_until_one_flight() -> None:
    moved = event(Change.PLACE_MOVED, 1)
    assert held_back_by(held(moved), "petrel") is not None
    assert held_back_by(held(moved, flight(2)), "petrel") is None
    assert held_back_by(held(moved, flight(2, "heron")), "petrel") is not None


def test_new_settings_hold_the_reach_back_until_both_cards() -> None:
    changed, flown = event(Change.AUTOPILOT, 1), flight(2)
    assert held_back_by(held(changed, flown, card(CARDS[0], 3)), "petrel") is not None
    assert held_back_by(held(card(CARDS[1], 0), changed, flown, card(CARDS[0], 3)), "petrel")
    both = held(changed, flown, card(CARDS[0], 3), card(CARDS[1], 3))
    assert held_back_by(both, "petrel") is None


def test_what_was_withdrawn_did_not_happen() -> None:
    moved = event(Change.PLACE_MOVED, 1)
    withdrawn = entry(Withdrawal(by="Kim", reason="another aircraft"), 2, moved)
    assert changes_of(held(moved, withdrawn), "petrel") == ()


@pytest.mark.parametrize(
    ("key", "change"),
    [
        ("stations.camera.arm", Change.PLACE_MOVED),
        ("mass.total.value", Change.PLACE_MOVED),
        ("propulsion.propeller_diameter", Change.PROPELLER_OR_MOTOR),
        ("link_loss.return_height", Change.AUTOPILOT),
        ("battery.capacity", Change.NEW_PACK),
    ],
)
def test_a_changed_value_is_first_taken_for_the_gravest(key: str, change: Change) -> None:
    assert may_be(key)[0] is change
    assert may_be(key)[-1] is Change.WRITTEN_ANEW


@pytest.mark.parametrize("key", ["learned.mean", "flown.1.on", "flights", "aero.zero_lift_drag"])
def test_what_was_only_learned_changes_no_aircraft(key: str) -> None:
    assert may_be(key) == ()
