"""Inside, seen, heard, clear of ice and cloud: figures worked by hand, and one thing turned.

Few flights and no way home unless said; each case edits the plain text of an example.
"""

import math
import shutil
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from homeleg.desk.check import limits_of
from homeleg.flight import layout as c
from homeleg.flight.ensemble import fly
from homeleg.formats.sortie_file import read_sortie
from homeleg.physics.sun import days_since_2000, sun_position
from homeleg.sortie.resolve import resolve
from homeleg.verdict.corridor import corridor_of
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.heard_rows import heard_rows
from homeleg.verdict.home_rows import home_rows
from homeleg.verdict.inside_rows import inside_rows
from homeleg.verdict.result import Row, Status
from homeleg.verdict.sight_rows import angle_from_sun, sight_rows
from homeleg.verdict.weather_rows import weather_rows
from homeleg.way_home.search import search_way_home

EXAMPLES = Path(__file__).parents[2] / "examples"
RADIO = """[radio]
frequency = "915 MHz"
power = "100 mW"
gain = ["2 dBi", "2 dBi"]
losses = "1 dB"
sensitivity = "-107 dBm"
antenna_height = "2 m"
"""
Edit = tuple[str, str, str]


class Turned:
    """The rows of an example with pieces of its files exchanged."""

    def __init__(
        self,
        folder: Path,
        *edits: Edit,
        example: str = "tern-point",
        members: int = 64,
        home_scale: float = 0.0,
    ) -> None:
        here = folder / example
        shutil.copytree(EXAMPLES / example, here)
        for name, old, new in edits:
            path = here / name
            text = path.read_text("utf-8")
            assert old in text, f"{name} holds no {old!r}"
            path.write_text(text.replace(old, new), "utf-8")
        resolved = resolve(read_sortie(here / "sortie.toml").sortie)
        flown = fly(resolved, resolved.departures[0], members, resolved.sortie.seed)
        home = search_way_home(flown, scale=home_scale) if home_scale else None
        self.evidence = Evidence.of(flown, limits_of(resolved.sortie))
        self.corridor = corridor_of(flown)
        self.rows = {
            row.limit.slug: row
            for row in (
                *inside_rows(self.evidence, self.corridor, home),
                *sight_rows(self.evidence, self.corridor),
                *heard_rows(
                    self.evidence,
                    self.corridor,
                    home,
                    home_rows(self.evidence, home) if home else [],
                ),
                *weather_rows(self.evidence, self.corridor),
            )
        }

    def __getitem__(self, slug: str) -> Row:
        return self.rows[slug]

    def reading(self, slug: str) -> float:
        reading = self.rows[slug].reading
        assert reading is not None
        return reading


@pytest.fixture(scope="module")
def tern(tmp_path_factory: pytest.TempPathFactory) -> Turned:
    return Turned(tmp_path_factory.mktemp("tern"), home_scale=0.1)


@pytest.fixture(scope="module")
def corrie(tmp_path_factory: pytest.TempPathFactory) -> Turned:
    return Turned(tmp_path_factory.mktemp("corrie"), example="corrie-spur", home_scale=0.1)


