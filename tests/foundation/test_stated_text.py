"""Heights, airspeeds, winds, places and times as text."""

import math
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from homeleg.foundation.heights import Datum, SpeedKind, StatedAirspeed, StatedHeight
from homeleg.foundation.stated_text import (
    MagneticBearing,
    MagneticWind,
    PositionReference,
    StatedWind,
    parse_airspeed,
    parse_bearing,
    parse_chord_position,
    parse_chord_spread,
    parse_flatness,
    parse_height,
    parse_latitude,
    parse_longitude,
    parse_place,
    parse_time,
    parse_wind,
    shown_time,
)
from homeleg.foundation.units import TextError

ALMOST_RIGHT = r"-?[0-9]{1,5} ?(m|kt|%|deg)?( from | above | N)?.{0,9}"
PARSERS: list[Callable[[str], object]] = [
    parse_airspeed,
    parse_bearing,
    parse_chord_position,
    parse_chord_spread,
    parse_flatness,
    parse_height,
    parse_latitude,
    parse_longitude,
    parse_place,
    parse_time,
    parse_wind,
]


def test_heights_say_above_what() -> None:
    assert parse_height("80 m above launch") == StatedHeight(80.0, Datum.ABOVE_LAUNCH)
    assert parse_height("80m agl") == StatedHeight(80.0, Datum.AGL)
    feet = parse_height("262 ft AMSL")
    assert feet.above is Datum.AMSL
    assert feet.value_m == pytest.approx(79.8576)
    assert parse_height("-12 m ellipsoid") == StatedHeight(-12.0, Datum.ELLIPSOID)


def test_airspeeds_say_which() -> None:
    assert parse_airspeed("15.5 m/s TAS") == StatedAirspeed(15.5, SpeedKind.TAS)
    knots = parse_airspeed("30 kt EAS")
    assert knots.kind is SpeedKind.EAS
    assert knots.value_m_s == pytest.approx(15.4333, abs=5e-5)


def true_wind(text: str) -> StatedWind:
    wind = parse_wind(text)
    assert isinstance(wind, StatedWind)
    return wind


def test_winds_blow_from_a_true_direction() -> None:
    wind = true_wind("5.0 m/s from 225")
    assert wind.speed_m_s == 5.0
    assert wind.from_true_rad == pytest.approx(1.25 * math.pi)
    assert true_wind("10 kt from 270 deg").from_true_rad == pytest.approx(1.5 * math.pi)
    assert parse_bearing("360 deg true") == 0.0


# Sixteen points of 22.5 degrees, clockwise from north.
COMPASS_DEG = {
    "N": 0.0, "NNE": 22.5, "NE": 45.0, "ENE": 67.5, "E": 90.0, "ESE": 112.5, "SE": 135.0,
    "SSE": 157.5, "S": 180.0, "SSW": 202.5, "SW": 225.0, "WSW": 247.5, "W": 270.0,
    "WNW": 292.5, "NW": 315.0, "NNW": 337.5,
}  # fmt: skip


@pytest.mark.parametrize(("point", "degrees"), COMPASS_DEG.items())
def test_points_of_the_compass(point: str, degrees: float) -> None:
    bearing = parse_bearing(point)
    assert isinstance(bearing, float)
    assert math.degrees(bearing) == pytest.approx(degrees)
    wind = true_wind(f"3 m/s from {point.lower()}")
    assert math.degrees(wind.from_true_rad) == pytest.approx(degrees)


@pytest.mark.parametrize("words", ["SSWW", "south west", "NNNW", "W by N"])
def test_no_point_of_the_compass(words: str) -> None:
    with pytest.raises(TextError, match=f'"{words}" is not a point of the compass') as caught:
        parse_wind(f"3 m/s from {words}")
    assert "NNE" in caught.value.remedy


def test_places() -> None:
    assert parse_latitude("55.0000 N") == pytest.approx(math.radians(55.0))
    assert parse_latitude("-4.05") == pytest.approx(math.radians(-4.05))
    assert parse_longitude("5.0000 W") == pytest.approx(math.radians(-5.0))
    assert parse_longitude("107.0° e") == pytest.approx(math.radians(107.0))


