"""`homeleg recheck`: the field's numbers into the same verdict."""

from datetime import UTC, datetime
from functools import partial
from pathlib import Path

import click

from homeleg.cli.answering import (
    EXIT_BY_WORD,
    answer_files,
    answer_options,
    give_answer,
    is_said,
    once,
    refuse_many_quick,
)
from homeleg.cli.computing import computing, say, warn_of_slow_start

# What is told twice was told wrong once.
_option = partial(click.option, multiple=True, callback=once)


@click.command()
@click.argument("sortie", type=click.Path(path_type=Path))
@_option("--wind", help='Measured now, such as "6 m/s from 250 at 2 m".')
@_option("--gust", help='Its strongest gust, such as "9 m/s".')
@_option("--pack-temperature", help='Such as "8 degC".')
@_option("--launch-here", nargs=2, metavar="LAT LON", help="Launch from here; the route stays.")
@_option("--elevation", help='Of that point, such as "35 m AMSL"; else by terrain.')
@_option("--seen", help='When it was measured, such as "2026-06-09 16:55Z"; else now.')
@answer_options
@click.pass_context
def recheck(
    context: click.Context,
    /,
    *,
    sortie: Path,
    members: int | None,
    quick: bool,
    field: bool,
    json_target: Path | None,
    seen: str | None,
    window: bool,
    **given: str | tuple[str, str] | None,
) -> None:
    """Check the SORTIE again with numbers from the field; its file stays as it is.

    Says what changed against the file first. Exit status as check: 0 GO, 3 MARGINAL, 4 NO-GO, 2 bad
    input or usage, 1 a fault of the program.
    """
    now = _time(seen)
    warn_of_slow_start()
    refuse_many_quick(members, quick=quick)
    with computing() as progress:
        from homeleg.desk.check import DEFAULT_MEMBERS
        from homeleg.desk.recheck import recheck_sortie
        from homeleg.formats.field_answers import FieldAnswers

        result = recheck_sortie(
            sortie,
            FieldAnswers(**given),  # type: ignore[arg-type]  # options bear the names of its fields
            now=now,
            members=members or DEFAULT_MEMBERS,
            quick=quick,
            answer_files=answer_files(json_target),
            progress=progress,
        )
        if window:
            from homeleg.desk.wind_window import with_wind_window

            result = with_wind_window(result, progress)
    if is_said(json_target):
        from homeleg.cli.text import changes_text

        say(changes_text(result.changes, sortie.name))
    give_answer(result, json_target, field=field)
    context.exit(EXIT_BY_WORD[result.verdict.word.value])


def _time(seen: str | None) -> datetime:
    if seen is None:
        return datetime.now(UTC)
    from homeleg.foundation.stated_text import parse_time
    from homeleg.foundation.units import TextError

    try:
        return parse_time(seen)
    except TextError as error:
        raise click.BadParameter(f"{error.problem}. {error.remedy}", param_hint="--seen") from error
