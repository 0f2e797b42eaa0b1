"""The text answer: one screen, every part of it, in plain signs too."""

import re
from dataclasses import replace
from typing import Any

import pytest

from homeleg.cli.text import check_text, for_encoding
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.estimate_figure import estimate_figure
from homeleg.verdict.result import HomeFrom, Percentiles, Place, Status, Verdict, WayHome
from homeleg.verdict.wording import clock

WORD_STATUSES = [Status.GO, Status.MARGINAL, Status.NO_GO]


@pytest.mark.parametrize("word", WORD_STATUSES)
def test_one_screen(make_verdict: Any, told: Sortie, word: Status) -> None:
    lines = check_text(make_verdict(word), told).splitlines()
    assert len(lines) <= 45
    assert max(len(line) for line in lines) <= 100
    assert lines[0].startswith(word.value)


def test_a_failed_row_says_value_limit_where_when_cause_and_act(
    make_verdict: Any, told: Sortie
) -> None:
    text = check_text(make_verdict(), told)
    row = text[text.index("NO-GO     ") :]
    flat = " ".join(row.split())
    assert (
        "NO-GO Slowest over the ground: 2.1 m/s (want ≥ 5.0, hard ≥ 3.0, spread 2.1 to 5.9) "
        "B to launch point, 19:10 after launch, 90 m above launch. Cause: wind aloft. "
        "→ Come home at 20.5 m/s. Costs 470 mAh on a middle day."
    ) in flat
    assert flat.index("Slowest") < flat.index("Charge left at touchdown: 91 % (want ≥ 20")


def test_a_leg_shows_speed_crab_time_energy_and_clearance(make_verdict: Any, told: Sortie) -> None:
    text = check_text(make_verdict(), told)
    [leg] = [line for line in text.splitlines() if line.startswith("P3 → P4")]
    assert leg.split() == [
        "P3",
        "→",
        "P4",
        "17.3",
        "(15.9",
        "to",
        "18.6)",
        "23",
        "0:19",
        "1.00",
        "61",
    ]


def test_many_legs_stay_on_the_screen(make_verdict: Any, told: Sortie) -> None:
    text = check_text(make_verdict(legs=40), told)
    assert "and 30 more" in text
    assert len(text.splitlines()) <= 45


def test_what_surrounds_the_word(make_verdict: Any, told: Sortie) -> None:
    flat = " ".join(check_text(make_verdict(), told).split())
    for part in (
        "To do at the field: 1. Move each surface and say which way it went.",
        "Assumed: weather.temperature 14.0 ± 2.0 °C.",
        "5.0 ± 0.8 m/s gusting 6.5 from 225° true at 10 m AGL, hand anemometer, seen 16:45Z, "
        "15 min before launch",
        "Flight: leaves along 225 deg; 5:19, 10.6 Wh, 745 mAh; lands with 91 to 93 %",
        "1 of 2 questions asked have room; without room: Makes headway.",
        "Measure next: wind speed (anemometer at launch, 3 min) takes 42 % of the doubt out of the "
        "slowest over the ground.",
        "At least one limit fails. Change something, or do not fly.",
        "Does not foresee lee turbulence, thermals, fronts, sea breeze.",
        "Wires, masts, cranes and new growth are not in this ground. Walk it.",
    ):
        assert part in flat


def test_flights_that_never_land_land_with_nothing(make_verdict: Any, told: Sortie) -> None:
    verdict = make_verdict()
    none = replace(verdict.flight, landing_charge_fraction=Percentiles(p10=0.0, p50=0.0, p90=0.0))
    text = check_text(replace(verdict, flight=none), told)
    assert "lands with" not in text
    assert "9 in 10 flights do not land with charge left." in " ".join(text.split())


def test_what_moves_a_row_where_nothing_is_to_measure(make_verdict: Any, told: Sortie) -> None:
    text = check_text(replace(make_verdict(), measure_next=()), told)
    assert "What moves the slowest over the ground: wind speed 71 %." in text


def test_the_way_home_from_the_worst_second(make_verdict: Any, told: Sortie) -> None:
    there = Place(
        leg="D to E", time_s=96.0, east_m=700.0, north_m=390.0, height_above_launch_m=85.0
    )
    home = HomeFrom(
        clearance_m=Percentiles(p10=52.4, p50=60.0, p90=66.0),
        time_home_s=Percentiles(p10=150.0, p50=170.0, p90=199.0),
        sight_m=801.4,
        link_margin_db=34.2,
    )
    way = WayHome(
        worst=there,
        charge=Percentiles(p10=0.9, p50=0.92, p90=0.95),
        turn_back=None,
        assumed=(),
        motor_stopped=None,
        glide_edge=None,
        home_from=home,
    )

    def words(way: WayHome) -> str:
        answer = replace(make_verdict(), way_home=way)
        return " ".join(check_text(answer, told).split())

    assert (
        "Link lost at the worst second for charge, 1:36 on D to E: home with 90 to 95 % in 3:19, "
        "from 801 m away, 52 m clear, link 34 dB over. As you declared it; prove it with its card."
    ) in words(way)
    untold = replace(home, clearance_m=None, time_home_s=None, link_margin_db=None)
    text = words(replace(way, home_from=untold, assumed=("path: straight",)))
    assert "home with 90 to 95 % from 801 m away. What it does was not all told" in text