def test_positions_on_the_chord() -> None:
    fraction = parse_chord_position("28.5 % MAC")
    assert fraction.reference is PositionReference.MEAN_CHORD
    assert fraction.value == pytest.approx(0.285)
    behind_root = parse_chord_position("70 mm behind the leading edge at the root")
    assert behind_root.reference is PositionReference.ROOT_LEADING_EDGE
    assert behind_root.value == pytest.approx(0.07)
    assert parse_chord_spread("2 mm").value == pytest.approx(0.002)
    assert parse_chord_spread("0.8 % MAC").value == pytest.approx(0.008)


def test_magnetic_directions_wait_for_the_declination() -> None:
    # 10 deg west of true, by hand: magnetic 225 is true 215, magnetic 5 is true 355.
    declination_rad = math.radians(-10.0)
    for text, true_deg in (("225 magnetic", 215.0), ("SW magnetic", 215.0), ("5 magnetic", 355.0)):
        bearing = parse_bearing(text)
        assert isinstance(bearing, MagneticBearing)
        assert math.degrees(bearing.true(declination_rad)) == pytest.approx(true_deg)
        wind = parse_wind(f"5.0 m/s from {text}")
        assert isinstance(wind, MagneticWind)
        assert wind.speed_m_s == 5.0
        assert math.degrees(wind.true(declination_rad).from_true_rad) == pytest.approx(true_deg)


def test_times_are_utc() -> None:
    expected = datetime(2026, 6, 9, 17, 0, tzinfo=UTC)
    assert parse_time("2026-06-09 17:00Z") == expected
    assert parse_time("2026-06-09 18:00+01:00") == expected
    assert parse_time("2026-06-09 18:00+01:00").tzinfo is UTC


@pytest.mark.parametrize("text", ["2026-06-09 17:00Z", "0001-01-01 00:05Z"])
def test_times_are_shown_as_they_are_written(text: str) -> None:
    assert shown_time(parse_time(text)) == text


def test_no_datum_is_offered_that_is_refused_later() -> None:
    with pytest.raises(TextError) as caught:
        parse_height("80 m")
    assert caught.value.remedy == 'Write "80 m" followed by above launch, AGL or AMSL.'


ERRORS = [
    (parse_height, "80 m", "80 m above what?"),
    (parse_height, "80", "80 what, above what?"),
    (parse_height, "80 kg AGL", "unit of mass"),
    (parse_height, "80 m above ground", '"above ground" is not known'),
    (parse_airspeed, "15.5 m/s", "which airspeed?"),
    (parse_airspeed, "15.5 m/s GS", "not a kind of airspeed"),
    (parse_wind, "5.0 m/s", "where the wind blows from"),
    (parse_wind, "5.0 m/s from 400", "is not a bearing"),
    (parse_wind, "5.0 m/s from 400 magnetic", "is not a bearing"),
    (parse_bearing, "magnetic", "does not start with a number"),
    (parse_bearing, "NWN", "is not a point of the compass"),
    (parse_wind, "-5 m/s from 20", "not below zero"),
    (parse_latitude, "5.0 W", "ends in W"),
    (parse_longitude, "55.0 N", "ends in N"),
    (parse_latitude, "95", "beyond 90 degrees"),
    (parse_latitude, "-5 S", "both a sign and a letter"),
    (parse_chord_position, "70 mm", "measured from"),
    (parse_flatness, "flat", "judgement of the ground"),
    (parse_time, "2026-06-09 17:00", "time zone"),
    (parse_time, "yesterday", "not a date"),
]


@pytest.mark.parametrize(("parse", "text", "problem"), ERRORS)
def test_errors_ask_for_what_is_missing(
    parse: Callable[[str], object], text: str, problem: str
) -> None:
    with pytest.raises(TextError) as caught:
        parse(text)
    assert problem in caught.value.problem
    assert caught.value.remedy


@pytest.mark.parametrize("parse", PARSERS)
def test_any_text_is_a_value_or_a_text_error(parse: Callable[[str], object]) -> None:
    @settings(max_examples=60)
    @given(st.text(max_size=50) | st.from_regex(ALMOST_RIGHT))
    def check(text: str) -> None:
        with suppress(TextError):
            assert parse(text) is not None

    check()
