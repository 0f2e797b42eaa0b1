"""The flown kernel against closed forms: one member without spread or gusts, from an air start.

The aircraft is a 2.60 kg flying example whose powers were worked by hand at sea-level density:
P = 0.5 rho V^3 S CD0 / eta + 2 k (m g)^2 / (rho V S eta) + 8 W.
"""

import csv
import math
import pathlib
from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray

from homeleg.flight import kernel
from homeleg.flight import layout as c
from homeleg.physics import turning, wind_triangle

Array = NDArray[np.float64]
Point = tuple[float, float]

REFERENCE = pathlib.Path(__file__).parents[1] / "reference"
RHO0, G = 1.225, 9.80665
FLAT_CELL_V = 3.7
CALM = (0.0, 0.0)
FAR = 60_000.0


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def aircraft(**changes: float) -> Array:
    """Return a member: cells of a flat 3.7 V with next to no resistance, so current = P / V."""
    columns = {
        "MASS": 2.60,
        "WING_AREA": 0.460,
        "ZERO_LIFT_DRAG": 0.038,
        "INDUCED_FACTOR": 0.0541,
        "MAXIMUM_LIFT": 1.15,
        "EFFICIENCY": 0.50,
        "CLIMB_EFFICIENCY": 0.50,
        "FULL_POWER": 420.0,
        "AVIONICS_POWER": 8.0,
        "AIRSPEED_FACTOR": 1.0,
        "DENSITY": RHO0,
        "CAPACITY": 100.0,
        "USABLE": 92.0,
        "RESISTANCE_25": 1e-6,
        "PACK_TEMPERATURE": 298.15,
        "RELEASE_SPEED": 15.0,
        "DISK_AREA": 0.06,
        "DISK_EFFICIENCY": 0.85,
        "GUST_LENGTH_U": 200.0,
        "GUST_LENGTH_W": 50.0,
    } | changes
    row = np.zeros(c.MEMBER_COLUMNS)
    for name, value in columns.items():
        row[getattr(c, name)] = value
    return row


def air_start(heading_deg: float, *, height_m: float = 100.0, until_s: float = 1e4) -> Array:
    """Return a plan that releases the aircraft in flight over flat, known ground."""
    plan = np.zeros(c.PLAN_COLUMNS)
    plan[c.CLIMB_RATE], plan[c.SINK_RATE] = 3.0, 2.4
    plan[c.WIND_TOP] = 200.0
    plan[c.RELEASE_HEIGHT] = height_m
    plan[c.RELEASE_HEADING] = math.radians(heading_deg)
    plan[c.CELLS], plan[c.CUT_OFF], plan[c.PACK_MASS] = 4.0, 12.0, 0.8
    plan[c.GROUND_EAST] = plan[c.GROUND_NORTH] = -1e6
    plan[c.GROUND_SPACING], plan[c.GROUND_RADIUS] = 2e6, 1e6
    plan[c.TIME_LIMIT], plan[c.OUTSIDE_AIR] = until_s, 298.15
    return plan


def leg(kind: float, start: Point, end: Point, columns: dict[int, float]) -> Array:
    row = np.zeros(c.LEG_COLUMNS)
    row[c.KIND] = kind
    row[c.START_EAST], row[c.START_NORTH] = start
    row[c.END_EAST], row[c.END_NORTH] = end
    row[c.HEIGHT], row[c.AIRSPEED], row[c.BANK] = 100.0, 15.0, math.radians(30.0)
    row[c.ON_ROUTE] = row[c.PASSES_OVER] = 1.0
    for column, value in columns.items():
        row[column] = value
    return row


def track(start: Point, end: Point, **columns: float) -> Array:
    return leg(c.TRACK, start, end, {getattr(c, name): value for name, value in columns.items()})


@dataclass(frozen=True)
class Flight:
    result: Array
    legs: Array
    series: Array


