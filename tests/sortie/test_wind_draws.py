"""The wind as it is drawn: a mixture of stability classes, and a wind aloft of its own."""

import re
import shutil
from pathlib import Path

import numpy as np
import pytest

from homeleg.formats.sortie_file import read_sortie
from homeleg.sortie.draws import draw
from homeleg.sortie.resolve import resolve
from homeleg.sortie.resolved import ResolvedSortie

EXAMPLE = Path(__file__).parents[2] / "examples" / "tern-point"
# A calm, clear dawn at 55 N 5 W: the sun rises at 03:38 UTC.
LAUNCH = "2026-06-09 03:45Z"


@pytest.fixture
def dawn(tmp_path: Path) -> ResolvedSortie:
    shutil.copytree(EXAMPLE, tmp_path, dirs_exist_ok=True)
    path = tmp_path / "sortie.toml"
    text = re.sub(r"2026-06-09 1[67]:\d\dZ", LAUNCH, path.read_text("utf-8"))
    text = re.sub(
        "surface_wind = .*", 'surface_wind = { value = "1.0 m/s from 225", at = "10 m" }', text
    )
    path.write_text(text.replace("cloud_base", 'sky = "clear"\ncloud_base'), "utf-8")
    return resolve(read_sortie(path).sortie)


def test_exponents_of_a_clear_night_lie_about_two_classes(dawn: ResolvedSortie) -> None:
    # F three quarters, E one quarter (published exponents 0.55 and 0.35), 0.03 about each: the
    # quarter below the middle between the two.
    exponents = draw(dawn, 1024, 1).value["wind_exponent"]
    assert np.mean(exponents < 0.45) == pytest.approx(0.25, abs=0.01)
    assert np.mean(exponents[exponents < 0.45]) == pytest.approx(0.35, abs=0.005)
    assert np.mean(exponents[exponents >= 0.45]) == pytest.approx(0.55, abs=0.005)


def test_the_wind_aloft_is_an_assumed_input_drawn_apart(dawn: ResolvedSortie) -> None:
    assert dawn.inputs["wind_aloft"].is_assumed
    drawn = draw(dawn, 1024, 1)
    assert np.quantile(drawn.value["wind_aloft"], 0.9) == pytest.approx(10.0, abs=0.2)
    with_surface = np.corrcoef(drawn.normal["wind_aloft"], drawn.normal["wind_speed"])[0, 1]
    assert abs(with_surface) < 0.05


def test_an_ordinary_afternoon_has_none() -> None:
    assert "wind_aloft" not in resolve(read_sortie(EXAMPLE / "sortie.toml").sortie).inputs
