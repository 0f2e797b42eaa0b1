"""`homeleg note`: two numbers after landing, and what the aircraft taught us."""

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from homeleg.cli.computing import computing, say, warn_of_slow_start
from homeleg.cli.logbook_news import tell_the_logbook
from homeleg.cli.stopping import held_back

if TYPE_CHECKING:
    from homeleg.desk.note_kept import Noted, Taught

_COLUMNS = 40


@click.command()
@click.argument("release", type=click.Path(path_type=Path))
@click.option("--minutes", type=float, metavar="NUMBER", help="From launch to landing.")
@click.option("--charged", metavar="TEXT", help='What the charger put back, such as "2290 mAh".')
@click.option("--wind", metavar="TEXT", help="What the wind was, where it was not as released.")
@click.option(
    "--aircraft", type=click.Path(path_type=Path), help="The aircraft's file, if it was moved."
)
@click.option("--accept", is_flag=True, help="The numbers are right, far off as they are.")
@click.option("--undo", is_flag=True, help="Put the aircraft back as it was before this note.")
def note(
    *,
    release: Path,
    minutes: float | None,
    charged: str | None,
    wind: str | None,
    aircraft: Path | None,
    accept: bool,
    undo: bool,
) -> None:
    """Write down a flight on a RELEASE: minutes flown, mAh put back. The aircraft learns from it.

    Exit status: 0 written, 7 a person must accept numbers far from what was foretold, 2 bad input.
    """
    if undo:
        if minutes is not None or charged is not None:
            raise click.UsageError("--undo takes no numbers.")
        with held_back():
            from homeleg.desk.note import undo_note

            file = undo_note(release, aircraft=aircraft)
        say(f"{file} is as it was before this note.\n")
        tell_the_logbook(file)
        return
    if minutes is None or charged is None:
        raise click.UsageError("Give --minutes and --charged: that is the note.")
    charge_ah = _charge_ah(charged)
    if not 0.5 <= minutes <= 600.0:
        raise click.BadParameter("Write minutes from 0.5 to 600.", param_hint="--minutes")
    warn_of_slow_start()
    with computing() as progress:
        from homeleg.desk.note import note_flight

        progress("flying it again", 0.0)
        noted = note_flight(
            release,
            minutes=minutes,
            charge_ah=charge_ah,
            wind=wind,
            aircraft=aircraft,
            accept=accept,
        )
    say(noted_text(noted, minutes, charge_ah))
    say(_unproven(release))
    tell_the_logbook(noted.aircraft)


def _unproven(release: Path) -> str:
    """Return a line where nothing found the route aboard to be the released one."""
    from homeleg.desk.release import opened
    from homeleg.desk.route_aboard import aboard_of

    proof = aboard_of(opened(release), release, datetime.now(UTC)).proof
    if proof is not None and proof.end.value == "SAME":
        return ""
    return "No comparison found the route aboard to be the released one before this flight.\n"


def noted_text(noted: "Noted", minutes: float, charge_ah: float) -> str:
    """Return prediction and observation, and each figure before and after."""
    from homeleg.desk.field_note import reach_words

    foretold = noted.prediction
    lines = [
        f"Foretold for {minutes:g} min: {1000.0 * foretold.middle_ah:.0f} mAh "
        f"({1000.0 * foretold.low_ah:.0f} to {1000.0 * foretold.high_ah:.0f}); put back "
        f"{1000.0 * charge_ah:.0f} mAh.",
        f"What the aircraft taught us, after {noted.flights} "
        f"{'note' if noted.flights == 1 else 'notes'}:",
        *(line for taught in noted.taught for line in _bars(taught)),
        reach_words(noted),
        f"Written to {noted.aircraft}. Undo: homeleg note RELEASE --undo",
    ]
    return "\n".join(lines) + "\n"


def _bars(taught: "Taught") -> list[str]:
    """Return a figure with one bar before and one after, on the same scale."""
    before, after = taught.before, taught.after
    low, high = min(before.p10, after.p10), max(before.p90, after.p90)
    lines = [f"  {taught.title} [{taught.unit}]"]
    for word, value in (("before", before), ("after", after)):
        first, last = (
            round((end - low) / ((high - low) or 1.0) * (_COLUMNS - 1))
            for end in (value.p10, value.p90)
        )
        sign = "-" if word == "before" else "#"
        bar = " " * first + sign * (last - first + 1)
        figures = f"{value.p50:6.0f} ({value.p10:.0f} to {value.p90:.0f})"
        lines.append(f"    {word:<7}{bar:<{_COLUMNS}}{figures}")
    return lines


def _charge_ah(text: str) -> float:
    from homeleg.foundation.units import Dimension, TextError, parse_quantity

    try:
        charge_ah = parse_quantity(text, Dimension.CHARGE)
    except TextError as error:
        words = f"{error.problem}. {error.remedy}"
        raise click.BadParameter(words, param_hint="--charged") from error
    if not 0.01 <= charge_ah <= 60.0:
        raise click.BadParameter("Write 10 mAh to 60 Ah.", param_hint="--charged")
    return charge_ah
