"""A change written into the files is the change that was made in memory."""

import math
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from homeleg.aircraft.loading import StationMove
from homeleg.amend.change import Change, ItemChange, both, changed_sortie
from homeleg.formats.amend_edit import edited_files
from homeleg.formats.sortie_file import SortieFiles, read_sortie, sortie_from_text
from homeleg.foundation.heights import SpeedKind, StatedAirspeed

FOLDER = Path(__file__).parents[2] / "examples" / "tern-point"
FAST = StatedAirspeed(20.5, SpeedKind.TAS)
ORDER = ("takeoff", "G", "F", "E", "D", "C", "B", "A", "return", "land")


@pytest.fixture
def files() -> SortieFiles:
    return read_sortie(FOLDER / "sortie.toml")


def plain(**what: object) -> Change:
    return Change(words="change", cost=1.0, **what)  # type: ignore[arg-type]  # any of its fields


CHANGES = {
    "airspeeds": plain(items=(ItemChange(name="return", airspeed=FAST),), home_airspeed=FAST),
    "a height": plain(items=(ItemChange(name="D", height_m=95.0),)),
    "a place": plain(items=(ItemChange(name="B", place_m=(140.0, -320.0)),)),
    "dropped": plain(items=(ItemChange(name="D", drop=True),)),
    "order": plain(order=ORDER),
    "bank": plain(bank_rad=math.radians(25.0)),
    "return height": plain(return_height_m=101.0),
    "home over": plain(home_over=("F", "G")),
    "launch": plain(launch_heading_rad=math.radians(210.0)),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_what_is_written_is_what_was_flown(files: SortieFiles, change: Change) -> None:
    texts = dict(files.texts) | {one.name: one.after for one in edited_files(files, change)}
    read = sortie_from_text(texts["sortie.toml"], FOLDER, texts).sortie
    # Angles are read back from degrees, and telling again is about time: the rest is the same.
    assert read == replace(changed_sortie(files.sortie, change), told=read.told)
    told = {answer.item for answer in read.told}
    assert told == {answer.item for answer in changed_sortie(files.sortie, change).told}


def test_a_later_launch_is_written(files: SortieFiles) -> None:
    later = files.sortie.launch_time + timedelta(minutes=30)
    [edited] = edited_files(files, plain(launch_time=later))
    assert edited.edits == ("[time] launch = 2026-06-09 17:30Z",)
    assert edited.after.text == edited.before.text.replace("09 17:00Z", "09 17:30Z")


def test_a_comment_stays(files: SortieFiles) -> None:
    [aircraft] = [one for one in edited_files(files, CHANGES["bank"]) if one.name == "petrel.toml"]
    before = aircraft.before.text
    assert "#" in before
    assert aircraft.after.text == before.replace('\nbank = "30 deg"', '\nbank = "25 deg"')


def test_a_pack_moved_again_keeps_one_move() -> None:
    folder = FOLDER.parent / "bracken-workshop"
    files = read_sortie(folder / "sortie.toml")
    for by_m in (-0.010, -0.024):
        change = plain(moved=StationMove(station="pack", by_m=by_m))
        [edited] = edited_files(files, change)
        texts = dict(files.texts) | {edited.name: edited.after}
        files = sortie_from_text(edited.after, folder, texts)
    assert files.sortie.loading.moves == (StationMove(station="pack", by_m=-0.024),)


def test_a_changed_route_must_be_compared_again(files: SortieFiles) -> None:
    edited = {one.name: one for one in edited_files(files, CHANGES["airspeeds"])}
    assert "[told] route_aboard: taken out, to be told again" in edited["sortie.toml"].edits
    assert "[told] settings: taken out, to be told again" in edited["sortie.toml"].edits
    assert edited["route.csv"].edits == ("return: 20.5 m/s TAS",)


def test_two_changes_of_the_same_thing_are_none() -> None:
    assert both(CHANGES["bank"], CHANGES["bank"]) is None
    assert both(CHANGES["a place"], CHANGES["a place"]) is None
    assert both(CHANGES["dropped"], CHANGES["a height"]) is None


def test_two_changes_of_one_item_are_one() -> None:
    slower = plain(items=(ItemChange(name="B", airspeed=FAST),))
    together = both(CHANGES["a place"], slower)
    assert together is not None
    assert together.items == (ItemChange(name="B", place_m=(140.0, -320.0), airspeed=FAST),)
    assert together.cost == 2.0
