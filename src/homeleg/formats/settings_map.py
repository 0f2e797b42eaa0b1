"""The user's own names for an aircraft's settings: what each means here, and in which unit."""

from dataclasses import dataclass
from pathlib import Path

from homeleg.formats.kinds import Choice, Fixed, Text
from homeleg.formats.reader import Field, TableOf, Values, read_document
from homeleg.formats.toml_text import read_text_file
from homeleg.foundation.heights import Datum
from homeleg.foundation.units import Dimension, TextError, parse_quantity

__all__ = ["MappedSetting", "SettingsMap", "read_settings_map"]

_LONGEST_NAME = 16  # PARAM_VALUE of the common set
_SCHEMA = Fixed("homeleg/settings-map/1")
_NAME = Field("name", Text(_LONGEST_NAME), "What the aircraft calls it.", required=True)
_ONE = Field("one", Text(20), 'What a value of 1 is, such as "1 cm".', required=True)
_ABOVE = Field("above", Choice(Datum), "What the height is above.", required=True)
_MAP = TableOf(
    (
        Field("schema", _SCHEMA, f'Write "{_SCHEMA.text}".', required=True),
        Field("return_height", TableOf((_NAME, _ONE, _ABOVE)), "The height it returns at."),
        Field("link_loss_after", TableOf((_NAME, _ONE)), "From a lost link to the return."),
    )
)


@dataclass(frozen=True, slots=True, kw_only=True)
class MappedSetting:
    """The name of a setting in the aircraft, what a value of 1 is [m or s], what it is above."""

    name: str
    one: float
    above: Datum | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingsMap:
    """Which setting of an aircraft is which of ours; None where the file does not say."""

    return_height: MappedSetting | None
    link_loss_after: MappedSetting | None


def read_settings_map(path: Path) -> SettingsMap:
    """Return what a file says of an aircraft's settings; raises InputFileError."""
    values = read_document(read_text_file(path), _SCHEMA, _MAP)
    found = SettingsMap(
        return_height=_setting(values, "return_height", Dimension.LENGTH),
        link_loss_after=_setting(values, "link_loss_after", Dimension.TIME),
    )
    values.spot.findings.raise_if_any()
    return found


def _setting(values: Values, key: str, dimension: Dimension) -> MappedSetting | None:
    """Return a setting, None where it was left out or is reported."""
    table = values.get(key, Values)
    name, text = (None, None) if table is None else (table.get("name", str), table.get("one", str))
    if table is None or name is None or text is None:
        return None
    try:
        one = parse_quantity(text, dimension)
    except TextError as error:
        table.spot.at("one").report_text(error)
        return None
    if one <= 0.0:
        table.spot.at("one").report(f"is {text}", 'Write what a value of 1 is, such as "1 cm".')
        return None
    return MappedSetting(name=name, one=one, above=table.get("above", Datum))
