"""The motor stopped at every second of ordinary flights, by hand and by turning one thing."""

import math
import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from homeleg.aircraft.performance import best_glide_eas
from homeleg.flight import gliding as g
from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown, fly
from homeleg.formats.limits_file import read_limits
from homeleg.formats.sortie_file import read_sortie
from homeleg.sortie.resolve import resolve
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.limits import RowKind
from homeleg.verdict.motor_rows import motor_rows, within_glide, worst_stop
from homeleg.verdict.result import Row, Status
from homeleg.verdict.undeclared import to_declare
from homeleg.way_home.glide_edge import ROUND_OUT_M, glide_edge
from homeleg.way_home.gliders import gliders_of
from homeleg.way_home.ground_kinds import ground_kinds
from homeleg.way_home.motor_stopped import LANDING, MotorStopped, stop_motor
from homeleg.world.site import ComeDownPlace, KeepOutGround, KeepOutKind

Array = NDArray[np.float64]
Edit = tuple[str, str, str]

EXAMPLES = Path(__file__).parents[2] / "examples"
SORTIE = (EXAMPLES / "tern-point" / "sortie.toml").read_text("utf-8")
PLACES = SORTIE[SORTIE.index("come_down = [") : SORTIE.index("[weather]")]
NO_PLACES: Edit = ("sortie.toml", PLACES, "come_down = []\n\n")
WIND = "5.0 m/s from 225"


class Stopped:
    """A flown example with pieces of its files exchanged, its motor stopped at every second."""

    def __init__(self, folder: Path, *edits: Edit, example: str = "tern-point") -> None:
        here = folder / example
        shutil.copytree(EXAMPLES / example, here)
        for name, old, new in edits:
            path = here / name
            text = path.read_text("utf-8")
            assert old in text, f"{name} holds no {old!r}"
            path.write_text(text.replace(old, new), "utf-8")
        resolved = resolve(read_sortie(here / "sortie.toml").sortie)
        self.flown: Flown = fly(resolved, resolved.departures[0], 64, resolved.sortie.seed)
        found = stop_motor(self.flown, polar_derating=0.2, quick=False)
        assert found is not None
        self.found: MotorStopped = found
        self.evidence = Evidence.of(self.flown, read_limits())

    def rows(self) -> tuple[Row, Row]:
        people, reach = motor_rows(self.evidence, self.found)
        return people, reach


def village(west: float, south: float, east: float, north: float, kind: str = "people") -> Edit:
    corners = f"[[{west}, {south}], [{east}, {south}], [{east}, {north}], [{west}, {north}]]"
    keep_out = f'keep_out = [{{ name = "Sandby", kind = "{kind}", vertices_m = {corners} }}]'
    return ("sortie.toml", "keep_out = []", keep_out)


# All ground east of 250 m, farther than any glide in this wind.
WIDE = (250.0, -1500.0, 2500.0, 2500.0)


@pytest.fixture(scope="module")
def tern(tmp_path_factory: pytest.TempPathFactory) -> Stopped:
    return Stopped(tmp_path_factory.mktemp("tern"))


def test_a_place_is_in_reach_from_everywhere_above_40_m(tern: Stopped) -> None:
    # As the case was drawn up: one of the declared places, or the launch point.
    high = tern.found.flying & (tern.found.states[:, :, c.UP] > 40.0)
    assert np.count_nonzero(high) > 3000
    assert np.all(tern.found.derated.spare_m[high].max(axis=1) >= 0.0)


def test_rows_of_an_ordinary_day(tern: Stopped) -> None:
    people, reach = tern.rows()
    assert (people.status, people.reading) == (Status.GO, 0.0)
    assert people.limit.kind is RowKind.FLOWN
    assert reach.limit.kind is RowKind.NOTED
    assert "bar" in reach.note
    assert "keep-out" not in reach.note


def test_spare_height_over_the_bar_by_hand(tern: Stopped) -> None:
    # From 300 m south of the bar (600, 420), north-bound at 85 m and at the airspeed of the best
    # glide, with the middle wind: 5.0 (82 / 10)^0.16 = 7.0 m/s from 225, 4.95 m/s along north and
    # as much from the left, on the mean of 85 and 63 m: 4.85. At 11 m/s the ratio is 11.0 (CL 0.75,
    # CD 0.0685) less 20 % = 8.8, so it sinks 1.24 m/s and makes sqrt(11.0^2 - 1.24^2 - 4.85^2)
    # + 4.85 = 14.6 m/s over the ground: 11.8 m for one. 300 - 40 m cost 22 m.
    state = tern.found.states[40, :1].copy()
    airspeed = float(tern.found.derated_gliders.rows[0, g.GLIDE_AIRSPEED])
    state[0, [c.EAST, c.NORTH, c.UP, c.TRUE_AIRSPEED]] = 600.0, 120.0, 85.0, airspeed
    spare = []
    for member in range(64):
        wind = self_wind(tern.flown, member, 85.0)
        state[0, [c.WIND_EAST, c.WIND_NORTH]] = wind
        state[0, c.HEADING] = -math.asin(wind[0] / airspeed)
        plan, _, ground, obstacles = tern.flown.surroundings
        gliders = tern.found.derated_gliders
        spare.append(
            g.spare_heights(
                state,
                np.array([member]),
                gliders.rows,
                gliders.table,
                gliders.courses,
                gliders.levels,
                plan,
                ground,
                obstacles,
                tern.found.target_rows[[tern.found.targets.index("bar")]],
            )[0, 0]
        )
    # Ground right within 5 m, nine times in ten, and 1 m/s of wind: the median of 64 within 1.5 m.
    assert np.median(spare) == pytest.approx(85.0 - 22.0, abs=1.5)


