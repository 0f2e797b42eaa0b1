"""Changing one value of a TOML file and leaving the rest as a person wrote it, comments too."""

from collections.abc import Mapping, Sequence
from typing import TypeAlias, Union

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Array, InlineTable

__all__ = ["TomlValue", "with_item", "with_value", "without_item", "without_value"]

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
        table[keys[-1]] = _inline(value)
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


def with_item(text: str, keys: Sequence[str], item: Mapping[str, TomlValue]) -> str:
    """Return the text with one more table at the end of a list, which is made where it is missing.

    Raises ValueError when the text is not TOML, or something else than a list stands there.
    """
    document, listed = _list_in(text, keys)
    if listed is None:
        line = tomlkit.array()
        line.append(_inline(item))
        return with_value(text, keys, line)
    if isinstance(listed, AoT):
        listed.append(tomlkit.item(dict(item)))
    else:
        listed.append(_inline(item))
    return tomlkit.dumps(document)


def without_item(text: str, keys: Sequence[str], index: int) -> str:
    """Return the text without one item of a list; raises ValueError where there is none such."""
    document, listed = _list_in(text, keys)
    if listed is None or not 0 <= index < len(listed):
        raise ValueError(f"{keys[-1]} has no item {index + 1}")
    del listed[index]
    return tomlkit.dumps(document)


def _list_in(text: str, keys: Sequence[str]) -> tuple[tomlkit.TOMLDocument, "Array | AoT | None"]:
    document = _parsed(text)
    found: object = document
    for key in keys:
        found = found.get(key) if isinstance(found, Mapping) else None
    if found is not None and not isinstance(found, Array | AoT):
        raise ValueError(f"{keys[-1]} is no list")
    return document, found


def _inline(item: Mapping[str, TomlValue]) -> InlineTable:
    line = tomlkit.inline_table()
    line.update(item)
    return line


def _parsed(text: str) -> tomlkit.TOMLDocument:
    try:
        return tomlkit.parse(text)
    except TOMLKitError as error:
        raise ValueError(f"not TOML: {error}") from error
