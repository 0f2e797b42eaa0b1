"""Whether it is still to be said what changed on an aircraft since it last flew."""

from homeleg.readiness.asked import NOTHING_CHANGED, is_asked
from homeleg.readiness.changes import Change
from homeleg.readiness.entries import Configuration, Entry, Event, Note
from tests.readiness.held import entry, flight, held


def said(hours: float, change: Change, about: Entry | None = None) -> Entry:
    return entry(Event(aircraft="petrel", change=change, words="", by="Kim"), hours, about)


def note(hours: float, words: str, aircraft: str = "petrel") -> Entry:
    return entry(Note(aircraft=aircraft, words=words, by="Kim"), hours)


def test_an_aircraft_that_never_flew_is_not_asked_about() -> None:
    assert not is_asked(held(), "petrel")
    assert not is_asked(held(flight(0.0, aircraft="heron")), "petrel")


def test_each_flight_asks_again_until_somebody_says() -> None:
    assert is_asked(held(flight(0.0)), "petrel")
    assert not is_asked(held(flight(0.0), said(1.0, Change.WING_REFITTED)), "petrel")
    assert not is_asked(held(flight(0.0), note(1.0, NOTHING_CHANGED)), "petrel")
    assert is_asked(held(flight(0.0), note(1.0, NOTHING_CHANGED), flight(2.0)), "petrel")


def test_other_words_or_another_aircraft_do_not_answer() -> None:
    assert is_asked(held(flight(0.0), note(1.0, "Windy.")), "petrel")
    assert is_asked(held(flight(0.0), note(1.0, NOTHING_CHANGED, "heron")), "petrel")


def test_what_the_record_lets_suppose_is_asked_until_it_is_told() -> None:
    changed = entry(
        Configuration(
            aircraft="petrel",
            text="",
            changed=("stations.pack.arm: -40 mm -> -20 mm",),
            supposed=(Change.PLACE_MOVED,),
        ),
        1.0,
    )
    before = flight(0.0)
    assert is_asked(held(before, changed, note(2.0, NOTHING_CHANGED)), "petrel")
    answered = said(2.0, Change.PLACE_MOVED, about=changed)
    assert not is_asked(held(before, changed, answered), "petrel")
