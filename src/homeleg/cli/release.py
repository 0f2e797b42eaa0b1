"""`homeleg release` and `homeleg show`: a checked sortie frozen, signed, and looked at again."""

import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from homeleg.cli.answering import refuse_taken_files, target_file
from homeleg.cli.computing import computing, say, warn_of_slow_start
from homeleg.cli.logbook_news import tell_the_logbook
from homeleg.cli.stopping import held_back

if TYPE_CHECKING:
    from homeleg.desk.release import Candidate
    from homeleg.release.signing import Override, Signature

Read = TypeVar("Read")
_FIELD = (
    ("--launch", "TEXT", 'Time of launch, such as "2026-06-09 17:00Z".'),
    ("--wind", "TEXT", 'The wind measured just now, such as "5.0 m/s from 225".'),
    ("--gust", "TEXT", 'Its strongest gust, such as "6.5 m/s".'),
    ("--temperature", "TEXT", 'Air temperature, such as "14 degC".'),
    ("--pack-temperature", "TEXT", 'Of the pack, such as "18 degC".'),
    ("--pack-charged", "TEXT", 'How full it is, such as "100 %".'),
    ("--pack-capacity", "TEXT", 'Against a new pack, such as "97 %".'),
    ("--pack-resistance", "TEXT", 'Against a new pack, such as "1.1".'),
)


def _field_options(command: click.Command) -> click.Command:
    for name, metavar, text in _FIELD:
        command.params.append(click.Option([name], metavar=metavar, help=text))
    return command


@_field_options
@click.command()
@click.argument("sortie", type=click.Path(path_type=Path))
@click.option(
    "--signed-by",
    "signers",
    multiple=True,
    metavar="NAME",
    help='Who signs, such as "Kim Park, pilot in command"; give it twice for two people.',
)
@click.option(
    "--read-back",
    metavar="TEXT",
    help="One signer alone: the code and the figure of the tightest row, read from the answer; "
    "else asked at the terminal.",
)
@click.option("--override-by", metavar="NAME", help="Who flies against a NO-GO, and signs.")
@click.option("--reason", metavar="TEXT", help="Why, in words. The word stays.")
@click.option(
    "--told", multiple=True, metavar="ITEM", help="Looked at just now and good; or ITEM=bad."
)
@click.option("--another-pack", is_flag=True, help="The pack was changed: nothing is known of it.")
@click.option("--plan", is_flag=True, help="Only keep it as a plan, to be released at the field.")
@click.option("--members", type=click.IntRange(16, 65_536), help="Computed flights, as for check.")
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE", help="Where to write it.")
@click.option(
    "--briefing",
    metavar="FILE.pdf",
    type=click.Path(dir_okay=False, writable=True, path_type=Path),
    callback=target_file,
    help="Write release page and flight card for paper too.",
)
@click.option(
    "--paper", type=click.Choice(["A4", "Letter"]), default="A4", help="Of these pages. [A4]"
)
@click.option(
    "--phone",
    metavar="FOLDER",
    type=click.Path(file_okay=False, exists=True, writable=True, path_type=Path),
    help="Write card.html and calls.html for a phone into it.",
)
@click.pass_context
def release(context: click.Context, /, *, sortie: Path, plan: bool, **given: Any) -> None:
    """Check the SORTIE and release it, signed: a file with a code that route and paper carry.

    SORTIE may be an earlier release or a plan: the same sortie, with what is told now. Exit status:
    0 released, 7 refused, 2 bad input or usage.
    """
    signers = [_said("--signed-by", _signature, text) for text in given.pop("signers")]
    override = _override(given.pop("override_by"), given.pop("reason"))
    if not plan and not signers:
        raise click.UsageError("Who signs? Give --signed-by NAME, or --plan for a plan.")
    phone = given["phone"]
    pages = [] if phone is None else [phone / name for name in ("card.html", "calls.html")]
    with held_back():
        refuse_taken_files(given["out"], given["briefing"], *pages)
    now = _now()
    made = _checked(sortie, now, given)
    if plan:
        _write(made, made.draft, sortie, given)
        return
    from homeleg.desk.release import sign

    read_back = given["read_back"]
    if read_back is None and len(signers) == 1 and sys.stdin.isatty():
        read_back = click.prompt(f"To sign alone, type {made.read_back.ask}", err=True)
    signed = sign(made, signers, now=now, read_back=read_back, override=override)
    _write(made, signed, sortie, given)
    context.exit(0)


@click.command()
@click.argument("file", metavar="RELEASE", type=click.Path(path_type=Path))
def show(file: Path) -> None:
    """Verify a RELEASE or plan and say what it holds: route, settings, signatures, time left."""
    from homeleg.cli.release_text import release_page
    from homeleg.desk.release import opened
    from homeleg.desk.route_aboard import aboard_of

    release, now = opened(file), _now()
    say(release_page(release, aboard_of(release, file, now), now))


def _now() -> datetime:
    return datetime.now(UTC)


def _checked(sortie: Path, now: datetime, given: dict[str, Any]) -> "Candidate":
    """Check the sortie with the answers from the field, and say the verdict with its code."""
    warn_of_slow_start()
    with computing() as progress:
        from homeleg.desk.check import DEFAULT_MEMBERS
        from homeleg.desk.release import candidate
        from homeleg.formats.field_answers import FieldAnswers

        names = [name.removeprefix("--").replace("-", "_") for name, _, _ in _FIELD]
        answers = FieldAnswers(
            told=given["told"],
            another_pack=given["another_pack"],
            **{name: given[name] for name in names},
        )
        members = given["members"] or DEFAULT_MEMBERS
        made = candidate(sortie, answers, now=now, members=members, progress=progress)
    from homeleg.cli.text import check_text

    result = made.result
    say(check_text(result.verdict, result.sortie))
    say(f"\nRelease code {made.draft.code}\n")
    return made


def _write(made: "Candidate", release: Any, sortie: Path, given: dict[str, Any]) -> None:
    from homeleg.cli.release_text import written_line
    from homeleg.desk.briefing import release_input, write_briefing, write_phone_pages
    from homeleg.desk.release import release_path, write_release

    path = given["out"] or release_path(release, sortie)
    write_release(release, path)
    if given["briefing"] is not None:
        with computing() as progress:
            from homeleg.desk.wind_window import with_wind_window

            windowed = with_wind_window(made.result, progress)
        pages = release_input(windowed, release)
        write_briefing(pages, given["briefing"], paper=given["paper"])
    if given["phone"] is not None:
        write_phone_pages(release_input(made.result, release), given["phone"])
    say(written_line(release, path))
    tell_the_logbook(path)


def _signature(text: str) -> "Signature":
    from homeleg.release.signing import signature_of

    return signature_of(text)


def _override(name: str | None, reason: str | None) -> "Override | None":
    if name is None and reason is None:
        return None
    if name is None or reason is None:
        raise click.UsageError("--override-by and --reason go together: who, and why.")
    from homeleg.release.signing import override_of

    return _said("--override-by", lambda text: override_of(text, reason), name)


def _said(option: str, read: Callable[[str], Read], text: str) -> Read:
    """Return an option as read, or the usage error of a text that says nothing."""
    from homeleg.foundation.units import TextError

    try:
        return read(text)
    except TextError as error:
        raise click.BadParameter(f"{error.problem}. {error.remedy}", param_hint=option) from error
