"""How comparisons kept beside a release add up: the last counts, a found difference stands."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from homeleg.release.comparison import End
from homeleg.release.route_aboard import Means, Proof, standing

NOW = datetime(2026, 6, 9, 16, 55, tzinfo=UTC)
FILE = Proof(at=NOW, means=Means.FILE, source="x.kml", end=End.SAME)
LINK = replace(FILE, means=Means.LINK, source="system 1")
ALOUD = replace(FILE, means=Means.ALOUD, source="Kim")
EVENT = Proof(
    at=NOW, means=Means.EVENT, source="", end=End.CANNOT_TELL, untold=("the pack was unplugged",)
)


def other(proof: Proof, end: End) -> Proof:
    return replace(proof, end=end)


def test_nothing_compared_is_not_the_same() -> None:
    stands = standing((), NOW)
    assert not stands.is_same
    assert stands.words == "The route aboard has not been compared. No launch before SAME."


@pytest.mark.parametrize("proof", [FILE, LINK, ALOUD])
def test_same_stands_for_four_hours(proof: Proof) -> None:
    assert standing((proof,), NOW).is_same
    assert standing((proof,), NOW + timedelta(hours=4)).is_same
    late = standing((proof,), NOW + timedelta(hours=4, seconds=1))
    assert not late.is_same
    assert "stands for 4 hours" in late.words
    # A clock set back by more than clocks differ proves nothing.
    assert standing((proof,), NOW - timedelta(minutes=2)).is_same
    assert not standing((proof,), NOW - timedelta(minutes=3)).is_same


@pytest.mark.parametrize("end", [End.NOT_THE_SAME, End.CANNOT_TELL])
def test_the_last_counts(end: End) -> None:
    assert not standing((FILE, other(LINK, end)), NOW).is_same
    assert standing((other(LINK, end), FILE), NOW).is_same


@pytest.mark.parametrize("later", [ALOUD, EVENT])
def test_a_difference_found_stands_until_compared_again(later: Proof) -> None:
    found = other(FILE, End.NOT_THE_SAME)
    stands = standing((found, later), NOW)
    assert stands.found_unlike
    assert "NOT THE SAME, from the file fetched back (x.kml), 16:55Z" in stands.words
    assert standing((found, later, LINK), NOW).is_same


def test_reading_aloud_answers_what_a_link_cannot_tell() -> None:
    unread = replace(LINK, end=End.CANNOT_TELL, untold=("the return height",))
    assert "the return height" in standing((unread,), NOW).words
    assert standing((unread, ALOUD), NOW).is_same


def test_an_event_voids_it() -> None:
    stands = standing((FILE, EVENT), NOW)
    assert not stands.is_same
    assert stands.words == (
        "What is aboard is not known, since 16:55Z: the pack was unplugged. No launch before SAME."
    )


def test_a_last_line_that_is_cut_off_is_no_proof() -> None:
    assert not standing((FILE, None), NOW).is_same
    assert standing((None, FILE), NOW).is_same