def fly(
    legs: list[Array],
    plan: Array,
    *,
    member: Array | None = None,
    wind: Point = CALM,
    ground: Array | None = None,
) -> Flight:
    """Fly one member; an air start keeps its airspeed whatever the wind."""
    member = aircraft() if member is None else member.copy()
    ground_speed_m_s, _ = wind_triangle.track_solution(
        member[c.RELEASE_SPEED], plan[c.RELEASE_HEADING], *wind
    )
    member[c.RELEASE_SPEED] = float(ground_speed_m_s)
    winds = np.repeat(np.array(wind)[:, np.newaxis], c.WIND_NODES, axis=1)
    common = (
        np.stack(legs),
        plan,
        np.full(21, FLAT_CELL_V),
        np.zeros((2, 2)) if ground is None else ground,
        np.zeros((0, 4)),
    )
    seconds = np.arange(plan[c.TIME_LIMIT])
    results, leg_results, states = kernel.fly_members(
        1, np.array([0]), member[np.newaxis], winds[np.newaxis], *common, seconds
    )
    flown = states[0, :, c.TIME] > 0.0
    return Flight(result=results[0], legs=leg_results[0], series=states[0, flown])


def straight_power_w(airspeed_m_s: float, member: Array) -> float:
    """Return the battery power of a steady straight flight, the first minute left out."""
    member = member.copy()
    member[c.RELEASE_SPEED] = airspeed_m_s
    early, late = (
        fly(
            [track((0.0, 0.0), (0.0, FAR), AIRSPEED=airspeed_m_s)],
            air_start(0.0, until_s=until_s),
            member=member,
        ).result
        for until_s in (60.0, 900.0)
    )
    return float((late[c.ENERGY] - early[c.ENERGY]) / (late[c.DURATION] - early[c.DURATION]))


# By hand, half the last printed digit.
@pytest.mark.parametrize(
    ("airspeed_m_s", "expected_w"), [(12.0, 65.8), (15.5, 103.8), (18.0, 146.7), (20.0, 191.8)]
)
def test_power_of_level_flight(airspeed_m_s: float, expected_w: float) -> None:
    assert straight_power_w(airspeed_m_s, aircraft()) == pytest.approx(expected_w, abs=0.06)


def test_level_flight_until_the_pack_is_empty() -> None:
    half, whole = (
        fly(
            [track((0.0, 0.0), (0.0, FAR), AIRSPEED=15.5)],
            air_start(0.0),
            member=aircraft(USABLE=usable_ah, RELEASE_SPEED=15.5),
        ).result
        for usable_ah in (0.5, 1.5)
    )
    assert half[c.EVENT] == whole[c.EVENT] == c.PACK_EMPTY
    # 1 Ah more at 103.8 W (by hand, to 0.05 W) and 4 x 3.7 V.
    expected_s = 3600.0 * 4.0 * FLAT_CELL_V / 103.8
    lasted_s = whole[c.DURATION] - half[c.DURATION]
    assert lasted_s == pytest.approx(expected_s, rel=0.05 / 103.8, abs=0.2)


# Flying wing, Gryte et al., ICUAS 2018: thrust power in trimmed level flight, from the authors'
# parameters (COMPUTED; the 18 m/s row reproduces their published trim).
def flying_wing(**polar: float) -> Array:
    return aircraft(
        MASS=3.364,
        WING_AREA=0.75,
        EFFICIENCY=1.0,
        CLIMB_EFFICIENCY=1.0,
        AVIONICS_POWER=0.0,
        **polar,
    )


@pytest.mark.parametrize("row", rows("flight_uav_trimmed_level_flight.csv"))
def test_flying_wing_with_its_whole_polar(row: dict[str, str]) -> None:
    # CD = 0.019985 - 0.009591 CL + 0.109829 CL^2, completed to the square about least drag.
    from_least = 0.009591 / (2.0 * 0.109829)
    member = flying_wing(
        ZERO_LIFT_DRAG=0.019985 - 0.109829 * from_least**2,
        INDUCED_FACTOR=0.109829,
        LIFT_AT_LEAST_DRAG=from_least,
    )
    got_w = straight_power_w(float(row["true_airspeed_m_per_s"]), member)
    # The thrust of the table is along the body: cos(alpha) and lift by thrust, below 1 %, are not
    # in a point mass.
    assert got_w == pytest.approx(float(row["thrust_power_W"]), rel=0.01)


