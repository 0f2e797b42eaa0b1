"""The faults planted in ordinary sorties, and by what a verdict may name each of them first.

The table below was written before any of these sorties was computed. A change of it, or of what a
fault is, after a run has been looked at would make the acceptance worthless: strip and elevation
were changed once, where what was planted was no fault, and the seed with them.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime

import tomlkit

from benchmarks.ordinary_sorties import Drawn, Needs, launched_at, place

# 9 June 2026 at 55 N 5 W, by hand (declination 22.9 deg): 20:00Z is hour angle 115 deg, so the sun
# stands 5.5 deg high in azimuth 303 deg; it sets at 20:48Z.
_LOW_SUN = datetime(2026, 6, 9, 20, tzinfo=UTC)
_LOW_SUN_AZIMUTH_DEG = 303.0
_MEAN_CHORD_MM = 245.0
_TERRAIN_EXPONENT = 0.16


@dataclass(frozen=True)
class Fault:
    """A fault: how it is planted, and the questions and causes that name it rightly."""

    name: str
    plant: Callable[[Drawn], Drawn]
    questions: frozenset[str]
    causes: frozenset[str]
    needs: Needs = field(default_factory=Needs)

    def is_named_by(self, row: str, cause: str) -> bool:
        """Return whether the first reason of a verdict, its row and cause, names this fault."""
        return row.split(".", maxsplit=1)[0] in self.questions and cause in self.causes


def _half_charged(drawn: Drawn) -> Drawn:
    drawn.sortie["pack"]["charged"] = "50 %"
    return drawn


def _twice_the_wind_aloft(drawn: Drawn) -> Drawn:
    layers = tomlkit.aot()
    for height_m in (50.0, 100.0):
        speed = 2.0 * drawn.wind_m_s * (height_m / 10.0) ** _TERRAIN_EXPONENT
        layers.append(
            tomlkit.item(
                {
                    "value": f"{speed:.1f} m/s from {drawn.wind_from_deg:.0f}",
                    "sd": "0.7 m/s",
                    "direction_sd": "10 deg",
                    "seen": str(drawn.sortie["pack"]["seen"]),
                    "at": f"{height_m:.0f} m above launch",
                }
            )
        )
    drawn.sortie["weather"]["layers"] = layers
    return drawn


def _twenty_mm_aft(drawn: Drawn) -> Drawn:
    per_cent = float(str(drawn.aircraft["mass"]["centre_of_gravity"]["value"]).split()[0])
    aft = per_cent + 100.0 * 20.0 / _MEAN_CHORD_MM
    drawn.sortie["loading"] = {
        "centre_of_gravity": {"value": f"{aft:.1f} % MAC", "sd": "0.8 % MAC", "basis": "bench"}
    }
    return drawn


def _down_wind_launch(drawn: Drawn) -> Drawn:
    drawn.sortie["site"]["launch_heading"] = f"{(drawn.wind_from_deg + 180.0) % 360.0:.0f} deg"
    return drawn


def _short_strip(drawn: Drawn) -> Drawn:
    drawn.sortie["site"]["strip"]["length"] = "35 m"
    return drawn


def _hairpin(drawn: Drawn) -> Drawn:
    """Put a corner 60 m behind the first, square to the way there."""
    first = next(item for item in drawn.items if item["kind"] == "point")
    east, north = float(first["east_m"]), float(first["north_m"])
    scale = 60.0 / (east**2 + north**2) ** 0.5
    behind = {"east_m": f"{east - scale * north:.0f}", "north_m": f"{north + scale * east:.0f}"}
    at = drawn.items.index(first) + 1
    again = {**first, "name": "hairpin", **behind}
    return replace(drawn, items=(*drawn.items[:at], again, *drawn.items[at:]))


def _cold_pack(drawn: Drawn) -> Drawn:
    drawn.sortie["pack"]["temperature"] = "-5 degC"
    return drawn


def _square(middle: tuple[float, float], half_m: float) -> list[list[float]]:
    corners = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return [[round(middle[0] + x * half_m), round(middle[1] + y * half_m)] for x, y in corners]


def _people_below(drawn: Drawn) -> Drawn:
    around = _square(place(drawn.far_m, drawn.axis_deg), 0.68 * drawn.far_m)
    drawn.sortie["site"]["keep_out"] = [
        {"name": "show ground", "kind": "people", "vertices_m": around}
    ]
    return drawn


def _hill_on_the_way_home(drawn: Drawn) -> Drawn:
    """Put 75 m of wooded knoll between far end and launch point, where no leg leads."""
    share = 0.5 if drawn.shape == "loop" else 0.75
    knoll = tomlkit.aot()
    around = _square(place(share * drawn.far_m, drawn.axis_deg), 40.0)
    knoll.append(tomlkit.item({"height": {"value": "75 m", "sd": "0 m"}, "vertices_m": around}))
    drawn.sortie["site"]["canopy"] = knoll
    return drawn


def _wrong_datum(drawn: Drawn) -> Drawn:
    items = tuple(
        {**item, "above": "AMSL"} if item.get("above") == "launch" else item for item in drawn.items
    )
    return replace(drawn, items=items)


def _low_sun(drawn: Drawn) -> Drawn:
    return launched_at(drawn, _LOW_SUN)


def _named(*words: str) -> frozenset[str]:
    return frozenset(words)


FAULTS = (
    Fault(
        "pack half charged",
        _half_charged,
        _named("home", "reserve"),
        _named("charge"),
        Needs(long=True),
    ),
    Fault(
        "wind aloft doubled",
        _twice_the_wind_aloft,
        _named("headway", "home", "reserve"),
        _named("wind aloft"),
        Needs(least_wind_m_s=5.0),
    ),
    Fault("balance 20 mm aft", _twenty_mm_aft, _named("mass"), _named("balance")),
    Fault(
        "down-wind launch",
        _down_wind_launch,
        _named("away"),
        _named("launch direction"),
        Needs(least_wind_m_s=2.5),
    ),
    Fault("short strip", _short_strip, _named("in"), _named("strip")),
    Fault("corner too tight", _hairpin, _named("corners"), _named("corner")),
    Fault("pack at -5 degC", _cold_pack, _named("pack"), _named("pack temperature")),
    Fault(
        "people under the glide",
        _people_below,
        _named("motor", "inside"),
        _named("keep-out ground"),
    ),
    Fault(
        "hill under the way home",
        _hill_on_the_way_home,
        _named("ground"),
        _named("return height", "ground"),
    ),
    Fault("heights in the wrong datum", _wrong_datum, _named("ground"), _named("datum")),
    Fault(
        "low sun in line",
        _low_sun,
        _named("sight"),
        _named("sun"),
        Needs(axis_deg=_LOW_SUN_AZIMUTH_DEG),
    ),
)


def fault_of(number: int) -> Fault:
    """Return the fault planted in the sortie of this number."""
    return FAULTS[number % len(FAULTS)]
