"""Limits of the verdict that their owner changed, with who, when and why."""

from homeleg.aircraft.record import ChangedLimit
from homeleg.formats.limits_file import read_limits
from homeleg.formats.reader import Values
from homeleg.formats.wording import nearest, one_of
from homeleg.foundation.units import TextError, parse_number, shown
from homeleg.verdict.limits import Limit

__all__ = ["amount_of", "changed_limits"]


def changed_limits(table: Values) -> tuple[ChangedLimit, ...]:
    """Return the changed limits of a [limits] table, each held against the rows there are."""
    limits = read_limits()
    changes = (_changed(change, limits) for change in table.items("changed", Values))
    return tuple(change for change in changes if change is not None)


def _changed(table: Values, limits: dict[str, Limit]) -> ChangedLimit | None:
    row = table.need("row", str)
    if row not in limits:
        names = list(limits)
        problem = f"there is no row {shown(row)}{nearest(row, names)}"
        table.spot.at("row").report(problem, one_of(names))
        return None
    if not table.has("want") and not table.has("hard"):
        table.spot.report("changes neither want nor hard", "Add the limit that is changed.")
    return ChangedLimit(
        row=row,
        want=amount_of(table, "want", limits[row].unit),
        hard=amount_of(table, "hard", limits[row].unit),
        changed_by=table.need("by", str),
        changed_on=table.need("on", str),
        reason=table.need("reason", str),
    )


def amount_of(table: Values, key: str, unit: str) -> float | None:
    """Return a limit written in its row's own unit."""
    text = table.get(key, str)
    if text is None:
        return None
    number = text.strip().removesuffix(unit) if unit else text
    try:
        return parse_number(number)
    except TextError:
        example = f"12 {unit}".strip()
        table.spot.at(key).report(
            f"{shown(text)} is not a limit of this row", f'Write it in its unit, as "{example}".'
        )
        return None
