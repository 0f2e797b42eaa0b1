"""The logbook of a base: what its files tell is written down, and nothing that cannot be."""

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from homeleg.desk.base import Base, make_base
from homeleg.desk.examples import add_example
from homeleg.desk.logbook import enter, logbook_of, notice_around, open_logbook
from homeleg.desk.logbook_laptop import laptop_of
from homeleg.desk.release import write_release
from homeleg.formats.proof_file import add_proof
from homeleg.foundation.errors import InputFileError
from homeleg.logbook.store import Laptop
from homeleg.readiness.changes import Change
from homeleg.readiness.entries import (
    Compared,
    Configuration,
    Defect,
    Deferral,
    Done,
    Flight,
    Note,
    Released,
    Withdrawal,
    things,
)
from homeleg.readiness.since import changes_of
from homeleg.release.comparison import End
from homeleg.release.release import Release
from homeleg.release.route_aboard import Means, Proof

NOW = datetime(2026, 6, 10, 8, tzinfo=UTC)
LAPTOP = Laptop("1f", "field laptop")
NOTE = Note(aircraft=None, words="fog until nine", by="Kim")
FLIGHT = Flight(
    aircraft="petrel", duration_s=570.0, charge_ah=None, place="", pilot="Kim", release=None,
    pack=None,
)  # fmt: skip


@pytest.fixture
def base(tmp_path: Path) -> Base:
    made = make_base(tmp_path / "base")
    add_example(made, "tern-point")
    return made


@pytest.fixture
def petrel(base: Base) -> Path:
    return base.aircraft / "petrel.toml"


def rewrite(path: Path, before: str, after: str) -> None:
    text = path.read_text("utf-8")
    assert before in text
    path.write_text(text.replace(before, after), "utf-8")


def test_a_base_has_no_logbook_until_it_is_opened(base: Base) -> None:
    assert logbook_of(base) is None
    opened = open_logbook(base, LAPTOP, NOW)
    assert logbook_of(base) == opened
    [(_, record)] = things(opened.held, Configuration)
    assert (record.aircraft, record.changed, record.supposed) == ("petrel", (), ())


def test_opening_again_writes_nothing(base: Base) -> None:
    first = open_logbook(base, LAPTOP, NOW)
    assert open_logbook(base, LAPTOP, NOW + timedelta(days=1)) == first


def test_a_changed_aircraft_is_entered_with_what_changed(base: Base, petrel: Path) -> None:
    open_logbook(base, LAPTOP, NOW)
    rewrite(petrel, 'propeller_diameter = "0.28 m"', 'propeller_diameter = "0.30 m"')
    rewrite(petrel, 'arm = "-40 mm"', 'arm = "-30 mm"')
    book = open_logbook(base, LAPTOP, NOW)
    _, record = things(book.held, Configuration)[-1]
    assert record.changed == (
        "stations.pack.arm: -40 mm -> -30 mm",
        "propulsion.propeller_diameter: 0.28 m -> 0.30 m",
    )
    assert [one.change for one in changes_of(book.held, "petrel")] == [
        Change.PLACE_MOVED,
        Change.PROPELLER_OR_MOTOR,
    ]


def test_a_remark_in_the_file_changes_no_aircraft(base: Base, petrel: Path) -> None:
    open_logbook(base, LAPTOP, NOW)
    rewrite(petrel, "# as stated", "# as the manual says")
    _, record = things(open_logbook(base, LAPTOP, NOW).held, Configuration)[-1]
    assert (record.changed, record.supposed) == ((), ())


def test_a_broken_aircraft_waits_until_it_is_mended(base: Base, petrel: Path) -> None:
    good = petrel.read_text("utf-8")
    petrel.write_text("span =", "utf-8")
    assert open_logbook(base, LAPTOP, NOW).held == ()
    petrel.write_text(good, "utf-8")
    assert len(open_logbook(base, LAPTOP, NOW).held) == 1


@pytest.fixture
def release(base: Base, make_release: Callable[..., Release]) -> Release:
    made = replace(make_release(), folder=str(base.sorties / "tern-point"))
    write_release(made, base.releases / f"{made.code}.release.json")
    return made


def noted(petrel: Path, code: str) -> None:
    row = '[[flown]]\non = "2026-06-09 17:00Z"\nminutes = 9.5\ncharged = "2290 mAh"\n'
    row += f'release = "{code}"\n'
    petrel.write_text(petrel.read_text("utf-8") + row, "utf-8")


