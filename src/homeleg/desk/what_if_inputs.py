"""What a pilot would turn on the day: each input as it stands, and what becomes of the files."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from homeleg.amend.change import Change, ItemChange
from homeleg.desk.edit import Edit, putting
from homeleg.desk.face import Face
from homeleg.desk.typed_number import FieldError, FieldsError, cleaned, typed_number
from homeleg.formats.amend_edit import edited_files
from homeleg.formats.release_file import sha256_of
from homeleg.formats.route_edit import turned_round
from homeleg.formats.sortie_file import SortieFiles, sortie_from_text
from homeleg.formats.toml_edit import TomlValue, with_item
from homeleg.formats.toml_text import TextFile, parse_toml
from homeleg.foundation.constants import CELSIUS_ZERO_K
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.heights import Datum, SpeedKind, StatedAirspeed
from homeleg.foundation.stated_text import shown_time
from homeleg.foundation.units import Dimension, TextError, parse_quantity
from homeleg.route.items import ItemKind, RouteItem
from homeleg.sortie.sortie import Sortie

__all__ = ["GROUPS", "Input", "Turned", "inputs_of", "points_of", "turned_files"]

GROUPS = ("Air", "Pack and load", "Route", "Launch")
_WORK = (ItemKind.POINT, ItemKind.ORBIT)
_LARGEST = 1e5
_ON_BOARD = "what if"


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """A number that can be turned: what it is, in which unit, and as it stands; "" where not told.

    `unit` and `now` are those of the face.
    """

    name: str
    words: str
    group: str
    unit: str
    now: str


@dataclass(frozen=True, slots=True)
class Turned:
    """The sortie with everything turned, what was turned in words, and the texts that changed."""

    files: SortieFiles
    words: tuple[str, ...]
    edited: tuple[tuple[str, TextFile], ...]


def inputs_of(sortie: Sortie, face: Face) -> tuple[Input, ...]:
    """Return every number that can be turned, as it stands."""
    speed, length = face.unit_for("m/s"), face.unit_for("m")
    wind, pack = sortie.weather.surface, sortie.pack
    kind, lost = _kind(sortie).value, sortie.aircraft.link_loss.airspeed
    cruise = sortie.aircraft.speeds.cruise
    work = [item.airspeed or cruise for item in sortie.route.items if item.kind in _WORK]
    heading = sortie.site.launch_heading_true_rad

    def spoken(*stated: StatedAirspeed | None) -> str:
        told = sorted({one.value_m_s for one in stated if one is not None})
        return " to ".join(f"{face.shown(value, 'm/s'):.1f}" for value in told[:1] + told[1:][-1:])

    told = {
        "speed": "" if wind is None else f"{face.shown(wind.speed_m_s.value, 'm/s'):.1f}",
        "from": "" if wind is None else f"{math.degrees(wind.from_true_rad.value) % 360.0:03.0f}",
        "gust": ""
        if wind is None or wind.gust_m_s is None
        else f"{face.shown(wind.gust_m_s, 'm/s'):.1f}",
        "temperature": f"{sortie.weather.temperature_k.value - CELSIUS_ZERO_K:.0f}",
        "charged": f"{100.0 * pack.charged_fraction.value:.0f}",
        "capacity": f"{100.0 * pack.capacity_fraction.value:.0f}",
        "pack": ""
        if pack.temperature_k is None
        else f"{pack.temperature_k.value - CELSIUS_ZERO_K:.0f}",
        "work": spoken(*work),
        "home": spoken(lost or cruise),
        "heading": "" if heading is None else f"{math.degrees(heading) % 360.0:03.0f}",
        "launch": f"{sortie.launch_time.astimezone(UTC):%H:%M}",
    }
    rows = (
        ("Air", "speed", "Wind speed", speed),
        ("Air", "from", "It blows from, true", "deg"),
        ("Air", "gust", "Strongest gust", speed),
        ("Air", "temperature", "Temperature of the air", "degC"),
        ("Pack and load", "charged", "Pack charged", "%"),
        ("Pack and load", "capacity", "Its capacity, of a new one", "%"),
        ("Pack and load", "pack", "Temperature of the pack", "degC"),
        ("Pack and load", "mass", "More on board (− less)", "g"),
        ("Pack and load", "arm", "Where: behind the mean chord’s front edge", "mm"),
        ("Route", "work", f"Airspeed at work, {kind}", speed),
        ("Route", "home", f"Airspeed coming home, {kind}", speed),
        ("Route", "up", "All heights up (− down)", length),
        ("Launch", "heading", "Launch heading, true", "deg"),
        ("Launch", "launch", "Launch time", "UTC"),
    )
    return tuple(
        Input(group=group, name=name, words=words, unit=unit, now=told.get(name, ""))
        for group, name, words, unit in rows
    )


def points_of(sortie: Sortie) -> tuple[str, ...]:
    """Return the names of the points that can be moved."""
    return tuple(item.name for item in sortie.route.items if item.kind in _WORK)


def turned_files(files: SortieFiles, folder: Path, typed: Mapping[str, str], face: Face) -> Turned:
    """Return the sortie with what was typed in the place of what stands there.

    `typed` are bare numbers in the units of the face; what is empty stays. Each field is tried by
    itself, so that what is wrong is said where it was typed. Raises FieldsError.
    """
    given = cleaned(typed)
    turned, words, wrong = files, [], {}
    for names, turn in _TURNS.items():
        if not any(given.get(name) for name in names):
            continue
        at = next(name for name in names if given.get(name))
        try:
            texts, said = turn(turned, given, face)
            turned = _read_again(turned, folder, texts)
            words.append(said)
        except FieldError as error:
            wrong[error.name or at] = str(error)
        except TextError as error:
            wrong[at] = str(error)
        except InputFileError as error:
            first = error.problems[0]
            key = first.where.rsplit(", ", 1)[-1]
            wrong[at] = f"{key}: {first.problem}. {first.remedy}"
        except ValueError as error:
            wrong[at] = f"{str(error)[:1].upper()}{str(error)[1:]}."
    if not (words or wrong):
        wrong["speed"] = "Nothing is turned yet: type what would be different."
    if wrong:
        raise FieldsError(wrong)
    before = dict(files.texts)
    edited = [(name, text) for name, text in turned.texts if text.text != before[name].text]
    return Turned(turned, tuple(words), tuple(edited))


_Texts = Mapping[str, TextFile]
_Turn = Callable[[SortieFiles, Mapping[str, str], Face], tuple[_Texts, str]]


def _read_again(files: SortieFiles, folder: Path, texts: _Texts) -> SortieFiles:
    carried = dict(files.texts) | dict(texts)
    own = files.texts[0][0]
    return sortie_from_text(carried[own], folder, carried)


def _own(files: SortieFiles, edits: Sequence[Edit]) -> _Texts:
    """Return the sortie's own text with edits made."""
    name, file = files.texts[0]
    text = file.text
    for edit in edits:
        text = edit(text)
    return {name: TextFile(file.name, text, sha256_of(text))}


