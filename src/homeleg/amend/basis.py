"""What candidates are made from: a sortie, its numbers, and the rows of a verdict on it."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from homeleg.amend.change import Change, ItemChange, airspeed_words
from homeleg.foundation.heights import SpeedKind, StatedAirspeed
from homeleg.route.geometry import PlannedItem
from homeleg.route.items import ItemKind
from homeleg.sortie.resolve import resolve
from homeleg.sortie.resolved import ResolvedSortie
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.result import Row, Status, Verdict

__all__ = ["Basis", "basis_of", "failing", "reading", "want"]

_FLOWN_TO = (ItemKind.POINT, ItemKind.ORBIT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """A sortie in numbers with its rows by slug, and the slugs of those to mend."""

    resolved: ResolvedSortie
    rows: dict[str, Row]
    to_mend: frozenset[str]

    @property
    def sortie(self) -> Sortie:
        """The sortie as stated."""
        return self.resolved.sortie

    @property
    def middle(self) -> tuple[PlannedItem, ...]:
        """The items between take-off and the end."""
        return self.resolved.items[1:-1]

    @property
    def points(self) -> tuple[PlannedItem, ...]:
        """The items that have a place of their own."""
        return tuple(item for item in self.middle if item.kind in _FLOWN_TO)

    @property
    def heights_are_own(self) -> bool:
        """Whether no item flies at the height of the one before: the order is then free."""
        stated = {item.name: item.height for item in self.sortie.route.items}
        return all(stated[item.name] is not None for item in self.middle)

    def leg(self, name: str) -> tuple[int, int] | None:
        """Return which items a leg joins, counted in `middle`; None for any other leg."""
        for number, (start, end) in enumerate(pairwise(self.middle)):
            if name == f"{start.name} to {end.name}":
                return number, number + 1
        return None

    def speed(self, equivalent_m_s: float) -> StatedAirspeed:
        """Return an equivalent airspeed as the cruise is stated, up to the next half metre."""
        cruise = self.sortie.aircraft.speeds.cruise
        kind = SpeedKind.EAS if cruise is None else cruise.kind
        ratio = self.resolved.tas_per_eas if kind is SpeedKind.TAS else 1.0
        return StatedAirspeed(math.ceil(2.0 * equivalent_m_s * ratio - 0.05) / 2.0, kind)

    def flown_at(
        self, names: Iterable[str], airspeed: StatedAirspeed, words: str, cost: float, *, home: bool
    ) -> Change:
        """Return the change of the airspeed of some items, and of the way home, link lost."""
        cruise_m_s = self.speed(self.resolved.speeds.cruise_eas_m_s).value_m_s
        return Change(
            words=f"{words} at {airspeed_words(airspeed)}",
            cost=cost + 0.2 * abs(airspeed.value_m_s - cruise_m_s),
            items=tuple(ItemChange(name=name, airspeed=airspeed) for name in names),
            home_airspeed=airspeed if home else None,
        )


def basis_of(sortie: Sortie, verdict: Verdict, to_mend: Iterable[str]) -> Basis:
    """Return the basis of a verdict; raises OutOfModelError as `resolve` does."""
    return Basis(
        resolved=resolve(sortie),
        rows={row.limit.slug: row for row in verdict.rows},
        to_mend=frozenset(to_mend),
    )


def failing(row: Row | None) -> bool:
    """Return whether a row is not GO."""
    return row is not None and row.status in (Status.NO_GO, Status.MARGINAL)


def reading(row: Row) -> float:
    """Return the reading of a row, its want where it has none: nothing is then missing."""
    return want(row) if row.reading is None else row.reading


def want(row: Row) -> float:
    """Return what is wanted of a row."""
    return row.want or 0.0