def test_a_release_and_its_flight_are_entered_by_themselves(
    base: Base, petrel: Path, release: Release
) -> None:
    [(_, entered)] = things(open_logbook(base, LAPTOP, NOW).held, Released)
    assert (entered.code, entered.sha256) == (release.code, release.digest)
    assert entered.file == f"releases/{release.code}.release.json"
    assert (entered.aircraft, entered.word, entered.launch) == (
        "petrel", release.word, release.launch_time,
    )  # fmt: skip
    before = petrel.read_text("utf-8")
    noted(petrel, release.code)
    [(entry, flight)] = things(open_logbook(base, LAPTOP, NOW).held, Flight)
    assert entry.at == datetime(2026, 6, 9, 17, tzinfo=UTC)
    assert (flight.duration_s, flight.charge_ah, flight.release) == (570.0, 2.29, release.code)
    assert (flight.place, flight.aircraft) == ("Tern Point", "petrel")
    petrel.write_text(before, "utf-8")
    book = open_logbook(base, LAPTOP, NOW)
    assert things(book.held, Flight) == []
    assert len(things(book.entries, Withdrawal)) == 1


def test_a_release_changed_by_hand_is_not_entered(base: Base, release: Release) -> None:
    file = base.releases / f"{release.code}.release.json"
    rewrite(file, '"word": "', '"word": "NO-')
    assert things(open_logbook(base, LAPTOP, NOW).held, Released) == []


@pytest.mark.parametrize(
    ("at", "says"),
    [
        (NOW + timedelta(hours=1), "yet to come: this laptop's clock shows 2026-06-10 08:00Z"),
        (datetime(1970, 1, 1, tzinfo=UTC), "too long ago"),
    ],
)
def test_a_time_that_cannot_be_is_refused(base: Base, at: datetime, says: str) -> None:
    with pytest.raises(InputFileError, match=says):
        enter(base, LAPTOP, NOW, NOTE, at=at)


def test_the_same_words_twice_are_a_slip(base: Base) -> None:
    first = enter(base, LAPTOP, NOW, NOTE)
    with pytest.raises(InputFileError, match=f"stands there already, as {first.code}"):
        enter(base, LAPTOP, NOW + timedelta(minutes=2), NOTE)
    enter(base, LAPTOP, NOW + timedelta(hours=2), NOTE)


@pytest.mark.parametrize("shift", [timedelta(0), timedelta(minutes=9), timedelta(minutes=-9)])
def test_an_aircraft_flies_once_at_a_time(base: Base, shift: timedelta) -> None:
    at = NOW - timedelta(hours=2)
    enter(base, LAPTOP, NOW, FLIGHT, at=at)
    with pytest.raises(InputFileError, match="petrel was in the air then"):
        enter(base, LAPTOP, NOW, FLIGHT, at=at + shift)
    enter(base, LAPTOP, NOW, replace(FLIGHT, aircraft="heron"), at=at)
    enter(base, LAPTOP, NOW, FLIGHT, at=at + timedelta(minutes=10))


def test_a_flight_that_has_not_landed_is_refused(base: Base) -> None:
    with pytest.raises(InputFileError, match="yet to come"):
        enter(base, LAPTOP, NOW, replace(FLIGHT, duration_s=3600.0))


def test_a_release_is_flown_once(base: Base) -> None:
    flown = replace(FLIGHT, release="AR77KN")
    enter(base, LAPTOP, NOW, flown, at=NOW - timedelta(hours=2))
    with pytest.raises(InputFileError, match="AR77KN has its flight already"):
        enter(base, LAPTOP, NOW, flown, at=NOW - timedelta(hours=1))


def test_a_defect_is_put_right_once_and_nothing_else_is(base: Base) -> None:
    words = enter(base, LAPTOP, NOW, NOTE)
    found = enter(base, LAPTOP, NOW, Defect(aircraft="petrel", words="crack", by="Kim"))
    done = Done(by="Kim", words="glued")
    with pytest.raises(InputFileError, match=f"{words.code} is no defect or maintenance"):
        enter(base, LAPTOP, NOW, done, about=words)
    enter(base, LAPTOP, NOW, done, about=found)
    later = Deferral(by="Kim", until=None, flights=None, limitation="")
    for thing in (later, replace(done, words="again")):
        with pytest.raises(InputFileError, match=f"{found.code} was put right already"):
            enter(base, LAPTOP, NOW + timedelta(hours=1), thing, about=found)


def test_an_entry_goes_by_its_code_as_typed(base: Base) -> None:
    found = enter(base, LAPTOP, NOW, NOTE)
    book = logbook_of(base)
    assert book is not None
    assert book.entry(f"{found.code[:3].lower()} {found.code[3:]}") == found
    with pytest.raises(InputFileError, match="no entry has this code"):
        book.entry("333333")
    enter(base, LAPTOP, NOW, Withdrawal(by="Kim", reason="wrong day"), about=found)
    after = logbook_of(base)
    assert after is not None
    with pytest.raises(InputFileError, match="was withdrawn"):
        after.entry(found.code)


