"""`homeleg new`: a commented starting file from a few answers."""

import shlex
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import click

from homeleg.cli.stopping import held_back
from homeleg.cli.streams import complain
from homeleg.desk.starting_files import AIRCRAFT_ASKS, SORTIE_ASKS, Ask
from homeleg.foundation.errors import InputFileError

_NOT_KNOWN = {"", "?", "idk", "don't know", "dont know", "don’t know", "unknown", "not known"}
Refusal = Callable[[Ask, str], str | None]


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
    with held_back():
        from homeleg.desk.new import new_aircraft, refusal_of, refuse_aircraft_at

        refuse_aircraft_at(file)
    answers = _answers(AIRCRAFT_ASKS, options, refusal_of)
    with _given_back(["aircraft", str(file)], answers):
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
    with held_back():
        from homeleg.desk.new import new_sortie, refusal_of, refuse_sortie_at

        refuse_sortie_at(file, aircraft_file)
    answers = _answers(SORTIE_ASKS, options, refusal_of)
    with _given_back(["sortie", str(file), "--aircraft", str(aircraft_file)], answers):
        route = new_sortie(file, aircraft_file, answers, now=datetime.now(UTC))
    click.echo(f"Wrote {file} and {route}. Then: homeleg check {file}")


@contextmanager
def _given_back(command: Sequence[str], answers: Mapping[str, str]) -> Iterator[None]:
    """Give the answers back as options where the file refuses them as they stand together."""
    try:
        yield
    except InputFileError:
        if sys.stdin.isatty():
            options = (part for name, text in answers.items() for part in (f"--{name}", text))
            line = _command_line(["homeleg", "new", *command, *options])
            complain(f"Nothing was written. Your answers as one command, to be mended:\n  {line}")
        raise


def _command_line(words: list[str]) -> str:
    return subprocess.list2cmdline(words) if sys.platform == "win32" else shlex.join(words)


def _answers(
    asks: Sequence[Ask], options: Mapping[str, str | None], refusal_of: Refusal
) -> dict[str, str]:
    """Gather what was answered by options, and ask the rest where somebody can answer."""
    answers = {}
    missing = []
    ask_now = sys.stdin.isatty()
    for ask in asks:
        answer = options[ask.option.replace("-", "_")]
        if answer is None and ask_now:
            answer = _at_the_terminal(ask, refusal_of)
        if answer is not None and _is_known(answer):
            answers[ask.option] = answer.strip()
        elif ask.unknown is None:
            missing.append(f'--{ask.option} "{ask.example}"')
    if missing:
        raise click.UsageError("These answers are needed too: " + ", ".join(missing))
    return answers


def _at_the_terminal(ask: Ask, refusal_of: Refusal) -> str:
    """Ask until the answer is one that the file will take."""
    hint = f"Enter if you don't know: {ask.unknown}" if ask.unknown else "needed"
    while True:
        answer: str = click.prompt(
            f'{ask.words} (such as "{ask.example}"; {hint})', default="", show_default=False
        )
        if not _is_known(answer):
            if ask.unknown is not None:
                return answer
            click.echo("This one is needed.")
        elif refusal := refusal_of(ask, answer.strip()):
            click.echo(refusal)
        else:
            return answer


def _is_known(answer: str) -> bool:
    return answer.strip().lower() not in _NOT_KNOWN
