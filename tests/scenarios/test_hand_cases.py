"""Five sorties whose figures were worked by hand: straight legs, wind triangles, closed forms.

Invented places and aircraft. Hand: level power P = 0.5 rho V^3 S CD0 / eta + 2 k (m g)^2 /
(rho V S eta) + avionics; ground speed and crab from the wind triangle at each leg's higher end
(power-law wind); turns at constant bank in wind. Ground speeds of flown legs +-0.5 m/s, crab
+-2 deg, first and last leg excepted; charge +-5 points; energies and times as said.
"""

import math
import re
from collections.abc import Callable

import pytest

from homeleg.desk.check import CheckResult
from homeleg.verdict.limits import Question
from homeleg.verdict.result import LegSummary, Row, Status, Verdict

Checked = Callable[[str], CheckResult]


def row(verdict: Verdict, slug: str) -> Row:
    return next(one for one in verdict.rows if one.limit.slug == slug)


def leg(verdict: Verdict, start: str, end: str) -> LegSummary:
    return next(one for one in verdict.flight.legs if (one.start, one.end) == (start, end))


def reading(verdict: Verdict, slug: str) -> float:
    value = row(verdict, slug).reading
    assert value is not None
    return value


class TestTernPoint:
    """A seabird count along a shore in a fresh breeze: an ordinary good day."""

    @pytest.fixture
    def verdict(self, checked: Checked) -> Verdict:
        return checked("tern-point").verdict

    def test_word(self, verdict: Verdict) -> None:
        assert verdict.word is Status.GO
        assert not verdict.reasons
        assert not verdict.to_do

    def test_all_sixteen_questions_have_room(self, verdict: Verdict) -> None:
        assert {answer.question for answer in verdict.answers} == set(Question)
        assert {answer.status for answer in verdict.answers} == {Status.GO}

    def test_motor_stopped(self, verdict: Verdict) -> None:
        # Landing areas are declared along the shore: always one of them, or the launch point.
        assert verdict.way_home is not None
        worst, edge = verdict.way_home.motor_stopped, verdict.way_home.glide_edge
        assert worst is not None
        assert worst.spare_height_m is not None
        assert worst.spare_height_m.p10 > 0.0
        # 70 m up and up-wind, 225 deg from the launch point. A half turn takes 3.0 x pi m, the turn
        # into the wind as much, the flare 3 m: 48 m left. At 10.6 m/s the ratio is 11.0 less 20 %,
        # sink 1.20 m/s; 5.0 (40 / 10)^0.16 = 6.2 m/s from behind: 16.7 m/s, 14 to 1.
        assert edge is not None
        up_wind = next(one for one in edge.points if abs(one.bearing_rad - 3.927) < 0.01)
        assert up_wind.p50_m == pytest.approx(48.0 * 14.0, rel=0.06)
        # Down-wind of it at 13.5 m/s: 9.7 to 1 less 20 %, sink 1.73 m/s, 7.2 m/s made good: 4.15
        # to 1; only the half turn and the flare are paid for: 57 m.
        down_wind = next(one for one in edge.points if abs(one.bearing_rad - 0.785) < 0.01)
        assert down_wind.p50_m == pytest.approx(57.0 * 4.15, rel=0.08)

    @pytest.mark.parametrize(
        ("start", "end", "ground_speed_m_s", "crab_deg"),
        [
            ("A", "B", 17.30, 23.2),
            ("B", "C", 21.51, 10.2),
            ("C", "D", 22.49, 2.6),
            ("D", "E", 17.83, 23.1),
            ("E", "F", 9.60, 18.1),
            ("F", "G", 8.49, 3.4),
        ],
    )
    def test_legs(
        self, verdict: Verdict, start: str, end: str, ground_speed_m_s: float, crab_deg: float
    ) -> None:
        flown = leg(verdict, start, end)
        assert flown.ground_speed_m_s is not None
        assert flown.crab_rad is not None
        assert flown.ground_speed_m_s.p50 == pytest.approx(ground_speed_m_s, abs=0.5)
        assert math.degrees(flown.crab_rad.p50) == pytest.approx(crab_deg, abs=2.0)

    def test_route_time_and_energy(self, verdict: Verdict) -> None:
        # Hand, straight legs: 199 s and 5.74 Wh at cruise, 20 s and 1.4 Wh of climb. The flown
        # route cuts corners and climbs between waypoints: 6 % in time, 12 % in energy.
        names = ["launch", "A", "B", "C", "D", "E", "F", "G", "return"]
        legs = [
            one
            for one in verdict.flight.legs
            if one.end == "climb-out" or (one.start in names and one.end in names)
        ]
        seconds = sum(one.time_s.p50 for one in legs if one.time_s)
        watt_hours = sum(one.energy_j.p50 for one in legs if one.energy_j) / 3600.0
        assert seconds == pytest.approx(199.0, rel=0.06)
        assert watt_hours == pytest.approx(5.74 + 1.4, rel=0.12)

    def test_climb_alone(self, verdict: Verdict) -> None:
        # 60 m at 3 m/s: 20 s, 252 W, 1.4 Wh.
        climb = leg(verdict, "launch", "climb-out")
        assert climb.time_s is not None
        assert climb.energy_j is not None
        assert climb.time_s.p50 == pytest.approx(20.0, rel=0.06)
        assert climb.energy_j.p50 / 3600.0 == pytest.approx(1.4, rel=0.12)

    def test_lands_with(self, verdict: Verdict) -> None:
        assert 100 * verdict.flight.landing_charge_fraction.p50 == pytest.approx(92.0, abs=5.0)

    def test_tightest_figures(self, verdict: Verdict) -> None:
        assert reading(verdict, "headway.ground_speed") == pytest.approx(6.5, abs=0.5)
        headway = row(verdict, "headway.ground_speed").value
        assert headway is not None
        assert headway.p50 == pytest.approx(8.5, abs=0.5)
        assert reading(verdict, "speed.turn") == pytest.approx(1.44, abs=0.015)
        gust = row(verdict, "speed.gust").value
        assert gust is not None
        assert gust.p50 == pytest.approx(1.36, abs=0.015)
        assert gust.p10 == pytest.approx(1.31, abs=0.015)

    def test_shortest_straight_leg(self, verdict: Verdict) -> None:
        capture = row(verdict, "corners.capture")
        assert capture.where is not None
        assert capture.where.leg == "D to E"
        assert capture.value is not None
        assert capture.value.p50 == pytest.approx(9.7, abs=0.3)
        assert capture.value.p10 == pytest.approx(8.0, abs=0.3)

    def test_release_and_launch(self, verdict: Verdict) -> None:
        away = row(verdict, "away.speed")
        assert away.reading == pytest.approx(1.5, abs=0.05)
        # 11.87 over 8.87 m/s by hand, in dry air; ours is moist and printed to a hundredth.
        over_stall = float(re.findall(r"([0-9.]+) Vs", away.note)[0])
        assert over_stall == pytest.approx(1.34, abs=0.0101)
        assert reading(verdict, "away.tail_wind") == pytest.approx(-4.9, abs=0.1)

    def test_commit_circle_is_flown_into_the_wind_of_the_day(self, verdict: Verdict) -> None:
        # Two circles at 15.5 m/s TAS and 20 deg of bank: 2 x 2 pi V / (g tan 20 deg) = 54.6 s. The
        # mean of both ground speeds is the airspeed, half their difference the wind: 5.0 (85 / 10)
        # ^0.16 = 7.0 m/s, well under the limit.
        commit = verdict.commit
        assert commit is not None
        assert commit.duration_s == pytest.approx(54.6, rel=0.01)
        assert commit.least_mean_m_s is not None
        assert commit.most_mean_m_s is not None
        assert commit.least_mean_m_s < 15.5 < commit.most_mean_m_s
        assert commit.most_half_difference_m_s is not None
        assert commit.most_half_difference_m_s > 7.0

    def test_gates(self, verdict: Verdict) -> None:
        # By hand, straight legs: the ground speed at B is that of A to B, 17.3 m/s; A lies 276 m
        # out, of which 165 m are climbed in 20 s: 31 s or more after release. A middle flight has
        # used what climb and legs cost.
        gates = {gate.name: gate for gate in verdict.gates}
        assert list(gates)[:7] == ["A", "B", "C", "D", "E", "F", "G"]
        assert gates["B"].ground_speed_m_s is not None
        least, most = gates["B"].ground_speed_m_s
        assert least < 17.3 < most
        used = [gate.used_ah for gate in verdict.gates]
        assert used == sorted(used)
        # 136 Wh are 9.2 Ah; 85 % of them may be gone at touchdown, so at no gate more.
        for gate in verdict.gates:
            assert gate.most_used_ah is not None
            assert gate.used_ah < gate.most_used_ah < 0.85 * 9.2

    def test_farthest_point(self, verdict: Verdict) -> None:
        assert reading(verdict, "reach.step") == pytest.approx(798.0, abs=1.0)