def _changed(files: SortieFiles, words: str, **change: object) -> tuple[_Texts, str]:
    made = Change(words=words, cost=0.0, **change)  # type: ignore[arg-type]  # fields by name
    return {one.name: one.after for one in edited_files(files, made)}, words


def _valued(files: SortieFiles, keys: Sequence[str], value: TomlValue) -> Edit:
    """Return the edit of a value, or of that of an estimate, whose spread stays."""
    held: object = parse_toml(files.texts[0][1])
    for key in keys:
        held = held.get(key) if isinstance(held, Mapping) else None
    return putting([*keys, "value"] if isinstance(held, Mapping) else keys, value)


def _speed_m_s(given: Mapping[str, str], name: str, face: Face) -> float:
    typed_number(given, name, 0.0, 400.0)
    return parse_quantity(f"{given[name]} {face.unit_for('m/s')}", Dimension.SPEED)


def _wind(files: SortieFiles, given: Mapping[str, str], face: Face) -> tuple[_Texts, str]:
    report = files.sortie.weather.surface
    own = parse_toml(files.texts[0][1]).get("weather", {})
    if report is None or not ("surface_wind" in own or "beaufort" in own):
        words = "The wind of this sortie comes from a report or a forecast. Measure it first."
        raise FieldError(words)
    unit = face.unit_for("m/s")
    speed_m_s, gust_m_s = report.speed_m_s.value, report.gust_m_s
    from_deg = math.degrees(report.from_true_rad.value) % 360.0
    speed, gust = f"{speed_m_s:.1f} m/s", ""
    if given.get("speed"):
        speed_m_s, speed = _speed_m_s(given, "speed", face), f"{given['speed']} {unit}"
    if given.get("from"):
        from_deg = typed_number(given, "from", 0.0, 360.0)
    if given.get("gust"):
        gust_m_s, gust = _speed_m_s(given, "gust", face), f"{given['gust']} {unit}"
    if gust_m_s is not None and gust_m_s < speed_m_s:
        words = f"The gust of {face.text(f'{gust_m_s:.1f} m/s')} would be below it. Type both."
        raise FieldError(words, "gust")
    told = f"{speed} from {from_deg:03.0f}"
    wind: dict[str, TomlValue | None] = {"value": told, "by": "declared"}
    if "surface_wind" not in own:
        wind |= {"at": f"{report.height_agl_m:g} m"}
        wind |= {} if report.seen is None else {"seen": shown_time(report.seen)}
    if gust:
        wind["gust"] = gust
    edits = [putting(["weather", "beaufort"], None)]
    edits += [putting(["weather", "surface_wind", key], value) for key, value in wind.items()]
    return _own(files, edits), f"wind {told}" + (f", gusts {gust}" if gust else "")


