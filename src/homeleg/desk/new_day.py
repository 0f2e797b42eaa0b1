"""A sortie flown before, made ready for today: what is of today is asked, the rest stays."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from homeleg.desk.calls import FIGURES, SOON, FieldCall, Stands, field_calls
from homeleg.desk.edit import putting, rewrite
from homeleg.desk.typed_number import FieldError, FieldsError, cleaned, typed_number
from homeleg.formats.field_answers import FieldAnswers
from homeleg.formats.sortie_edit import edited_sortie
from homeleg.formats.sortie_file import read_sortie, sortie_from_text
from homeleg.formats.toml_edit import with_value, without_value
from homeleg.formats.toml_text import TextFile, read_text_file
from homeleg.foundation.constants import CELSIUS_ZERO_K
from homeleg.foundation.stated_text import shown_time
from homeleg.readiness.told import DECLARED_ITEMS, TOLD_ITEMS

__all__ = ["NewDay", "Standing", "keep_new_day", "new_day"]

# An answer that stands no longer than this is one of its day. Ours.
_OF_ITS_DAY = timedelta(hours=12)
_STEP_MIN = 5
# Told as a number of its own beside the calls.
_NUMBERS = ("pack.temperature", "pack.health")
_KEPT_AT = {"speed.pitot": "pitot"}
# What another day's report said of the air.
_REPORTS = ("metar", "metar_distance", "metar_elevation", "beaufort")
# Least, most, and whether it must be told.
_FIELDS = {
    "speed": (0.0, 200.0, True),
    "from": (0.0, 360.0, True),
    "gust": (0.0, 250.0, False),
    "height": (0.5, 200.0, True),
    "temperature": (-60.0, 60.0, True),
    "visibility": (0.05, 100.0, False),
    "cloud": (0.0, 10_000.0, False),
    "pack": (-20.0, 60.0, True),
    "charged": (5.0, 100.0, True),
    "capacity": (20.0, 110.0, False),
}
_MOST_OFF = {"heading": (-180.0, 180.0), "position": (0.0, 100_000.0)}
_ITEMS = {item.name: item for item in (*TOLD_ITEMS, *DECLARED_ITEMS)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A told item that needs no answer today: when it was seen, and that it is good."""

    item: str
    seen: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class NewDay:
    """What is asked today, what still stands, and what of the last day is offered.

    `calls` are to be made today; `offered` are words for fields by name, in the units of the file:
    degC, km, m above launch, %, a time of day in UTC. `wind` is that of the last day, in words.
    """

    calls: tuple[FieldCall, ...]
    stand: tuple[Standing, ...]
    offered: Mapping[str, str]
    wind: str
    flown_on: datetime


def new_day(path: Path, to_do: Collection[str], now: datetime) -> NewDay:
    """Return what a sortie file asks today; `to_do` is what its verdict found undeclared.

    Raises InputFileError.
    """
    sortie = read_sortie(path).sortie
    seen = {answer.item: answer.seen for answer in sortie.told}
    every = [one for one in field_calls(path, to_do, now) if one.item not in _NUMBERS]
    kept = {one.item: seen.get(_KEPT_AT.get(one.item, one.item)) for one in every}
    calls = [one for one in every if _is_asked(one, kept[one.item], now)]
    weather, wind = sortie.weather, sortie.weather.surface
    offered = {
        "temperature": f"{weather.temperature_k.value - CELSIUS_ZERO_K:.0f}",
        "visibility": "" if weather.visibility_m is None else f"{weather.visibility_m / 1000.0:g}",
        "cloud": ""
        if weather.cloud_base_above_launch_m is None
        else f"{weather.cloud_base_above_launch_m:.0f}",
        "height": "2" if wind is None else f"{wind.height_agl_m:g}",
        "charged": f"{100.0 * sortie.pack.charged_fraction.value:.0f}",
        "capacity": f"{100.0 * sortie.pack.capacity_fraction.value:.0f}"
        if "pack.health" in seen
        else "",
        "launch": f"{_soon(now):%H:%M}",
    }
    return NewDay(
        calls=tuple(calls),
        stand=tuple(
            Standing(item=one.item, seen=kept[one.item]) for one in every if one not in calls
        ),
        offered=offered,
        wind="" if wind is None else f"{wind.speed_m_s.value:.1f} m/s",
        flown_on=sortie.launch_time,
    )


