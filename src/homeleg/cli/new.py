"""`homeleg new`: a commented starting file from a few answers."""

import sys
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path

import click

from homeleg.desk.starting_files import AIRCRAFT_ASKS, SORTIE_ASKS, Ask

_NOT_KNOWN = {"", "?", "don't know", "dont know", "don’t know", "unknown"}


@click.group()
def new() -> None:
    """Write a starting file that can be read, commented, and made better.

    Answer by options, or at the terminal. "don't know" is an answer wherever one is not needed.
    """


def _asked(asks: Sequence[Ask]) -> Callable[[click.Command], click.Command]:
    """Return a decorator that gives a command one option for each question."""

    def decorate(command: click.Command) -> click.Command:
        for ask in asks:
            without = f" Without it: {ask.unknown}." if ask.unknown else ""
            text = f'{ask.words} Such as "{ask.example}".{without}'
            command.params.append(click.Option([f"--{ask.option}"], metavar="TEXT", help=text))
        return command

    return decorate


@_asked(AIRCRAFT_ASKS)
@new.command()
@click.argument("file", type=click.Path(path_type=Path))
def aircraft(file: Path, **options: str | None) -> None:
    """Write a new aircraft FILE. Quantities with their unit, such as "1.90 m"."""
    answers = _answers(AIRCRAFT_ASKS, options)
    from homeleg.desk.new import new_aircraft

    new_aircraft(file, answers)
    click.echo(f"Wrote {file}. Read it once: what it assumes stands there as a remark.")


@_asked(SORTIE_ASKS)
@new.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--aircraft",
    "aircraft_file",
    required=True,
    type=click.Path(path_type=Path),
    help="The aircraft's file.",
)
def sortie(file: Path, aircraft_file: Path, **options: str | None) -> None:
    """Write a new sortie FILE, and beside it a small circuit as its route."""
    answers = _answers(SORTIE_ASKS, options)
    from homeleg.desk.new import new_sortie

    route = new_sortie(file, aircraft_file, answers, now=datetime.now(UTC))
    click.echo(f"Wrote {file} and {route}. Then: homeleg check {file}")


def _answers(asks: Sequence[Ask], options: dict[str, str | None]) -> dict[str, str]:
    """Gather what was answered by options, and ask the rest where somebody can answer."""
    answers = {}
    missing = []
    ask_now = sys.stdin.isatty()
    for ask in asks:
        answer = options[ask.option.replace("-", "_")]
        if answer is None and ask_now:
            answer = _at_the_terminal(ask)
        if answer is not None and answer.strip().lower() not in _NOT_KNOWN:
            answers[ask.option] = answer.strip()
        elif ask.unknown is None:
            missing.append(f'--{ask.option} "{ask.example}"')
    if missing:
        raise click.UsageError("These answers are needed too: " + ", ".join(missing))
    return answers


def _at_the_terminal(ask: Ask) -> str:
    hint = f"Enter if you don't know: {ask.unknown}" if ask.unknown else "needed"
    while True:
        answer: str = click.prompt(
            f'{ask.words} (such as "{ask.example}"; {hint})', default="", show_default=False
        )
        if ask.unknown is not None or answer.strip().lower() not in _NOT_KNOWN:
            return answer
        click.echo("This one is needed.")