class TestSkarvMoor:
    """Down-wind first: the mean-only answer looks fine, the adverse wind does not."""

    @pytest.fixture
    def verdict(self, checked: Checked) -> Verdict:
        return checked("skarv-moor").verdict

    def test_word_and_rows(self, verdict: Verdict) -> None:
        assert verdict.word is Status.NO_GO
        failing = {reason.row for reason in verdict.reasons if reason.status is Status.NO_GO}
        assert {
            "headway.ground_speed",
            "reserve.charge",
            "home.charge",
            "home.arrives",
        } <= failing
        assert {reason.cause for reason in verdict.reasons[:4]} == {"wind aloft"}

    def test_out_and_back(self, verdict: Verdict) -> None:
        out, back = leg(verdict, "launch", "work"), leg(verdict, "work", "return")
        assert out.ground_speed_m_s is not None
        assert back.ground_speed_m_s is not None
        assert out.ground_speed_m_s.p50 == pytest.approx(27.0, abs=0.5)
        assert back.ground_speed_m_s.p50 == pytest.approx(4.0, abs=0.5)
        assert reading(verdict, "headway.ground_speed") == pytest.approx(2.1, abs=0.5)

    def test_energies(self, verdict: Verdict) -> None:
        work, back = leg(verdict, "work", "work"), leg(verdict, "work", "return")
        assert work.energy_j is not None
        assert back.energy_j is not None
        assert work.energy_j.p50 / 3600.0 == pytest.approx(17.5, rel=0.03)
        assert back.energy_j.p50 / 3600.0 == pytest.approx(50.9, rel=0.12)

    def test_lands_with(self, verdict: Verdict) -> None:
        landing = verdict.flight.landing_charge_fraction
        assert 100 * landing.p50 == pytest.approx(40.0, abs=5.0)
        assert 100 * landing.p10 == pytest.approx(4.0, abs=5.0)

    def test_the_way_home_from_the_worst_second(self, verdict: Verdict) -> None:
        # Straight home at 4.0 m/s in the mean wind, then two minutes of circle and pattern.
        assert verdict.way_home is not None
        worst, home = verdict.way_home.worst, verdict.way_home.home_from
        assert worst is not None
        assert home is not None
        assert home.time_home_s is not None
        away_m = math.hypot(worst.east_m, worst.north_m)
        assert home.sight_m == pytest.approx(away_m)
        assert home.time_home_s.p50 == pytest.approx(away_m / 4.0 + 120.0, rel=0.06)
        # P.525: 15 dB at 7 km after the null, 6 dB more for each half of the distance.
        assert home.link_margin_db == pytest.approx(
            15.0 + 20.0 * math.log10(7000.0 / away_m), abs=0.5
        )


