"""What a person read in the maker's own tool, from the texts they typed."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from homeleg.formats.release_file import read_release
from homeleg.foundation.stated_text import parse_height
from homeleg.foundation.units import Dimension, TextError, parse_quantity
from homeleg.release.declared import READ_CHOICES, ReadAloud, declared_choice
from homeleg.release.read_aloud import height_words

__all__ = ["SETTINGS", "declared_settings", "read_aloud_from", "read_aloud_remarks"]

# What is read, by the key of what is typed, and how it is asked for.
SETTINGS = {
    "return_height": 'the return height, such as "60 m above launch"',
    "link_loss_after": 'the time from a lost link to the return, such as "20 s"',
    **{key: f"the {one.what} ({'; '.join(one.words)})" for key, one in READ_CHOICES.items()},
}
_DECLARED_AS = {"return_height": "return_height", "link_loss_after": "after_ds"}
_LONGEST_NAME = 60


def declared_settings(path: Path) -> tuple[str, ...]:
    """Return the keys of the settings that a release declares; raises InputFileError."""
    loss = read_release(path).settings["link_loss"]
    figures = [key for key, declared_as in _DECLARED_AS.items() if loss[declared_as] is not None]
    return (*figures, *(key for key in READ_CHOICES if declared_choice(loss, key) is not None))


def read_aloud_from(typed: Mapping[str, Any]) -> ReadAloud:
    """Return what was read from the texts by the keys of SETTINGS, and `read_by`.

    What is empty or missing was not read. Raises TextError for what is no such setting.
    """
    given = {key: str(typed.get(key) or "").strip() for key in (*SETTINGS, "read_by")}
    height, after = given["return_height"], given["link_loss_after"]
    for key, choice in READ_CHOICES.items():
        if given[key] and given[key] not in choice.words:
            raise TextError(
                f"{given[key]!r} is no {choice.what}", f"Give one of: {'; '.join(choice.words)}."
            )
    if len(given["read_by"]) > _LONGEST_NAME or not given["read_by"].isprintable():
        raise TextError("who read it is no name", f"Give at most {_LONGEST_NAME} letters.")
    return ReadAloud(
        return_height=parse_height(height) if height else None,
        link_loss_after_s=parse_quantity(after, Dimension.TIME) if after else None,
        read_by=given["read_by"],
        **{key: given[key] or None for key in READ_CHOICES},
    )


def read_aloud_remarks(read: ReadAloud) -> Iterator[str]:
    """Give a sentence of what was read aloud and by whom, where anything was."""
    told = []
    if read.return_height is not None:
        told.append(f"return height {height_words(read.return_height)}")
    if read.link_loss_after_s is not None:
        told.append(f"lost link to return {read.link_loss_after_s:g} s")
    for key, choice in READ_CHOICES.items():
        if getattr(read, key) is not None:
            told.append(f"{choice.what} {getattr(read, key)}")
    if told:
        who = f" by {read.read_by}" if read.read_by else ", by whom is not told"
        yield f"Read aloud{who}: {', '.join(told)}."
