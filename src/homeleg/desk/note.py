"""Two numbers after landing: what they teach is written into the aircraft, and can be undone."""

from dataclasses import replace
from pathlib import Path

import numpy as np

from homeleg.aircraft.performance import level_electrical_power
from homeleg.aircraft.record import FlownEnergy
from homeleg.debrief.two_numbers import MOST_SIGMAS, Prediction, TwoNumbers, lesson, prediction
from homeleg.desk.note_kept import Noted, Taught, keep_note, put_back
from homeleg.desk.release import with_texts
from homeleg.flight.ensemble import Flown, fly, member_aircraft
from homeleg.formats.aircraft_edit import taught_aircraft
from homeleg.formats.field_answers import FieldAnswers
from homeleg.formats.release_file import carried_texts, read_release, sha256_of
from homeleg.formats.sortie_edit import edited_sortie
from homeleg.formats.toml_text import TextFile, read_text_file
from homeleg.foundation.constants import CELSIUS_ZERO_K
from homeleg.foundation.errors import InputFileError, Problem, RefusedError
from homeleg.readiness.reach import Reach, earned_reach
from homeleg.release.release import Release, Stage
from homeleg.sortie.draws import draw
from homeleg.sortie.resolve import resolve
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.judging import percentiles
from homeleg.verdict.reach_rows import energies_inside
from homeleg.verdict.result import Percentiles

__all__ = ["note_flight", "noted_aircraft", "undo_note"]

_MEMBERS = 1024
# A pack takes back no more than it holds, as meters go; nobody stays up longer than this times the
# least current that was foretold would allow. Ours.
_MOST_OF_CAPACITY = 1.1
_MOST_OF_ENDURANCE = 1.5
_SEED = 1


def note_flight(
    path: Path,
    *,
    minutes: float,
    charge_ah: float,
    wind: str | None = None,
    aircraft: Path | None = None,
    accept: bool = False,
) -> Noted:
    """Write what a flight on a release taught into its aircraft file, and keep the earlier text.

    `wind` is what it was, where it was not the released one. Raises InputFileError for numbers that
    cannot be, RefusedError where they are far from what was foretold and nobody accepts them,
    OutOfModelError where too few computed flights land.
    """
    release = read_release(path)
    file = noted_aircraft(release, path) if aircraft is None else aircraft
    text = read_text_file(file)
    _refuse_second_note(release, text)
    sortie = _sortie(release, path, text, wind)
    seen = _seen(sortie, minutes, charge_ah)
    resolved = resolve(sortie)
    flown = fly(resolved, resolved.departures[0], _MEMBERS, _SEED)
    _refuse_impossible(sortie, flown, seen)
    foretold = prediction(flown, seen)
    if abs(foretold.sigmas) > MOST_SIGMAS and not accept:
        raise RefusedError([_doubt(foretold, seen)])
    learned = lesson(
        flown, seen, valid=_valid(flown), learned_from=f"minutes and mAh, last {release.code}"
    )
    energy = FlownEnergy(on=sortie.launch_time, duration_s=60.0 * minutes, charge_ah=charge_ah)
    after_text = taught_aircraft(text.text, learned, energy, release.code)
    known = sortie.aircraft
    after = replace(
        known,
        learned=learned,
        flights=known.flights + 1,
        energies=(*known.energies, energy),
    )
    taught, reach = _taught(sortie, replace(sortie, aircraft=after))
    noted = Noted(
        seen=seen,
        prediction=foretold,
        taught=taught,
        reach=reach,
        flights=learned.flights,
        aircraft=file,
    )
    keep_note(noted, text, after_text, release.code)
    return noted


def undo_note(path: Path, *, aircraft: Path | None = None) -> Path:
    """Put back the aircraft file as it was before the note on a release; return its path.

    Raises InputFileError where there was no note, or the file was changed after it.
    """
    release = read_release(path)
    file = noted_aircraft(release, path) if aircraft is None else aircraft
    put_back(file, release.code)
    return file


def noted_aircraft(release: Release, path: Path) -> Path:
    """Return where the aircraft's file lies, as the sortie of the release named it."""
    if release.stage is not Stage.RELEASE:
        raise _refused(path.name, "is a plan: nothing was flown on it", "Name the release flown.")
    return path.parent / release.folder / release.files[1].name


def _refuse_second_note(release: Release, text: TextFile) -> None:
    if f'release = "{release.code}"' in text.text:
        problem = f"has a note on release {release.code} already"
        remedy = "Undo it first: homeleg note RELEASE --undo. A second flight has its own release."
        raise _refused(text.name, problem, remedy)


def _sortie(release: Release, path: Path, aircraft: TextFile, wind: str | None) -> Sortie:
    """Return the released sortie with the aircraft as known now, and the wind as it was."""
    file, beside = carried_texts(release)
    if wind is not None:
        text = edited_sortie(file.text, FieldAnswers(wind=wind), release.launch_time)
        file = TextFile(file.name, text, sha256_of(text))
    beside[release.files[1].name] = aircraft
    return with_texts(release, path, file, beside).sortie


