"""Turbulence near the ground, and gust factors."""

import numpy as np
import pytest

from homeleg.foundation.constants import KNOT_M_S
from homeleg.physics import turbulence
from homeleg.physics.turbulence import Exposure
from tests.published import Published, table, texts, values

DRYDEN = table("flight_dryden_low_altitude.csv")
STANDARD = "MIL-F-8785C, low altitude: formulas FOUND, table COMPUTED"
HEIGHT_M = values(DRYDEN, "height_m")
WIND_M_S = values(DRYDEN, "wind_at_20ft_kt") * KNOT_M_S


@pytest.mark.parametrize(
    ("quantity", "ours", "key", "unit", "within"),
    [
        ("horizontal scale length", turbulence.horizontal_scale_length(HEIGHT_M),
         "L_u_L_v_m", "m", 5.1e-5),
        ("vertical scale length", turbulence.vertical_scale_length(HEIGHT_M),
         "L_w_m", "m", 5e-5),
        ("horizontal gust sd", turbulence.horizontal_gust_sd(HEIGHT_M, WIND_M_S),
         "sigma_u_sigma_v_m_per_s", "m/s", 5.1e-6),
        ("vertical gust sd", turbulence.vertical_gust_sd(WIND_M_S),
         "sigma_w_m_per_s", "m/s", 5.1e-6),
    ],
)  # fmt: skip
def test_table(
    published: Published, quantity: str, ours: object, key: str, unit: str, within: float
) -> None:
    published(
        quantity,
        np.asarray(ours),
        texts(DRYDEN, key),
        unit,
        source=STANDARD,
        within=within,
        because="half of the last of 4 (lengths) or 5 decimals, and a tie between two",
    )


def test_at_1000_feet_turbulence_is_the_same_in_every_direction() -> None:
    # 0.177 + 0.000823 x 1000 is exactly 1: a formula fed with metres would not get there.
    height_m = turbulence.DRYDEN_HIGHEST_M
    assert turbulence.horizontal_scale_length(height_m) == pytest.approx(height_m, rel=1e-12)
    assert turbulence.horizontal_gust_sd(height_m, 10.0) == pytest.approx(1.0, rel=1e-12)


def test_metres_in_the_place_of_feet_would_be_seen(published: Published) -> None:
    # The formula fed with 50 instead of 164.042 gives 310.8 m.
    published(
        "horizontal scale length at 50 m",
        turbulence.horizontal_scale_length(50.0),
        "202.29",
        "m",
        source="The same formula by hand: 164.042 ft, 50 / (0.177 + 0.135007)^1.2",
    )


def test_the_rounded_textbook_table_is_another_model(published: Published) -> None:
    # R. Beard and T. McLain, 50 m light: 200 m, 1.06 m/s for 0.7 m/s vertical.
    light = next(r for r in table("flight_dryden_textbook.csv") if r["case"].endswith("light"))
    wind = float(light["sigma_w_m_per_s"]) / 0.1
    got = turbulence.horizontal_gust_sd(float(light["height_m"]), wind)
    published(
        "horizontal gust sd at 50 m for 0.7 m/s vertical",
        got,
        "1.115",
        "m/s",
        source="The standard's formula by hand; a textbook's rounded table has 5 % less",
    )
    assert got / float(light["sigma_u_sigma_v_m_per_s"]) == pytest.approx(1.05, abs=0.005)


WORDS = {"in-land": Exposure.IN_LAND, "off-land": Exposure.OFF_LAND}
GUSTS = [
    row
    for row in table("flight_gust_factors.csv")
    if row["status"] == "FOUND" and row["exposure"].split(" ")[0] in WORDS
]


@pytest.mark.parametrize("row", GUSTS)
def test_gust_factors(published: Published, row: dict[str, str]) -> None:
    exposure = WORDS[row["exposure"].split(" ")[0]]
    gust = turbulence.gust_from_mean(10.0, float(row["averaging_period_s"]), exposure)
    published(
        "gust factor",
        gust / 10.0,
        row["gust_factor"],
        source="WMO/TD-No. 1555. FOUND",
        within=1e-9,
        because="the table itself is used",
    )


def test_every_published_factor_is_in_the_table() -> None:
    assert len(GUSTS) == 10
    assert sum(len(factors) for factors in turbulence.GUST_FACTORS.values()) == 10
