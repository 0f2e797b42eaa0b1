"""Quantities as text: values by definition of the units, and errors in plain words."""

import math
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.foundation.units import (
    Dimension,
    TextError,
    parse_number,
    parse_quantity,
    unit_names,
    units_fitting,
)

# By definition of each unit, worked by hand to the digits shown.
DEFINITIONS = [
    ("1.90 m", Dimension.LENGTH, 1.90),
    ("245 mm", Dimension.LENGTH, 0.245),
    ("262 ft", Dimension.LENGTH, 79.8576),
    ("10 in", Dimension.LENGTH, 0.254),
    ("1 nmi", Dimension.LENGTH, 1852.0),
    ("46 dm2", Dimension.AREA, 0.46),
    ("100 in2", Dimension.AREA, 0.064516),
    ("16 oz", Dimension.MASS, 0.45359237),
    ("2600 g", Dimension.MASS, 2.6),
    ("36 km/h", Dimension.SPEED, 10.0),
    ("18 kt", Dimension.SPEED, 9.26),
    ("600 ft/min", Dimension.SPEED, 3.048),
    ("180 deg", Dimension.ANGLE, math.pi),
    ("12 days", Dimension.TIME, 1_036_800.0),
    ("100 mW", Dimension.POWER, 0.1),
    ("10 mV", Dimension.VOLTAGE, 0.010),
    ("3.0 V/cell", Dimension.CELL_VOLTAGE, 3.0),
    ("5200 mAh", Dimension.CHARGE, 5.2),
    ("3600 kJ", Dimension.ENERGY, 1000.0),
    ("30 mohm", Dimension.RESISTANCE, 0.030),
    ("14 degC", Dimension.TEMPERATURE, 287.15),
    ("14 °C", Dimension.TEMPERATURE, 287.15),
    ("59 degF", Dimension.TEMPERATURE, 288.15),
    ("9 degF", Dimension.TEMPERATURE_DIFFERENCE, 5.0),
    ("1013.25 hPa", Dimension.PRESSURE, 101_325.0),
    ("29.92 inHg", Dimension.PRESSURE, 101_320.76),
    ("915 MHz", Dimension.FREQUENCY, 9.15e8),
    ("92 %", Dimension.RATIO, 0.92),
    ("0.92", Dimension.RATIO, 0.92),
    ("2 dBi", Dimension.GAIN, 2.0),
    ("1 dB", Dimension.LOSS, 1.0),
    ("-107 dBm", Dimension.LEVEL, -107.0),
    ("−107 dBm", Dimension.LEVEL, -107.0),
]


@pytest.mark.parametrize(("text", "dimension", "expected"), DEFINITIONS)
def test_units_by_definition(text: str, dimension: Dimension, expected: float) -> None:
    assert parse_quantity(text, dimension) == pytest.approx(expected, rel=1e-7)


ERRORS = [
    ("100", Dimension.LENGTH, "100 what?", "m, mm"),
    ("5.2 kg", Dimension.CHARGE, '"kg" is a unit of mass', "Ah or mAh"),
    ("12O.0 m", Dimension.LENGTH, "letter in the place of a digit", "120.0"),
    ("1,90 m", Dimension.LENGTH, "decimal comma", "1.90"),
    ("5 MAH", Dimension.CHARGE, "is it mAh?", "Ah or mAh"),
    ("1e999 m", Dimension.LENGTH, "is not a number", "12.5"),
    ("", Dimension.MASS, "does not start with a number", "12.5"),
    ("100 m", Dimension.ANGLE, '"100 m" is not an angle', "Write an angle in"),
    ("10 deg", Dimension.LENGTH, "is not a length", "Write a length in"),
    ("nan m", Dimension.LENGTH, "does not start with a number", "12.5"),
]


@pytest.mark.parametrize(("text", "dimension", "problem", "remedy"), ERRORS)
def test_errors_say_what_is_wrong_and_what_would_be_right(
    text: str, dimension: Dimension, problem: str, remedy: str
) -> None:
    with pytest.raises(TextError) as caught:
        parse_quantity(text, dimension)
    assert problem in caught.value.problem
    assert remedy in caught.value.remedy


def test_other_unit_that_would_fit_is_found() -> None:
    assert units_fitting("5.2 mAh", Dimension.CHARGE, 0.1, 60.0) == ("5.2 Ah",)
    assert units_fitting("5.2 Ah", Dimension.CHARGE, 0.1, 60.0) == ()


@given(st.floats(-1e9, 1e9), st.sampled_from(list(Dimension)))
def test_every_unit_is_read_in_order_of_size(number: float, dimension: Dimension) -> None:
    for unit in unit_names(dimension):
        value = parse_quantity(f"{number!r} {unit}", dimension)
        more = parse_quantity(f"{number + abs(number) + 1.0!r} {unit}", dimension)
        assert value < more


@given(st.text(max_size=60), st.sampled_from(list(Dimension)))
def test_any_text_is_a_finite_value_or_a_text_error(text: str, dimension: Dimension) -> None:
    with suppress(TextError):
        assert math.isfinite(parse_quantity(text, dimension))


@given(st.text(max_size=100), st.text(max_size=100))
def test_errors_hold_nothing_that_could_upset_a_terminal(problem: str, remedy: str) -> None:
    assert str(TextError(problem, remedy)).isprintable()


def test_plain_numbers() -> None:
    assert parse_number(" -4.05 ") == -4.05
    with pytest.raises(TextError, match="is not a number"):
        parse_number("4.05 m")