def self_wind(flown: Flown, member: int, height_m: float) -> Array:
    roots, winds = np.sqrt(flown.wind_heights_m), flown.winds[member]
    return np.array([np.interp(math.sqrt(height_m), roots, winds[k]) for k in (0, 1)])


def test_glide_edge_lies_up_wind(tern: Stopped) -> None:
    # Wind from 225: who stops up-wind is carried home.
    assert middle_edge(tern, 225.0) > 1.8 * middle_edge(tern, 45.0)


def test_glide_edge_turns_with_the_wind(tern: Stopped, tmp_path: Path) -> None:
    turned = Stopped(tmp_path, ("sortie.toml", WIND, "5.0 m/s from 45"))
    assert middle_edge(turned, 45.0) > 1.8 * middle_edge(turned, 225.0)
    # Landing one way only: into the wind here, down-wind there; else the same picture turned.
    half_a_turn_m = math.pi * float(np.median(tern.found.derated_gliders.rows[:, g.TURN_LOSS]))
    assert middle_edge(turned, 45.0) - middle_edge(tern, 225.0) == pytest.approx(
        half_a_turn_m * 14.0, abs=60.0
    )


def middle_edge(stopped: Stopped, bearing_deg: float) -> float:
    edge = stopped.found.edge
    number = int(np.argmin(np.abs(edge.bearings_rad - math.radians(bearing_deg))))
    return float(np.median(edge.distances_m[number]))


def test_glide_edge_in_a_calm_by_hand(tmp_path: Path) -> None:
    calm = Stopped(
        tmp_path,
        ("sortie.toml", f'value = "{WIND}", gust = "6.5 m/s"', 'value = "0 m/s from 225"'),
    )
    flown = without_wind(calm.flown)
    edge = glide_edge(flown, gliders_of(flown, 64, 0.2))
    # 70 m, the middle of 60, 70, 70, 85, 85, 85 and 60 m, less half a turn, less a flare and the
    # turn into 225 deg: none from 045 deg, half a circle from 225 deg; 11.0 less 20 % for each.
    resolved = flown.resolved
    assert edge.height_m == 70.0
    rows = gliders_of(flown, 64, 0.2).rows
    aircraft = Evidence.of(flown, read_limits()).aircraft
    # At the best airspeed, but no slower than 1.2 times the stall; at the middle 11.0.
    slowest = np.maximum(best_glide_eas(aircraft)[0], 1.2 * aircraft.stall_eas_m_s)
    ratios = np.asarray(0.8 * aircraft.weight_n / aircraft.drag_n(slowest))
    assert np.median(ratios) == pytest.approx(0.8 * 11.0, rel=0.01)
    heights_m = 70.0 - ROUND_OUT_M - math.pi * rows[:, g.TURN_LOSS]
    north_east = edge.distances_m[6]
    assert math.degrees(resolved.pattern.direction_rad) == pytest.approx(225.0)
    # Looked at every 10 m: up to that much short.
    np.testing.assert_allclose(north_east, heights_m * ratios - 5.0, atol=5.5)
    heights_m -= math.pi * rows[:, g.TURN_LOSS]
    np.testing.assert_allclose(edge.distances_m[30], heights_m * ratios - 5.0, atol=5.5)


def without_wind(flown: Flown) -> Flown:
    return replace(flown, winds=np.zeros_like(flown.winds))


def test_a_turn_by_hand(tern: Stopped) -> None:
    # 1.2 times 8.87 m/s, times the root of the load factor 1.155 at 30 deg: 11.4 m/s; radius
    # 11.4^2 / (9.81 x 0.577) = 23.1 m; lift coefficient 0.80, drag 0.0725: drag over weight 0.105;
    # 2.4 m a radian, a quarter more with the polar derated by 20 %.
    plain = np.median(tern.found.plain_gliders.rows, axis=0)
    assert plain[g.GLIDE_AIRSPEED] == pytest.approx(11.4, abs=0.1)
    assert plain[g.TURN_RADIUS] == pytest.approx(23.1, abs=0.4)
    assert plain[g.TURN_LOSS] == pytest.approx(2.43, abs=0.06)
    derated = np.median(tern.found.derated_gliders.rows, axis=0)
    assert derated[g.TURN_LOSS] == pytest.approx(1.25 * plain[g.TURN_LOSS], rel=1e-6)


