"""The two numbers after landing as typed on a page: read, noted, and shown as lessons."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from homeleg.briefing.learned import Lesson, learned
from homeleg.briefing.palette import BLACK_ON_WHITE
from homeleg.briefing.ribbon_flown import flown_ribbon
from homeleg.briefing.ribbon_form import SCREEN_PHONE, SUNLIGHT, RibbonForm
from homeleg.desk.check import Progress
from homeleg.desk.note import note_flight
from homeleg.desk.note_kept import Noted
from homeleg.desk.releases import ribbon_of
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.units import TextError, parse_number
from homeleg.release.release import Release

__all__ = ["FLOWN", "FLOWN_PHONE", "flown_on", "landed", "lessons_of", "note_typed", "reach_words"]

# At the field no word is under 18.
FLOWN = replace(SUNLIGHT, width=804.0)
FLOWN_PHONE = replace(
    SCREEN_PHONE, height=262.0, bottom=74.0, letter=18.0, box_letter=18.0, block=30.0
)
_MINUTES, _CHARGE = (0.5, 600.0), (10.0, 60_000.0)


def note_typed(path: Path, typed: Mapping[str, str], *, progress: Progress | None = None) -> Noted:
    """Note a flight by `minutes`, `charge` in mAh and `wind` as typed; `accept` where far off.

    Raises InputFileError for what is no number or cannot be, RefusedError as `note_flight` does.
    """
    problems: list[Problem] = []
    minutes = _number("Minutes flown", _minutes(typed["minutes"]), _MINUTES, problems)
    charge = _number("mAh put back", typed["charge"], _CHARGE, problems)
    if problems:
        raise InputFileError(problems)
    if progress is not None:
        progress("flying it again", 0.0)
    return note_flight(
        path,
        minutes=minutes,
        charge_ah=0.001 * charge,
        wind=typed["wind"] or None,
        accept=bool(typed["accept"]),
    )


def landed(noted: Noted) -> str:
    """Return what the flight took against what was foretold, in a sentence."""
    seconds = round(noted.seen.duration_s)
    off_mah = round(1000.0 * (noted.seen.charge_ah - noted.prediction.middle_ah))
    against = f"{abs(off_mah)} mAh {'better' if off_mah < 0 else 'worse'} than the middle flight"
    if off_mah == 0:
        against = "as the middle flight"
    return f"Down in {seconds // 60}:{seconds % 60:02d}, {against}."


def lessons_of(noted: Noted) -> tuple[tuple[Lesson, str], ...]:
    """Return what the aircraft taught, figure by figure, each with its bars as SVG."""
    lessons = (
        Lesson(
            name=one.title,
            unit=one.unit,
            before=(one.before.p10, one.before.p50, one.before.p90),
            after=(one.after.p10, one.after.p50, one.after.p90),
        )
        for one in noted.taught
    )
    return tuple((lesson, learned(lesson, BLACK_ON_WHITE)) for lesson in lessons)


def flown_on(noted: Noted, release: Release, form: RibbonForm, name: str) -> str:
    """Return the ribbon that was released with the flight on it, as SVG; "" where it has none."""
    ribbon = ribbon_of(release)
    if ribbon is None:
        return ""
    left = ribbon.left_fraction[0].p50 - noted.seen.charge_ah / ribbon.usable_ah
    return flown_ribbon(
        ribbon, noted.seen.duration_s, max(left, 0.0), form, BLACK_ON_WHITE, name=name
    )


def reach_words(noted: Noted) -> str:
    """Return the reach before and after, and what opens more."""
    before, after = noted.reach
    words = f"Reach: step {after.step}, {after.words}, as before."
    if after.step != before.step:
        words = f"Reach: step {before.step}, {before.words}, to step {after.step}: {after.words}."
    return f"{words} Next: {after.next_words}." if after.next_words else words


def _minutes(text: str) -> str:
    """Return "9:30" as minutes with a fraction; anything else as it is."""
    whole, colon, seconds = text.partition(":")
    if colon and whole.isdecimal() and seconds.isdecimal() and int(seconds) < 60:
        return f"{int(whole) + int(seconds) / 60.0:.4f}"
    return text


def _number(where: str, text: str, limits: tuple[float, float], problems: list[Problem]) -> float:
    low, high = limits
    try:
        value = parse_number(text)
    except TextError as error:
        problems.append(Problem(where=where, problem=error.problem, remedy=error.remedy))
        return low
    if not low <= value <= high:
        problem, remedy = f"{text} cannot be", f"Write {low:g} to {high:g}."
        problems.append(Problem(where=where, problem=problem, remedy=remedy))
    return value
