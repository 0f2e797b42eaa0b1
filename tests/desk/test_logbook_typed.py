"""Entries as typed: right ones are written in SI, wrong ones told all at once."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from homeleg.desk.base import Base, make_base
from homeleg.desk.examples import add_example
from homeleg.desk.logbook import logbook_of, open_logbook
from homeleg.desk.logbook_typed import KINDS_TYPED, enter_typed
from homeleg.desk.logbook_view import LogbookView, logbook_view
from homeleg.foundation.errors import InputFileError
from homeleg.logbook.store import Laptop
from homeleg.readiness.changes import Change
from homeleg.readiness.entries import Entry, Flight, Maintenance, PackSeen, Paper, PaperKind

NOW = datetime(2026, 6, 10, 8, tzinfo=UTC)
LAPTOP = Laptop("1f", "field laptop")
FLIGHT = {"aircraft": "petrel", "minutes": "9.5", "pilot": "Kim"}


@pytest.fixture
def base(tmp_path: Path) -> Base:
    made = make_base(tmp_path / "base")
    add_example(made, "tern-point")
    open_logbook(made, LAPTOP, NOW - timedelta(days=2))
    return made


def typed(base: Base, kind: str, /, now: datetime = NOW, **fields: str) -> Entry:
    return enter_typed(base, LAPTOP, now, kind, fields)


def seen(base: Base, now: datetime = NOW) -> LogbookView:
    book = logbook_of(base)
    assert book is not None
    return logbook_view(book, now)


def test_a_flight_without_a_time_has_just_landed(base: Base) -> None:
    entry = enter_typed(
        base, LAPTOP, NOW, "flight", {**FLIGHT, "charged": "2290 mAh", "release": "ar7 7kn"}
    )
    assert entry.at == NOW - timedelta(seconds=570)
    assert entry.thing == Flight(
        aircraft="petrel",
        duration_s=570.0,
        charge_ah=2.29,
        place="",
        pilot="Kim",
        release="AR77KN",
        pack=None,
    )


def test_a_pack_is_kept_in_si(base: Base) -> None:
    entry = typed(
        base, "pack", pack="B2", aircraft="petrel", temperature="21 degC", capacity="9700 mAh",
        resistance="30 mohm", cycles="41", swollen="no",
    )  # fmt: skip
    pack = entry.thing
    assert isinstance(pack, PackSeen)
    assert (pack.pack, pack.aircraft, pack.cycles, pack.swollen) == ("B2", "petrel", 41, False)
    assert pack.capacity_ah == pytest.approx(9.7)
    assert pack.resistance_ohm == pytest.approx(0.030)
    assert pack.temperature_k == pytest.approx(294.15)


def test_maintenance_and_papers_are_read(base: Base) -> None:
    work = typed(base, "maintenance", aircraft="petrel", task="horns", hours="20", months="12")
    assert work.thing == Maintenance(
        aircraft="petrel", task="horns", every_flights=None, every_s=72_000.0, every_months=12
    )
    paper = typed(
        base, "paper", kind="permission", holder="petrel", until="2027-03-31",
        conditions="below 90 m\n\n not over the road ",
    )  # fmt: skip
    assert paper.thing == Paper(
        kind=PaperKind.PERMISSION,
        holder="petrel",
        number="",
        until=date(2027, 3, 31),
        conditions=("below 90 m", "not over the road"),
    )


def test_all_that_is_wrong_is_told_at_once(base: Base) -> None:
    with pytest.raises(InputFileError) as refused:
        typed(base, "flight", aircraft="petral", minutes="-3", charged="2290", at="yesterday")
    told = {one.where: one.problem for one in refused.value.problems}
    assert set(told) == {"aircraft", "minutes", "charged", "pilot", "at"}
    assert told["minutes"] == "-3 cannot be"
    assert told["aircraft"] == 'no aircraft "petral" in this base'


@pytest.mark.parametrize(
    ("kind", "fields", "says"),
    [
        ("flight", {**FLIGHT, "minutes": "nan"}, "is not a number"),
        ("flight", {**FLIGHT, "at": "2027-01-01 10:00Z"}, "yet to come"),
        ("flight", {**FLIGHT, "at": "2026-06-09 10:00"}, "time zone"),
        ("flight", {**FLIGHT, "pack": "B9"}, 'no pack "B9" was entered'),
        ("event", {"aircraft": "petrel", "what": "crash"}, "hard landing"),
        ("maintenance", {"aircraft": "petrel", "task": "x"}, "has to say how often"),
        ("maintenance", {"aircraft": "petrel", "task": "x", "flights": "2.5"}, "cannot be"),
        ("maintenance", {"aircraft": "petrel", "task": "x", "hours": "-1"}, "cannot be"),
        ("paper", {"kind": "licence", "holder": "Kim"}, "registration, certificate"),
        ("paper", {"kind": "insurance", "holder": "petrel", "until": "31.3.27"}, "not a day"),
        ("pack", {"pack": "B", "temperature": "300 degC"}, "cannot be"),
        ("pack", {"pack": "B", "cycles": "-1"}, "cannot be"),
        ("defect", {"aircraft": "petrel", "words": "crack"}, "by: is missing"),
        ("deferral", {"about": "333333", "by": "Kim"}, "no entry has this code"),
        ("note", {"words": "x" * 600}, "at most 500"),
    ],
)
def test_what_cannot_be_is_refused(
    base: Base, kind: str, fields: dict[str, str], says: str
) -> None:
    before = logbook_of(base)
    with pytest.raises(InputFileError, match=says):
        enter_typed(base, LAPTOP, NOW, kind, fields)
    assert logbook_of(base) == before


@pytest.mark.parametrize("kind", KINDS_TYPED)
def test_an_empty_form_of_each_kind_is_told_what_it_lacks(base: Base, kind: str) -> None:
    with pytest.raises(InputFileError):
        typed(base, kind)


def test_a_deferral_into_the_past_is_refused(base: Base) -> None:
    defect = typed(base, "defect", aircraft="petrel", words="crack", by="Kim")
    with pytest.raises(InputFileError, match="2026-06-09 has passed"):
        typed(base, "deferral", about=defect.code, by="Kim", until="2026-06-09")


def test_what_is_open_is_told_what_stops_first(base: Base) -> None:
    typed(base, "paper", kind="insurance", holder="petrel", until="2026-06-20")
    typed(base, "paper", kind="registration", holder="petrel", until="2026-12-20")
    assert [one.words for one in seen(base).open] == [
        "Insurance of petrel until 2026-06-20, 10 days left."
    ]
    defect = typed(base, "defect", aircraft="petrel", words="crack", by="Kim")
    first = seen(base).open[0]
    assert (first.kind, first.words, first.stops) == ("defect", "petrel: crack.", True)
    typed(base, "deferral", about=defect.code, by="Kim", until="2026-06-12", limitation="no loops")
    deferred = next(one for one in seen(base).open if one.kind == "defect")
    assert deferred.stops is False
    assert "until 2026-06-12: no loops, Kim decides" in deferred.words
    later = next(one for one in seen(base, NOW + timedelta(days=3)).open if one.kind == "defect")
    assert later.stops is True
    typed(base, "done", about=defect.code, by="Kim")
    assert [one.kind for one in seen(base).open] == ["paper"]


def test_a_changed_record_is_asked_about_until_answered(base: Base) -> None:
    file = base.aircraft / "petrel.toml"
    text = file.read_text("utf-8")
    file.write_text(text.replace('"0.28 m"', '"0.30 m"').replace('"-40 mm"', '"-30 mm"'), "utf-8")
    open_logbook(base, LAPTOP, NOW)
    first, second = seen(base).open
    assert "Was it camera or pack place moved, or is it only written down better?" in first.words
    assert "Was it propeller or motor" in second.words
    code = first.entry.code
    typed(base, "event", about=code, what="propeller or motor", by="Kim")
    [left] = seen(base).open
    assert "camera or pack place moved" in left.words
    typed(base, "event", about=code, what="only written down better", by="Kim")
    assert seen(base).open == ()
    [line] = seen(base).aircraft
    assert [one.change for one, _ in line.changed] == [
        Change.PROPELLER_OR_MOTOR,
        Change.WRITTEN_ANEW,
    ]


def test_an_event_is_no_answer_to_anything_else(base: Base) -> None:
    note = typed(base, "note", words="fog", aircraft="petrel")
    with pytest.raises(InputFileError, match="is no configuration"):
        typed(base, "event", about=note.code, what="hard landing")


def test_rows_come_newest_first_and_say_what_they_speak_of(base: Base) -> None:
    defect = typed(base, "defect", aircraft="petrel", words="crack", by="Kim")
    typed(base, "done", now=NOW + timedelta(hours=1), about=defect.code, by="Lee", words="glued")
    rows = [words for _, words in seen(base).rows]
    assert rows == [
        f"Done (Lee), glued. About {defect.code}: petrel: crack (Kim).",
        "petrel: crack (Kim).",
        "petrel: its record was entered.",
    ]


def test_words_that_would_upset_a_terminal_are_shown_without(base: Base) -> None:
    typed(base, "note", words="ring\x07 \x1b[2J")
    assert seen(base).rows[0][1] == "ring? ?[2J"