def _temperature(files: SortieFiles, given: Mapping[str, str], _face: Face) -> tuple[_Texts, str]:
    value = f"{typed_number(given, 'temperature', -60.0, 60.0):g} degC"
    return _own(files, [_valued(files, ["weather", "temperature"], value)]), f"air {value}"


def _charged(files: SortieFiles, given: Mapping[str, str], _face: Face) -> tuple[_Texts, str]:
    value = f"{typed_number(given, 'charged', 5.0, 100.0):g} %"
    return _own(files, [_valued(files, ["pack", "charged"], value)]), f"pack charged to {value}"


def _capacity(files: SortieFiles, given: Mapping[str, str], _face: Face) -> tuple[_Texts, str]:
    value = f"{typed_number(given, 'capacity', 20.0, 110.0):g} %"
    keys = ["pack", "health", "capacity"]
    return _own(files, [_valued(files, keys, value), _UNSEEN]), f"pack holds {value} of a new one"


def _pack(files: SortieFiles, given: Mapping[str, str], _face: Face) -> tuple[_Texts, str]:
    value = f"{typed_number(given, 'pack', -20.0, 60.0):g} degC"
    edits = [_valued(files, ["pack", "temperature"], value), _UNSEEN]
    return _own(files, edits), f"pack {value}"


# What nobody measured was not seen either: it is to be told again at the field.
_UNSEEN = putting(["pack", "seen"], None)


def _load(files: SortieFiles, given: Mapping[str, str], _face: Face) -> tuple[_Texts, str]:
    loading = files.sortie.loading
    if loading.weighed_kg is not None or loading.weighed_centre_fraction is not None:
        raise FieldError("It was weighed as loaded today: weigh it again with that on board.")
    mass_g = typed_number(given, "mass", -25000.0, 25000.0)
    arm_mm = typed_number(given, "arm", -3000.0, 3000.0)
    item = {"name": _ON_BOARD, "mass": f"{mass_g:g} g", "arm": f"{arm_mm:g} mm"}
    text = _own(files, [lambda text: with_item(text, ["loading", "change"], item)])
    return text, f"{mass_g:+g} g at {arm_mm:g} mm"


def _work(files: SortieFiles, given: Mapping[str, str], face: Face) -> tuple[_Texts, str]:
    airspeed = StatedAirspeed(_speed_m_s(given, "work", face), _kind(files.sortie))
    items = [one for one in files.sortie.route.items if one.kind in _WORK]
    changes = tuple(ItemChange(name=one.name, airspeed=airspeed) for one in items)
    return _changed(files, f"{_airspeed(airspeed)} at work", items=changes)


def _home(files: SortieFiles, given: Mapping[str, str], face: Face) -> tuple[_Texts, str]:
    airspeed = StatedAirspeed(_speed_m_s(given, "home", face), _kind(files.sortie))
    back = [one for one in files.sortie.route.items if one.kind is ItemKind.RETURN]
    changes = tuple(ItemChange(name=one.name, airspeed=airspeed) for one in back)
    words = f"{_airspeed(airspeed)} coming home"
    return _changed(files, words, items=changes, home_airspeed=airspeed)


