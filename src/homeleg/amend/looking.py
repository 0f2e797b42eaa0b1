"""A look at a changed sortie: the same judge over few flights, and few ways home of each."""

from collections.abc import Mapping
from dataclasses import dataclass

from homeleg.amend.change import Change
from homeleg.flight.ensemble import Flown, fly
from homeleg.sortie.resolve import resolve
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.judge import judge, worse_of
from homeleg.verdict.judging import EVENT_SHARE
from homeleg.verdict.limits import Limit
from homeleg.verdict.motor_rows import polar_derating
from homeleg.verdict.result import Row, Status, Verdict
from homeleg.way_home.motor_stopped import stop_motor
from homeleg.way_home.search import glance_home, tight_shares

__all__ = ["Look", "look_at", "rows_to_mend"]

# Members and departures of a look; half of them where the middle flight is longer than this. Ours.
_MEMBERS, _DEPARTURES = 64, 12
_LONG_FLIGHT_S = 1200.0
# Fewer flights of a look than about this share may end in an event by chance. Ours.
_CHANCE_SHARE = 3.0 * EVENT_SHARE
# A row can be as bad as this many want-to-hard distances; beyond, it is only bad. Ours.
_MOST_SHORTFALL = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What a change does, as far as few flights tell.

    `rows` are those it leaves to mend, `doubtful` how many fail besides that may do so by chance.
    """

    change: Change
    sortie: Sortie
    verdict: Verdict
    rows: tuple[Row, ...]
    doubtful: int

    @property
    def word(self) -> Status:
        """The word, but for what so few flights cannot tell from chance."""
        if any(row.status is Status.NO_GO for row in self.rows):
            return Status.NO_GO
        return Status.MARGINAL if self.rows else Status.GO

    @property
    def badness(self) -> tuple[int, int, int, float, float]:
        """The order of looks, best first: word, rows NO-GO, rows doubtful, shortfall, cost."""
        no_go = sum(row.status is Status.NO_GO for row in self.rows)
        missing = sum(min(max(row.shortfall, 0.0), _MOST_SHORTFALL) for row in self.rows)
        severity = 2 if no_go else 1 if self.rows else 0
        return (severity, no_go, self.doubtful, missing, self.change.cost)


def look_at(sortie: Sortie, limits: Mapping[str, Limit], duration_s: float) -> Verdict:
    """Return what few flights say of a sortie; raises OutOfModelError where the model ends.

    `duration_s` is about how long it lasts.
    """
    less = 2 if duration_s > _LONG_FLIGHT_S else 1
    resolved = resolve(sortie)
    return worse_of(
        [
            _judged(
                fly(resolved, departure, _MEMBERS // less, sortie.seed), limits, _DEPARTURES // less
            )
            for departure in resolved.departures
        ]
    )


def rows_to_mend(verdict: Verdict) -> tuple[tuple[Row, ...], tuple[Row, ...]]:
    """Return the rows that fail, and those that do by events which may be chance."""
    reasons = {reason.row for reason in verdict.reasons}
    rows = [row for row in verdict.rows if row.limit.slug in reasons]
    doubtful = tuple(row for row in rows if _may_be_chance(row))
    return tuple(row for row in rows if not _may_be_chance(row)), doubtful


def _judged(flown: Flown, limits: Mapping[str, Limit], departures: int) -> Verdict:
    home = glance_home(flown, tight_shares(flown, departures))
    stopped = stop_motor(flown, polar_derating(limits["motor.people"]), quick=True)
    return judge(flown, home, stopped, limits, provisional=True)


def _may_be_chance(row: Row) -> bool:
    """Return whether a row is NO-GO by so few flights that more may not be."""
    share = row.share_beyond_hard
    return row.status is Status.NO_GO and share is not None and share.low <= _CHANCE_SHARE