class TestKeepOutGround:
    def test_under_all_of_the_glide(self, tmp_path: Path) -> None:
        stopped = Stopped(tmp_path, village(*WIDE), NO_PLACES)
        people, reach = stopped.rows()
        assert people.status is Status.NO_GO
        assert people.cause == "keep-out ground"
        assert "Sandby" in people.note
        assert "farther from Sandby" in (people.act or "")
        assert people.where is not None
        assert people.where.east_m > 500.0
        assert "keep-out ground for people" in reach.note
        worst = worst_stop(stopped.evidence, stopped.found)
        assert worst is not None
        assert worst.spare_height_m is None
        assert worst.reaches == "keep-out ground for people"

    def test_a_declared_place_in_it(self, tmp_path: Path) -> None:
        people, _ = Stopped(tmp_path, village(*WIDE)).rows()
        assert people.status is Status.GO

    def test_water_is_nobody(self, tmp_path: Path) -> None:
        people, reach = Stopped(tmp_path, village(*WIDE, kind="water"), NO_PLACES).rows()
        assert (people.status, people.reading) == (Status.GO, 0.0)
        assert "water or forest" in reach.note

    def test_the_act_mends_it(self, tmp_path: Path) -> None:
        stopped = Stopped(tmp_path, village(*WIDE), NO_PLACES)
        people, _ = stopped.rows()
        number, by_m = (people.act or "").partition(" m higher")[0].rpartition(" ")[::2]
        assert number.startswith("fly ")
        every = np.arange(stopped.found.seconds.size)
        derated, plain = stopped.found.from_higher(every, float(by_m))
        assert np.median(derated.only_people.sum(axis=0)) == 0.0
        assert np.percentile(plain.only_people.sum(axis=0), 90.0) == 0.0
        lower, bare = stopped.found.from_higher(every, float(by_m) - 10.0)
        assert (
            np.median(lower.only_people.sum(axis=0)) > 0.0
            or np.percentile(bare.only_people.sum(axis=0), 90.0) > 0.0
        )

    def test_a_fifth_less_of_the_glide(self, tmp_path: Path) -> None:
        stopped = Stopped(tmp_path, village(*WIDE), NO_PLACES)
        derated, plain = (
            one.only_people.sum() for one in (stopped.found.derated, stopped.found.plain)
        )
        assert derated > plain > 0
        # Whatever the plain polar leaves to nobody but people, the derated one does.
        assert np.all(stopped.found.derated.only_people | ~stopped.found.plain.only_people)

    def test_nobody_said_anything(self, tmp_path: Path) -> None:
        stopped = Stopped(tmp_path, ("sortie.toml", "keep_out = []\n", ""))
        people, reach = stopped.rows()
        assert people.status is Status.NOT_ANSWERED
        assert people.limit.kind is RowKind.TOLD
        assert [item.item for item in to_declare((people, reach))] == ["people"]


def test_kinds_of_ground(tern: Stopped) -> None:
    site = tern.flown.resolved.sortie.site
    road = ((0.0, 0.0), (100.0, 0.0), (100.0, 10.0), (0.0, 10.0))
    pond = ((0.0, 10.0), (100.0, 10.0), (100.0, 60.0), (0.0, 60.0))
    site = replace(
        site,
        keep_out=(
            KeepOutGround(name="lane", kind=KeepOutKind.ROAD, vertices_m=road),
            KeepOutGround(name="pond", kind=KeepOutKind.WATER, vertices_m=pond),
        ),
        come_down=(ComeDownPlace(name="verge", east_m=90.0, north_m=0.0, radius_m=12.0),),
    )
    marked = ground_kinds(site, (-1000.0, -1000.0, 1000.0, 1000.0))
    east_m, north_m, spacing_m = marked.place

    def kind(east: float, north: float) -> int:
        return int(
            marked.kinds[round((north - north_m) / spacing_m), round((east - east_m) / spacing_m)]
        )

    assert kind(50.0, 5.0) == g.OF_PEOPLE
    assert kind(50.0, -5.0) == g.OF_PEOPLE  # within 10 m of the lane
    assert kind(50.0, -15.0) == g.OPEN
    assert kind(50.0, 15.0) == g.OF_PEOPLE  # in the pond, and too near to the lane
    assert kind(50.0, 40.0) == g.LOST
    assert kind(90.0, 5.0) == g.OPEN  # the verge


def test_first_step_of_reach_stays_within_glide(tern: Stopped, tmp_path: Path) -> None:
    circuit = Stopped(tmp_path, example="bracken-workshop")
    assert within_glide(circuit.evidence, circuit.found)
    assert not within_glide(tern.evidence, tern.found)


def test_the_worst_second_in_words(tern: Stopped) -> None:
    worst = worst_stop(tern.evidence, tern.found)
    assert worst is not None
    assert worst.spare_height_m is not None
    assert worst.spare_height_m.p50 >= 0.0
    assert worst.reaches in (LANDING, *tern.found.targets)
    assert f"{worst.distance_m:.0f} m towards" in worst.words
