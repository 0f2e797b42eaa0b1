"""What to assume of an aircraft of which only the body plan is known."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from homeleg.aircraft.spreads import default_sd
from homeleg.foundation.estimate import Basis, Estimate

__all__ = ["BodyPlan", "PlanPrior", "plan_prior"]


class BodyPlan(Enum):
    """How wing, tail and motor are arranged."""

    TAIL_BOOM_PUSHER = "tail-boom pusher"
    FRONT_MOTOR = "front motor with tail"
    FLYING_WING = "flying wing"
    LONG_SPAN_GLIDER = "long-span glider type"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanPrior:
    """Assumed figures of a body plan, honestly wide. Coefficients refer to the wing area.

    Parameters
    ----------
    zero_lift_drag, maximum_lift
        CD0 and CLmax, camera and tail included. [-]
    span_efficiency
        e in k = 1 / (pi e AR). [-]
    propulsion_efficiency, climb_efficiency
        Thrust power over battery power in cruise, and in climb at full power. [-]
    centre_of_gravity_fraction
        Behind the leading edge of the mean chord, over that chord. [-]
    static_margin_low, static_margin_high
        Where the margin should lie, over the mean chord. [-]
    resistance_per_cell_ohm_ah
        Resistance of a cell at 25 C times its capacity, leads included. [ohm Ah]
    full_power_w_per_kg
        Battery power at full throttle over the all-up mass. [W/kg]
    """

    zero_lift_drag: Estimate
    span_efficiency: Estimate
    maximum_lift: Estimate
    propulsion_efficiency: Estimate
    climb_efficiency: Estimate
    centre_of_gravity_fraction: Estimate
    static_margin_low: float
    static_margin_high: float
    resistance_per_cell_ohm_ah: Estimate
    full_power_w_per_kg: Estimate


def plan_prior(plan: BodyPlan) -> PlanPrior:
    """Return what to assume of an aircraft of this body plan, everything marked ASSUMED."""
    return _PRIORS[plan]


# MEMORY: makers size the motor of such aircraft within a factor of two of each other.
_FULL_POWER_RELATIVE_SD = 0.25
# Resistance times capacity is roughly constant from pack to pack (MEMORY). Half-way (in ratio)
# between two published packs: 0.044, a 2S 2.2 Ah pack measured at 25 C (FOUND, rcex.cz p=3589,
# 2010), and 0.017, a 4S 5 Ah pack logged under load (FOUND, rc-monster.com forum, p=323212).
_RESISTANCE_PER_CELL_OHM_AH = 0.027


def _assumed(quantity: str, value: float) -> Estimate:
    sd = default_sd(quantity, value, Basis.ASSUMED)
    return Estimate(value=value, sd=sd, basis=Basis.ASSUMED)


def _prior(
    *,
    aerodynamics: tuple[float, float, float],
    efficiencies: tuple[float, float],
    centre_of_gravity_fraction: float,
    static_margin: tuple[float, float],
    full_power_w_per_kg: float,
) -> PlanPrior:
    """Return the prior from bare values; aerodynamics is CD0, e, CLmax."""
    zero_lift_drag, span_efficiency, maximum_lift = aerodynamics
    cruise_efficiency, climb_efficiency = efficiencies
    return PlanPrior(
        zero_lift_drag=_assumed("zero_lift_drag", zero_lift_drag),
        # k is proportional to 1 / e: to first order both have the same relative spread.
        span_efficiency=_assumed("induced_factor", span_efficiency),
        maximum_lift=_assumed("maximum_lift", maximum_lift),
        propulsion_efficiency=_assumed("efficiency", cruise_efficiency),
        climb_efficiency=_assumed("efficiency", climb_efficiency),
        centre_of_gravity_fraction=_assumed("centre_of_gravity", centre_of_gravity_fraction),
        static_margin_low=static_margin[0],
        static_margin_high=static_margin[1],
        resistance_per_cell_ohm_ah=_assumed("resistance", _RESISTANCE_PER_CELL_OHM_AH),
        full_power_w_per_kg=Estimate(
            value=full_power_w_per_kg,
            sd=_FULL_POWER_RELATIVE_SD * full_power_w_per_kg,
            basis=Basis.ASSUMED,
        ),
    )


# All values are MEMORY. Published aircraft check, to two standard deviations (a guard against
# blunders more than a proof: the figures below were known when the values were chosen):
#   tail-boom pusher: CD0 and e (aerosonde-class parameters, Beard and McLain);
#   flying wing: CD0 and e (3.4 kg wing of Gryte et al., ICUAS 2018);
#   long-span glider type: the power in level flight (two solar aircraft), that is CD0, e, CLmax
#   and cruise efficiency together.
# Unchecked: the front motor plan, climb efficiency, balance, static margin, full power, and
# CLmax of the first three.
_PRIORS: Mapping[BodyPlan, PlanPrior] = MappingProxyType(
    {
        BodyPlan.TAIL_BOOM_PUSHER: _prior(
            aerodynamics=(0.038, 0.75, 1.15),
            efficiencies=(0.50, 0.45),
            centre_of_gravity_fraction=0.29,
            static_margin=(0.08, 0.15),
            full_power_w_per_kg=160.0,
        ),
        BodyPlan.FRONT_MOTOR: _prior(
            aerodynamics=(0.034, 0.75, 1.15),
            efficiencies=(0.52, 0.46),
            centre_of_gravity_fraction=0.30,
            static_margin=(0.08, 0.15),
            full_power_w_per_kg=160.0,
        ),
        BodyPlan.FLYING_WING: _prior(
            aerodynamics=(0.020, 0.60, 0.95),
            efficiencies=(0.48, 0.42),
            centre_of_gravity_fraction=0.20,
            static_margin=(0.05, 0.10),
            full_power_w_per_kg=200.0,
        ),
        BodyPlan.LONG_SPAN_GLIDER: _prior(
            aerodynamics=(0.022, 0.85, 1.20),
            efficiencies=(0.55, 0.50),
            centre_of_gravity_fraction=0.33,
            static_margin=(0.08, 0.15),
            full_power_w_per_kg=110.0,
        ),
    }
)
