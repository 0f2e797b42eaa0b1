"""The evening before, and between two flights: lists from record, logbook and rule."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from homeleg.desk.base import Base, SortieEntry, make_base, sortie_named
from homeleg.desk.evening import TRANSPORT_SOURCE, Evening, evening
from homeleg.desk.examples import add_example
from homeleg.desk.face import SI
from homeleg.desk.logbook import enter, open_logbook
from homeleg.desk.stop_rule import rule_of, set_rule
from homeleg.desk.today import Known, today
from homeleg.desk.turnaround import turnaround
from homeleg.formats.text_file import write_text
from homeleg.foundation.errors import InputFileError
from homeleg.logbook.store import Laptop
from homeleg.readiness.entries import Flight

LAPTOP = Laptop(id="0123456789abcdef", name="field laptop")
NOW = datetime(2026, 6, 8, 20, 0, tzinfo=UTC)


@pytest.fixture
def base(tmp_path: Path) -> Base:
    made = make_base(tmp_path / "base")
    add_example(made, "tern-point")
    return made


def entry_of(base: Base, name: str = "tern-point") -> SortieEntry:
    found = sortie_named(base, name)
    assert found is not None
    return found


def flown(base: Base, hours_ago: float, charge_ah: float | None, pack: str) -> None:
    open_logbook(base, LAPTOP, NOW)
    flight = Flight(
        aircraft="petrel",
        duration_s=600.0,
        charge_ah=charge_ah,
        place="Tern Point",
        pilot="Kim",
        release=None,
        pack=pack,
    )
    enter(base, LAPTOP, NOW, flight, at=NOW - timedelta(hours=hours_ago))


def lines(shown: Evening, title: str) -> dict[str, str]:
    [group] = [one for one in shown.groups if one.title == title]
    return {item.words: item.note for item in group.items}


def test_packs_that_were_flown_are_to_charge(base: Base) -> None:
    flown(base, 3.0, None, "pack 1")
    flown(base, 5.0, 0.8, "pack 2")
    shown = evening(base, entry_of(base), 2, NOW)
    charge = lines(shown, "Charge")
    assert charge["Charge pack 1"] == "flown 8 June, nothing put back yet"
    assert "pack 2" in charge
    assert shown.to_do == 1


def test_parts_come_from_the_record(base: Base) -> None:
    parts = lines(evening(base, entry_of(base), 2, NOW), "Pack")
    assert parts["pack"] == "790 g, at -40 mm"
    assert "Petrel" in parts


@pytest.mark.parametrize(("packs", "total"), [(1, "148 Wh"), (2, "296 Wh"), (4, "592 Wh")])
def test_watt_hours_of_a_case_by_hand(base: Base, packs: int, total: str) -> None:
    # By hand: 4 cells x 3.7 V x 10 Ah = 148 Wh. The published limits: over 100 to 160 Wh with the
    # operator's approval, at most two spares.
    shown = evening(base, entry_of(base), packs, NOW)
    travel = lines(shown, "Packs on the way")
    assert travel["148 Wh a pack"].endswith("operator approval, at most two spares")
    assert total in travel
    [group] = [one for one in shown.groups if one.title == "Packs on the way"]
    assert group.under == TRANSPORT_SOURCE
    assert "49 CFR 175.10" in group.under


def test_what_is_aboard_the_laptop(base: Base) -> None:
    aboard = lines(evening(base, entry_of(base), 2, NOW), "Aboard this laptop")
    assert aboard["Ground"] == "by eye, under the whole route and every way home"
    assert aboard["Launch time and wind of tomorrow"] == "9 June, 17:00Z"
    late = evening(base, entry_of(base), 2, NOW + timedelta(days=30))
    assert (
        "is not the day to come"
        in lines(late, "Aboard this laptop")["Launch time and wind of tomorrow"]
    )
    assert late.to_do == 1


def test_ground_that_ends_too_early_is_told(base: Base) -> None:
    path = entry_of(base).path
    text = path.read_text("utf-8")
    assert 'radius = "1200 m"' in text
    write_text(path, text.replace('radius = "1200 m"', 'radius = "500 m"'))
    shown = evening(base, entry_of(base), 2, NOW)
    assert "without ground" in lines(shown, "Aboard this laptop")["Ground"]
    assert shown.to_do == 1


def test_the_rule_is_set_kept_and_stops(base: Base) -> None:
    entry = entry_of(base)
    assert not rule_of(base).is_set
    flown(base, 2.0, None, "pack 1")
    flown(base, 1.0, None, "pack 2")
    assert turnaround(base, entry, NOW).stopped == ()
    set_rule(base, {"flights": "2", "flying": "", "until": ""})
    shown = turnaround(base, entry, NOW)
    assert shown.stopped == ("2 flights flown, and you set 2",)
    page = today(base, entry, Known(), NOW, SI)
    assert page.sentence == "Stop for today: 2 flights flown, and you set 2."
    assert page.things[0].address == "/sortie/tern-point/turnaround"
    set_rule(base, {"flights": "3"})
    assert turnaround(base, entry, NOW).stopped == ()


def test_a_rule_that_cannot_be_leaves_the_old_one(base: Base) -> None:
    set_rule(base, {"flights": "2"})
    with pytest.raises(InputFileError, match="no number of flights"):
        set_rule(base, {"flights": "none"})
    assert rule_of(base).flights == 2
    write_text(base.folder / "stop.toml", "flights = 0\n")
    page = today(base, entry_of(base), Known(), NOW, SI)
    assert any("stop.toml, flights" in one for one in page.troubles)


def test_between_flights_the_steps_lead_somewhere(base: Base) -> None:
    steps = turnaround(base, entry_of(base), NOW).steps
    addresses = [step.address for step in steps if step.address]
    assert addresses == [
        "/aircraft/petrel/changed",
        "/sortie/tern-point/numbers",
        "/sortie/tern-point/calls",
    ]