class TestCorrieSpur:
    """The way home leads into the trees of a spur, behind which the link is likely to be lost."""

    @pytest.fixture
    def verdict(self, checked: Checked) -> Verdict:
        return checked("corrie-spur").verdict

    def test_word_and_rows(self, verdict: Verdict) -> None:
        assert verdict.word is Status.NO_GO
        failing = {reason.row for reason in verdict.reasons if reason.status is Status.NO_GO}
        assert failing == {"ground.way_home", "heard.margin"}
        assert [reason.row for reason in verdict.reasons[:2]] == ["ground.way_home", "heard.margin"]
        assert [reason.cause for reason in verdict.reasons[:2]] == ["return height", "radio"]

    def test_clearance_of_the_way_home(self, verdict: Verdict) -> None:
        # Return line 390 m against tree tops at 390 m: 0, and -8 m at nine in ten.
        way_home = row(verdict, "ground.way_home")
        assert way_home.value is not None
        assert way_home.value.p50 == pytest.approx(0.0, abs=2.0)
        assert way_home.reading == pytest.approx(-8.0, abs=1.0)
        # 30 m at nine in ten need 118 m above home, and with 5 m of spread of its own height that
        # is above 120 m there: raising it alone never reaches GO.
        words = "return another way: 118 m above launch would be over the ceiling"
        assert way_home.act == words

    def test_clearance_of_the_route(self, verdict: Verdict) -> None:
        route = row(verdict, "ground.route").value
        assert route is not None
        assert route.p50 == pytest.approx(52.0, abs=1.0)
        assert route.p10 == pytest.approx(44.0, abs=1.0)


