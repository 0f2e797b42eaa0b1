"""Rows of what the files do not declare: told at the field instead, never part of the word."""

from collections.abc import Iterable
from dataclasses import replace

from homeleg.readiness.told import DECLARED_ITEMS, ToldAnswer, is_open
from homeleg.verdict.evidence import Evidence, does_not_apply
from homeleg.verdict.limits import RowKind
from homeleg.verdict.result import Row, Status, ToDo

__all__ = ["to_declare", "undeclared"]

_ITEMS = {item.name: item for item in DECLARED_ITEMS}
_ROWS = {
    "inside.boundary": "boundary",
    "motor.people": "people",
    "inside.ground_buffer": "people",
    "sight.visibility": "visibility",
    "heard.margin": "radio",
    "weather.cloud": "cloud",
}
_CAUSES = {
    "boundary": "boundary",
    "people": "keep-out ground",
    "visibility": "sight",
    "radio": "radio",
    "cloud": "cloud",
}
_BAD = 10.0


def undeclared(evidence: Evidence, slug: str) -> Row:
    """Return the row `slug` of something that no file declares, by what was told at the field.

    Untold it is open: a told row that does not count and stands on the list of what is to do. Told
    to be well it does not apply, told to be bad it is NO-GO.
    """
    item = _ITEMS[_ROWS[slug]]
    answer = _answer(evidence, item.name)
    row = does_not_apply(evidence.limits[slug], "told at the field")
    if answer is not None and answer.good is False:
        return replace(
            row,
            status=Status.NO_GO,
            shortfall=_BAD,
            cause=_CAUSES[item.name],
            act=item.ask,
            note="answered: bad",
        )
    if not is_open(item, answer, evidence.resolved.sortie.launch_time):
        return row
    return replace(
        row,
        limit=replace(row.limit, kind=RowKind.TOLD),
        status=Status.NOT_ANSWERED,
        act=item.ask,
        note="not declared: to do at the field",
    )


def to_declare(rows: Iterable[Row]) -> tuple[ToDo, ...]:
    """Return what `undeclared` left open, as things to do at the field."""
    asks = {
        _ROWS[row.limit.slug]: row.act or ""
        for row in rows
        if row.limit.slug in _ROWS and row.limit.kind is RowKind.TOLD
    }
    return tuple(ToDo(item=item, ask=ask) for item, ask in asks.items())


def _answer(evidence: Evidence, name: str) -> ToldAnswer | None:
    told = evidence.resolved.sortie.told
    return next((answer for answer in told if answer.item == name), None)
