"""Changing one value of a TOML file and leaving the rest as a person wrote it, comments too."""

from collections.abc import Mapping, Sequence
from typing import TypeAlias, Union

import tomlkit
from tomlkit.exceptions import TOMLKitError

__all__ = ["TomlValue", "with_value", "without_value"]

TomlValue: TypeAlias = Union[  # names that are not there yet
    str, int, float, bool, "Sequence[TomlValue]", "Mapping[str, TomlValue]"
]


def with_value(text: str, keys: Sequence[str], value: TomlValue) -> str:
    """Return the text with a value under a path of keys; tables that are missing are made.

    Raises ValueError when the text is not TOML, or a key on the way holds a plain value.
    """
    document = _parsed(text)
    table = document
    for key in keys[:-1]:
        if key not in table:
            table[key] = tomlkit.table()
        table = table[key]
        if not isinstance(table, Mapping):
            raise ValueError(f"{key} holds a plain value, no table")  # noqa: TRY004 (of the text)
    if isinstance(value, Mapping):  # a small table of its own: stays on its line
        line = tomlkit.inline_table()
        line.update(value)
        table[keys[-1]] = line
    else:
        table[keys[-1]] = value
    return tomlkit.dumps(document)


def without_value(text: str, keys: Sequence[str]) -> str:
    """Return the text without what stands under a path of keys; as it was where nothing does.

    Raises ValueError when the text is not TOML.
    """
    document = _parsed(text)
    table: object = document
    for key in keys[:-1]:
        table = table.get(key) if isinstance(table, Mapping) else None
    if isinstance(table, Mapping) and keys[-1] in table:
        del table[keys[-1]]  # type: ignore[attr-defined]  # tomlkit's tables can be changed
    return tomlkit.dumps(document)


def _parsed(text: str) -> tomlkit.TOMLDocument:
    try:
        return tomlkit.parse(text)
    except TOMLKitError as error:
        raise ValueError(f"not TOML: {error}") from error
