"""The command line: one function per command, each calling the desk and nothing else.

Heavy imports stand inside the commands, so that help comes at once.
"""

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import click

from homeleg import __version__
from homeleg.cli.amend import amend
from homeleg.cli.answering import (
    EXIT_BY_WORD,
    answer_files,
    answer_options,
    give_answer,
    refuse_many_quick,
    refuse_taken_files,
    refuse_two_answers,
    target_file,
)
from homeleg.cli.app import app
from homeleg.cli.bring_in import bring_in
from homeleg.cli.compare import compare, export
from homeleg.cli.computing import KEEP_IT, computing, prepare_kernel, say, warn_of_slow_start
from homeleg.cli.evidence import evidence
from homeleg.cli.link import link
from homeleg.cli.logbook import logbook
from homeleg.cli.new import new
from homeleg.cli.note import note
from homeleg.cli.recheck import recheck
from homeleg.cli.release import release, show
from homeleg.cli.search import search
from homeleg.cli.stopping import held_back
from homeleg.cli.streams import complain
from homeleg.verdict.cautions import ADVICE


def _show_version(context: click.Context, _: click.Parameter, value: bool) -> None:  # noqa: FBT001 (click's signature)
    if not value or context.resilient_parsing:
        return
    import platform

    from homeleg.physics.geomagnetism import FIRST_DAY, LAST_DAY, MODEL

    click.echo(f"homeleg {__version__}, Python {platform.python_version()}")
    click.echo(
        f"Magnetic model {MODEL}: {FIRST_DAY} to {LAST_DAY}, the whole earth. Terrain and wind "
        "tables: none built in. Standard atmosphere and battery tables do not expire."
    )
    context.exit()


@click.group(
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
    epilog=ADVICE,
)
@click.option(
    "--version",
    is_flag=True,
    expose_value=False,
    is_eager=True,
    callback=_show_version,
    help="Version, Python, and how far the built-in tables reach.",
)
@click.pass_context
def cli(context: click.Context) -> None:
    """Fly a sortie a thousand times in computation and say GO, MARGINAL or NO-GO.

    Alone, `homeleg` opens its screens in a browser on this machine, as `homeleg app` does.
    """
    if context.invoked_subcommand is None:
        context.invoke(app)


@cli.command()
@click.argument("sortie", type=click.Path(path_type=Path))
@click.option("--seed", type=click.IntRange(0, 2**32 - 1), help="Of the draws; else the sortie's.")
@click.option(
    "--briefing",
    metavar="FILE.pdf",
    type=click.Path(dir_okay=False, writable=True, path_type=Path),
    callback=target_file,
    help="Write the two pages for the field too, marked as a plan that is not released.",
)
@click.option(
    "--paper", type=click.Choice(["A4", "Letter"]), default="A4", help="Of the pages. [A4]"
)
@click.option(
    "--ground-only",
    is_flag=True,
    help="Only say, in words, whether the ground covers the route and the way home: "
    "exit 0 yes, 4 no.",
)
@answer_options
@click.pass_context
def check(
    context: click.Context,
    /,
    *,
    sortie: Path,
    members: int | None,
    seed: int | None,
    quick: bool,
    json_target: Path | None,
    ground_only: bool,
    field: bool,
    **also: Any,
) -> None:
    """Say whether this aircraft, as loaded today, can fly the SORTIE and come home with margin.

    Exit status: 0 GO, 3 MARGINAL, 4 NO-GO, 2 bad input or usage, 1 a fault of the program.
    """
    if ground_only:
        if json_target is not None or field or any(also[name] for name in ("briefing", "window")):
            raise click.UsageError("--ground-only answers no other question: leave the others out.")
        _check_ground(context, sortie)
    refuse_two_answers(json_target, field=field)
    refuse_taken_files(also["briefing"])
    warn_of_slow_start()
    refuse_many_quick(members, quick=quick)
    with computing() as progress:
        from homeleg.desk.check import DEFAULT_MEMBERS, check_sortie

        result = check_sortie(
            sortie,
            members=members or DEFAULT_MEMBERS,
            seed=seed,
            quick=quick,
            answer_files=answer_files(json_target, also["briefing"]),
            progress=progress,
        )
        windowed = result
        if also["window"] or also["briefing"] is not None:
            from homeleg.desk.wind_window import with_wind_window

            windowed = with_wind_window(result, progress)
    give_answer(windowed if also["window"] else result, json_target, field=field)
    if also["briefing"] is not None:
        from homeleg.desk.briefing import plan_input, write_briefing

        write_briefing(plan_input(windowed, sortie), also["briefing"], paper=also["paper"])
    context.exit(EXIT_BY_WORD[result.verdict.word.value])


def _check_ground(context: click.Context, sortie: Path) -> None:
    """Say whether the ground covers the route and the way home, and exit."""
    with held_back():
        from homeleg.desk.ground_cover import cover_text, ground_cover

        cover = ground_cover(sortie)
    say(cover_text(cover))
    context.exit(EXIT_BY_WORD["GO" if cover.is_covered else "NO-GO"])


@cli.command()
def warm() -> None:
    """Compile the flight kernel once, so that the first check costs what later ones do."""
    if not prepare_kernel():
        complain(f"There is nowhere to keep the compiled kernel: nothing was compiled. {KEEP_IT}")
        return
    with computing() as progress:
        from homeleg.desk.warm import compile_kernel

        compile_kernel(now=datetime.now(UTC), progress=progress)


for command in (
    *(app, recheck, amend, new, bring_in),
    *(release, show, compare, export, link, note, logbook, search, evidence),
):
    cli.add_command(command)
