"""The wind window: the word for every surface wind, and the question that closes it.

A quick look: few flights a wind, the way home from the seconds that are tight in the wind told.
What a pilot's own limits, papers, light, sight, radio, balance and boundary say is taken from the
verdict, as are motor stopped and told items: the window asks what moves with the wind.
"""

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from homeleg.flight.ensemble import Flown, fly
from homeleg.sortie.resolve import resolve
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.corner_rows import corner_rows
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.flight_rows import flight_rows
from homeleg.verdict.home_rows import home_rows
from homeleg.verdict.judge import deciding_row, with_way_home
from homeleg.verdict.judging import EVENT_SHARE
from homeleg.verdict.landing_rows import landing_rows
from homeleg.verdict.launch_rows import launch_rows
from homeleg.verdict.limits import Limit, Question, RowKind
from homeleg.verdict.pack_rows import pack_rows
from homeleg.verdict.reach_rows import reach_rows
from homeleg.verdict.result import Row, Status, Verdict, WindPoint, WindWindow
from homeleg.way_home.search import glance_home, tight_shares
from homeleg.world.weather import Weather

Array = NDArray[np.float64]

__all__ = ["WINDOW_MEMBERS", "wind_window", "window_speeds", "with_surface_wind"]

DIRECTIONS, SPEEDS = 16, 8
WINDOW_MEMBERS = 32
_DEPARTURES = 8
# The strongest wind looked at is this share of the cruise airspeed. Ours.
_STRONGEST_OVER_CRUISE = 0.6
_STEP_M_S = 0.5
_USUAL_HEIGHT_M = 10.0
_AS_JUDGED = (
    Question.MASS,
    Question.MOTOR,
    Question.INSIDE,
    Question.SIGHT,
    Question.HEARD,
    Question.WEATHER,
)
# What a stronger wind from the same direction only makes worse.
_OF_THE_WIND = ("wind aloft", "surface wind", "gust", "launch direction", "charge")
# At release, though, more wind ahead helps a launch that a gust may spoil.
_MENDED_BY_MORE = (Question.AWAY, "gust")


def wind_window(
    sortie: Sortie,
    verdict: Verdict,
    limits: Mapping[str, Limit],
    progress: Callable[[float], None] | None = None,
) -> WindWindow:
    """Return the word at 16 directions and 8 surface speeds, as the verdict's report has them.

    `progress` hears the share done, 0 to 1; what it raises ends the search. A direction that the
    wind has closed stays closed for stronger wind and is not flown there.
    """
    resolved = resolve(sortie)
    speeds = window_speeds(resolved.speeds.cruise_eas_m_s * resolved.tas_per_eas)
    told = fly(resolved, resolved.departures[0], WINDOW_MEMBERS, sortie.seed)
    shares = tight_shares(told, _DEPARTURES)
    standing = [row for row in verdict.rows if _stands(row)]
    points: list[WindPoint] = []
    for number in range(DIRECTIONS):
        from_rad = 2.0 * math.pi * number / DIRECTIONS
        closed: Row | None = None
        for speed in speeds:
            if closed is None:
                windy = replace(
                    sortie, weather=with_surface_wind(sortie.weather, float(speed), from_rad)
                )
                row = _deciding(windy, limits, standing, shares)
                if row is not None and _closes(row):
                    closed = row
            else:
                row = closed
            points.append(_point(from_rad, float(speed), row))
            if progress is not None:
                progress(len(points) / (DIRECTIONS * SPEEDS))
    return WindWindow(
        height_agl_m=_height(sortie.weather), members=WINDOW_MEMBERS, points=tuple(points)
    )


def window_speeds(cruise_tas_m_s: float) -> Array:
    """Return eight even surface speeds up to about 0.6 of the cruise airspeed [m/s]."""
    step = round(_STRONGEST_OVER_CRUISE * cruise_tas_m_s / SPEEDS / _STEP_M_S) * _STEP_M_S
    return max(step, _STEP_M_S) * np.arange(1.0, SPEEDS + 1.0)


def with_surface_wind(weather: Weather, speed_m_s: float, from_true_rad: float) -> Weather:
    """Return the air with this wind alone told, as well and as gusty as the one that was told."""
    told = weather.reports[0]
    gust_m_s = None
    if told.gust_m_s is not None and told.speed_m_s.value > 0.0:
        gust_m_s = speed_m_s * told.gust_m_s / told.speed_m_s.value
    report = replace(
        told,
        speed_m_s=replace(told.speed_m_s, value=speed_m_s),
        from_true_rad=replace(told.from_true_rad, value=from_true_rad),
        height_agl_m=_height(weather),
        gust_m_s=gust_m_s,
    )
    return replace(weather, surface=report, layers=())


def _height(weather: Weather) -> float:
    return _USUAL_HEIGHT_M if weather.surface is None else weather.surface.height_agl_m


def _closes(row: Row) -> bool:
    """Return whether stronger wind from the same direction is NO-GO by this row as well."""
    return (
        row.status is Status.NO_GO
        and row.cause in _OF_THE_WIND
        and (row.limit.question, row.cause) != _MENDED_BY_MORE
    )


def _stands(row: Row) -> bool:
    return row.limit.kind is RowKind.TOLD or row.limit.question in _AS_JUDGED


def _deciding(
    sortie: Sortie, limits: Mapping[str, Limit], standing: Iterable[Row], shares: Array
) -> Row | None:
    """Return the row that decides the word in this wind, None for a GO; the worst way it leaves."""
    resolved = resolve(sortie)
    rows: list[Row] = list(standing)
    for departure in resolved.departures:
        rows += _rows(fly(resolved, departure, WINDOW_MEMBERS, sortie.seed), limits, shares)
    return deciding_row([_as_far_as_known(row) for row in rows])


def _as_far_as_known(row: Row) -> Row:
    """Return a row, MARGINAL where so few flights do not tell whether its event is too frequent.

    The check doubles its flights there; a quick look does not.
    """
    share = row.share_beyond_hard
    if row.status is Status.NO_GO and share is not None and share.low <= EVENT_SHARE < share.value:
        return replace(row, status=Status.MARGINAL)
    return row


def _rows(flown: Flown, limits: Mapping[str, Limit], shares: Array) -> list[Row]:
    """Return the rows of flights that the wind moves; the way home only where they are not lost."""
    evidence = Evidence.of(flown, limits)
    groups = (flight_rows, launch_rows, landing_rows, corner_rows, pack_rows)
    rows = [row for group in groups for row in group(evidence)]
    rows += reach_rows(evidence, None)
    first = deciding_row(rows)
    if first is not None and first.status is Status.NO_GO:
        return rows
    home = glance_home(flown, shares)
    return [*home_rows(evidence, home), *(with_way_home(evidence, row, home) for row in rows)]


def _point(from_true_rad: float, speed_m_s: float, row: Row | None) -> WindPoint:
    status = Status.GO
    if row is not None:
        status = Status.NO_GO if row.status is Status.NO_GO else Status.MARGINAL
    return WindPoint(
        from_true_rad=from_true_rad,
        speed_m_s=speed_m_s,
        status=status,
        question=None if row is None else row.limit.question,
    )
