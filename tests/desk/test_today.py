"""The page of a day: blocks worked by hand, what is open, and the reach of each aircraft."""

import math
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from homeleg.briefing.dial import DialWinds
from homeleg.desk.base import Base, aircraft_named, make_base, sortie_named, sorties_in
from homeleg.desk.changed import asked_of, enter_changes
from homeleg.desk.edit import set_in_file
from homeleg.desk.examples import add_example
from homeleg.desk.face import SI
from homeleg.desk.logbook import enter, logbook_path, open_logbook
from homeleg.desk.today import Known, Today, today, which_sortie
from homeleg.desk.today_rows import day_of, light_row, packs_row, permission_row, wind_row
from homeleg.formats.sortie_file import read_sortie
from homeleg.logbook.store import Laptop
from homeleg.readiness.changes import Change
from homeleg.readiness.day import Holds, Span
from homeleg.readiness.due import papers_held
from homeleg.readiness.entries import (
    Defect,
    Flight,
    PackSeen,
    Paper,
    PaperKind,
    Thing,
)
from homeleg.readiness.packs import packs_of
from homeleg.sortie.resolve import resolve
from homeleg.verdict.result import Status

LAPTOP = Laptop(id="0123456789abcdef", name="field laptop")


def at(hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 6, 9, hour, minute, tzinfo=UTC)


NOW = at(16, 50)


@pytest.fixture
def base(tmp_path: Path) -> Base:
    made = make_base(tmp_path / "base")
    add_example(made, "tern-point")
    return made


def write(base: Base, thing: Thing, when: datetime, now: datetime = NOW) -> None:
    open_logbook(base, LAPTOP, now)
    enter(base, LAPTOP, now, thing, at=when)


def flight(charge_ah: float | None, pack: str = "pack 1") -> Flight:
    return Flight(
        aircraft="petrel",
        duration_s=600.0,
        charge_ah=charge_ah,
        place="Tern Point",
        pilot="Kim",
        release=None,
        pack=pack,
    )


def winds(go_m_s: float, marginal_m_s: float = 0.0) -> tuple[DialWinds, float]:
    """Winds from every side, GO up to a speed, MARGINAL up to another; at 10 m."""
    speeds = tuple(float(speed) for speed in range(1, 13))
    row = tuple(
        Status.GO if one <= go_m_s else Status.MARGINAL if one <= marginal_m_s else Status.NO_GO
        for one in speeds
    )
    looked = DialWinds(
        directions_rad=tuple(2.0 * math.pi * k / 16 for k in range(16)),
        speeds_m_s=speeds,
        statuses=(row,) * 16,
        closes=("",) * 16,
    )
    return looked, 10.0


NOTHING = Known()


def shown(base: Base, known: Known = NOTHING, now: datetime = NOW) -> Today:
    entry = sortie_named(base, "tern-point")
    assert entry is not None
    return today(base, entry, known, now, SI)


def words(page: Today) -> list[str]:
    return [one.words for one in page.things]


def test_the_day_is_an_hour_more_than_its_light(base: Base) -> None:
    # 55 N 5 W on 9 June: the sun rises about 03:40 and sets just before 21:00 UTC (MEMORY, to some
    # minutes); whole hours about one hour more.
    sortie = read_sortie(base.sorties / "tern-point" / "sortie.toml").sortie
    day = day_of(sortie, at(17))
    assert (day.begin, day.end) == (at(2), at(22))


def test_the_wind_closes_when_its_spread_reaches_the_window(base: Base) -> None:
    # By hand: 5.0 m/s with 0.8 m/s at 16:45, and 1.2 m/s times the root of the hours: 1 in 10 lies
    # above 5.0 + 1.2816 sqrt(0.64 + 1.44 h); that is 8.0 at h = 3.36, 20:06; looked at each 5 min.
    sortie = read_sortie(base.sorties / "tern-point" / "sortie.toml").sortie
    row, inside = wind_row(sortie, Span(at(2), at(23)), winds(8.0), (Status.GO,))
    assert row.closes_m_s == pytest.approx(8.0)
    [span] = inside
    assert (span.begin, span.end) == (at(16, 45), at(20, 10))


def test_a_wind_that_is_too_old_is_asked_anew(base: Base) -> None:
    sortie = read_sortie(base.sorties / "tern-point" / "sortie.toml").sortie
    later = Span(at(2) + timedelta(days=3), at(23) + timedelta(days=3))
    row, inside = wind_row(sortie, later, winds(12.0), (Status.GO,))
    assert inside == ()
    assert row.moments == ()
    assert row.words == "wind told 9 June, 16:45: measure it anew"