def test_flying_wing_with_a_two_term_polar() -> None:
    row = next(
        r
        for r in rows("flight_uav_trimmed_level_flight.csv")
        if float(r["true_airspeed_m_per_s"]) == 18.0
    )
    member = flying_wing(ZERO_LIFT_DRAG=0.01762, INDUCED_FACTOR=0.10133)
    # The fit's own residual is 0.0007 of the drag coefficient.
    tolerance = 0.0007 / float(row["CD"])
    got_w = straight_power_w(18.0, member)
    assert got_w == pytest.approx(float(row["thrust_power_W"]), rel=tolerance)


@pytest.mark.parametrize("course_deg", [0.0, 77.0, 160.0, 225.0, 310.0])
def test_wind_triangle_on_a_leg(course_deg: float) -> None:
    wind = (3.5, 4.5)
    course = math.radians(course_deg)
    end = (FAR * math.sin(course), FAR * math.cos(course))
    flown = fly([track((0.0, 0.0), end)], air_start(course_deg, until_s=300.0), wind=wind)
    speed_m_s, crab_rad = wind_triangle.track_solution(15.0, course, *wind)
    assert flown.legs[0, c.LEG_GROUND_SPEED] == pytest.approx(float(speed_m_s), abs=0.02)
    assert flown.legs[0, c.LEG_CRAB] == pytest.approx(abs(float(crab_rad)), abs=math.radians(0.3))


def test_out_and_return_in_wind() -> None:
    out_m, wind_m_s, airspeed_m_s = 3000.0, 5.0, 15.0
    far, home = (out_m, 0.0), (0.0, 0.0)
    flown = fly(
        [track(home, far), track(far, home), track(home, (-FAR, 0.0))],
        air_start(90.0, until_s=600.0),
        wind=(wind_m_s, 0.0),
    )
    assert flown.legs[0, c.LEG_TIME] == pytest.approx(out_m / (airspeed_m_s + wind_m_s), abs=0.3)
    assert flown.legs[1, c.LEG_GROUND_SPEED] == pytest.approx(airspeed_m_s - wind_m_s, abs=0.05)
    # Back: half a circle that drifts down-wind (15 m/s, 30 deg: 16.646 s and 83.23 m a circle),
    # then straight, closing from one diameter (79.5 m) aside, which costs at most that length.
    back_m_s = airspeed_m_s - wind_m_s
    straight_s = (out_m + 0.5 * 83.23) / back_m_s + 0.5 * 16.646
    assert straight_s < flown.legs[1, c.LEG_TIME] < straight_s + 79.5 / back_m_s


@pytest.mark.parametrize("row", rows("flight_turn_in_wind.csv"))
def test_constant_bank_turn_in_wind(row: dict[str, str]) -> None:
    airspeed_m_s, wind_m_s = (
        float(row[key]) for key in ("true_airspeed_m_per_s", "wind_speed_m_per_s")
    )
    bank = math.radians(float(row["bank_deg"]))
    speeds = {"AIRSPEED": airspeed_m_s, "BANK": bank}
    corner = (0.0, 400.0)
    after = (FAR * math.sin(-1.0), 400.0 + FAR * math.cos(-1.0))  # 303 deg by the right
    flown = fly(
        [track((0.0, 0.0), corner, **speeds), track(corner, after, SIDE=1.0, **speeds)],
        air_start(0.0, until_s=120.0),
        member=aircraft(RELEASE_SPEED=airspeed_m_s, MAXIMUM_LIFT=3.0),
        wind=(0.0, wind_m_s),
    )
    series = flown.series
    turning_rows = series[np.abs(series[:, c.BANKED] - bank) < math.radians(0.1)]
    assert len(turning_rows) > 4
    first, last = turning_rows[1], turning_rows[-1]
    turned = last[c.HEADING] - first[c.HEADING]
    assert turned > math.radians(80.0)
    seconds = last[c.TIME] - first[c.TIME]
    assert seconds * 2.0 * math.pi / turned == pytest.approx(float(row["time_360_s"]), rel=0.005)
    east_m, north_m, _ = turning.constant_bank_turn_displacement(
        airspeed_m_s, bank, first[c.HEADING], last[c.HEADING], 1.0, 0.0, wind_m_s
    )
    # The wind's part of it is the published drift of a full circle, by the share turned.
    radius_m = float(row["air_mass_radius_m"])
    drift_m = float(row["downwind_drift_360_m"]) * turned / (2.0 * math.pi)
    north_by_hand_m = drift_m + radius_m * (math.sin(last[c.HEADING]) - math.sin(first[c.HEADING]))
    assert float(north_m) == pytest.approx(north_by_hand_m, abs=0.01)
    assert last[c.EAST] - first[c.EAST] == pytest.approx(float(east_m), abs=0.4)
    assert last[c.NORTH] - first[c.NORTH] == pytest.approx(float(north_m), abs=0.4)


