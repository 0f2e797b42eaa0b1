"""What every command that gives a verdict shares: its options, where the answer goes, its exit."""

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from homeleg.cli.computing import say
from homeleg.cli.streams import answer

if TYPE_CHECKING:
    from homeleg.desk.check import CheckResult

__all__ = [
    "EXIT_BY_WORD",
    "answer_files",
    "answer_options",
    "give_answer",
    "is_said",
    "json_option",
    "once",
    "quick_option",
    "refuse_many_quick",
    "refuse_taken_files",
    "refuse_two_answers",
    "target_file",
]

EXIT_BY_WORD = {"GO": 0, "MARGINAL": 3, "NO-GO": 4}
_STDOUT = Path("-")
Given = TypeVar("Given", bound=str | tuple[str, ...])
Command = TypeVar("Command", bound=Callable[..., None])


class _Members(click.ParamType[int]):
    """A number of computed flights."""

    name = "number"
    least, most = 16, 65_536

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """Return the number, or say which numbers there are."""
        try:
            number = int(value)
        except ValueError:
            number = 0
        if not self.least <= number <= self.most:
            self.fail(f"{value} is no whole number from {self.least} to {self.most:,}.", param, ctx)
        return number


def refuse_many_quick(members: int | None, *, quick: bool) -> None:
    """Refuse more flights than a quick answer has: it would have fewer than were asked for."""
    from homeleg.desk.check import QUICK_MEMBERS

    if quick and members is not None and members > QUICK_MEMBERS:
        raise click.UsageError(
            f"--quick flies {QUICK_MEMBERS} at most, not {members:,}: leave one of the two out."
        )


def once(_: click.Context, __: click.Parameter, values: Sequence[Given]) -> Given | None:
    """Return what an option was given, and refuse it given twice; for options of `multiple`."""
    if len(values) > 1:
        said = " and ".join(one if isinstance(one, str) else " ".join(one) for one in values)
        raise click.BadParameter(f"it is given {len(values)} times: {said}. Once is meant.")
    return values[0] if values else None


def target_file(_: click.Context, __: click.Parameter, target: Path | None) -> Path | None:
    """Refuse what names no file, before anything is computed."""
    if target is None or target == _STDOUT:
        return target
    if not target.name:
        raise click.BadParameter("name a file, or - for standard output.")
    if not target.parent.is_dir():
        raise click.BadParameter(f"there is no folder {target.parent}.")
    return target


quick_option = click.option(
    "--quick", is_flag=True, help="A provisional answer from few computed flights."
)
json_option = click.option(
    "--json",
    "json_target",
    metavar="FILE|-",
    type=click.Path(dir_okay=False, writable=True, allow_dash=True, path_type=Path),
    callback=target_file,
    help="Write the answer as JSON too; with - only JSON comes out.",
)
_OPTIONS = (
    click.option(
        "--members",
        type=_Members(),
        metavar="NUMBER",
        help="Computed flights: 2048 unless told, 16 to 65536; with --quick at most 256.",
    ),
    quick_option,
    click.option(
        "--field", is_flag=True, help="Only what to carry: word, circle, gates, turn-back."
    ),
    click.option("--window", is_flag=True, help="Look at every other surface wind too, quickly."),
    json_option,
)


def answer_options(command: Command) -> Command:
    """Give a command the options of a verdict."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def answer_files(*targets: Path | None) -> list[Path]:
    """Return the files that are to hold the answer."""
    return [target for target in targets if target not in (None, _STDOUT)]


def refuse_taken_files(*targets: Path | None) -> None:
    """Refuse new files whose names are taken, before anything is computed."""
    from homeleg.formats.text_file import refuse_taken

    for target in targets:
        if target is not None:
            refuse_taken(target)


def refuse_two_answers(json_target: Path | None, *, field: bool) -> None:
    """Refuse a field page and JSON where both would go to standard output."""
    if field and not is_said(json_target):
        raise click.UsageError("--field is words and --json - is JSON alone: write --json FILE.")


def is_said(json_target: Path | None) -> bool:
    """Return whether the answer comes out in words, not as JSON alone."""
    return json_target != _STDOUT


def give_answer(result: "CheckResult", json_target: Path | None, *, field: bool) -> None:
    """Say or write the answer."""
    from homeleg.desk.answer import check_answer_json, write_check_answer

    if not is_said(json_target):
        answer(check_answer_json(result, given_at=datetime.now(UTC)))
        return
    from homeleg.cli.field_text import field_text
    from homeleg.cli.text import check_text

    verdict = result.verdict
    say(field_text(verdict) if field else check_text(verdict, result.sortie))
    if result.verdict.wind_window is not None:
        from homeleg.cli.window_text import window_text

        say("\n" + window_text(result.verdict.wind_window))
    if json_target is not None:
        write_check_answer(result, json_target, given_at=datetime.now(UTC))
