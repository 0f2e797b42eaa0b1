"""Weighing and balance with kitchen scales or two fingers, into the aircraft's own file."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from homeleg.aircraft.priors import BodyPlan
from homeleg.aircraft.record import Aircraft
from homeleg.briefing.expected import Span, expected
from homeleg.briefing.palette import BUFF
from homeleg.briefing.supports import Support, supports
from homeleg.desk.edit import rewrite
from homeleg.formats.aircraft_file import aircraft_from_text
from homeleg.formats.toml_edit import TomlValue, with_value
from homeleg.formats.toml_text import TextFile, parse_toml, read_text_file
from homeleg.foundation.constants import NINE_IN_TEN_Z
from homeleg.foundation.estimate import Estimate
from homeleg.foundation.stated_text import PositionReference
from homeleg.foundation.units import Dimension, TextError, parse_quantity
from homeleg.physics.balance import centre_of_gravity

__all__ = [
    "Way",
    "balanced_by_fingers",
    "keep_weighing",
    "lacks_sweep",
    "length_refusal",
    "mass_refusal",
    "way_drawing",
    "weighed",
]

# Two fingers find the place where it hangs level within this, one standard deviation. Ours.
_FINGERS_SD = "3 mm"
_GRAM_KG = 0.001
_LARGEST_KG, _LARGEST_M = 25.0, 2.0
_BEHIND = PositionReference.ROOT_LEADING_EDGE.value
_SWEEP = ("wing", "mean_chord_behind_root")
_TOTAL, _CENTRE = ("mass", "total"), ("mass", "centre_of_gravity")
# Where a value stands in the file, and the value.
_Values = Mapping[tuple[str, str], TomlValue]


class Way(Enum):
    """How it is weighed and balanced."""

    TWO_SCALES = "two scales"
    ONE_SCALE = "one scale and two fingers"
    FINGERS = "two fingers"


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """What came of it: values as the file takes them, and figures before and now as SVG."""

    values: _Values
    picture: str
    before: str
    now: str


def mass_refusal(text: str) -> str | None:
    """Return why a reading of a scale cannot be taken; None where it can."""
    return _refusal(text, Dimension.MASS, _GRAM_KG, _LARGEST_KG, "0.001 to 25 kg")


def length_refusal(text: str) -> str | None:
    """Return why a distance cannot be taken; None where it can."""
    return _refusal(text, Dimension.LENGTH, 0.0, _LARGEST_M, "0 to 2 m")


def way_drawing(way: Way, asked: str = "") -> str:
    """Return the drawing of a way, seen from the side, with what is asked marked on it."""
    stands = (Support.SCALE, Support.SCALE) if way is Way.TWO_SCALES else (Support.FINGERS,)
    return supports(stands, BUFF, marked=asked)


def lacks_sweep(path: Path) -> bool:
    """Tell whether a swept wing's file does not say where its mean chord begins."""
    raw = parse_toml(read_text_file(path))
    table, key = _SWEEP
    wing = raw.get(table)
    said = isinstance(wing, dict) and key in wing
    return raw.get("plan") == BodyPlan.FLYING_WING.value and not said


def weighed(path: Path, answers: Mapping[str, str]) -> Weighing:
    """Return what answers say of mass and balance, beside what the file held.

    `answers`: way, and by it front-mass, rear-mass, ahead, behind; mass, balance; or balance; and
    sweep, where the file of a swept wing lacks it.
    Raises InputFileError where the file cannot be read, or cannot take what came of it.
    """
    values = _values(answers)
    file = read_text_file(path)
    before, now = aircraft_from_text(file), aircraft_from_text(_changed(file, values))
    spans = [
        span
        for record, when in ((before, "until now"), (now, "weighed now"))
        for span in _spans(record, when)
    ]
    return Weighing(
        values=values,
        picture=expected(sorted(spans, key=lambda span: span.unit), BUFF),
        before=_words(before),
        now=_words(now),
    )


def keep_weighing(path: Path, answers: Mapping[str, str]) -> None:
    """Write what came of it into the aircraft's file; all else in it stays as it was.

    Raises InputFileError as `weighed` does; the file is then as it was.
    """
    values = weighed(path, answers).values
    file = read_text_file(path)
    rewrite(path, file, _changed(file, values).text)


def _values(answers: Mapping[str, str]) -> _Values:
    swept: _Values = {_SWEEP: answers["sweep"]} if "sweep" in answers else {}
    way = Way(answers["way"])
    if way is Way.TWO_SCALES:
        masses_kg = [
            parse_quantity(answers[f"{end}-mass"], Dimension.MASS) for end in ("front", "rear")
        ]
        ahead_m, behind_m = (
            parse_quantity(answers[side], Dimension.LENGTH) for side in ("ahead", "behind")
        )
        at_m = float(centre_of_gravity(masses_kg, [-ahead_m, behind_m]))
        return {**swept, _TOTAL: _bench(sum(masses_kg)), _CENTRE: _balance(at_m)}
    at_m = parse_quantity(answers["balance"], Dimension.LENGTH)
    by_fingers = balanced_by_fingers(at_m)
    if way is Way.FINGERS:
        return {**swept, _CENTRE: by_fingers}
    mass_kg = parse_quantity(answers["mass"], Dimension.MASS)
    return {**swept, _TOTAL: _bench(mass_kg), _CENTRE: by_fingers}


def balanced_by_fingers(at_m: float) -> dict[str, TomlValue]:
    """Return how the file holds where it hung level on two fingers, behind the edge at the body."""
    return _balance(at_m, sd=_FINGERS_SD)


def _bench(mass_kg: float) -> dict[str, TomlValue]:
    return {"value": f"{mass_kg:.3f} kg", "basis": "bench"}


def _balance(at_m: float, **more: TomlValue) -> dict[str, TomlValue]:
    return {"value": f"{1000.0 * at_m:.0f} mm {_BEHIND}", "basis": "bench", **more}


def _changed(file: TextFile, values: _Values) -> TextFile:
    text = file.text
    for keys, value in values.items():
        text = with_value(text, keys, value)
    return TextFile(file.name, text, "")


def _spans(record: Aircraft, when: str) -> list[Span]:
    mass = record.mass
    return [
        _span(f"Mass {when}", mass.total_kg, 1.0, "kg", 2),
        _span(f"Balance {when}", mass.centre_of_gravity_fraction, 100.0, "% of chord", 1),
    ]


def _span(name: str, one: Estimate, scale: float, unit: str, decimals: int) -> Span:
    off = NINE_IN_TEN_Z * one.sd
    p10, p50, p90 = (scale * value for value in (one.value - off, one.value, one.value + off))
    return Span(name=name, p10=p10, p50=p50, p90=p90, unit=unit, decimals=decimals)


def _words(record: Aircraft) -> str:
    mass = record.mass
    return (
        f"{mass.total_kg.value:.2f} kg ({mass.total_kg.basis.value}), balance "
        f"{100.0 * mass.centre_of_gravity_fraction.value:.1f} % of the mean chord "
        f"({mass.centre_of_gravity_fraction.basis.value})"
    )


def _refusal(
    text: str, dimension: Dimension, least: float, most: float, between: str
) -> str | None:
    try:
        value = parse_quantity(text, dimension)
    except TextError as error:
        return f"{error.problem}. {error.remedy}"
    return None if least <= value <= most else f"{text} is outside what is taken, {between}."