def keep_new_day(
    path: Path,
    asked: NewDay,
    typed: Mapping[str, str],
    said: Mapping[str, Sequence[str]],
    speed_unit: str,
    now: datetime,
) -> None:
    """Write what is of today into a sortie file in one step; its comments stay.

    `said` are the answers to calls, by item. A call that was not made today is taken out, whatever
    it said before; so are the reports of another day. A launch before `now` becomes one in ten
    minutes. Raises FieldsError and InputFileError; the file is then as it was.
    """
    answers, air = _read(cleaned(typed), asked, speed_unit, now)
    file = read_text_file(path)
    text = file.text
    for key in _REPORTS:
        text = without_value(text, ["weather", key])
    for key, value in air.items():
        edit = putting(["weather", key], value)
        text = edit(text)
    text, told = _with_calls(text, asked, said, now)
    text = edited_sortie(text, replace(answers, told=told), now)
    sortie_from_text(TextFile(file.name, text, file.sha256), path.parent)
    rewrite(path, file, text)


def _with_calls(
    text: str, asked: NewDay, said: Mapping[str, Sequence[str]], now: datetime
) -> tuple[str, tuple[str, ...]]:
    """Return the text with the figures of calls, without the others, and those as told items."""
    told, wrong = [], {}
    for call in asked.calls:
        key, given = _KEPT_AT.get(call.item, call.item), said.get(call.item, ())
        text = without_value(text, ["told", key])
        if call.item not in FIGURES:
            outcome = _outcome(call, given)
            told += [] if outcome is Stands.OPEN else [f"{key}={outcome}"]
        elif any(given):
            name, (figure, unit) = f"{call.item}-0", FIGURES[call.item]
            try:
                value = typed_number(cleaned({name: given[0]}), name, *_MOST_OFF[call.item])
            except FieldError as error:
                wrong[name] = str(error)
                continue
            answer = {figure: f"{value:g} {unit}", "seen": shown_time(now)}
            text = with_value(text, ["told", key], answer)
    if wrong:
        raise FieldsError(wrong)
    return text, tuple(told)


def _outcome(call: FieldCall, given: Sequence[str]) -> Stands:
    """Return what the answers make of a call: one that is not right is enough, in any order."""
    made = [
        (one, answer)
        for one, answer in zip(call.calls, given, strict=False)
        if answer in one.answers and answer not in one.leave
    ]
    if any(answer not in one.right for one, answer in made):
        return Stands.BAD
    return Stands.GOOD if len(made) == len(call.calls) else Stands.OPEN


def _read(
    given: Mapping[str, str], asked: NewDay, speed_unit: str, now: datetime
) -> tuple[FieldAnswers, dict[str, str | None]]:
    """Return what was typed, as a sortie file says it; raises FieldsError with every slip."""
    wrong: dict[str, str] = {}
    for name, (least, most, needed) in _FIELDS.items():
        if given.get(name) or needed:
            try:
                typed_number(given, name, least, most)
            except FieldError as error:
                wrong[name] = str(error)
    if not wrong and given.get("gust") and float(given["gust"]) < float(given["speed"]):
        wrong["gust"] = f"A gust of {given['gust']} is below the wind of {given['speed']}."
    launch = now + SOON
    try:
        launch = max(launch, _on_day(given.get("launch", ""), now))
    except ValueError:
        wrong["launch"] = f"{given.get('launch', '')[:40] or 'nothing'} is no time such as 17:30."
    if wrong:
        raise FieldsError(wrong)
    unchanged = given.get("capacity") == asked.offered["capacity"]
    answers = FieldAnswers(
        wind=f"{given['speed']} {speed_unit} from {given['from']} at {given['height']} m",
        gust=f"{given['gust']} {speed_unit}" if given.get("gust") else None,
        temperature=f"{given['temperature']} degC",
        pack_temperature=f"{given['pack']} degC",
        pack_charged=f"{given['charged']} %",
        pack_capacity=None if unchanged or not given.get("capacity") else f"{given['capacity']} %",
        launch=shown_time(launch),
    )
    air = {
        "visibility": f"{given['visibility']} km" if given.get("visibility") else None,
        "cloud_base": f"{given['cloud']} m above launch" if given.get("cloud") else None,
    }
    return answers, air


def _on_day(clock: str, now: datetime) -> datetime:
    """Return a time of day in UTC as the next such moment; raises ValueError."""
    read = datetime.strptime(clock.removesuffix("Z").strip(), "%H:%M")  # noqa: DTZ007 (made aware)
    then = now.astimezone(UTC).replace(hour=read.hour, minute=read.minute, second=0, microsecond=0)
    return then if then > now - timedelta(hours=6) else then + timedelta(days=1)


def _is_asked(call: FieldCall, seen: datetime | None, now: datetime) -> bool:
    """Return whether a call is to be made today: open, or one of another day."""
    if call.stands is Stands.OPEN or seen is None:
        return True
    of_its_day = _ITEMS[call.item].stands_for <= _OF_ITS_DAY
    return of_its_day and seen.astimezone().date() != now.astimezone().date()


def _soon(now: datetime) -> datetime:
    """Return a round time for the launch, soon."""
    step = timedelta(minutes=_STEP_MIN)
    later = now + SOON + step
    return later - timedelta(minutes=later.minute % _STEP_MIN, seconds=later.second)
