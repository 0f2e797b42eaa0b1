"""Gridded winds: two real files and the three traps they hold."""

import importlib.util
import math
from datetime import UTC, datetime
from pathlib import Path

import pytest

from homeleg.formats.grib_winds import grib_layers
from homeleg.formats.plane import Plane
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.heights import StatedHeight
from homeleg.foundation.stated_text import StatedWind, parse_height, parse_wind
from tests.published import Published, turned_to

# Looked for, not imported: it brings an older SQLite, which the process then has for everything.
if importlib.util.find_spec("eccodes") is None:
    pytest.skip("reads GRIB only with its extra", allow_module_level=True)

SAMPLES = Path(__file__).parents[1] / "reference" / "grib"
LAMBERT = SAMPLES / "nam_lambert_2018-09-17T00.grib2"
LEVELS = SAMPLES / "uv_levels_2017-10-18.grib1"
AT = datetime(2018, 9, 17, 0, 0, tzinfo=UTC)
LAMBERT_WINDS = (
    "10 m winds of a real file on a Lambert grid, the turn checked against the bearing of the next "
    "grid row to 0.1 deg. COMPUTED apart from this program"
)
# Latitude, longitude, speed, direction along the grid and by true north.
WINDS = [
    (39.699, -105.101, "2.11", 101.0, "96.7"),
    (47.764, -122.081, "3.43", 193.4, "182.0"),
    (42.652, -71.270, "1.68", 132.8, "142.8"),
]


def layers(path: Path, latitude_deg: float, longitude_deg: float) -> dict[StatedHeight, StatedWind]:
    place = Plane(math.radians(latitude_deg), math.radians(longitude_deg))
    found = {}
    for layer in grib_layers(path, place, AT):
        wind = parse_wind(layer["value"])
        assert isinstance(wind, StatedWind)
        found[parse_height(layer["at"])] = wind
    return found


@pytest.mark.parametrize(("latitude_deg", "longitude_deg", "speed_m_s", "naive", "true"), WINDS)
def test_winds_along_a_grid_are_turned(
    published: Published,
    latitude_deg: float,
    longitude_deg: float,
    speed_m_s: str,
    naive: float,
    true: str,
) -> None:
    wind = layers(LAMBERT, latitude_deg, longitude_deg)[parse_height("10 m AGL")]
    from_deg = turned_to(math.degrees(wind.from_true_rad), true)
    published("wind speed", wind.speed_m_s, speed_m_s, "m/s", source=LAMBERT_WINDS)
    published(
        "wind from, true",
        from_deg,
        true,
        "deg",
        source=LAMBERT_WINDS,
        within=0.1,
        because="to which the turn of the grid was checked",
    )
    assert abs(from_deg - naive) > 4.0


def test_both_fields_of_a_message_are_seen_and_levels_have_their_height() -> None:
    found = layers(LAMBERT, 39.699, -105.101)
    assert len(found) > 8
    heights_m = sorted(height.value_m for height in found)
    # 500 hPa lies 5,500 to 5,950 m up over the United States in September (common knowledge of
    # upper-air charts); the standard atmosphere has 5,574 m.
    assert 5_500.0 < heights_m[-1] < 5_950.0


def test_no_wind_where_one_part_is_missing(published: Published) -> None:
    """u is there at 1000, 850, 700 and 500 hPa, v not at 850: three winds, by ISA heights."""
    place = Plane(math.radians(50.0), math.radians(5.0))
    told = grib_layers(LEVELS, place, datetime(2017, 10, 18, 0, 0, tzinfo=UTC))
    published.exactly(
        "height of 1000, 700 and 500 hPa",
        [layer["at"] for layer in told],
        ["111 m AMSL", "3012 m AMSL", "5574 m AMSL"],
        source="U.S. Standard Atmosphere, 1976. FOUND",
    )


def test_a_place_outside_the_grid() -> None:
    with pytest.raises(
        InputFileError,
        match="grib2: its nearest grid point lies",
    ):
        layers(LAMBERT, -40.0, 170.0)


@pytest.mark.parametrize("content", [b"", b"GRIB", b"not a grib file at all" * 20])
def test_damaged_files(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "w.grib2"
    path.write_bytes(content)
    with pytest.raises(InputFileError):
        layers(path, 40.0, -100.0)


def test_a_file_that_is_no_grib(tmp_path: Path) -> None:
    path = tmp_path / "w.grib2"
    path.write_bytes(b"not a grib file at all")
    with pytest.raises(InputFileError, match="holds no wind that is written as GRIB"):
        layers(path, 40.0, -100.0)


def test_a_file_cut_off(tmp_path: Path) -> None:
    path = tmp_path / "w.grib2"
    path.write_bytes(LEVELS.read_bytes()[:5000])
    with pytest.raises(InputFileError):
        layers(path, 50.0, 5.0)
