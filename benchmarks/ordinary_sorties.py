"""Ordinary sorties flown sensibly, drawn by a seed and written as the files a user writes.

Three aircraft of the examples at reach step 3, one operator alone, a 148 Wh pack, 12 degC. What
*sensibly* means was settled before anything was computed, but for the longer legs of loops in wind,
which the first few sorties tried showed to be wanting: the route lies upwind of the launch
point and comes home with the wind; launch and landing are into it; legs leave room to turn; half
of the wind above 5 m/s is added to the airspeed; site and strip are wide; the sun is high.

Winds at 10 m are Weibull (mean 4.5 m/s, k 2) in even sorties, a real station's in odd ones, drawn
again from 0.45 of the airspeed on.
"""

import csv
import math
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import tomlkit
from tomlkit import TOMLDocument

EXAMPLES = Path(__file__).parents[1] / "examples"
AIRCRAFT = (
    EXAMPLES / "tern-point" / "petrel.toml",
    EXAMPLES / "bracken-workshop" / "dunlin.toml",
    EXAMPLES / "mesa-alta" / "nighthawk.toml",
)
MEAN_WIND_M_S, WEIBULL_SHAPE, MOST_WIND_SHARE = 4.5, 2.0, 0.45
# Wind at 10 m [m/s] and in how many hours it blew, 08 to 17 local standard time of a year: station
# 723170 (Greensboro, North Carolina) of the typical meteorological years TMY3 of the US National
# Renewable Energy Laboratory, public data, as the package pvlib 0.16.1 carries them
# (723170TYA.CSV). Mean 3.7 m/s; 214 of 3,650 hours are calm and are drawn again.
STATION_HOURS = Path(__file__).with_name("station_hours.csv")
AIRSPEED_M_S, ADD_WIND_ABOVE_M_S = 15.5, 5.0
WINDY_M_S = 4.0
# Work on a circle that takes near half of the pack: what a pack half charged has to fail on.
WORK_MINUTES = 27.0
ELEVATION = "55 m AMSL"


@dataclass(frozen=True)
class Needs:
    """What a sortie must be like for the fault planted in it later to be one at all.

    `axis_deg` is where the route lies, `long` whether it works for near half an hour.
    """

    least_wind_m_s: float = 0.0
    axis_deg: float | None = None
    long: bool = False


@dataclass(frozen=True)
class Drawn:
    """A sortie before it is written: its files, and the plane figures (m, deg) they came from."""

    aircraft: TOMLDocument
    sortie: TOMLDocument
    items: tuple[dict[str, str], ...]
    wind_m_s: float
    wind_from_deg: float
    axis_deg: float
    far_m: float
    launch: datetime
    shape: str

    def write(self, folder: Path) -> Path:
        """Write the three files and return the sortie's."""
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "aircraft.toml").write_text(tomlkit.dumps(self.aircraft), encoding="utf-8")
        with (folder / "route.csv").open("w", encoding="utf-8", newline="") as file:
            columns = (EXAMPLES / "tern-point" / "route.csv").read_text("utf-8").splitlines()[0]
            writer = csv.DictWriter(file, columns.split(","), restval="")
            writer.writeheader()
            writer.writerows(self.items)
        path = folder / "sortie.toml"
        path.write_text(tomlkit.dumps(self.sortie), encoding="utf-8")
        return path


def draw_sortie(number: int, seed: int, needs: Needs) -> Drawn:
    """Return one ordinary sortie; the same number, seed and needs give the same one."""
    random = np.random.default_rng([seed, number])
    aircraft = tomlkit.parse(AIRCRAFT[number % 3].read_text(encoding="utf-8"))
    wind_m_s = _wind(random, number, needs.least_wind_m_s)
    axis_deg = random.uniform(0.0, 360.0) if needs.axis_deg is None else needs.axis_deg
    wind_from_deg = (axis_deg + random.uniform(-30.0, 30.0)) % 360.0
    airspeed = AIRSPEED_M_S + 0.5 * max(wind_m_s - ADD_WIND_ABOVE_M_S, 0.0)
    shape = "loop" if random.uniform() < 0.5 else "out and back"
    corners = (
        _loop(random, axis_deg, wind_m_s) if shape == "loop" else _out_and_back(random, axis_deg)
    )
    far = max(corners, key=lambda place: math.hypot(*place))
    launch = datetime(2026, 6, 9, 9, tzinfo=UTC) + timedelta(minutes=int(random.integers(0, 450)))
    drawn = Drawn(
        aircraft=_set_up(aircraft, airspeed),
        sortie=tomlkit.parse((EXAMPLES / "tern-point" / "sortie.toml").read_text("utf-8")),
        items=_items(corners, 5.0 * int(random.integers(13, 16)), airspeed, long=needs.long),
        wind_m_s=wind_m_s,
        wind_from_deg=wind_from_deg,
        axis_deg=axis_deg,
        far_m=math.hypot(*far),
        launch=launch,
        shape=shape,
    )
    _tell(drawn, gust_m_s=wind_m_s * random.uniform(1.2, 1.5), sky=str(random.choice(_SKIES)))
    return launched_at(drawn, launch)


_SKIES = ("clear", "half cloud", "overcast")


def _wind(random: np.random.Generator, number: int, least_m_s: float) -> float:
    draw = _weibull if number % 2 == 0 else _station
    while True:
        wind_m_s = round(draw(random), 1)
        if max(least_m_s, 0.1) <= wind_m_s < MOST_WIND_SHARE * AIRSPEED_M_S:
            return wind_m_s


