"""The evening before: what to charge, what to pack, how packs travel, and what is still missing."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from urllib.parse import quote

from homeleg.aircraft.record import Aircraft
from homeleg.desk.base import Base, SortieEntry
from homeleg.desk.ground_cover import ground_cover
from homeleg.desk.logbook import logbook_of
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import OutOfModelError
from homeleg.physics.battery import transport_class, watt_hours
from homeleg.readiness.entries import Entry, Flight, things
from homeleg.readiness.packs import packs_of
from homeleg.sortie.sortie import Sortie
from homeleg.world.ground import TerrainGround

__all__ = ["TRANSPORT_SOURCE", "Evening", "Group", "Item", "evening"]

# What the limits of passenger flights were read from, as the battery tables cite it.
TRANSPORT_SOURCE = (
    "49 CFR 175.10(a)(18), 2018 edition, and the Lithium Batteries guide 2024, p. 35. Rules "
    "change, and carriers ask for more: theirs, of today, decide. By post, freight and road others "
    "hold."
)
_MOST_PACKS = 20
_FEW_DAYS = 3
# Common practice, no source.
_ALWAYS = (
    "transmitter, charged; its charger",
    "chargers, leads, voltmeter, scale",
    "bands, screws, propellers, tape, tools: spare ones of what holds or breaks",
    "anemometer, thermometer, watch",
    "sand or a metal box for packs, extinguisher, first aid, water",
    "pages of the release on paper, tape and pen; this laptop, charged",
    "papers: registration, certificate, insurance, permission; telephone numbers of those to ring",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One line: what, what is known of it, where it is done; `ready` None where nobody can tell."""

    words: str
    note: str = ""
    address: str = ""
    ready: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Lines that belong together; `under` says what they rest on."""

    title: str
    items: tuple[Item, ...]
    under: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evening:
    """The list, and how many of its lines are not ready."""

    groups: tuple[Group, ...]

    @property
    def to_do(self) -> int:
        """How many lines somebody has to do something about."""
        return sum(item.ready is False for group in self.groups for item in group.items)


def evening(base: Base, entry: SortieEntry, in_a_case: int, now: datetime) -> Evening:
    """Return the list for a sortie, `in_a_case` packs to a case; raises InputFileError."""
    sortie = read_sortie(entry.path).sortie
    book = logbook_of(base)
    held = () if book is None else book.held
    groups = (
        Group(title="Charge", items=tuple(_charge(held, sortie))),
        Group(
            title="Pack",
            items=tuple(_parts(sortie.aircraft)),
            under="From its record; the rest is common practice.",
        ),
        Group(
            title="Packs on the way",
            items=tuple(_travel(sortie.aircraft, min(max(in_a_case, 1), _MOST_PACKS))),
            under=TRANSPORT_SOURCE,
        ),
        Group(title="Aboard this laptop", items=tuple(_aboard(entry, sortie, now))),
    )
    return Evening(groups=groups)


def _charge(held: Sequence[Entry], sortie: Sortie) -> Iterator[Item]:
    packs = packs_of(held)
    for pack in packs:
        flown = [(entry, one) for entry, one in things(held, Flight) if one.pack == pack.name]
        if pack.swollen:
            yield Item(
                words=pack.name, note="swollen: do not charge it, do not fly it", ready=False
            )
        elif flown and flown[-1][1].charge_ah is None:
            note = f"flown {flown[-1][0].at:%-d %B}, nothing put back yet"
            yield Item(words=f"Charge {pack.name}", note=note, ready=False)
        else:
            yield Item(words=pack.name, note="as the logbook knows it, charged: look", ready=True)
    if not packs:
        yield Item(words="Every pack", note="none is in the logbook", address="/logbook")
    if sortie.pack.temperature_k is not None:
        yield Item(words="Keep them where it is warm", note="at launch they want 15 °C or more")


def _parts(aircraft: Aircraft) -> Iterator[Item]:
    battery = aircraft.battery
    yield Item(
        words=aircraft.name, note=f"{aircraft.plan.value}, {aircraft.wing.span_m:.2f} m of span"
    )
    for station in aircraft.stations:
        yield Item(
            words=station.name,
            note=f"{1000.0 * station.mass_kg:.0f} g, at {1000.0 * station.arm_m:.0f} mm",
        )
    if not aircraft.stations:
        note = f"{battery.cells} cells, {battery.capacity_ah:g} Ah; no parts are in its record"
        yield Item(words="pack", note=note)
    for words in _ALWAYS:
        yield Item(words=words)


def _travel(aircraft: Aircraft, in_a_case: int) -> Iterator[Item]:
    battery = aircraft.battery
    one_wh = watt_hours(battery.cells, battery.capacity_ah)
    kind = transport_class(one_wh)
    yield Item(words=f"{one_wh:.0f} Wh a pack", note=f"on a passenger flight: {kind.value}")
    total = f"{in_a_case} packs in one case" if in_a_case > 1 else "1 pack in one case"
    yield Item(
        words=f"{in_a_case * one_wh:.0f} Wh",
        note=f"{total}, storage charge, nothing loose beside them",
    )


def _aboard(entry: SortieEntry, sortie: Sortie, now: datetime) -> Iterator[Item]:
    name = quote(entry.name)
    yield _ground(entry, sortie)
    away = (sortie.launch_time.date() - now.date()).days
    note = f"{sortie.launch_time:%-d %B, %H:%M}Z"
    yield Item(
        words="Launch time and wind of tomorrow",
        note=note
        if 0 <= away <= _FEW_DAYS
        else f"{note} is not the day to come: give its time and wind",
        address=f"/sortie/{name}/weather",
        ready=0 <= away <= _FEW_DAYS,
    )
    yield Item(
        words="Is there a window?", note="on the page of the day", address=f"/?sortie={name}"
    )
    yield Item(
        words="Look at the verdict", note="mend it now, not there", address=f"/sortie/{name}"
    )


def _ground(entry: SortieEntry, sortie: Sortie) -> Item:
    kind = "terrain" if isinstance(sortie.site.ground, TerrainGround) else "by eye"
    address = f"/sortie/{quote(entry.name)}/ground"
    try:
        cover = ground_cover(entry.path)
    except OutOfModelError as error:
        return Item(words="Ground", note=str(error), address=address, ready=False)
    if cover.is_covered:
        note = f"{kind}, under the whole route and every way home"
        return Item(words="Ground", note=note, address=address, ready=True)
    tiles = f" It would be in {', '.join(cover.tiles)}." if cover.tiles else ""
    missing = len(cover.route) + len(cover.way_home)
    stretches = "a stretch" if missing == 1 else f"{missing} stretches"
    note = f"{kind}: {stretches} of route or way home without ground.{tiles}"
    return Item(words="Ground", note=note, address=address, ready=False)