def test_a_go_says_what_it_covers(make_verdict: Any, told: Sortie) -> None:
    flat = " ".join(check_text(make_verdict(Status.GO), told).split())
    assert (
        "No question failed with these inputs, as old as shown. It covers only what was declared. "
        "The pilot in command decides."
    ) in flat


def test_a_quick_answer_and_a_maiden_are_named(maiden_verdict: Verdict, told: Sortie) -> None:
    text = check_text(replace(maiden_verdict, provisional=True), told)
    assert "Provisional" in text
    assert "Its maiden instead: GO." in text


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp1252", None])
def test_plain_signs_where_the_terminal_knows_no_others(
    make_verdict: Any, told: Sortie, encoding: str | None
) -> None:
    text = for_encoding(check_text(make_verdict(), told) + "Ørland", encoding)
    text.encode(encoding or "ascii")
    assert "want >= 5.0" in text
    assert "P3 -> P4" in text


def test_utf8_is_left_alone() -> None:
    assert for_encoding("≥ 5°", "UTF-8") == "≥ 5°"


@pytest.mark.parametrize(
    ("value", "sd", "unit", "shown"),
    [
        (5.0, 1.0, "m/s", "5.0 ± 1.0 m/s"),
        (0.038, 0.00304, "", "0.038 ± 0.003"),
        (3.92699, 0.174533, "rad", "225 ± 10 °"),
        (291.15, 2.0, "K", "18.0 ± 2.0 °C"),
        (0.033, 0.0033, "ohm", "33.0 ± 3.3 mohm"),
        (0.285, 0.008, "mean chord", "28.5 ± 0.8 % MAC"),
        (1.0, 0.25, "bar", "1.000 ± 0.250 bar"),
    ],
)
def test_estimates(value: float, sd: float, unit: str, shown: str) -> None:
    assert estimate_figure(value, sd, unit) == shown


def test_what_was_declared_is_not_called_assumed(make_verdict: Any, told: Sortie) -> None:
    verdict = make_verdict()
    declared = replace(verdict.assumptions[0], basis="declared")
    text = check_text(replace(verdict, assumptions=(declared,)), told)
    assert "Assumed: nothing; every input was declared or measured." in text


def test_a_leg_that_few_flew_shows_dashes(make_verdict: Any, told: Sortie) -> None:
    verdict = make_verdict()
    nothing = dict.fromkeys(
        ("ground_speed_m_s", "crab_rad", "time_s", "energy_j", "clearance_m"), None
    )
    leg = replace(verdict.flight.legs[0], **nothing)
    flight = replace(verdict.flight, legs=(leg,))
    text = check_text(replace(verdict, flight=flight), told)
    assert "P0 → P1 - - - - -" in " ".join(text.split())


def test_an_event_comes_before_the_figure_that_is_good(make_verdict: Any, told: Sortie) -> None:
    verdict = make_verdict()
    reserve, headway = verdict.rows
    note = "36 of 256 computed flights touch the ground in the climb-out"
    row = replace(headway, reading=5.4, note=note)
    text = check_text(replace(verdict, rows=(reserve, row)), told)
    assert (
        "NO-GO 36 of 256 computed flights touch the ground in the climb-out. Otherwise: slowest "
        "over the ground: 5.4 m/s (want ≥ 5.0, hard ≥ 3.0, spread 2.1 to 5.9). B to launch point"
    ) in " ".join(text.split())


def test_where_and_when_it_launches(make_verdict: Any, told: Sortie) -> None:
    text = " ".join(check_text(make_verdict(), told).split())
    assert "Launch: 55.00000 N 5.00000 W, 35 m AMSL; 2026-06-09 17:00Z." in text


def test_clock() -> None:
    assert clock(319.6) == "5:20"


def test_no_colour_codes(make_verdict: Any, told: Sortie) -> None:
    assert not re.search(r"\x1b", check_text(make_verdict(), told))


def test_a_wind_from_anywhere_has_no_bearing(make_verdict: Any, told: Sortie) -> None:
    surface = told.weather.surface
    assert surface is not None
    wide = replace(surface.from_true_rad, sd=1.81)
    variable = replace(told.weather, surface=replace(surface, from_true_rad=wide))
    flat = " ".join(check_text(make_verdict(), replace(told, weather=variable)).split())
    assert "m/s gusting 6.5 from any direction at 10 m AGL" in flat
