"""What is open on a flying day: what loses aircraft most stands first."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from urllib.parse import quote

from homeleg.desk.base import Base, SortieEntry
from homeleg.desk.calls import Stands, field_calls
from homeleg.desk.logbook import Logbook
from homeleg.desk.logbook_view import logbook_view
from homeleg.desk.releases import ReleaseEntry, releases_in
from homeleg.desk.route_aboard import aboard_of
from homeleg.readiness.asked import is_asked
from homeleg.readiness.entries import Entry, Flight, things
from homeleg.readiness.packs import packs_of
from homeleg.readiness.since import last_landing
from homeleg.verdict.result import Verdict

__all__ = ["OpenThing", "open_things"]

_FIRST_CALLS = {
    "wing": "The wing: count what holds it, pull each tip",
    "sense": "Every surface: see which way it moves",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenThing:
    """Something still to do, what is known of it, and where it is done."""

    words: str
    note: str
    address: str


def open_things(
    base: Base, entry: SortieEntry, verdict: Verdict | None, book: Logbook | None, now: datetime
) -> Iterator[OpenThing]:
    """Give what is open, what loses aircraft most first."""
    aircraft, held = entry.record, (() if book is None else book.held)
    if is_asked(held, aircraft):
        landed = last_landing(held, aircraft)
        note = "its record says so" if landed is None else _ago(landed, now)
        yield OpenThing(
            words="What changed since the last flight?",
            note=note,
            address=f"/aircraft/{quote(aircraft)}/changed",
        )
    items = () if book is None else logbook_view(book, now).open
    noted = [
        (item.stops, OpenThing(words=item.words, note=item.kind, address="/logbook"))
        for item in items
        if item.kind != "change"
    ]
    yield from (thing for stops, thing in noted if stops)
    yield from _calls(entry, verdict, now)
    yield from _aboard(base, entry, now)
    yield from _packs(held)
    yield from (thing for stops, thing in noted if not stops)


def _calls(entry: SortieEntry, verdict: Verdict | None, now: datetime) -> Iterator[OpenThing]:
    """Give the calls to make: wing and surfaces by themselves, the others by their count."""
    to_do = set() if verdict is None else {one.item for one in verdict.to_do}
    still = [
        one.item for one in field_calls(entry.path, to_do, now) if one.stands is not Stands.GOOD
    ]
    address = f"/sortie/{quote(entry.name)}/calls"
    for item, words in _FIRST_CALLS.items():
        if item in still:
            yield OpenThing(words=words, note="at the field", address=f"{address}?item={item}")
    others = [item for item in still if item not in _FIRST_CALLS]
    if others:
        count = "1 more call" if len(others) == 1 else f"{len(others)} more calls"
        yield OpenThing(words=f"{count} to make", note="at the field", address=address)


def _aboard(base: Base, entry: SortieEntry, now: datetime) -> Iterator[OpenThing]:
    """Give the route that is released and not proven aboard."""
    for one in releases_in(base):
        if one.release is None or one.release.has_expired(now) or not _is_of(one, entry):
            continue
        if not aboard_of(one.release, one.path, now).is_same:
            address = f"/release/{one.code}"
            yield OpenThing(
                words="Is this route aboard?", note=f"release {one.code}", address=address
            )
        return


def _is_of(one: ReleaseEntry, entry: SortieEntry) -> bool:
    if one.release is None:
        return False
    path = one.path.parent / one.release.folder / one.release.files[0].name
    return path.resolve() == entry.path.resolve()


def _packs(held: Sequence[Entry]) -> Iterator[OpenThing]:
    """Give the packs that were flown and not charged again."""
    for pack in packs_of(held):
        flown = [(at, one) for at, one in things(held, Flight) if one.pack == pack.name]
        if flown and flown[-1][1].charge_ah is None:
            words = f"{pack.name}: charge it, and note what it took"
            yield OpenThing(words=words, note=f"flown {flown[-1][0].at:%H:%M}", address="/logbook")


def _ago(at: datetime, now: datetime) -> str:
    days = (now.date() - at.date()).days
    since = {0: "today", 1: "yesterday"}.get(days, f"{days} days ago")
    return f"landed {at.day} {at:%B}, {since}"