def test_a_forecast_holds_before_its_hour_as_after_it(base: Base) -> None:
    # By hand: 5 m/s with 2 m/s for 17:00, at its own height: four hours off, before or after, the
    # spread is the root of 4 + 1.44 x 4 = 3.124 m/s, and 1 in 10 above 5 + 1.2816 x 3.124 = 9.00.
    path = base.sorties / "tern-point" / "sortie.toml"
    layer = {
        "value": "5 m/s from 225",
        "sd": "2 m/s",
        "at": "10 m above launch",
        "seen": "2026-06-09 17:00Z",
    }
    set_in_file(path, ["weather", "surface_wind"], None)
    set_in_file(path, ["weather", "layers"], [layer])
    row, _ = wind_row(read_sortie(path).sortie, Span(at(2), at(23)), winds(8.0), (Status.GO,))
    highs = {moment: high for moment, _, _, high in row.moments}
    assert highs[at(13)] == pytest.approx(9.00, abs=0.01)
    assert highs[at(21)] == pytest.approx(9.00, abs=0.01)
    assert highs[at(17)] == pytest.approx(5.0 + 1.2816 * 2.0, abs=0.01)
    assert min(highs) == at(5)


def test_a_day_without_a_wind_asks_for_one(base: Base) -> None:
    later = NOW + timedelta(days=30)
    page = shown(base, Known(looked=winds(8.0)), later)
    assert page.sentence == "When can you fly Tern Point?"
    assert page.second.startswith("No wind is told for this day: measure it")


@pytest.mark.parametrize(("month", "lines"), [(12, 0), (6, 1)])
def test_where_the_sun_never_rises_or_never_sets(base: Base, month: int, lines: int) -> None:
    sortie = read_sortie(base.sorties / "tern-point" / "sortie.toml").sortie
    north = replace(
        sortie,
        site=replace(sortie.site, latitude_rad=math.radians(80.0)),
        launch_time=datetime(2026, month, 15, 12, 0, tzinfo=UTC),
    )
    day = day_of(north, north.launch_time)
    assert day.length >= timedelta(hours=24)
    row = light_row(resolve(north), day)
    assert len(row.lines) == lines
    if lines:
        assert [bar.words for bar in row.lines[0] if bar.holds is Holds.MET and bar.words] == [
            "daylight"
        ]


def test_a_block_is_where_all_of_it_holds(base: Base) -> None:
    page = shown(base, Known(looked=winds(8.0)))
    # Wind from 16:45 to 20:10; the sun comes into the eyes before.
    assert page.sentence.startswith("You can fly Tern Point until ")
    assert "rect" in dict(page.figures)["laptop"]


def test_without_the_winds_no_block_is_promised(base: Base) -> None:
    page = shown(base)
    assert page.sentence == "When can you fly Tern Point?"
    assert "never" not in page.second


def test_no_wind_that_would_do(base: Base) -> None:
    page = shown(base, Known(looked=winds(3.0)))
    assert page.sentence == "No time to fly Tern Point: no wind that would do."


def test_a_window_that_is_marginal_everywhere_makes_hatched_blocks(base: Base) -> None:
    page = shown(base, Known(looked=winds(0.0, marginal_m_s=9.0)))
    assert page.second.startswith("MARGINAL at best")


@pytest.mark.parametrize(
    ("conditions", "spans"),
    [
        ((), [(Holds.MET, 2, 23)]),
        (("07:00Z to 20:00Z",), [(Holds.MET, 7, 20)]),
        (
            ("from 7Z to 20Z", "not 10:00Z to 12:00Z"),
            [(Holds.MET, 7, 20), (Holds.SHUT, 10, 12)],
        ),
        (("keep off the beach",), [(Holds.MET, 2, 23)]),
        (("20Z to 4Z",), [(Holds.MET, 2, 4), (Holds.MET, 20, 23)]),
    ],
)
def test_a_permission_opens_its_hours(
    base: Base, conditions: tuple[str, ...], spans: list[tuple[Holds, int, int]]
) -> None:
    paper = Paper(
        kind=PaperKind.PERMISSION, holder="warden", number="7", until=None, conditions=conditions
    )
    write(base, paper, at(12))
    held = papers_held(open_logbook(base, LAPTOP, NOW).held, NOW)
    [line] = permission_row(held, Span(at(2), at(23))).lines
    found = [(bar.holds, bar.span.begin.hour, bar.span.end.hour) for bar in line]
    assert found == spans


def test_a_paper_that_has_ended_shuts_the_day(base: Base) -> None:
    paper = Paper(
        kind=PaperKind.INSURANCE,
        holder="Kim",
        number="1",
        until=date(2026, 6, 3),
        conditions=(),
    )
    write(base, paper, at(12))
    page = shown(base, Known(looked=winds(8.0)))
    assert page.sentence == "No time to fly Tern Point: no permission."
    assert any("Insurance of Kim ended" in one for one in words(page))


def test_a_pack_is_charged_once_its_charge_was_put_back(base: Base) -> None:
    write(base, flight(None), at(9))
    write(base, flight(0.8, "pack 2"), at(11), at(15))
    held = open_logbook(base, LAPTOP, NOW).held
    row = packs_row(packs_of(held), held, Span(at(2), at(23)))
    bars = [line[0] for line in row.lines]
    assert [bar.holds for bar in bars] == [Holds.SHUT, Holds.MET]
    assert bars[1].span.begin == at(15)
    assert shown(base, Known(looked=winds(8.0))).sentence.startswith("You can fly")


