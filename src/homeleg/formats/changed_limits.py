"""Limits of the verdict that their owner changed, with who, when and why."""

from homeleg.aircraft.record import ChangedLimit
from homeleg.formats.limits_file import read_limits
from homeleg.formats.reader import Values
from homeleg.formats.wording import nearest, one_of
from homeleg.foundation.units import TextError, parse_number, shown
from homeleg.verdict.limits import Limit, Sense

__all__ = ["amount_of", "changed_limits", "report_wrong_order"]


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
    want, hard = (amount_of(table, key, limits[row].unit) for key in ("want", "hard"))
    if table.has("want") == (want is not None) and table.has("hard") == (hard is not None):
        report_wrong_order(table, limits[row], want, hard)
    return ChangedLimit(
        row=row,
        want=want,
        hard=hard,
        changed_by=table.need("by", str),
        changed_on=table.need("on", str),
        reason=table.need("reason", str),
    )


def report_wrong_order(table: Values, limit: Limit, want: float | None, hard: float | None) -> None:
    """Report a hard limit that is met more easily than what is wanted, or the other way about.

    What a change leaves out stays as it is.
    """
    want = limit.want if want is None else want
    hard = limit.hard if hard is None else hard
    if want is None or hard is None:
        return
    if (want < hard) if limit.sense is Sense.AT_LEAST else (want > hard):
        table.spot.report(
            f"wants {limit.sense.value} {want:g} {limit.unit}".rstrip()
            + f", and the hard limit of {hard:g} is stricter",
            "What is wanted is the stricter of the two, or the same.",
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
