"""The pack on board and the answers given at the field, from a sortie file."""

from datetime import datetime

from homeleg.formats.estimates import assumed, estimate_with
from homeleg.formats.kinds import Share
from homeleg.formats.reader import StatedEstimate, Values
from homeleg.formats.sortie_fields import TOLD_ITEMS, ToldWord
from homeleg.foundation.stated_text import shown_time
from homeleg.readiness.told import ToldAnswer
from homeleg.sortie.sortie import Pack

__all__ = ["pack_of", "told_of"]

# Our own figures (MEMORY), one standard deviation: a full charge is full within 2 %; a pack of
# unknown history has lost some capacity and gained some resistance.
_CHARGED = assumed(1.0, 0.02)
_CAPACITY = assumed(0.95, 0.04)
_RESISTANCE = assumed(1.15, 0.15)
_CAPACITY_SHARE = 0.02
_RESISTANCE_SHARE = 0.05
_TEMPERATURE_SD_K = 2.0


def pack_of(table: Values) -> Pack:
    """Return the pack; what nobody looked at is assumed, the temperature left open."""
    health, second = table.table("health"), table.table("second")
    temperature = estimate_with(table, "temperature", _TEMPERATURE_SD_K, assumed(0.0, 0.0))
    return Pack(
        temperature_k=temperature if table.has("temperature") else None,
        charged_fraction=estimate_with(table, "charged", _CHARGED.sd, _CHARGED),
        capacity_fraction=estimate_with(health, "capacity", Share(_CAPACITY_SHARE), _CAPACITY),
        resistance_factor=estimate_with(
            health, "resistance", Share(_RESISTANCE_SHARE), _RESISTANCE
        ),
        second_wh=second.get("capacity", float),
        second_w=second.get("power", float),
        cell_spread_v=health.get("cell_spread", float),
        swollen=health.get("swollen", bool),
    )


def told_of(told: Values, pack: Values, launch_time: datetime) -> tuple[ToldAnswer, ...]:
    """Return every answer given, those about the pack among them, in the order of the table."""
    given = [(item, told.table(item)) for item in TOLD_ITEMS if told.has(item)]
    for item, table in given:
        _report_future(table, launch_time)
        if not table.has("answer") and not _figures(table):
            told.spot.at(item).report("holds no answer", 'Add answer = "good", or figures.')
    _report_future(pack, launch_time)
    answers = [
        ToldAnswer(
            item=item,
            good=_good(table),
            numbers=_figures(table),
            seen=table.get("seen", datetime),
        )
        for item, table in given
    ]
    return (*answers, *_pack_answers(pack))


def _good(table: Values) -> bool | None:
    word = table.get("answer", ToldWord)
    return None if word is None else word is ToldWord.GOOD


def _figures(table: Values) -> dict[str, float]:
    """Return the measured figures of a told item by their key."""
    return {key: value for key, value in table.found.items() if isinstance(value, float)}


def _pack_answers(pack: Values) -> list[ToldAnswer]:
    """Return what was told of the pack, under the names of its rows."""
    seen = pack.get("seen", datetime)
    answers = []
    temperature = pack.get("temperature", StatedEstimate)
    if temperature is not None:
        figures = {"temperature": temperature.value}
        answers.append(ToldAnswer(item="pack.temperature", good=None, numbers=figures, seen=seen))
    if pack.has("health"):
        health = pack.table("health")
        figures = _figures(health)
        for key in ("capacity", "resistance"):
            if (stated := health.get(key, StatedEstimate)) is not None:
                figures[key] = stated.value
        swollen = health.get("swollen", bool)
        answers.append(
            ToldAnswer(
                item="pack.health", good=False if swollen else None, numbers=figures, seen=seen
            )
        )
    return answers


def _report_future(table: Values, launch_time: datetime) -> None:
    seen = table.get("seen", datetime)
    if seen is not None and seen > launch_time:
        table.spot.at("seen").report(
            f"{shown_time(seen)} is after the launch at {shown_time(launch_time)}",
            "Check both times: they are UTC.",
        )