def test_a_swollen_pack_alone_leaves_no_pack(base: Base) -> None:
    swollen = PackSeen(
        pack="pack 1",
        aircraft="petrel",
        cycles=None,
        capacity_ah=None,
        resistance_ohm=None,
        temperature_k=None,
        swollen=True,
    )
    write(base, swollen, at(12))
    page = shown(base, Known(looked=winds(8.0)))
    assert page.sentence == "No time to fly Tern Point: no charged pack."


def test_what_loses_aircraft_stands_first_and_five_at_most(base: Base) -> None:
    path = base.sorties / "tern-point" / "sortie.toml"
    for item in ("wing", "sense", "heading", "walk"):
        set_in_file(path, ["told", item], None)
    write(base, flight(None), at(9))
    write(base, Defect(aircraft="petrel", words="hinge loose", by="Kim"), at(10))
    page = shown(base)
    assert words(page) == [
        "What changed since the last flight?",
        "petrel: hinge loose.",
        "The wing: count what holds it, pull each tip",
        "Every surface: see which way it moves",
        "2 more calls to make",
    ]
    assert page.more == 1
    assert page.things[0].address == "/aircraft/petrel/changed"


def test_a_base_without_a_logbook_shows_its_day(base: Base) -> None:
    page = shown(base)
    assert page.troubles == ()
    assert [one.title for one in page.aircraft] == ["Petrel"]
    assert not logbook_path(base).exists()


def test_a_damaged_logbook_is_told_and_the_day_shown(base: Base) -> None:
    logbook_path(base).write_bytes(b"not a logbook at all" * 100)
    page = shown(base)
    assert page.troubles
    assert page.figures


def test_the_next_launch_is_shown_and_else_the_last(base: Base) -> None:
    add_example(base, "mesa-alta")  # 8 July
    entries = sorties_in(base)
    for now, name in ((NOW, "tern-point"), (at(12) + timedelta(days=1), "mesa-alta")):
        found = which_sortie(entries, now)
        assert found is not None
        assert found.name == name
    last = which_sortie(entries, datetime(2027, 1, 1, tzinfo=UTC))
    assert last is not None
    assert last.name == "mesa-alta"
    broken = tuple(replace(one, launch_time=None) for one in entries)
    assert which_sortie(broken, NOW) is None


def test_a_change_voids_what_was_told_and_holds_the_reach(base: Base) -> None:
    path = base.sorties / "tern-point" / "sortie.toml"
    told_before = {answer.item for answer in read_sortie(path).sortie.told}
    assert {"sense", "wing", "settings"} <= told_before
    write(base, flight(0.8), at(12))
    petrel = aircraft_named(base, "petrel")
    assert petrel is not None
    void = enter_changes(
        base, LAPTOP, NOW, petrel, [Change.WING_REFITTED, Change.AUTOPILOT], by="Kim"
    )
    assert set(void) == {"wing", "sense", "settings"}
    left = {answer.item for answer in read_sortie(path).sortie.told}
    assert left == told_before - {"wing", "sense", "settings"}
    page = shown(base)
    assert "What changed since the last flight?" not in words(page)
    assert page.aircraft[0].under == "5 flights, held back: autopilot software or settings"
    assert page.aircraft[0].words.startswith("step 1: 400 m")


def test_a_hard_landing_voids_the_tube_and_a_new_pack_its_health(base: Base) -> None:
    path = base.sorties / "tern-point" / "sortie.toml"
    write(base, flight(0.8), at(12))
    petrel = aircraft_named(base, "petrel")
    assert petrel is not None
    enter_changes(base, LAPTOP, NOW, petrel, [Change.HARD_LANDING, Change.NEW_PACK], by="Kim")
    sortie = read_sortie(path).sortie
    left = {answer.item for answer in sortie.told}
    assert not {"wing", "sense", "pitot", "heading", "pack.temperature", "pack.health"} & left
    assert sortie.pack.temperature_k is None


def test_what_the_record_lets_suppose_is_asked_and_settled(base: Base) -> None:
    write(base, flight(0.8), at(12))
    record = base.aircraft / "petrel.toml"
    text = record.read_text("utf-8")
    assert 'arm = "-40 mm"' in text
    record.write_text(text.replace('arm = "-40 mm"', 'arm = "-30 mm"'), "utf-8")
    asked = asked_of(base, LAPTOP, "petrel", NOW)
    supposed = [line for line in asked.lines if line.supposed]
    assert [line.change for line in supposed] == [Change.PLACE_MOVED]
    petrel = aircraft_named(base, "petrel")
    assert petrel is not None
    assert enter_changes(base, LAPTOP, NOW, petrel, [], by="Kim") == ()
    assert not [line for line in asked_of(base, LAPTOP, "petrel", NOW).lines if line.supposed]
    assert shown(base).aircraft[0].under == "5 flights"