class TestTernPoint:
    """An ordinary good day."""

    def test_every_row_holds(self, tern: Turned) -> None:
        assert {row.status for row in tern.rows.values()} == {Status.GO, Status.DOES_NOT_APPLY}

    def test_ceiling(self, tern: Turned) -> None:
        # 85 m and 1.28 sqrt(4^2 + (5 / 1.645)^2) m of barometer and ground: 91.4 m over the
        # ground, 90.1 m above launch. Turbulence adds to the highest instant, up to 4 m here.
        assert 90.1 - 0.5 <= tern.reading("inside.ceiling") <= 91.4 + 4.0

    def test_ground_is_as_uncertain_as_stated(self, tern: Turned) -> None:
        # Right within 5 m, nine times in ten; the launch point is stood upon.
        corridor = tern.corridor
        below_m = corridor.up_m - corridor.heights_over_ground_m(tern.evidence.flown)
        far = np.hypot(corridor.east_m[100], corridor.north_m[100]) > 100.0
        assert np.mean(below_m[100, far]) == pytest.approx(0.0, abs=0.4)
        assert np.std(below_m[100, far]) == pytest.approx(5.0 / 1.645, rel=0.1)
        assert np.nanmax(np.abs(below_m[0])) < 0.2

    def test_spare_to_the_boundary(self, tern: Turned) -> None:
        # C-D lies on the hull and is flown at 22.5 m/s: 250 m less one second of that and 1.28
        # times 3 m of fix. Tracking and fix lead astray by sqrt(3^2 + 3^2) m; the worst second
        # of each flight lies a little beyond its mean track.
        spare = tern["inside.boundary"].value
        assert spare is not None
        assert spare.p50 == pytest.approx(250.0 - 22.5 - 3.8, abs=2.0)
        assert spare.p10 == pytest.approx(250.0 - 22.5 - 3.8 - 1.28 * 4.24, abs=3.0)

    def test_distance(self, tern: Turned) -> None:
        # E is 798 m away, seen to 961 m: 0.83. The corner there is cut by 16 m at most (radius
        # 56 m at 17.8 m/s and 30 deg of bank, 77 deg of turn), 0.02 of the limit.
        assert 0.83 - 0.02 <= tern.reading("sight.distance") <= 0.835

    def test_visibility(self, tern: Turned) -> None:
        assert tern.reading("sight.visibility") == pytest.approx(10.0)

    def test_sun(self, tern: Turned) -> None:
        site = tern.evidence.resolved.sortie.site
        at = days_since_2000(datetime(2026, 6, 9, 17, tzinfo=UTC))
        azimuth, elevation = sun_position(site.latitude_rad, site.longitude_rad, at)
        assert math.degrees(azimuth) == pytest.approx(268.0, abs=1.0)
        assert math.degrees(elevation) == pytest.approx(30.0, abs=1.0)
        nearest = np.fmin.reduce(angle_from_sun(tern.evidence, tern.corridor))
        # Nearest in the climb-out, along 225 deg: 43 deg of azimuth are 37 deg between two points
        # as high as the sun, 40 where the aircraft is 20 deg up, as 60 m after 165 m are.
        assert 36.5 <= math.degrees(float(np.median(nearest))) <= 40.5

    def test_link(self, tern: Turned) -> None:
        # 20 + 2 + 2 - 1 dBm less 89.8 dB over 802 m, -107 dBm wanted, 6 dB of null.
        assert tern.reading("heard.margin") == pytest.approx(34.0, abs=0.5)
        assert tern.reading("heard.hidden") == 0.0

    def test_cloud(self, tern: Turned) -> None:
        # 900 m less 85 m and what the middle flight rises above it: 4 m.
        assert tern.reading("weather.cloud") == pytest.approx((900.0 - 85.0) / 0.3048, abs=13.0)


class TestCorrieSpur:
    """A wooded spur stands between the far end of the route and the antenna."""

    def test_link_behind_the_spur(self, corrie: Turned) -> None:
        # Line of sight 43.5 m below the tops: v = 5.8, 28.1 dB; 94.6 dB of free space; 7.3 dB of
        # margin, 1.3 dB after the null. At WP6; the flown corner lies a little inside it.
        row = corrie["heard.margin"]
        assert row.status is Status.NO_GO
        assert row.cause == "radio"
        assert row.where is not None
        assert row.where.leg in ("WP5 to WP6", "WP6 to WP7")
        assert corrie.reading("heard.margin") == pytest.approx(1.3, abs=0.5)
        assert "way home is NO-GO" in row.note

    def test_it_is_marginal_where_the_way_home_holds(self, corrie: Turned) -> None:
        row, hidden = heard_rows(corrie.evidence, corrie.corridor, None, [])
        assert row.status is Status.MARGINAL
        assert hidden.reading is not None
        assert hidden.reading > 30.0

    def test_beyond_sight_is_authorised(self, corrie: Turned) -> None:
        assert corrie["sight.distance"].status is Status.DOES_NOT_APPLY

    def test_higher_antenna(self, tmp_path: Path) -> None:
        # From 100 m above the launch point the line passes the spur at 91 m, 11 m over the tops.
        turned = Turned(
            tmp_path,
            ("ousel.toml", 'antenna_height = "2 m"', 'antenna_height = "100 m"'),
            example="corrie-spur",
        )
        assert turned["heard.margin"].status is Status.GO

    def test_beyond_sight_is_not(self, tmp_path: Path) -> None:
        turned = Turned(
            tmp_path,
            ("sortie.toml", "beyond_sight = true", "beyond_sight = false"),
            example="corrie-spur",
        )
        # 1,400 m of 961 m, the corner cut.
        assert turned["sight.distance"].status is Status.NO_GO
        assert turned.reading("sight.distance") == pytest.approx(1400.0 / 961.0, abs=0.03)


