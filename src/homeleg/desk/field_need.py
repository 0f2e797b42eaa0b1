"""Whether the ground judged by eye reaches under a first sortie's pattern, and what mends it."""

import math
from dataclasses import dataclass, replace
from pathlib import Path

from homeleg.desk.edit import set_in_file
from homeleg.formats.sortie_file import read_sortie
from homeleg.formats.toml_text import parse_toml, read_text_file
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.route.geometry import LegKind
from homeleg.sortie.resolve import resolve
from homeleg.sortie.sortie import Sortie
from homeleg.world.ground import GroundByEye

__all__ = ["FieldNeed", "field_need", "know_farther", "lower_the_pattern"]

# What is flown strays this far outside what is drawn; wanted ground is told in such steps. Ours.
_STRAYS_M = 20.0
_STEP_M = 50.0
# Patterns lower than planned that are offered, the highest that fits. Ours. [m]
_LOWER_M = (30, 25, 20)


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldNeed:
    """Ground known and needed about the launch point, and a pattern that stays inside, in metres.

    `lower_m` is None where no lower pattern does.
    """

    known_m: int
    needed_m: int
    pattern_m: int
    lower_m: int | None


def field_need(path: Path) -> FieldNeed | None:
    """Return how much ground a sortie lacks; None where what was judged by eye is enough.

    Raises InputFileError where the file cannot be read, OutOfModelError where the model ends.
    """
    sortie = read_sortie(path).sortie
    ground = sortie.site.ground
    if not isinstance(ground, GroundByEye):
        return None
    reach_m = _reach_m(sortie)
    if reach_m <= ground.radius_m:
        return None
    fitting = (
        lower for lower in _LOWER_M if _reach_m(_with_pattern(sortie, lower)) <= ground.radius_m
    )
    return FieldNeed(
        known_m=round(ground.radius_m),
        needed_m=round(math.ceil(reach_m / _STEP_M) * _STEP_M),
        pattern_m=round(sortie.aircraft.guidance.pattern_height.value_m),
        lower_m=next(fitting, None),
    )


def know_farther(path: Path, need: FieldNeed) -> None:
    """Write into the sortie that its ground was judged as far as is needed."""
    set_in_file(path, ["site", "ground", "radius"], f"{need.needed_m} m")


def lower_the_pattern(path: Path, need: FieldNeed) -> None:
    """Write the lower pattern into the aircraft's file; raises ValueError where there is none."""
    if need.lower_m is None:
        raise ValueError("no lower pattern stays over the known ground")
    aircraft = path.parent / str(parse_toml(read_text_file(path))["aircraft"])
    set_in_file(aircraft, ["guidance", "pattern_height"], f"{need.lower_m} m above launch")


def _reach_m(sortie: Sortie) -> float:
    """Return how far from the launch point the drawn route and pattern go, climb-outs left out."""
    legs = {leg for way in resolve(sortie).departures for leg in way.legs}
    return _STRAYS_M + max(
        math.hypot(*end_m) + leg.radius_m
        for leg in legs
        if leg.kind is not LegKind.CLIMB_OUT
        for end_m in (leg.start_m, leg.end_m)
    )


def _with_pattern(sortie: Sortie, height_m: int) -> Sortie:
    height = StatedHeight(float(height_m), Datum.ABOVE_LAUNCH)
    guidance = replace(sortie.aircraft.guidance, pattern_height=height)
    return replace(sortie, aircraft=replace(sortie.aircraft, guidance=guidance))
