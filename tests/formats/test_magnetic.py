"""Directions from magnetic north in a sortie file."""

import math
from collections.abc import Callable
from pathlib import Path

import pytest

from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError

EditExample = Callable[..., Path]
WIND = ('"5.0 m/s from 225"', '"5.0 m/s from 225 magnetic"')
STRIP = ('direction = "225 deg"', 'direction = "225 magnetic"')
PLACE = 'launch_point = ["55.0000 N", "5.0000 W"]'


def problems(path: Path) -> list[str]:
    with pytest.raises(InputFileError) as caught:
        read_sortie(path)
    return [str(problem) for problem in caught.value.problems]


def test_wind_and_strip_become_true(edit_example: EditExample) -> None:
    # 52 N 5 E at 2026.9 has 2.81 deg east (worked beside the model's test values with two
    # packages): magnetic 225 is 227.81 true.
    path = edit_example("sortie.toml", WIND, STRIP, (PLACE, 'launch_point = ["52.0 N", "5.0 E"]'))
    text = path.read_text("utf-8").replace("2026-06-09", "2026-11-25")
    path.write_text(text, "utf-8")
    sortie = read_sortie(path).sortie
    assert sortie.weather.surface is not None
    assert math.degrees(sortie.weather.surface.from_true_rad.value) == pytest.approx(
        227.81, abs=0.02
    )
    assert sortie.site.strip.direction_true_rad is not None
    assert math.degrees(sortie.site.strip.direction_true_rad) == pytest.approx(227.81, abs=0.02)


def test_a_skyline_by_compass(edit_example: EditExample) -> None:
    ground = 'ground = { by_eye = "flat within 5 m", radius = "1200 m" }'
    path = edit_example(
        "sortie.toml",
        (
            ground,
            'ground = { by_eye = "flat within 5 m", radius = "1200 m", flat_to = "900 m", skyline '
            '= [{ bearing = "90 magnetic", distance = "1000 m", height = "20 m above launch" }] }',
        ),
    )
    ground_read = read_sortie(path).sortie.site.ground
    skyline = getattr(ground_read, "skyline")  # noqa: B009  by eye, as written above
    # 55 N 5 W: about a degree west, by the model's map. MEMORY; the sign is what is tested.
    assert 88.0 < math.degrees(skyline[0].bearing_true_rad) < 90.0


def test_beyond_the_models_last_day(edit_example: EditExample) -> None:
    path = edit_example("sortie.toml", WIND, STRIP)
    path.write_text(path.read_text("utf-8").replace("2026-06-09", "2030-06-09"), "utf-8")
    found = problems(path)
    assert len(found) == 2
    assert all("WMM2025) reaches from 2025-01-01 to 2029-12-31, not to 2030" in p for p in found)
    assert any("[site] strip, direction" in problem for problem in found)
    assert any("[weather] surface_wind, value" in problem for problem in found)


def test_true_directions_need_no_model(edit_example: EditExample) -> None:
    path = edit_example("sortie.toml")
    path.write_text(path.read_text("utf-8").replace("2026-06-09", "2030-06-09"), "utf-8")
    assert read_sortie(path).sortie.launch_time.year == 2030


def test_near_the_magnetic_pole(edit_example: EditExample) -> None:
    # 89 N 121 W, H 1504 nT at 2025.0 (a test point at 28 km; the field changes little below it).
    path = edit_example("sortie.toml", WIND, (PLACE, 'launch_point = ["89.0 N", "121.0 W"]'))
    assert ["no compass tells" in problem for problem in problems(path)] == [True]