def test_link_over_seven_kilometres(tmp_path: Path) -> None:
    turned = Turned(tmp_path, example="skarv-moor", members=16)
    assert turned["heard.margin"].status is Status.GO
    assert turned.reading("heard.margin") == pytest.approx(15.0, abs=0.5)


class TestTurned:
    """One thing turned on the ordinary good day."""

    def test_sun_behind_the_far_legs(self, tmp_path: Path) -> None:
        turned = Turned(
            tmp_path,
            ("sortie.toml", "2026-06-09 16:", "2026-06-09 04:"),
            ("sortie.toml", "2026-06-09 17:00Z", "2026-06-09 05:10Z"),
        )
        row = turned["sight.sun"]
        assert row.status is Status.NO_GO
        assert row.cause == "sun"
        # The sun stands at 063 deg, 9 deg high; E at 060 deg, 6 deg high: 4.5 deg between them.
        angle = angle_from_sun(turned.evidence, turned.corridor)
        at_e = np.hypot(turned.corridor.east_m - 690.0, turned.corridor.north_m - 400.0) < 40.0
        assert math.degrees(float(np.median(angle[at_e]))) == pytest.approx(4.5, abs=1.5)

    def test_sun_beside_the_far_legs(self, tmp_path: Path) -> None:
        # At 080 deg, 21 deg high: 15 deg above D (080 deg, 6 deg high), which is near it.
        turned = Turned(
            tmp_path,
            ("sortie.toml", "2026-06-09 16:", "2026-06-09 05:"),
            ("sortie.toml", "2026-06-09 17:00Z", "2026-06-09 06:35Z"),
        )
        assert turned["sight.sun"].status is Status.MARGINAL

    @pytest.mark.parametrize(
        ("launch", "status"),
        [
            # Sunset at 20:56 UTC, a flight of four minutes.
            ("20:20", Status.GO),
            ("20:30", Status.MARGINAL),
            ("20:54", Status.NO_GO),
            ("22:30", Status.NO_GO),
        ],
    )
    def test_launched_late(self, tmp_path: Path, launch: str, status: Status) -> None:
        turned = Turned(tmp_path, ("sortie.toml", "2026-06-09 17:00Z", f"2026-06-09 {launch}Z"))
        row = turned["sight.daylight"]
        assert row.status is status
        assert row.cause == "light"

    def test_sun_is_down(self, tmp_path: Path) -> None:
        turned = Turned(tmp_path, ("sortie.toml", "2026-06-09 17:00Z", "2026-06-09 22:30Z"))
        assert turned["sight.sun"].status is Status.DOES_NOT_APPLY
        # Solar noon is at 12:19 UTC: as far before it as the sunset at 20:56 is behind.
        row = turned["sight.daylight"]
        assert "03:42Z" in (row.act or "")
        assert "20:56Z" in row.note
        assert row.status is Status.NO_GO
        # 20:56 to 22:30.
        assert row.reading == pytest.approx(-94.0, abs=1.0)

    @pytest.mark.parametrize(
        ("height", "status"), [("100", Status.GO), ("108", Status.MARGINAL), ("125", Status.NO_GO)]
    )
    def test_higher_route(self, tmp_path: Path, height: str, status: Status) -> None:
        # The boundary's top is 118 m above launch: want 108 m; 90 m flown at 85 m planned.
        turned = Turned(tmp_path, ("route.csv", ",85,", f",{height},"))
        row = turned["inside.ceiling"]
        assert row.status is status
        assert row.cause == "route height"

    def test_higher_way_home(self, tmp_path: Path) -> None:
        turned = Turned(
            tmp_path,
            ("petrel.toml", '"85 m above launch"', '"118 m above launch"'),
            home_scale=0.1,
        )
        row = turned["inside.ceiling"]
        assert row.status is Status.NO_GO
        assert row.cause == "return height"

    def test_narrow_boundary(self, tmp_path: Path) -> None:
        turned = Turned(tmp_path, ("sortie.toml", 'hull_margin = "250 m"', 'hull_margin = "25 m"'))
        # 225 m less than on the ordinary day, where 218 m are left nine times in ten.
        row = turned["inside.boundary"]
        assert row.status is Status.NO_GO
        assert row.cause == "boundary"

    @pytest.mark.parametrize(
        ("east_deg", "status"), [("-4.95", Status.GO), ("-4.989", Status.NO_GO)]
    )
    def test_drawn_boundary(self, tmp_path: Path, east_deg: str, status: Status) -> None:
        # D lies at 4.98812 W: 2.4 km inside a fence at 4.95 W, 56 m outside one at 4.989 W.
        corners = f"[[-5.05,54.95],[{east_deg},54.95],[{east_deg},55.05],[-5.05,55.05]]"
        path = tmp_path / "f.geojson"
        path.write_text(f'{{"type": "Polygon", "coordinates": [{corners}]}}', "utf-8")
        turned = Turned(
            tmp_path, ("sortie.toml", 'hull_margin = "250 m"', f"file = '{path.as_posix()}'")
        )
        assert turned["inside.boundary"].status is status

    def test_no_boundary(self, tmp_path: Path) -> None:
        turned = Turned(
            tmp_path,
            (
                "sortie.toml",
                'boundary = { hull_margin = "250 m", top = "118 m above launch" }\n',
                "",
            ),
        )
        assert turned["inside.boundary"].status is Status.NOT_ANSWERED
        assert turned["inside.ceiling"].want == 110.0

    @pytest.mark.parametrize(
        ("north_m", "status"), [(-420, Status.GO), (-340, Status.NO_GO)], ids=["far", "near"]
    )
    def test_road_beside_the_route(self, tmp_path: Path, north_m: int, status: Status) -> None:
        # B is at (130, -300), 70 m up: a road 120 m south of it is farther than that, one 40 m
        # south is not.
        road = f"[[-500, {north_m}], [800, {north_m}], [800, -900], [-500, -900]]"
        keep_out = f'keep_out = [{{ name = "A77", kind = "road", vertices_m = {road} }}]'
        turned = Turned(tmp_path, ("sortie.toml", "keep_out = []", keep_out))
        assert turned["inside.ground_buffer"].status is status

    @pytest.mark.parametrize(
        ("kind", "profile", "status"),
        [
            ("building", "own", Status.GO),
            ("building", "Canada", Status.GO),
            ("building", "EU open A3", Status.NO_GO),
            ("road", "EU open A3", Status.GO),
        ],
    )
    def test_distance_that_a_rule_asks_for(
        self, tmp_path: Path, kind: str, profile: str, status: Status
    ) -> None:
        # 120 m south of B, which is 70 m up: more than one to one and than 30.48 m, not than 150 m.
        corners = "[[-500, -420], [800, -420], [800, -900], [-500, -900]]"
        keep_out = f'keep_out = [{{ name = "x", kind = "{kind}", vertices_m = {corners} }}]'
        turned = Turned(
            tmp_path,
            ("sortie.toml", "keep_out = []", keep_out),
            ("sortie.toml", 'profile = "own"', f'profile = "{profile}"'),
        )
        assert turned["inside.ground_buffer"].status is status

    def test_ceiling_of_a_rule(self, tmp_path: Path) -> None:
        turned = Turned(
            tmp_path,
            ("sortie.toml", 'profile = "own"', 'profile = "US part 107"'),
            ("sortie.toml", 'top = "118 m above launch"', 'top = "200 m AGL"'),
            ("route.csv", ",85,", ",100,"),
        )
        row = turned["inside.ceiling"]
        assert (row.hard, row.status) == (121.92, Status.GO)
        assert row.limit.source == "US part 107: 107.51(b): 400 ft above the ground"
        # What it does not rule stays, and says so.
        assert turned["sight.daylight"].limit.source == "own: US part 107 does not rule it"

    def test_water_is_nobody(self, tmp_path: Path) -> None:
        sea = "[[-500, -320], [800, -320], [800, -900], [-500, -900]]"
        keep_out = f'keep_out = [{{ name = "sea", kind = "water", vertices_m = {sea} }}]'
        turned = Turned(tmp_path, ("sortie.toml", "keep_out = []", keep_out))
        assert turned["inside.ground_buffer"].status is Status.DOES_NOT_APPLY

    @pytest.mark.parametrize(
        ("temperature", "humidity", "cloud_base", "icing"),
        [
            ("1", "65", "70", Status.NO_GO),  # cold, in cloud
            ("1", "65", "900", Status.GO),  # cold, dry
            ("2", "96", "900", Status.NO_GO),  # cold, nearly saturated
            ("5", "92", "900", Status.MARGINAL),  # cool, damp
            ("14", "96", "900", Status.GO),  # warm
        ],
    )
    def test_cold_and_wet(
        self, tmp_path: Path, temperature: str, humidity: str, cloud_base: str, icing: Status
    ) -> None:
        turned = Turned(
            tmp_path,
            ("sortie.toml", '"14 degC"', f'"{temperature} degC"'),
            ("sortie.toml", '"65 %"', f'"{humidity} %"'),
            ("sortie.toml", "900 m above launch", f"{cloud_base} m above launch"),
        )
        assert turned["weather.icing"].status is icing
        cloud = Status.NO_GO if cloud_base == "70" else Status.GO
        assert turned["weather.cloud"].status is cloud

    @pytest.mark.parametrize(
        ("visibility", "status"),
        [("4.5 km", Status.NO_GO), ("4.9 km", Status.MARGINAL), ("5 km", Status.GO)],
    )
    def test_hazy(self, tmp_path: Path, visibility: str, status: Status) -> None:
        turned = Turned(tmp_path, ("sortie.toml", '"10 km"', f'"{visibility}"'))
        assert turned["sight.visibility"].status is status

    def test_nobody_gets_away(self, tmp_path: Path) -> None:
        turned = Turned(
            tmp_path,
            ("petrel.toml", 'throw = { value = "8 m/s", sd = "0.5 m/s" }', 'throw = "2 m/s"'),
            ("petrel.toml", 'motor_delay = "0 s"', 'motor_delay = "3 s"'),
        )
        assert np.all(turned.evidence.flown.results[:, c.EVENT] == c.LOST_AT_LAUNCH)
        for slug in ("sight.daylight", "heard.margin", "heard.hidden"):
            assert turned[slug].status is Status.NOT_ANSWERED

    def test_what_nobody_told(self, tmp_path: Path) -> None:
        turned = Turned(
            tmp_path,
            ("sortie.toml", 'visibility = "10 km"\n', ""),
            ("sortie.toml", 'cloud_base = "900 m above launch"\n', ""),
            ("petrel.toml", RADIO, ""),
        )
        for slug in ("sight.visibility", "weather.cloud", "heard.margin"):
            assert turned[slug].status is Status.NOT_ANSWERED
        assert turned["heard.hidden"].status is Status.DOES_NOT_APPLY
