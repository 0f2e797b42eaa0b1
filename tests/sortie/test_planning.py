"""Plans that cannot be meant: airspeeds near the stall, items in the ground."""

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import OutOfModelError
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.foundation.heights import Datum, SpeedKind, StatedAirspeed, StatedHeight
from homeleg.route.items import Route
from homeleg.sortie.planning import planned_speeds
from homeleg.sortie.resolve import resolve
from homeleg.sortie.sortie import Sortie
from homeleg.world.ground import GroundByEye, Surface, TerrainGround

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def sortie() -> Sortie:
    return read_sortie(EXAMPLES / "tern-point" / "sortie.toml").sortie


# By hand: sqrt(2 x 2.6 kg x 9.80665 m/s2 / (1.225 kg/m3 x 0.46 m2 x 1.15)) = 8.871 m/s EAS,
# and 1.1 times that is 9.758.
@pytest.mark.parametrize("key", ["cruise", "climb", "base", "final"])
def test_a_planned_airspeed_below_the_stall(sortie: Sortie, key: str) -> None:
    stated: dict[str, Any] = {key: StatedAirspeed(5.0, SpeedKind.TAS)}
    slow = replace(sortie.aircraft.speeds, **stated)
    words = f"{key}: 5 m/s TAS is below the stall speed of this aircraft as loaded, 8.9 m/s EAS"
    with pytest.raises(OutOfModelError, match=words):
        resolve(replace(sortie, aircraft=replace(sortie.aircraft, speeds=slow)))


def test_an_airspeed_of_the_way_home_below_the_stall(sortie: Sortie) -> None:
    slow = replace(sortie.aircraft.link_loss, airspeed=StatedAirspeed(8.0, SpeedKind.EAS))
    with pytest.raises(OutOfModelError, match="link_loss airspeed: 8 m/s EAS is below the stall"):
        resolve(replace(sortie, aircraft=replace(sortie.aircraft, link_loss=slow)))


@pytest.mark.parametrize(
    ("airspeed_m_s", "words"), [(8.85, "is below"), (8.9, "is too near"), (9.74, "is too near")]
)
def test_an_airspeed_of_an_item_near_the_stall(
    sortie: Sortie, airspeed_m_s: float, words: str
) -> None:
    route = with_item(sortie, "C", airspeed=StatedAirspeed(airspeed_m_s, SpeedKind.EAS))
    with pytest.raises(OutOfModelError, match=f"^C, airspeed: .* {words} the stall .* 9.8 m/s"):
        resolve(replace(sortie, route=route))


def test_ten_per_cent_over_the_stall_is_taken(sortie: Sortie) -> None:
    route = with_item(sortie, "C", airspeed=StatedAirspeed(9.77, SpeedKind.EAS))
    speeds = {
        item.name: item.airspeed_eas_m_s for item in resolve(replace(sortie, route=route)).items
    }
    assert speeds["C"] == 9.77


def with_item(sortie: Sortie, name: str, **changes: Any) -> Route:
    items = sortie.route.items
    return Route(
        items=tuple(replace(item, **changes) if item.name == name else item for item in items)
    )


def with_height(sortie: Sortie, name: str, value_m: float, above: Datum) -> Sortie:
    return replace(sortie, route=with_item(sortie, name, height=StatedHeight(value_m, above)))


def on_slope(sortie: Sortie) -> Sortie:
    """Return the sortie on ground that rises one in ten to the north, known to 1 km."""
    north_m = np.linspace(-1000.0, 1000.0, 21)
    heights_m = np.repeat(0.1 * north_m[:, np.newaxis], 21, axis=1)
    surface = Surface(
        heights_above_launch_m=heights_m,
        canopy_m=np.zeros_like(heights_m),
        east_m=-1000.0,
        north_m=-1000.0,
        spacing_m=100.0,
        radius_m=math.inf,
        error_m=Estimate(value=0.0, sd=1.0, basis=Basis.DECLARED),
    )
    ground = TerrainGround(surface=surface, files=("t.tif",))
    return replace(sortie, site=replace(sortie.site, ground=ground))


@pytest.mark.parametrize(
    ("value_m", "above", "words"),
    [
        # E lies 400 m north, where the slope is 40 m above launch, and launch 35 m above the sea.
        (20.0, Datum.ABOVE_LAUNCH, "20 m below the ground there: 20 m above launch, and the gro"),
        (44.0, Datum.ABOVE_LAUNCH, "4 m above the ground there"),
        (-40.0, Datum.AGL, "40 m below the ground there"),
        (0.0, Datum.AGL, "0 m above the ground there"),
        (60.0, Datum.AMSL, "15 m below the ground there"),
    ],
)
def test_an_item_in_the_ground(sortie: Sortie, value_m: float, above: Datum, words: str) -> None:
    with pytest.raises(OutOfModelError, match=f"^E is planned {words}"):
        resolve(with_height(on_slope(sortie), "E", value_m, above))


def test_an_item_just_over_the_ground_is_flown(sortie: Sortie) -> None:
    resolved = resolve(with_height(on_slope(sortie), "E", 5.5, Datum.AGL))
    heights_m = {item.name: item.height_m for item in resolved.items}
    assert heights_m["E"] == pytest.approx(45.5)


def test_ground_that_may_reach_up_is_left_to_the_verdict(sortie: Sortie) -> None:
    told = sortie.site.ground
    assert isinstance(told, GroundByEye)
    rising = replace(told, flat_to_m=100.0, highest_m=120.0)
    site = replace(sortie.site, ground=rising)
    heights_m = {item.name: item.height_m for item in resolve(replace(sortie, site=site)).items}
    assert heights_m["E"] == 85.0
    with pytest.raises(OutOfModelError, match="A is planned 40 m below the ground"):
        resolve(with_height(sortie, "A", -40.0, Datum.ABOVE_LAUNCH))


def test_the_proposed_climb_adds_half_the_gust_and_the_cruise_is_no_slower(sortie: Sortie) -> None:
    # By hand, the stall at 8.871 m/s as above, its lift told: 1.5 times that is 13.306 m/s and
    # 1.4 times 12.419 m/s, with half a gust of 4 m/s on top: 14.419 m/s.
    open_speeds = replace(sortie.aircraft.speeds, cruise=None, climb=None)
    lift = replace(sortie.aircraft.aerodynamics.maximum_lift, basis=Basis.FLIGHT)
    aerodynamics = replace(sortie.aircraft.aerodynamics, maximum_lift=lift)
    aircraft = replace(sortie.aircraft, speeds=open_speeds, aerodynamics=aerodynamics)
    loaded, wind = (resolved := resolve(sortie)).aircraft, resolved.wind
    gusts = Estimate(value=4.0, sd=0.0, basis=Basis.DECLARED)
    speeds = planned_speeds(
        replace(sortie, aircraft=aircraft), loaded, 1.225, replace(wind, gust_spread_m_s=gusts)
    )
    assert speeds.climb_eas_m_s == pytest.approx(14.419, abs=0.001)
    assert speeds.cruise_eas_m_s == pytest.approx(14.419, abs=0.001)
