"""Rows of what was told at the field, and the list of what is still to do there."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from homeleg.physics.geomagnetism import (
    COMPASS_POOR_BELOW_T,
    LAST_DAY,
    MODEL,
    decimal_year,
    is_covered,
    magnetic_field,
)
from homeleg.readiness.told import TOLD_ITEMS, ToldAnswer, ToldItem, is_open
from homeleg.verdict.evidence import Evidence, does_not_apply
from homeleg.verdict.limits import Limit
from homeleg.verdict.result import Row, Status, ToDo

__all__ = ["to_do", "told_rows"]

_BAD = 10.0
_BEYOND = {Status.MARGINAL: 0.5, Status.NO_GO: 2.0}
_CAUSES = {
    "wing": "wing",
    "sense": "surface sense",
    "speed.pitot": "airspeed",
    "heading": "heading",
    "position": "datum",
    "pack.temperature": "pack temperature",
    "pack.health": "charge",
    "walk": "ground",
    "airspace": "airspace",
    "route_aboard": "route aboard",
    "settings": "settings",
    "crew": "crew",
    "papers": "papers",
}
# What mends a bad answer.
_MENDS = {
    "wing": "do not fly: renew what holds the wing, then pull again",
    "sense": "do not fly: correct the surface, then see every command again",
    "speed.pitot": "clean or renew the tube and its line, then cover it again",
    "heading": "move away from iron and cables, calibrate, look again",
    "position": "wait for a better fix, or plan from where you stand",
    "pack.temperature": "warm the pack, keep it warm until launch",
    "pack.health": "take another pack",
    "walk": "choose other ground, or another day",
    "airspace": "do not fly until the airspace is free for it",
    "route_aboard": "load the route again, fetch it back, compare",
    "settings": "set them as declared, or declare them as they are",
    "crew": "agree before launch",
    "papers": "do not fly until they are in order",
}
# The measured figure of an item that its row is read from.
_FIGURES = {
    "speed.pitot": "offset",
    "heading": "error",
    "position": "distance",
    "pack.temperature": "temperature",
    "pack.health": "capacity",
}

# What a bad answer means where the item's own word does not say it.
_BAD_IN_WORDS = {"pack.health": "the pack is swollen"}


def _answers(evidence: Evidence) -> dict[str, ToldAnswer]:
    names = {"pitot": "speed.pitot"}
    told = evidence.resolved.sortie.told
    return {names.get(answer.item, answer.item): answer for answer in told}


def to_do(evidence: Evidence) -> tuple[ToDo, ...]:
    """Return the told items still open, in the order in which they are best done."""
    answers, at = _answers(evidence), evidence.resolved.sortie.launch_time
    return tuple(
        ToDo(item=item.name, ask=_ask(evidence, item))
        for item in TOLD_ITEMS
        if is_open(item, answers.get(item.name), at)
    )


def _ask(evidence: Evidence, item: ToldItem) -> str:
    """Return what to do for an item, with the figures of this place and day where it has some."""
    if item.name == "heading":
        return f"{item.ask} {_expected_field(evidence)}"
    return item.ask


def _expected_field(evidence: Evidence) -> str:
    """Return what magnetometer and compass should show at the launch point."""
    sortie = evidence.resolved.sortie
    if not is_covered(sortie.launch_time):
        return f"The field expected is not known: {MODEL} ended on {LAST_DAY}."
    site = sortie.site
    field = magnetic_field(
        site.latitude_rad,
        site.longitude_rad,
        site.elevation_amsl_m,
        decimal_year(sortie.launch_time),
    )
    most_off = evidence.limits["heading"].extra["field_percent"]
    declination_deg = math.degrees(field.declination_rad)
    words = (
        f"Field expected {field.total_t * 1e9:,.0f} nT within {most_off:.0f} %, declination "
        f"{abs(declination_deg):.1f} ± {math.degrees(field.declination_sd_rad):.1f} deg "
        f"{'east' if declination_deg >= 0.0 else 'west'}."
    )
    if field.horizontal_t < COMPASS_POOR_BELOW_T:
        words += " So near a magnetic pole a compass is poor: trust no heading from it alone."
    return words


def told_rows(evidence: Evidence) -> list[Row]:
    """Return one row for each told item; a bad answer counts even when it is old."""
    answers = _answers(evidence)
    return [_row(evidence, item, answers.get(item.name)) for item in TOLD_ITEMS]


def _row(evidence: Evidence, item: ToldItem, answer: ToldAnswer | None) -> Row:
    limit = evidence.limits[item.name]
    if answer is None:
        return replace(
            does_not_apply(limit, "to do at the field"),
            status=Status.NOT_ANSWERED,
            act=_ask(evidence, item),
        )
    row = _figure_row(evidence, limit, answer)
    row = _with_further_figures(row, answer)
    if answer.good is False:
        row = replace(
            row,
            status=Status.NO_GO,
            shortfall=_BAD,
            note=_BAD_IN_WORDS.get(item.name, f"{item.name}: answered bad"),
        )
    if row.status is Status.GO and is_open(item, answer, evidence.resolved.sortie.launch_time):
        row = replace(row, status=Status.NOT_ANSWERED, note="the answer is too old or has no time")
    mend = _ask(evidence, item) if row.status is Status.NOT_ANSWERED else _MENDS[item.name]
    return replace(row, cause=_CAUSES[item.name], act=row.act or mend)


def _figure_row(evidence: Evidence, limit: Limit, answer: ToldAnswer) -> Row:
    figure = _FIGURES.get(limit.slug)
    if figure is None or figure not in answer.numbers:
        return replace(does_not_apply(limit, "answered: good"), status=Status.GO)
    return evidence.row(limit.slug, answer.numbers[figure], cause="")


@dataclass(frozen=True, slots=True, kw_only=True)
class _FurtherLimit:
    """A second figure of an item: its key, its limit's key, factor to the limit's unit, side."""

    figure: str
    limit: str
    factor: float
    at_least: bool
    status: Status
    words: str

    def broken_by(self, numbers: Mapping[str, float], extra: Mapping[str, float]) -> bool:
        """Return whether the figure was measured and lies beyond its limit."""
        if self.figure not in numbers:
            return False
        value = self.factor * abs(numbers[self.figure])
        return value < extra[self.limit] if self.at_least else value > extra[self.limit]


def _further(
    figure: str,
    limit: str,
    words: str,
    *,
    factor: float = 1.0,
    at_least: bool = False,
    status: Status = Status.NO_GO,
) -> _FurtherLimit:
    return _FurtherLimit(
        figure=figure, limit=limit, factor=factor, at_least=at_least, status=status, words=words
    )


_FURTHER_LIMITS: dict[str, tuple[_FurtherLimit, ...]] = {
    "sense": (
        _further("throw", "throw_percent", "throw too small", factor=100.0, at_least=True),
        _further("slop", "slop_deg", "too much slop", factor=math.degrees(1.0)),
    ),
    "heading": (
        _further("field", "field_percent", "field off", factor=100.0, status=Status.MARGINAL),
    ),
    "position": (_further("height", "height_m", "height off"),),
    "pack.health": (
        _further("resistance", "hard_resistance", "resistance too high"),
        _further("resistance", "want_resistance", "resistance high", status=Status.MARGINAL),
        _further(
            "cell_spread",
            "want_cell_spread_v",
            "cells apart",
            status=Status.MARGINAL,
        ),
    ),
}


def _with_further_figures(row: Row, answer: ToldAnswer) -> Row:
    """Return the row, overruled by the worst further figure that lies beyond its limit."""
    for further in _FURTHER_LIMITS.get(row.limit.slug, ()):
        beyond = _BEYOND[further.status]
        if further.broken_by(answer.numbers, row.limit.extra) and row.shortfall < beyond:
            row = replace(row, status=further.status, shortfall=beyond, note=further.words)
    highest = row.limit.extra.get("highest_deg_c", math.inf)
    if row.reading is not None and row.reading > highest:
        beyond = _BEYOND[Status.NO_GO]
        row = replace(row, status=Status.NO_GO, shortfall=beyond, act="let the pack cool")
    return row
