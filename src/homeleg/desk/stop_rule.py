"""The rule by which a flying day of this base ends: read and set."""

from collections.abc import Mapping
from pathlib import Path

from homeleg.desk.base import Base
from homeleg.formats.stop_file import read_stop_rule, stop_rule_of, stop_text
from homeleg.formats.text_file import write_text
from homeleg.readiness.stop_rule import StopRule

__all__ = ["rule_of", "set_rule"]

_FILE = "stop.toml"


def rule_of(base: Base) -> StopRule:
    """Return the rule of a base, one that stops nothing where there is none."""
    path = _path(base)
    return read_stop_rule(path) if path.exists() else StopRule()


def set_rule(base: Base, typed: Mapping[str, str]) -> StopRule:
    """Set the rule as typed and return it; raises InputFileError with all that is wrong in it."""
    rule = stop_rule_of(typed, "the rule")
    write_text(_path(base), stop_text(rule))
    return rule


def _path(base: Base) -> Path:
    return base.folder / _FILE