def _seen(sortie: Sortie, minutes: float, charge_ah: float) -> TwoNumbers:
    """Return the flight's two numbers, without what the pack lacked when it was launched."""
    lacked = 1.0 - min(sortie.pack.charged_fraction.value, 1.0)
    lacked_ah = lacked * sortie.pack.capacity_fraction.value * sortie.aircraft.battery.capacity_ah
    capacity_ah = sortie.aircraft.battery.capacity_ah
    if charge_ah > _MOST_OF_CAPACITY * capacity_ah:
        problem = f"{1000.0 * charge_ah:.0f} mAh is more than the pack holds, {capacity_ah:g} Ah"
        raise _refused("--charged", problem, "Is it the sum of several flights, or another pack?")
    if charge_ah <= lacked_ah:
        problem = (
            f"{1000.0 * charge_ah:.0f} mAh is no more than the pack lacked at the launch, "
            f"{1000.0 * lacked_ah:.0f} mAh"
        )
        raise _refused("--charged", problem, "Was it charged to the full?")
    return TwoNumbers(duration_s=60.0 * minutes, charge_ah=charge_ah - lacked_ah)


def _refuse_impossible(sortie: Sortie, flown: Flown, seen: TwoNumbers) -> None:
    """Raise InputFileError for numbers that no flight of this aircraft gives."""
    battery = sortie.aircraft.battery
    hours = seen.duration_s / 3600.0
    volts = battery.cells * battery.cut_off_v_cell
    least_ah = sortie.aircraft.propulsion.avionics_w / (1.5 * volts) * hours
    most_w = sortie.aircraft.propulsion.full_power_w
    most_ah = (most_w.value + 3.0 * most_w.sd) / volts * hours
    if not least_ah < seen.charge_ah < most_ah:
        than = "the avionics alone take" if seen.charge_ah <= least_ah else "full power takes"
        more = "less" if seen.charge_ah <= least_ah else "more"
        problem = (
            f"{1000.0 * seen.charge_ah:.0f} mAh in {60.0 * hours:.1f} min is {more} than {than}"
        )
        raise _refused("--minutes, --charged", problem, "Check both numbers.")
    current_a = level_electrical_power(
        member_aircraft(flown.resolved, flown.draws),
        flown.resolved.speeds.cruise_eas_m_s,
        flown.resolved.density_kg_m3,
    ) / (4.2 * battery.cells)
    longest_s = 3600.0 * battery.capacity_ah / float(np.percentile(current_a, 1.0))
    if seen.duration_s > _MOST_OF_ENDURANCE * longest_s:
        problem = f"{seen.duration_s / 60.0:.0f} min is longer than this pack can last"
        raise _refused("--minutes", problem, "Is it the time from launch to landing?")


def _doubt(foretold: Prediction, seen: TwoNumbers) -> Problem:
    side = "more" if foretold.sigmas > 0.0 else "less"
    return Problem(
        where="the two numbers",
        problem=(
            f"{1000.0 * seen.charge_ah:.0f} mAh in {seen.duration_s / 60.0:.1f} min is {side} than "
            f"foretold: {1000.0 * foretold.low_ah:.0f} to {1000.0 * foretold.high_ah:.0f} mAh, "
            f"{abs(foretold.sigmas):.1f} standard deviations off"
        ),
        remedy="Was it this pack, this aircraft, one flight? If both numbers are right: --accept.",
    )


def _valid(flown: Flown) -> str:
    sortie = flown.resolved.sortie
    pack_c = flown.resolved.inputs["pack_temperature"].value - CELSIUS_ZERO_K
    return (
        f"{flown.resolved.loaded.total_kg.value:.2f} kg, "
        f"{flown.resolved.speeds.cruise_eas_m_s:.1f} m/s EAS, pack {pack_c:.0f} degC, "
        f"{sortie.launch_time:%Y-%m-%d}"
    )


def _taught(before: Sortie, after: Sortie) -> tuple[tuple[Taught, ...], tuple[Reach, Reach]]:
    """Return each figure and the reach, before and after."""
    (was, reach_was), (now, reach_now) = _figures(before), _figures(after)
    taught = tuple(
        Taught(title=title, unit=unit, before=was[title, unit], after=now[title, unit])
        for title, unit in was
    )
    return taught, (reach_was, reach_now)


def _figures(sortie: Sortie) -> tuple[dict[tuple[str, str], Percentiles], Reach]:
    """Return what the owner cares for, over the draws of a sortie, and the step that it earns.

    The step's limit in metres is left out: how far one sees hangs on more than the aircraft.
    """
    resolved = resolve(sortie)
    draws = draw(resolved, _MEMBERS, _SEED)
    aircraft = member_aircraft(resolved, draws)
    cruise_w = np.asarray(
        level_electrical_power(aircraft, resolved.speeds.cruise_eas_m_s, resolved.density_kg_m3)
    )
    values = {
        ("Power in level cruise", "W"): cruise_w,
        ("Usable charge of this pack", "mAh"): 1000.0 * draws.value["usable_charge"],
    }
    reach = earned_reach(
        flights=sortie.aircraft.flights,
        energies_inside=energies_inside(sortie.aircraft, cruise_w),
        place_moved=resolved.loaded.place_moved,
        sight_limit_m=0.0,
    )
    return {key: percentiles(value) for key, value in values.items()}, reach


def _refused(where: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
