"""Packs: which flight was on which, cycles and trends."""

from dataclasses import replace

from homeleg.readiness.entries import Entry, PackSeen
from homeleg.readiness.packs import pack_in, packs_of
from tests.readiness.held import START, entry, flight, held

NOTHING = PackSeen(
    pack="A", aircraft=None, cycles=None, capacity_ah=None, resistance_ohm=None,
    temperature_k=None, swollen=None,
)  # fmt: skip


def seen(pack: str, hours: float, aircraft: str | None = None, **more: float | bool) -> Entry:
    return entry(replace(NOTHING, pack=pack, aircraft=aircraft, **more), hours)  # type: ignore[arg-type]


def test_a_flight_is_on_the_pack_put_in_last() -> None:
    book = held(
        seen("A", 0, "petrel"), flight(1), seen("B", 2, "petrel"), flight(3), flight(4, pack="C"),
        flight(5, "heron"),
    )  # fmt: skip
    states = {one.name: one for one in packs_of(book)}
    assert {name: one.flights for name, one in states.items()} == {"A": 1, "B": 1, "C": 1}
    assert {name: one.aircraft for name, one in states.items()} == {
        "A": None,
        "B": "petrel",
        "C": None,
    }
    assert pack_in(book, "petrel", START) == "A"
    assert pack_in(book, "heron", START) is None


def test_cycles_are_those_told_and_the_flights_since() -> None:
    book = held(
        flight(0, pack="A"), seen("A", 1, cycles=40), flight(2, pack="A"), flight(3, pack="A")
    )
    [pack] = packs_of(book)
    assert (pack.cycles, pack.flights) == (42, 3)
    [untold] = packs_of(held(flight(0, pack="B")))
    assert untold.cycles is None


def test_trends_hold_what_was_measured() -> None:
    book = held(
        seen("A", 0, capacity_ah=5.0, resistance_ohm=0.030),
        seen("A", 1, temperature_k=290.0, swollen=True),
        seen("A", 2, capacity_ah=4.7, swollen=False),
    )
    [pack] = packs_of(book)
    assert [value for _, value in pack.capacity_ah] == [5.0, 4.7]
    assert [value for _, value in pack.resistance_ohm] == [0.030]
    assert [value for _, value in pack.temperature_k] == [290.0]
    assert pack.swollen is False