def _weibull(random: np.random.Generator) -> float:
    scale = MEAN_WIND_M_S / math.gamma(1.0 + 1.0 / WEIBULL_SHAPE)
    return float(scale * random.weibull(WEIBULL_SHAPE))


def _station(random: np.random.Generator) -> float:
    wind_m_s, hours = np.loadtxt(STATION_HOURS, delimiter=",", skiprows=1, unpack=True)
    return float(random.choice(wind_m_s, p=hours / hours.sum()))


def place(distance_m: float, bearing_deg: float) -> tuple[float, float]:
    """Return metres east and north of the launch point."""
    bearing = math.radians(bearing_deg)
    return distance_m * math.sin(bearing), distance_m * math.cos(bearing)


def _loop(
    random: np.random.Generator, axis_deg: float, wind_m_s: float
) -> list[tuple[float, float]]:
    """Return the corners of a loop through the launch point, its middle on the axis.

    In wind the legs are longer and fewer: turns with the wind behind take more room.
    """
    count, radius_m = int(random.integers(5, 8)), random.uniform(270.0, 390.0)
    if wind_m_s > WINDY_M_S:
        count, radius_m = 5, random.uniform(360.0, 390.0)
    east, north = place(radius_m, axis_deg)
    turn = random.choice([-1.0, 1.0])
    corners = []
    for corner in range(1, count):
        one = place(
            radius_m * random.uniform(0.95, 1.05),
            axis_deg + 180.0 + turn * corner * 360.0 / count,
        )
        corners.append((east + one[0], north + one[1]))
    return corners


def _out_and_back(random: np.random.Generator, axis_deg: float) -> list[tuple[float, float]]:
    """Return the two far corners of an out-and-back, 360 m apart for the turn between them."""
    far_m, turn = random.uniform(500.0, 780.0), random.choice([-1.0, 1.0])
    half_deg = math.degrees(math.atan2(180.0, far_m))
    return [place(math.hypot(far_m, 180.0), axis_deg + turn * side * half_deg) for side in (-1, 1)]


def _items(
    corners: list[tuple[float, float]], height_m: float, airspeed_m_s: float, *, long: bool
) -> tuple[dict[str, str], ...]:
    up = {"height_m": f"{height_m:.0f}", "above": "launch"}
    fast = {"airspeed_m_s": f"{airspeed_m_s:.1f}", "airspeed_kind": "TAS"}
    points = [
        {"name": f"W{number}", "kind": "point", **_at(corner), **up, **fast, "pass": "fly-by"}
        for number, corner in enumerate(corners, 1)
    ]
    if long:
        middle = tuple(np.mean(corners, axis=0).tolist())
        circle = {"radius_m": "150", "side": "left", "minutes": f"{WORK_MINUTES:.0f}"}
        points = [{"name": "work", "kind": "orbit", **_at(middle), **up, **fast, **circle}]
    return (
        {"name": "takeoff", "kind": "takeoff", **_at((0.0, 0.0)), **up},
        *points,
        {"name": "return", "kind": "return", **_at((0.0, 0.0)), **up, **fast},
        {"name": "land", "kind": "land", **_at((0.0, 0.0))},
    )


def _at(where: tuple[float, ...]) -> dict[str, str]:
    return {"east_m": f"{where[0]:.0f}", "north_m": f"{where[1]:.0f}"}


def _set_up(aircraft: TOMLDocument, airspeed_m_s: float) -> TOMLDocument:
    """Return the record with the airspeed and the bank a pilot would set, flown before today."""
    aircraft["speeds"]["cruise"] = f"{airspeed_m_s:.1f} m/s TAS"
    aircraft["guidance"]["bank"] = "30 deg"
    for flight, day in zip(aircraft["flown"], (6, 8), strict=True):
        flight["on"] = f"2026-06-0{day} 16:30Z"
    return aircraft


def _tell(drawn: Drawn, *, gust_m_s: float, sky: str) -> None:
    sortie = drawn.sortie
    sortie["aircraft"] = "aircraft.toml"
    site = sortie["site"]
    site["elevation"] = ELEVATION
    site["strip"] = {"length": "300 m", "direction": f"{drawn.wind_from_deg:.0f} deg"}
    site["ground"] = {"by_eye": "flat within 5 m", "radius": "2000 m"}
    site["boundary"] = {"hull_margin": "600 m", "top": "118 m above launch"}
    site["come_down"] = []
    weather = sortie["weather"]
    weather["temperature"] = "12 degC"
    weather["sky"] = sky
    wind = weather["surface_wind"]
    wind["value"] = f"{drawn.wind_m_s:.1f} m/s from {drawn.wind_from_deg:.0f}"
    wind["gust"] = f"{gust_m_s:.1f} m/s"
    del wind["exponent"]


def launched_at(drawn: Drawn, launch: datetime) -> Drawn:
    """Return the sortie launched then, all that was seen or told shortly before."""
    sortie = drawn.sortie
    sortie["time"]["launch"] = f"{launch:%Y-%m-%d %H:%MZ}"
    seen = f"{launch - timedelta(minutes=15):%Y-%m-%d %H:%MZ}"
    for table in (sortie["weather"]["surface_wind"], sortie["pack"], *sortie["told"].values()):
        table["seen"] = seen
    return replace(drawn, launch=launch)
