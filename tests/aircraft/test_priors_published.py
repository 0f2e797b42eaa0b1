"""Priors by body plan against published aircraft."""

import math

import pytest

from homeleg.aircraft.priors import BodyPlan, PlanPrior, plan_prior
from homeleg.foundation.constants import ISA_SEA_LEVEL_DENSITY_KG_M3, STANDARD_GRAVITY_M_S2
from homeleg.foundation.estimate import Basis, Estimate
from tests.published import Published, table

FITTED_WING = (
    "K. Gryte et al., ICUAS 2018, span 2.1 m, area 0.75 m2: two-term fit of the trimmed polar over "
    "CL 0.2 to 0.9. FOUND"
)
COMPANION = (
    "R. Beard and T. McLain, Small Unmanned Aircraft, companion files, current version. FOUND"
)
SOLAR = "Two solar aircraft: 2.6 kg, 3.2 m, 16 W; 12.7 kg, 4.57 m, 95 W in level flight. FOUND"
PACKS = (
    "rcex.cz p=3589 (measured at 25 C, 2010; fit); rc-monster.com forum, p=323212 (14.8 to 13.7 V "
    "from 5 to 85 A). FOUND"
)


def is_inside(
    published: Published, quantity: str, prior: Estimate, theirs: str, source: str
) -> None:
    """Assert that a published aircraft lies inside two standard deviations of the prior."""
    why = "two standard deviations of the prior"
    published(quantity, prior.value, theirs, source=source, within=2.0 * prior.sd, because=why)


def test_flying_wing_polar(published: Published) -> None:
    prior = plan_prior(BodyPlan.FLYING_WING)
    # k 0.10133 = 1 / (pi e AR)
    span_efficiency = 1.0 / (math.pi * 0.10133 * 2.1**2 / 0.75)
    assert span_efficiency == pytest.approx(0.534, abs=5e-4)
    drag, span = "flying wing, zero-lift drag", "flying wing, span efficiency"
    is_inside(published, drag, prior.zero_lift_drag, "0.01762", FITTED_WING)
    is_inside(published, span, prior.span_efficiency, "0.534", FITTED_WING)


def test_tail_boom_pusher_polar(published: Published) -> None:
    # CD = C_D_p + CL^2 / (pi e AR).
    theirs = {
        row["parameter"]: row["value"]
        for row in table("flight_uav_parameters.csv")
        if row["aircraft"] == "aerosonde-class, file version B (current)"
    }
    prior = plan_prior(BodyPlan.TAIL_BOOM_PUSHER)
    drag, span = "tail-boom pusher, zero-lift drag", "tail-boom pusher, span efficiency"
    is_inside(published, drag, prior.zero_lift_drag, theirs["C_D_p"], COMPANION)
    is_inside(published, span, prior.span_efficiency, theirs["e"], COMPANION)


LEVEL_FLIGHT = [
    row
    for row in table("flight_small_electric_aircraft_power.csv")
    if row["level_flight_electrical_power_W"] and row["mass_kg"]
]


def least_power_w(prior: PlanPrior, mass_kg: float, span_m: float, aspect_ratio: float) -> float:
    """Battery power in level flight at 1.2 times the stall speed."""
    weight_n = mass_kg * STANDARD_GRAVITY_M_S2
    lift = prior.maximum_lift.value / 1.2**2
    drag = prior.zero_lift_drag.value + lift**2 / (
        math.pi * prior.span_efficiency.value * aspect_ratio
    )
    pressure_pa = weight_n / (lift * span_m**2 / aspect_ratio)
    airspeed_m_s = math.sqrt(2.0 * pressure_pa / ISA_SEA_LEVEL_DENSITY_KG_M3)
    return weight_n * drag / lift * airspeed_m_s / prior.propulsion_efficiency.value


@pytest.mark.parametrize("row", LEVEL_FLIGHT, ids=lambda row: row["mass_kg"] + " kg")
@pytest.mark.parametrize("aspect_ratio", [12.0, 15.0])
def test_long_span_glider_power(
    published: Published, row: dict[str, str], aspect_ratio: float
) -> None:
    # Their area is not in the source: aspect ratios of the type, both ends, must do.
    prior = plan_prior(BodyPlan.LONG_SPAN_GLIDER)
    power_w = least_power_w(prior, float(row["mass_kg"]), float(row["wingspan_m"]), aspect_ratio)
    # Near this speed half of the drag is induced: relative spreads of CD0 and k by half each,
    # the efficiency whole, CLmax by its effect on the speed, a half.
    relative_sd = math.hypot(0.5 * 0.20, 0.5 * 0.12, 0.15, 0.5 * 0.12)
    published(
        "long-span glider, power in level flight",
        power_w,
        row["level_flight_electrical_power_W"],
        "W",
        source=SOLAR,
        within=2.0 * relative_sd * power_w,
        because="two standard deviations of the prior; the area, not given, by the type's ratios",
    )


def test_resistance_of_a_measured_pack(published: Published) -> None:
    # 2S 2200 mAh pack, 40.22 mohm at 25 C: 0.0442 ohm Ah per cell.
    prior = plan_prior(BodyPlan.TAIL_BOOM_PUSHER).resistance_per_cell_ohm_ah
    is_inside(published, "cell resistance times capacity [ohm Ah]", prior, "0.0442", PACKS)


@pytest.mark.parametrize("plan", list(BodyPlan))
def test_static_margin_is_inside_the_published_habit(plan: BodyPlan) -> None:
    # Model-aircraft design calculators: 5 to 15 % of the mean chord (FOUND).
    prior = plan_prior(plan)
    assert 0.05 <= prior.static_margin_low < prior.static_margin_high <= 0.15


@pytest.mark.parametrize("plan", list(BodyPlan))
def test_everything_is_assumed_and_as_wide_as_stated(plan: BodyPlan) -> None:
    prior = plan_prior(plan)
    relative = {
        prior.zero_lift_drag: 0.20,
        prior.span_efficiency: 0.12,
        prior.maximum_lift: 0.12,
        prior.propulsion_efficiency: 0.15,
        prior.climb_efficiency: 0.15,
        prior.resistance_per_cell_ohm_ah: 0.50,
    }
    for estimate, spread in relative.items():
        assert estimate.basis is Basis.ASSUMED
        assert estimate.sd == pytest.approx(spread * estimate.value)
    assert prior.centre_of_gravity_fraction.sd == pytest.approx(0.04)
    assert prior.climb_efficiency.value < prior.propulsion_efficiency.value


def test_body_plans_are_named_in_our_words() -> None:
    assert [plan.value for plan in BodyPlan] == [
        "tail-boom pusher",
        "front motor with tail",
        "flying wing",
        "long-span glider type",
    ]


@pytest.mark.parametrize(
    ("cells", "capacity_ah", "pack_ohm"), [(2, 2.2, 0.0402), (4, 5.0, 1.1 / 80.0)]
)
@pytest.mark.parametrize("plan", list(BodyPlan))
def test_pack_resistance(
    published: Published, plan: BodyPlan, cells: int, capacity_ah: float, pack_ohm: float
) -> None:
    prior = plan_prior(plan).resistance_per_cell_ohm_ah
    published(
        "logarithm of cell resistance times capacity",
        math.log(prior.value),
        f"{math.log(pack_ohm / cells * capacity_ah):.4f}",
        source=PACKS,
        within=2.0 * math.sqrt(math.log1p((prior.sd / prior.value) ** 2)),
        because="two standard deviations; drawn log-normally about its value as the median",
    )
