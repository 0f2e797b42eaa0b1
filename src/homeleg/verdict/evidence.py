"""What the rows are read from: the resolved sortie, its flown members and the limits."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from homeleg.aircraft.performance import FlyingAircraft, true_per_equivalent
from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown, member_aircraft
from homeleg.foundation.constants import CELSIUS_ZERO_K, FOOT_M
from homeleg.route.geometry import Leg
from homeleg.sortie.resolved import ResolvedSortie
from homeleg.verdict.judging import are_beyond, judge_event, judge_values
from homeleg.verdict.limits import Limit, Question, Reading
from homeleg.verdict.measures import to_measure
from homeleg.verdict.result import Place, Row, Status

Array = NDArray[np.float64]

__all__ = ["Evidence", "does_not_apply", "in_unit", "limit_reading"]

# An assumed input is named when it explains this much of a failing row, and blamed when all that
# are assumed explain this much together. Ours.
_WINDY_PERCENTILE = 70.0
_NAMED_SHARE = 0.15
_BLAMED_SHARE = 0.4
# To measure is the act only where at least this share of the flights is within want. Ours.
_MENDED_SHARE = 0.25
_UNIT_FACTOR = {
    "%": 100.0,
    "% MAC": 100.0,
    "deg": 180.0 / math.pi,
    "km": 1e-3,
    "ft": 1.0 / FOOT_M,
    "min": 1.0 / 60.0,
}


def in_unit(limit: Limit, values_si: Array | float) -> Array:
    """Return SI values or fractions in the unit the row is printed in."""
    values = np.asarray(values_si, dtype=np.float64)
    if limit.unit == "degC":
        return values - CELSIUS_ZERO_K
    return values * _UNIT_FACTOR.get(limit.unit, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """The flown members of one departure, with what every row needs beside them."""

    resolved: ResolvedSortie
    flown: Flown
    limits: Mapping[str, Limit]
    aircraft: FlyingAircraft

    @classmethod
    def of(cls, flown: Flown, limits: Mapping[str, Limit]) -> "Evidence":
        """Return the evidence of flown members."""
        return cls(
            resolved=flown.resolved,
            flown=flown,
            limits=limits,
            aircraft=member_aircraft(flown.resolved, flown.draws),
        )

    def result(self, column: int) -> Array:
        """Return one column of the kernel's results, (members,)."""
        return np.asarray(self.flown.results[:, column])

    def tas_per_eas_at(self, height_m: float) -> float:
        """Return true over equivalent airspeed at a height above launch."""
        lapse = self.resolved.density_lapse_1_m
        return true_per_equivalent(self.resolved.density_kg_m3 * (1.0 - lapse * height_m))

    def wind_along(self, heading_rad: float, height_m: float) -> Array:
        """Return each member's tail wind at a height when heading this way [m/s]."""
        east, north = self.wind_at(height_m)
        return east * math.sin(heading_rad) + north * math.cos(heading_rad)

    def wind_at(self, height_m: float) -> tuple[Array, Array]:
        """Return each member's air motion at a height, east and north [m/s]."""
        heights_m = self.flown.wind_heights_m
        node = int(np.clip(np.searchsorted(heights_m, height_m) - 1, 0, heights_m.size - 2))
        below, above = np.sqrt(heights_m[node]), np.sqrt(heights_m[node + 1])
        share = min((math.sqrt(max(height_m, 0.0)) - below) / (above - below), 1.0)
        wind = self.flown.winds[:, :, node] * (1.0 - share)
        wind = wind + self.flown.winds[:, :, node + 1] * share
        return np.asarray(wind[:, 0]), np.asarray(wind[:, 1])

    def row(  # noqa: PLR0913  a keyword for each part of a row
        self,
        slug: str,
        values_si: Array | float,
        *,
        cause: str,
        want: float | None = None,
        hard: float | None = None,
        physical_si: Array | None = None,
        act: str | None = None,
        note: str = "",
        place: int | None = None,
    ) -> Row:
        """Return the row `slug` of SI values (members,) or of one stated value.

        Values that are not finite belong to flights that never read one, and are left out.

        `want` and `hard` are in the row's unit. `place` is a group of kernel columns that tells
        where each member read its value.
        """
        limit = self.limits[slug]
        values = np.atleast_1d(in_unit(limit, values_si))
        if not np.any(np.isfinite(values)):
            return self.unanswered(slug, "no computed flight came that far")
        row = judge_values(
            limit,
            values[np.isfinite(values)],
            want=want,
            hard=hard,
            physical_values=None if physical_si is None else in_unit(limit, physical_si),
            cause=cause,
            act=act,
            note=note,
        )
        row = replace(row, wind_share=self._wind_share(values))
        if values.size > 1:
            row = replace(row, values=values)
        row = self._without_what_is_assumed(row, values)
        row = self._blaming_assumptions(row, values)
        if place is not None and row.reading is not None:
            row = replace(row, where=self.place_nearest(values, row.reading, place))
        return row

    def unanswered(self, slug: str, note: str) -> Row:
        """Return a row that could not be computed; it makes the word MARGINAL at best."""
        return replace(does_not_apply(self.limits[slug], note), status=Status.NOT_ANSWERED)

    def ended_in(self, event: float) -> NDArray[np.bool_]:
        """Return which members' flights ended in an event (members,)."""
        return np.asarray(self.result(c.EVENT) == event)

    def is_windy(self, members: NDArray[np.int64]) -> bool:
        """Return whether these members, by number, meet more wind aloft than members usually do."""
        east, north = self.wind_at(float(self.flown.wind_heights_m[-1]))
        speed = np.hypot(east, north)
        usual = float(np.percentile(speed, _WINDY_PERCENTILE))
        return members.size > 0 and float(np.median(speed[members])) > usual

    def event(
        self,
        row: Row,
        happened: NDArray[np.bool_],
        words: str,
        mend: Callable[[Row, Leg], Row] | None = None,
    ) -> Row:
        """Return `row`, overruled when too many members' flights `happened` to end in its event.

        It then stands where that happened most; `mend` gives cause and act for that leg.
        """
        count = int(np.count_nonzero(happened))
        judged = judge_event(row, count, self.flown.draws.members, words)
        if judged is row:
            return row
        legs = self.result(c.EVENT_PLACE + 1).astype(int)
        usual = int(np.bincount(legs[happened]).argmax())
        number = int(np.argmax(happened & (legs == usual)))
        judged = replace(judged, where=self._place(number, c.EVENT_PLACE))
        return judged if mend is None else mend(judged, self.flown.departure.legs[usual])

    def _blaming_assumptions(self, row: Row, values: Array) -> Row:
        """Return a failing row with the act to measure what is only assumed, if that drives it."""
        if row.status is Status.GO or values.size < self.flown.draws.members:
            return row
        read = np.isfinite(values)
        if row.want is not None:
            within = ~are_beyond(values[read], row.want, row.limit.sense)
            if within.mean() < _MENDED_SHARE:
                return row  # to know it better would hardly mend it: most flights fail as well
        shares = {
            name: float(np.corrcoef(values[read], self.flown.draws.normal[name][read])[0, 1] ** 2)
            for name, estimate in self.resolved.inputs.items()
            if estimate.is_assumed and estimate.sd > 0.0 and np.ptp(values[read]) > 0.0
        }
        named = [name for name, share in shares.items() if share > _NAMED_SHARE]
        if sum(shares.values()) < _BLAMED_SHARE or not named:
            return row
        words = " and ".join(to_measure(name) for name in named)
        return replace(row, act=f"measure {words}: only assumed so far")

    def _wind_share(self, values: Array) -> float:
        """Return the share of the values' variance that the drawn wind speed explains.

        Values of fewer members than were drawn belong to the first.
        """
        read = np.isfinite(values)
        z = self.flown.draws.normal["wind_speed"][: values.size][read]
        if z.size < 2 or np.ptp(values[read]) == 0.0 or np.ptp(z) == 0.0:
            return 0.0
        return float(np.corrcoef(values[read], z)[0, 1] ** 2)

    def place_nearest(self, values: Array, reading: float, place: int) -> Place:
        """Return where the member whose value is nearest to the reading read it."""
        finite = np.where(np.isfinite(values), np.abs(values - reading), np.inf)
        return self._place(int(np.argmin(finite)), place)

    def _place(self, member: int, place: int) -> Place:
        _, leg, time_s, east_m, north_m, height_m = self.flown.results[
            member, place : place + c.PLACE_COLUMNS
        ]
        legs = self.flown.departure.legs
        named = legs[int(leg)]
        return Place(
            leg=f"{named.start} to {named.end}" if named.start != named.end else named.end,
            time_s=float(time_s),
            east_m=float(east_m),
            north_m=float(north_m),
            height_above_launch_m=float(height_m),
        )

    def _without_what_is_assumed(self, row: Row, values: Array) -> Row:
        """Read a median row again on the fifth of flights where an assumed input is worst."""
        if row.limit.reading is not Reading.MEDIAN or row.status is not Status.GO:
            return row
        if values.size < self.flown.draws.members:
            return row
        read = np.isfinite(values)
        values = values[read]
        for name, estimate in self.resolved.inputs.items():
            z = self.flown.draws.normal[name][read]
            if not estimate.is_assumed or estimate.sd == 0.0 or np.ptp(values) == 0.0:
                continue
            sign = np.sign(np.dot(z, values - values.mean()))
            good_when_high = row.limit.sense.value == "at least"
            order = np.argsort(z * sign * (1.0 if good_when_high else -1.0))
            worst = values[order[: values.size // 5]]
            again = judge_values(row.limit, worst, want=row.want, hard=row.hard, cause=row.cause)
            if again.status is not Status.GO:
                return replace(
                    row,
                    status=Status.MARGINAL,
                    reading=again.reading,
                    shortfall=again.shortfall,
                    act=f"measure {to_measure(name)}: it is only assumed",
                    note=f"where the assumed {name.replace('_', ' ')} is worst",
                )
        return row


def does_not_apply(limit: Limit, note: str) -> Row:
    """Return a row that this flight does not call for; it counts as GO."""
    return Row(
        limit=limit,
        status=Status.DOES_NOT_APPLY,
        value=None,
        reading=None,
        want=limit.want,
        hard=limit.hard,
        shortfall=0.0,
        share_beyond_hard=None,
        wind_share=0.0,
        where=None,
        cause="",
        act=None,
        note=note,
    )


def limit_reading(row: Row) -> str:
    """Return what a row's reading is called."""
    if row.limit.question is Question.REACH or row.limit.reading is Reading.STATED:
        return "as planned"
    return "middle flight" if row.limit.reading is Reading.MEDIAN else "9 in 10"