def test_a_clock_set_back_loses_nothing(base: Base) -> None:
    enter(base, LAPTOP, NOW, NOTE)
    earlier = NOW - timedelta(days=3)
    late = enter(base, LAPTOP, earlier, replace(NOTE, words="the clock was wrong"))
    book = logbook_of(base)
    assert book is not None
    assert late in book.held
    assert [one.number for one in book.entries] == [1, 2, 3, 4]


def test_a_laptop_keeps_its_id(tmp_path: Path) -> None:
    first = laptop_of(tmp_path / "notes")
    assert laptop_of(tmp_path / "notes") == first
    assert laptop_of(tmp_path / "other").id != first.id
    (tmp_path / "notes" / "laptop.json").write_text("{", "utf-8")
    with pytest.raises(InputFileError, match="does not tell which laptop this is"):
        laptop_of(tmp_path / "notes")


def test_what_was_withdrawn_is_not_noticed_again(base: Base, release: Release) -> None:
    [(entry, _)] = things(open_logbook(base, LAPTOP, NOW).held, Released)
    enter(base, LAPTOP, NOW, Withdrawal(by="Kim", reason="a trial"), about=entry)
    assert things(open_logbook(base, LAPTOP, NOW).held, Released) == []


def test_what_a_file_said_is_not_withdrawn(base: Base) -> None:
    [(entry, _)] = things(open_logbook(base, LAPTOP, NOW).held, Configuration)
    with pytest.raises(InputFileError, match="is what the aircraft's file said"):
        enter(base, LAPTOP, NOW, Withdrawal(by="Kim", reason="no"), about=entry)


def test_a_flight_noted_undone_and_noted_again_counts_once(
    base: Base, petrel: Path, release: Release
) -> None:
    before = petrel.read_text("utf-8")
    for _ in range(2):
        petrel.write_text(before, "utf-8")
        open_logbook(base, LAPTOP, NOW)
        noted(petrel, release.code)
        open_logbook(base, LAPTOP, NOW)
    book = open_logbook(base, LAPTOP, NOW)
    assert len(things(book.held, Flight)) == 1
    assert len(things(book.entries, Flight)) == 2


def test_comparisons_kept_beside_a_release_are_entered_once(base: Base, release: Release) -> None:
    path = base.releases / f"{release.code}.release.json"
    for minutes, end, unlike in ((0, End.NOT_THE_SAME, ("Item 3: lower.",)), (9, End.SAME, ())):
        at = NOW + timedelta(minutes=minutes)
        kept = Proof(at=at, means=Means.FILE, source="route.kml", end=end, unlike=unlike)
        add_proof(release, path, kept)
    first = things(open_logbook(base, LAPTOP, NOW).held, Compared)
    assert [(one.end, one.differences) for _, one in first] == [("NOT THE SAME", 1)]
    later = NOW + timedelta(minutes=10)
    both = things(open_logbook(base, LAPTOP, later).held, Compared)
    assert [(one.release, one.end) for _, one in both] == [
        (release.code, "NOT THE SAME"),
        (release.code, "SAME"),
    ]
    assert things(open_logbook(base, LAPTOP, later).held, Compared) == both


def test_the_base_around_a_file_is_told_if_it_has_a_logbook(base: Base, petrel: Path) -> None:
    notice_around(petrel, LAPTOP, NOW)
    assert logbook_of(base) is None
    open_logbook(base, LAPTOP, NOW)
    rewrite(petrel, '"0.28 m"', '"0.30 m"')
    notice_around(petrel, LAPTOP, NOW)
    book = logbook_of(base)
    assert book is not None
    assert len(things(book.held, Configuration)) == 2
    notice_around(base.folder.parent / "elsewhere.json", LAPTOP, NOW)


def test_where_it_may_only_be_read_it_is_read(
    base: Base, petrel: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = open_logbook(base, LAPTOP, NOW)
    rewrite(petrel, '"0.28 m"', '"0.30 m"')
    monkeypatch.setattr(os, "access", lambda *_: False)
    assert open_logbook(base, LAPTOP, NOW) == before


@pytest.mark.slow
def test_two_programs_notice_a_change_once(base: Base, petrel: Path) -> None:
    code = (
        "import sys; from datetime import datetime, UTC; from pathlib import Path;"
        "from homeleg.desk.base import Base; from homeleg.desk.logbook import open_logbook;"
        "from homeleg.logbook.store import Laptop;"
        "open_logbook(Base(Path(sys.argv[1])), Laptop(sys.argv[2], 'one'), datetime.now(UTC))"
    )
    running = [
        subprocess.Popen([sys.executable, "-c", code, str(base.folder), str(number)])  # noqa: S603
        for number in range(6)
    ]
    assert [one.wait() for one in running] == [0] * 6
    book = logbook_of(base)
    assert book is not None
    assert len(things(book.held, Configuration)) == 1
