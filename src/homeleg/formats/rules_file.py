"""Rule profiles: those that ship, and files of the user's own in the same form."""

from importlib import resources
from pathlib import Path

from homeleg.formats.changed_limits import amount_of, report_wrong_order
from homeleg.formats.kinds import Fixed, Quantity, Text
from homeleg.formats.limits_file import read_limits
from homeleg.formats.reader import Field, ListOf, TableOf, Values, read_document
from homeleg.formats.toml_text import TextFile, read_text_file
from homeleg.formats.wording import nearest, one_of
from homeleg.foundation.constants import FOOT_M
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.units import Dimension, TextError, shown
from homeleg.sortie.rules import RuledLimit, RuleProfile
from homeleg.verdict.limits import RowKind

__all__ = ["PROFILES", "profile_of", "read_profile"]

Source = tuple[str, str]

PROFILES = {
    "EU open A3": "eu-open-a3",
    "EU specific": "eu-specific",
    "US part 107": "us-part-107",
    "UK open A3": "uk-open-a3",
    "Canada": "canada",
    "Australia": "australia",
}
_OWN = "own"
_SCHEMA = Fixed("homeleg/rules/1")
_LIMIT = TableOf(
    (
        Field("row", Text(60), "Which ruled row.", required=True),
        Field("want", Text(20), "Its want limit, in the unit of the row.", required=True),
        Field("hard", Text(20), "Its hard limit, in the unit of the row.", required=True),
        Field("least", Quantity(Dimension.LENGTH, 0, 5000), "Least distance to people."),
        Field("aside", Quantity(Dimension.LENGTH, 0, 20_000), "Distance aside of cloud."),
        Field("source", Text(), "Where it is written.", required=True),
    )
)
_PROFILE = TableOf(
    (
        Field("schema", _SCHEMA, 'Write "homeleg/rules/1".', required=True),
        Field("name", Text(60), "What the profile is called.", required=True),
        Field("source", Text(), "Which rules it is from.", required=True),
        Field("as_of", Text(), "The state of their text.", required=True),
        Field("remarks", ListOf(Text(), 0, 20), "What the rules ask besides."),
        Field("limit", ListOf(_LIMIT, 1, 20), "Limits of ruled rows.", required=True),
    )
)
# A further number of a limit: the row it belongs to, its name there, and one of its units.
_EXTRA = {
    "least": ("inside.ground_buffer", "least_m", 1.0),
    "aside": ("weather.cloud", "aside_ft", FOOT_M),
}
# The one row that may count below nothing: who may land after sunset.
_DAYLIGHT = "sight.daylight"


def profile_of(rules: Values, folder: Path) -> tuple[RuleProfile | None, tuple[Source, ...]]:
    """Return the profile of a [rules] table, after reporting what is wrong with it."""
    try:
        return read_profile(rules.get("profile", str) or _OWN, folder)
    except TextError as error:
        rules.spot.at("profile").report_text(error)
    except InputFileError as error:
        rules.spot.findings.problems.extend(error.problems)
    return None, ()


def read_profile(name: str, folder: Path) -> tuple[RuleProfile | None, tuple[Source, ...]]:
    """Return a profile, None for the program's own limits, and name and SHA-256 of a user's file.

    `name` is that of a shipped profile, or of a .toml file in `folder`. Raises TextError where it
    is neither, InputFileError with the problems of the file.
    """
    if name == _OWN:
        return None, ()
    if name in PROFILES:
        shipped = resources.files("homeleg.formats").joinpath(f"data/rules/{PROFILES[name]}.toml")
        return _profile(TextFile(PROFILES[name], shipped.read_text("utf-8"), "")), ()
    if not name.lower().endswith(".toml"):
        names = (_OWN, *PROFILES)
        problem = f"{shown(name)} is not a rule profile{nearest(name, names)}"
        raise TextError(problem, f"{one_of(names)} Or name a .toml file of your own.")
    file = read_text_file(folder / name)
    return _profile(file), ((file.name, file.sha256),)


def _profile(file: TextFile) -> RuleProfile:
    values = read_document(file, _SCHEMA, _PROFILE)
    limits = tuple(_limit(table) for table in values.items("limit", Values))
    rows = [limit.row for limit in limits]
    for row in sorted({row for row in rows if rows.count(row) > 1}):
        values.spot.report(f"gives {row} more than once", "Keep one of them.")
    values.spot.findings.raise_if_any()
    return RuleProfile(
        name=values.need("name", str),
        source=values.need("source", str),
        as_of=values.need("as_of", str),
        limits=limits,
        remarks=values.items("remarks", str),
    )


def _limit(table: Values) -> RuledLimit:
    """Return a limit, after reporting a row that no rule limits and numbers that are not its."""
    row, rows = table.get("row", str) or "", read_limits()
    ruled = [slug for slug, limit in rows.items() if limit.kind is RowKind.RULED]
    if row not in ruled:
        problem = f"{shown(row)} is not a ruled row{nearest(row, ruled)}"
        table.spot.at("row").report(problem, one_of(ruled))
        return RuledLimit(row=row, want=None, hard=None, extra={}, source="")
    extra = {}
    for key, (owner, name, unit) in _EXTRA.items():
        value = table.get(key, float)
        if value is not None and owner != row:
            table.spot.at(key).report(f"is no number of {row}", f"It belongs to {owner}.")
        elif value is not None:
            extra[name] = value / unit
    want, hard = (amount_of(table, key, rows[row].unit) for key in ("want", "hard"))
    for key, value in (("want", want), ("hard", hard)):
        if value is not None and value < 0.0 and row != _DAYLIGHT:
            table.spot.at(key).report(f"{value:g} is below nothing", "Write it without the minus.")
    if want is not None and hard is not None:
        report_wrong_order(table, rows[row], want, hard)
    return RuledLimit(
        row=row,
        want=want,
        hard=hard,
        extra=extra,
        source=table.get("source", str) or "",
    )