@pytest.mark.parametrize("row", rows("flight_constant_radius_circle_in_wind.csv"))
def test_orbit_in_wind(row: dict[str, str]) -> None:
    airspeed_m_s, wind_m_s, radius_m = (
        float(row[key])
        for key in ("true_airspeed_m_per_s", "wind_speed_m_per_s", "ground_radius_m")
    )
    orbit = leg(
        c.ORBIT,
        CALM,
        (radius_m, 0.0),
        {
            c.RADIUS: radius_m,
            c.SIDE: 1.0,
            c.ORBIT_TURNS: 99.0,
            c.AIRSPEED: airspeed_m_s,
            c.BANK: math.radians(60.0),
        },
    )
    flown = fly(
        [orbit],
        air_start(0.0, until_s=200.0),
        member=aircraft(RELEASE_SPEED=airspeed_m_s, MAXIMUM_LIFT=3.0),
        wind=(0.0, wind_m_s),
    )
    series = flown.series
    turns = series[:, c.ORBIT_TURNED] / (2.0 * math.pi)
    at_one, at_three = (float(np.interp(n, turns, series[:, c.TIME])) for n in (1.0, 3.0))
    # Lagging bank lets the circle breathe; its lap agrees within two hundredths.
    assert 0.5 * (at_three - at_one) == pytest.approx(float(row["lap_time_s"]), rel=0.02)
    banks_deg = np.degrees(series[turns > 1.0][:, c.BANKED])
    assert banks_deg.max() == pytest.approx(float(row["bank_at_tailwind_deg"]), abs=2.5)
    assert banks_deg.min() == pytest.approx(float(row["bank_at_headwind_deg"]), abs=2.5)


def test_climb_takes_drag_and_height_over_efficiency() -> None:
    low, high = 60.0, 160.0
    flown = fly(
        [track((0.0, 0.0), (0.0, FAR), HEIGHT=high)],
        air_start(0.0, height_m=low, until_s=120.0),
        member=aircraft(EFFICIENCY=0.45, CLIMB_EFFICIENCY=0.45),
    )
    assert flown.series[-1, c.UP] == pytest.approx(high, abs=0.2)
    pull_n = 0.5 * RHO0 * 15.0**2 * 0.460
    drag_n = pull_n * (0.038 + 0.0541 * (2.60 * G / pull_n) ** 2)
    expected_j = (drag_n * 15.0 * 120.0 + 2.60 * G * (high - low)) / 0.45 + 8.0 * 120.0
    assert flown.result[c.ENERGY] == pytest.approx(expected_j, rel=0.01)


def test_glide_spends_height_on_drag() -> None:
    flown = fly(
        [track((0.0, 0.0), (0.0, FAR))],
        air_start(0.0, until_s=60.0),
        member=aircraft(FULL_POWER=0.0),
    )
    airspeed, height = flown.series[:, c.TRUE_AIRSPEED], flown.series[:, c.UP]
    assert height[-1] < 60.0
    energy_j = 2.60 * (G * height + 0.5 * airspeed**2)
    pull_n = 0.5 * RHO0 * airspeed**2 * 0.460
    lift_n = 2.60 * G * flown.series[:, c.LOAD]
    drag_n = pull_n * (0.038 + 0.0541 * (lift_n / pull_n) ** 2)
    spent_j = float(np.sum(0.5 * (drag_n * airspeed)[1:] + 0.5 * (drag_n * airspeed)[:-1]))
    assert energy_j[0] - energy_j[-1] == pytest.approx(spent_j, rel=0.01)