class TestMesaAlta:
    """Hot and high, a sharp corner flown steep and slow."""

    @pytest.fixture
    def verdict(self, checked: Checked) -> Verdict:
        return checked("mesa-alta").verdict

    def test_word_and_rows(self, verdict: Verdict) -> None:
        assert verdict.word is Status.NO_GO
        failing = {reason.row for reason in verdict.reasons if reason.status is Status.NO_GO}
        assert failing == {"speed.turn", "corners.bank", "corners.capture"}

    def test_air(self, verdict: Verdict) -> None:
        # Dry 0.925 kg/m3; 15 % humidity makes it up to 0.5 % less.
        assert verdict.aircraft.density_kg_m3 == pytest.approx(0.925, rel=0.005)
        assert verdict.aircraft.density_altitude_m == pytest.approx(2840.0, abs=50.0)

    def test_turn(self, verdict: Verdict) -> None:
        assert verdict.aircraft.stall_speed_eas_m_s == pytest.approx(9.45, abs=0.1)
        assert reading(verdict, "speed.turn") == pytest.approx(1.157, abs=0.015)
        assert reading(verdict, "corners.bank") == pytest.approx(45.0)

    def test_short_leg(self, verdict: Verdict) -> None:
        capture = row(verdict, "corners.capture")
        assert capture.value is not None
        assert capture.value.p50 == pytest.approx(-1.1, abs=0.2)
        assert capture.where is not None
        assert capture.where.leg == "Q2 to Q3"

    def test_climb(self, verdict: Verdict) -> None:
        climb = row(verdict, "away.climb").value
        assert climb is not None
        assert climb.p50 == pytest.approx(5.0, abs=0.1)


class TestBrackenWorkshop:
    """A heavier camera behind the balance point."""

    @pytest.fixture
    def verdict(self, checked: Checked) -> Verdict:
        return checked("bracken-workshop").verdict

    def test_word_and_rows(self, verdict: Verdict) -> None:
        assert verdict.word is Status.NO_GO
        assert verdict.reasons[0].row == "mass.balance"
        assert verdict.reasons[0].cause == "balance"
        assert [reason.row for reason in verdict.reasons] == ["mass.balance", "mass.total"]

    def test_balance(self, verdict: Verdict) -> None:
        assert verdict.aircraft.mass_kg == pytest.approx(2.49)
        assert 100 * verdict.aircraft.centre_of_gravity_fraction == pytest.approx(34.0, abs=0.05)
        # 23.5 mm forward brings it inside at nine in ten; printed up to the whole millimetre.
        assert "move pack 24 mm forward" in verdict.reasons[0].act

    def test_mass(self, verdict: Verdict) -> None:
        assert reading(verdict, "mass.total") == pytest.approx(1.016, abs=0.001)
        assert verdict.aircraft.stall_speed_eas_m_s == pytest.approx(8.68, abs=0.05)
        assert reading(verdict, "reach.step") == pytest.approx(371.0, abs=1.0)
