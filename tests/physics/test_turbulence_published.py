"""MIL-F-8785C low-altitude turbulence and WMO/TD-No. 1555 gust factors."""

import csv
import pathlib

import numpy as np
import pytest
from numpy.typing import NDArray

from homeleg.foundation.constants import KNOT_M_S
from homeleg.physics import turbulence
from homeleg.physics.turbulence import Exposure

REFERENCE = pathlib.Path(__file__).parents[1] / "reference"


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(newline="") as file:
        return list(csv.DictReader(file))


# COMPUTED from the FOUND formula, 4 to 5 decimals.
DRYDEN = rows("flight_dryden_low_altitude.csv")


def column(key: str) -> NDArray[np.float64]:
    return np.array([float(row[key]) for row in DRYDEN])


HEIGHT_M = column("height_m")
WIND_M_S = column("wind_at_20ft_kt") * KNOT_M_S


def test_scale_lengths() -> None:
    horizontal = turbulence.horizontal_scale_length(HEIGHT_M)
    np.testing.assert_allclose(horizontal, column("L_u_L_v_m"), rtol=0.0, atol=5.1e-5)
    vertical = turbulence.vertical_scale_length(HEIGHT_M)
    np.testing.assert_allclose(vertical, column("L_w_m"), rtol=0.0, atol=5e-5)


def test_intensities() -> None:
    horizontal = turbulence.horizontal_gust_sd(HEIGHT_M, WIND_M_S)
    np.testing.assert_allclose(horizontal, column("sigma_u_sigma_v_m_per_s"), rtol=0.0, atol=5.1e-6)
    vertical = turbulence.vertical_gust_sd(WIND_M_S)
    np.testing.assert_allclose(vertical, column("sigma_w_m_per_s"), rtol=0.0, atol=5.1e-6)


def test_at_1000_feet_turbulence_is_the_same_in_every_direction() -> None:
    # 0.177 + 0.000823 x 1000 is exactly 1: a formula fed with metres would not get there.
    height_m = turbulence.DRYDEN_HIGHEST_M
    assert turbulence.horizontal_scale_length(height_m) == pytest.approx(height_m, rel=1e-12)
    assert turbulence.horizontal_gust_sd(height_m, 10.0) == pytest.approx(1.0, rel=1e-12)


def test_metres_in_the_place_of_feet_would_be_seen() -> None:
    # By hand at 50 m = 164.042 ft: 50 / (0.177 + 0.135007)^1.2 = 50 / 0.24717 = 202.29 m. The
    # formula fed with 50 instead of 164.042 gives 310.8 m.
    assert turbulence.horizontal_scale_length(50.0) == pytest.approx(202.29, abs=0.005)


def test_the_rounded_textbook_table_is_another_model() -> None:
    # R. Beard and T. McLain, 50 m light: 200 m, 1.06 m/s for 0.7 m/s vertical. The standard's
    # formula with the same vertical intensity gives 1.115 m/s, 5 % more.
    table = next(r for r in rows("flight_dryden_textbook.csv") if r["case"].endswith("light"))
    wind = float(table["sigma_w_m_per_s"]) / 0.1
    got = turbulence.horizontal_gust_sd(float(table["height_m"]), wind)
    assert got == pytest.approx(1.115, abs=5e-4)
    assert got / float(table["sigma_u_sigma_v_m_per_s"]) == pytest.approx(1.05, abs=0.005)


WORDS = {"in-land": Exposure.IN_LAND, "off-land": Exposure.OFF_LAND}
GUSTS = [
    row
    for row in rows("flight_gust_factors.csv")
    if row["status"] == "FOUND" and row["exposure"].split(" ")[0] in WORDS
]


@pytest.mark.parametrize("row", GUSTS)
def test_gust_factors(row: dict[str, str]) -> None:
    exposure = WORDS[row["exposure"].split(" ")[0]]
    gust = turbulence.gust_from_mean(10.0, float(row["averaging_period_s"]), exposure)
    assert gust == pytest.approx(10.0 * float(row["gust_factor"]))


def test_every_published_factor_is_in_the_table() -> None:
    assert len(GUSTS) == 10
    assert sum(len(factors) for factors in turbulence.GUST_FACTORS.values()) == 10