def _airspeed(airspeed: StatedAirspeed) -> str:
    return f"{airspeed.value_m_s:.1f} m/s {airspeed.kind.value}"


def _up(files: SortieFiles, given: Mapping[str, str], face: Face) -> tuple[_Texts, str]:
    typed_number(given, "up", -_LARGEST, _LARGEST)
    by_m = parse_quantity(f"{given['up']} {face.unit_for('m')}", Dimension.LENGTH)
    items = [one for one in files.sortie.route.items if one.height is not None]
    other = next((one for one in items if not _is_above_launch(one)), None)
    if other is not None and other.height is not None:
        height = f"{other.height.value_m:g} m {other.height.above.value}"
        raise FieldError(f"{other.name} flies at {height}: only heights above launch are moved.")
    changes = tuple(
        ItemChange(name=one.name, height_m=one.height.value_m + by_m)
        for one in items
        if one.height is not None
    )
    return _changed(files, f"all heights {by_m:+.0f} m", items=changes)


def _is_above_launch(item: RouteItem) -> bool:
    return item.height is not None and item.height.above is Datum.ABOVE_LAUNCH


def _round(files: SortieFiles, given: Mapping[str, str], _face: Face) -> tuple[_Texts, str]:
    _own_file, _aircraft, *route = files.texts
    if not route:
        raise FieldError("The route stands in the sortie's file: turn it there.")
    name, file = route[0]
    text = turned_round(file.text)
    return {name: TextFile(file.name, text, sha256_of(text))}, "the route flown the other way round"


def _point(files: SortieFiles, given: Mapping[str, str], face: Face) -> tuple[_Texts, str]:
    name = given.get("point", "")
    item = next((one for one in files.sortie.route.items if one.name == name), None)
    if item is None or item.kind not in _WORK:
        raise FieldError("Pick the point that is moved.", "point")
    bearing = math.radians(typed_number(given, "bearing", 0.0, 360.0))
    typed_number(given, "metres", 0.0, _LARGEST)
    far_m = parse_quantity(f"{given['metres']} {face.unit_for('m')}", Dimension.LENGTH)
    place = (
        item.east_m + far_m * math.sin(bearing),
        item.north_m + far_m * math.cos(bearing),
    )
    words = f"{name} moved {far_m:.0f} m towards {math.degrees(bearing):03.0f} deg"
    return _changed(files, words, items=(ItemChange(name=name, place_m=place),))


def _heading(files: SortieFiles, given: Mapping[str, str], _face: Face) -> tuple[_Texts, str]:
    value = f"{typed_number(given, 'heading', 0.0, 360.0):03.0f} deg"
    return _own(files, [putting(["site", "launch_heading"], value)]), f"launched towards {value}"


def _launch(files: SortieFiles, given: Mapping[str, str], _face: Face) -> tuple[_Texts, str]:
    day = files.sortie.launch_time.astimezone(UTC)
    try:
        clock = datetime.strptime(given["launch"].removesuffix("Z").strip(), "%H:%M")  # noqa: DTZ007
    except ValueError as error:
        raise FieldError(f"{given['launch'][:40]} is no time such as 17:30, UTC.") from error
    told = shown_time(day.replace(hour=clock.hour, minute=clock.minute))
    return _own(files, [putting(["time", "launch"], told)]), f"launch at {clock:%H:%M}Z"


def _kind(sortie: Sortie) -> SpeedKind:
    """Return which airspeed is meant: that of the route, else of the cruise."""
    stated = [one.airspeed for one in sortie.route.items if one.airspeed is not None]
    first = stated[0] if stated else sortie.aircraft.speeds.cruise
    return SpeedKind.TAS if first is None else first.kind


# What is typed together, and what it does; a heading before the time at which it is launched.
_TURNS: Mapping[tuple[str, ...], _Turn] = {
    ("speed", "from", "gust"): _wind,
    ("temperature",): _temperature,
    ("charged",): _charged,
    ("capacity",): _capacity,
    ("pack",): _pack,
    ("mass", "arm"): _load,
    ("work",): _work,
    ("home",): _home,
    ("up",): _up,
    ("point", "bearing", "metres"): _point,
    ("round",): _round,
    ("heading",): _heading,
    ("launch",): _launch,
}
