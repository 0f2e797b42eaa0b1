"""The command line: one function per command, each calling the desk and nothing else.

Heavy imports stand inside the commands, so that help comes at once.
"""

import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import click

from homeleg import __version__
from homeleg.cli.new import new
from homeleg.foundation.errors import HomelegError
from homeleg.verdict.cautions import ADVICE

EXIT_FAULT = 1
EXIT_BAD_INPUT = 2
EXIT_BY_WORD = {"GO": 0, "MARGINAL": 3, "NO-GO": 4}
_WIPE = "\r\x1b[K"
_EXIT_INTERRUPTED = 130
_EXIT_PIPE_CLOSED = 141


def _show_version(context: click.Context, _: click.Parameter, value: bool) -> None:  # noqa: FBT001 (click's signature)
    if not value or context.resilient_parsing:
        return
    import platform

    click.echo(f"homeleg {__version__}, Python {platform.python_version()}")
    click.echo(
        "Built-in tables with an end date: none in this version. It carries no magnetic model, "
        "terrain or wind table yet; standard atmosphere and battery tables do not expire."
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

    The screens come with a later version: alone, `homeleg` prints this help.
    """
    if context.invoked_subcommand is None:
        click.echo(context.get_help())


@cli.command()
@click.argument("sortie", type=click.Path(path_type=Path))
@click.option(
    "--members",
    type=click.IntRange(16, 65_536),
    help="Computed flights: 2048 unless told; with --quick at most 256.",
)
@click.option("--seed", type=click.IntRange(0, 2**31 - 1), help="Of the draws; else the sortie's.")
@click.option("--quick", is_flag=True, help="A provisional answer from few computed flights.")
@click.option(
    "--json",
    "json_target",
    metavar="FILE|-",
    type=click.Path(dir_okay=False, writable=True, allow_dash=True, path_type=Path),
    help="Write the answer as JSON too; with - only JSON comes out.",
)
@click.option(
    "--ground-only",
    is_flag=True,
    help="Only say whether the ground covers the route and the way home: exit 0 yes, 4 no.",
)
@click.pass_context
def check(
    context: click.Context,
    *,
    sortie: Path,
    members: int | None,
    seed: int | None,
    quick: bool,
    json_target: Path | None,
    ground_only: bool,
) -> None:
    """Say whether this aircraft, as loaded today, can fly the SORTIE and come home with margin.

    Exit status: 0 GO, 3 MARGINAL, 4 NO-GO, 2 bad input or usage, 1 a fault of the program.
    """
    if ground_only:
        _check_ground(context, sortie)
    if json_target is not None and not json_target.parent.is_dir():
        raise click.BadParameter(f"no folder {json_target.parent}", param_hint="--json")
    _prepare_kernel()
    from homeleg.cli.text import check_text
    from homeleg.desk.answer import check_answer_json, write_check_answer
    from homeleg.desk.check import DEFAULT_MEMBERS, check_sortie

    with _progress() as progress:
        result = check_sortie(
            sortie,
            members=members or DEFAULT_MEMBERS,
            seed=seed,
            quick=quick,
            progress=progress,
        )
    if json_target == Path("-"):
        click.echo(check_answer_json(result, given_at=datetime.now(UTC)), nl=False)
    else:
        _say(check_text(result.verdict, result.sortie.weather, result.sortie.launch_time))
        if json_target is not None:
            write_check_answer(result, json_target, given_at=datetime.now(UTC))
    context.exit(EXIT_BY_WORD[result.verdict.word.value])


def _check_ground(context: click.Context, sortie: Path) -> None:
    """Say whether the ground covers the route and the way home, and exit."""
    from homeleg.desk.ground_cover import cover_text, ground_cover

    cover = ground_cover(sortie)
    _say(cover_text(cover))
    context.exit(EXIT_BY_WORD["GO" if cover.is_covered else "NO-GO"])


@cli.command()
def warm() -> None:
    """Compile the flight kernel once, so that the first check costs what later ones do."""
    _prepare_kernel()
    from homeleg.desk.warm import compile_kernel

    with _progress() as progress:
        compile_kernel(now=datetime.now(UTC), progress=progress)


cli.add_command(new)


def run(arguments: Sequence[str]) -> int:
    """Run one command line and return its exit status; never a traceback unless asked for."""
    try:
        status = cli.main(list(arguments), prog_name="homeleg", standalone_mode=False)
    except click.ClickException as error:
        error.show()
        return EXIT_BAD_INPUT
    except HomelegError as error:
        click.echo(error, err=True)
        return EXIT_BAD_INPUT
    except (click.Abort, KeyboardInterrupt):
        click.echo("Stopped.", err=True)
        return _EXIT_INTERRUPTED
    except SystemExit:  # click's own way out when the reader of a pipe has gone
        return _EXIT_PIPE_CLOSED
    except Exception as error:  # noqa: BLE001 (the last line of defence: say so, show no traceback)
        _report_fault(error)
        return EXIT_FAULT
    return status if isinstance(status, int) else 0


def main() -> None:
    """Run the command line of this process."""
    sys.exit(run(sys.argv[1:]))


def _prepare_kernel() -> None:
    """Point numba at a folder it can write; must come before numba's first import."""
    from homeleg.desk.kernel_cache import use_kernel_cache

    folder = use_kernel_cache()
    if not folder.lasting and sys.stderr.isatty():
        click.echo(
            "No folder to keep the compiled kernel in: this takes half a minute more each time. "
            "Set HOMELEG_CACHE to a folder that you can write.",
            err=True,
        )


@contextmanager
def _progress() -> Iterator[Callable[[str, float], None] | None]:
    """Give a line of progress on the terminal, wiped at the end; None where nobody watches."""
    if not sys.stderr.isatty():
        yield None
        return

    def show(what: str, fraction: float) -> None:
        click.echo(f"{_WIPE}{what} {100.0 * fraction:.0f} %", nl=False, err=True)

    try:
        yield show
    finally:
        click.echo(_WIPE, nl=False, err=True)


def _say(text: str) -> None:
    from homeleg.cli.text import for_encoding

    click.echo(for_encoding(text, sys.stdout.encoding), nl=False)


def _report_fault(error: Exception) -> None:
    import traceback

    if os.environ.get("HOMELEG_DEBUG") == "1":
        traceback.print_exception(error)
    frames = traceback.extract_tb(error.__traceback__)
    place = f"{Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else "unknown"
    summary = " ".join(str(error).split())
    click.echo(
        f"A fault of this program, not of your files: {type(error).__name__}: {summary} "
        f"({place}, homeleg {__version__}). Please report this line; with HOMELEG_DEBUG=1 in the "
        "environment it shows where it came from.",
        err=True,
    )