def test_east_and_west_are_mirrored() -> None:
    corners = [(0.0, 0.0), (0.0, 500.0), (400.0, 700.0), (900.0, 300.0), (300.0, -200.0)]
    corners.append(corners[3])  # straight back: the turn goes into the wind, a tie in still air
    flights = []
    for side in (1.0, -1.0):
        points = [(side * east, north) for east, north in corners]
        legs = [track(points[k], points[k + 1], PASSES_OVER=0.0, SIDE=0.0) for k in range(5)]
        orbit = {c.RADIUS: 80.0, c.SIDE: side, c.ORBIT_TURNS: 99.0}
        legs.append(leg(c.ORBIT, points[5], points[5], orbit))
        flights.append(fly(legs, air_start(0.0, until_s=300.0), wind=(side * 4.0, 2.0)))
    east, west = (flight.series for flight in flights)
    assert np.abs(east[:, c.EAST]).max() > 800.0
    assert west[:, c.EAST] == pytest.approx(-east[:, c.EAST], abs=1e-6)
    assert west[:, c.NORTH] == pytest.approx(east[:, c.NORTH], abs=1e-6)
    assert west[:, c.BANKED] == pytest.approx(-east[:, c.BANKED], abs=1e-9)
    assert flights[1].result[c.ENERGY] == pytest.approx(flights[0].result[c.ENERGY], rel=1e-9)


def test_a_hill_in_the_way_is_touched() -> None:
    plan = air_start(0.0)
    plan[c.GROUND_EAST] = plan[c.GROUND_NORTH] = -2000.0
    plan[c.GROUND_SPACING], plan[c.GROUND_RADIUS] = 500.0, 2000.0
    ground = np.zeros((9, 9))
    ground[6, :] = 200.0  # a ridge 1000 m north, rising from 500 m
    flown = fly([track((0.0, 0.0), (0.0, FAR))], plan, ground=ground)
    assert flown.result[c.EVENT] == c.TOUCHED_GROUND
    # 100 m above launch meets the slope of 200 m in 500 m half-way up, at 750 m.
    assert flown.result[c.EVENT_PLACE + 4] == pytest.approx(750.0, abs=3.0)


def climb_out(height_m: float, airspeed_m_s: float, end_m: float) -> Array:
    columns = {c.HEIGHT: height_m, c.AIRSPEED: airspeed_m_s}
    return leg(c.CLIMB_OUT, (0.0, 0.0), (0.0, end_m), columns)


def test_full_power_is_held_until_it_flies() -> None:
    # 6 kg stall at sqrt(2 x 6 g / (rho 0.46 x 1.15)) = 13.5 m/s; released at 11 m/s they are, after
    # a second, still below 1.2 times that. Momentum theory: the disk takes
    # P = T (V / 2 + sqrt(V^2 / 4 + T / (2 rho A))), here 0.85 x 420 W.
    heavy = aircraft(MASS=6.0, RELEASE_SPEED=11.0, EFFICIENCY=0.9, CLIMB_EFFICIENCY=0.9)
    state = fly([climb_out(200.0, 19.0, FAR)], air_start(0.0, until_s=3.0), member=heavy).series[1]
    thrust_n, airspeed_m_s = state[c.THRUST], state[c.TRUE_AIRSPEED]
    assert 11.0 < airspeed_m_s < 1.2 * 13.5
    through_m_s = 0.5 * airspeed_m_s + math.sqrt(
        0.25 * airspeed_m_s**2 + thrust_n / (2.0 * RHO0 * 0.06)
    )
    # The thrust is that of the step before: the airspeed was a little less.
    assert thrust_n * through_m_s == pytest.approx(0.85 * 420.0, rel=0.03)


def test_the_barometer_is_right_at_launch_and_drifts() -> None:
    # It comes to show 12 m too much: released at 1.5 m the aircraft still climbs, and when the
    # drift is in full it flies 12 m below the planned 100 m.
    low = air_start(0.0, height_m=1.5, until_s=120.0)
    legs = [climb_out(100.0, 13.0, 10.0), track((0.0, 0.0), (0.0, FAR))]
    series = fly(legs, low, member=aircraft(BAROMETER_ERROR=-12.0)).series
    assert series[1:6, c.UP].min() > 1.5
    assert series[-1, c.UP] == pytest.approx(88.0, abs=0.5)
