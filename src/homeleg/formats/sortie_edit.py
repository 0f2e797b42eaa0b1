"""New answers from the field written into the text of a sortie; all else stays as it is."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

import tomlkit
from tomlkit.items import InlineTable, Table

from homeleg.formats.field_answers import FieldAnswers, refuse_bad_answers, wind_and_height
from homeleg.formats.sortie_fields import TOLD_ITEMS, ToldWord
from homeleg.formats.wording import nearest, one_of
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.stated_text import shown_time
from homeleg.foundation.units import shown

__all__ = ["edited_sortie"]

# What another pack, and switching off and on, make worthless.
_OF_ANOTHER_PACK = ("temperature", "charged", "health", "seen")
_SWITCHED_OFF = ("route_aboard", "position")
# What was looked at where the launch no longer is made from.
_OF_ANOTHER_PLACE = ("position", "walk", "airspace", "boundary", "people")


def edited_sortie(text: str, answers: FieldAnswers, now: datetime) -> str:
    """Return the text of a sortie file with the answers in it, each seen now.

    Raises InputFileError for every answer that the file would not take, and for a told item that
    does not exist. Where the launch is made from is not written: see `homeleg.formats.launch_here`.
    """
    refuse_bad_answers(answers)
    document = tomlkit.parse(text)
    seen = shown_time(now)
    if answers.launch is not None:
        _table(document, "time")["launch"] = answers.launch
    _write_air(document, answers, seen)
    _write_pack(document, answers, seen)
    _write_told(document, answers, seen)
    return tomlkit.dumps(document)


def _write_air(document: tomlkit.TOMLDocument, answers: FieldAnswers, seen: str) -> None:
    weather = _table(document, "weather")
    _set(weather, {"temperature": answers.temperature})
    if answers.wind is None and answers.gust is None:
        return
    wind = _table(weather, "surface_wind")
    if answers.wind is not None:
        # Gust, spreads, height and instrument of another wind say nothing of this one.
        for key in [key for key in wind if key != "exponent"]:
            wind.pop(key)
        value, at = wind_and_height(answers.wind)
        _set(wind, {"value": value, "at": at})
    _set(wind, {"gust": answers.gust, "seen": seen})


def _write_pack(document: tomlkit.TOMLDocument, answers: FieldAnswers, seen: str) -> None:
    health = {"capacity": answers.pack_capacity, "resistance": answers.pack_resistance}
    plain = {"temperature": answers.pack_temperature, "charged": answers.pack_charged}
    if answers.another_pack and "pack" in document:
        for key in _OF_ANOTHER_PACK:
            _table(document, "pack").pop(key, None)
    if any(health.values()):
        _set(_table(_table(document, "pack"), "health"), health)
    if any(plain.values()):
        _set(_table(document, "pack"), plain)
    if any((*health.values(), answers.pack_temperature)):
        _set(_table(document, "pack"), {"seen": seen})


def _write_told(document: tomlkit.TOMLDocument, answers: FieldAnswers, seen: str) -> None:
    switched_off = _SWITCHED_OFF if answers.another_pack else ()
    moved = _OF_ANOTHER_PLACE if answers.launch_here is not None else ()
    if "told" in document:
        for item in (*switched_off, *moved):
            _table(document, "told").pop(item, None)
    for answer in answers.told:
        item, _, word = answer.partition("=")
        _refuse_unknown(item.strip(), TOLD_ITEMS, "no item that is told")
        words = [known.value for known in ToldWord]
        word = word.strip() or ToldWord.GOOD.value
        _refuse_unknown(word, words, "not an answer")
        inline = tomlkit.inline_table()
        inline.update({"answer": word, "seen": seen})
        _table(document, "told")[item.strip()] = inline


def _refuse_unknown(text: str, known: Any, what: str) -> None:
    if text not in known:
        problem = f"{shown(text)} is {what}{nearest(text, list(known))}"
        raise InputFileError([Problem(where="--told", problem=problem, remedy=one_of(known))])


def _set(table: Table | InlineTable, values: Mapping[str, str | None]) -> None:
    for key, value in values.items():
        if value is not None:
            table[key] = value


def _table(document: Any, key: str) -> Any:
    """Return a table of a document, made where there is none."""
    if key not in document:
        document[key] = (
            tomlkit.table()
            if isinstance(document, tomlkit.TOMLDocument)
            else (tomlkit.inline_table())
        )
    return document[key]
