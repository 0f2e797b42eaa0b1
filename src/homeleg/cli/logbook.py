"""`homeleg logbook`: what was flown, found, done and shown, kept for good."""

import os
import sys
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from homeleg.cli.computing import say
from homeleg.cli.stopping import held_back
from homeleg.cli.streams import answer

if TYPE_CHECKING:
    from homeleg.desk.base import Base
    from homeleg.desk.logbook_laptop import Laptop

_EXIT_BROKEN = 4
_STDOUT = Path("-")
_CODE = "the code that stands before an entry"
_CHANGES = (
    "wing refitted, lead replugged, camera or pack place moved, propeller or motor, autopilot "
    "software or settings, hard landing, new pack, tube disturbed, only written down better"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Desk:
    """The base whose logbook is meant, and the laptop that writes."""

    base: "Base"
    laptop: "Laptop"
    now: datetime


@click.group(invoke_without_command=True)
@click.option(
    "--base",
    type=click.Path(path_type=Path),
    help="The folder of the base; else the one you stand in, else the one opened last.",
)
@click.pass_context
def logbook(context: click.Context, *, base: Path | None) -> None:
    """Show and keep the logbook of a base: flights, packs, defects, maintenance, papers, people.

    Alone it says what is open and what was entered last. Entries are never changed: what does not
    hold is withdrawn. Changed aircraft, releases and noted flights enter themselves.
    """
    context.obj = base
    if context.invoked_subcommand is None:
        context.invoke(show)


@logbook.command()
@click.option("--all", "all_rows", is_flag=True, help="Every entry, not only the latest.")
@click.option(
    "--json",
    "json_target",
    metavar="FILE|-",
    type=click.Path(allow_dash=True, path_type=Path),
    help="Write all entries as JSON too, as `export` does; with - only JSON comes out.",
)
@click.pass_context
def show(
    context: click.Context, *, all_rows: bool = False, json_target: Path | None = None
) -> None:
    """Say what is open and was entered last.

    With how aircraft, packs and papers stand.
    """
    from homeleg.cli.logbook_text import logbook_text
    from homeleg.desk.logbook import open_logbook
    from homeleg.desk.logbook_keep import logbook_json
    from homeleg.desk.logbook_view import logbook_view

    desk = _desk(context)
    book = open_logbook(desk.base, desk.laptop, desk.now)
    if json_target == _STDOUT:
        answer(logbook_json(desk.base, desk.now))
        return
    say(logbook_text(logbook_view(book, desk.now), desk.base.folder, all_rows=all_rows))
    if json_target is not None:
        from homeleg.formats.text_file import write_text

        write_text(json_target, logbook_json(desk.base, desk.now))


def _entering(kind: str, words: str, *parameters: click.Parameter) -> None:
    """Add the command that writes one kind of entry from its typed fields."""

    @click.pass_context
    def command(context: click.Context, /, **given: Any) -> None:
        from homeleg.desk.logbook_typed import enter_typed
        from homeleg.desk.logbook_words import thing_words

        desk = _desk(context)
        typed = {name: value for name, value in given.items() if value is not None}
        with held_back():
            entry = enter_typed(desk.base, desk.laptop, desk.now, kind, typed)
        say(f"{entry.code}  {thing_words(entry.thing)}\n")

    logbook.add_command(click.Command(kind, callback=command, params=list(parameters), help=words))


def _argument(name: str) -> click.Parameter:
    return click.Argument([name])


def _option(name: str, words: str, metavar: str = "TEXT") -> click.Parameter:
    return click.Option([f"--{name}"], metavar=metavar, help=words)


def _at(words: str = "When it was, in UTC; else now.") -> click.Parameter:
    return _option("at", words, '"2026-06-09 17:00Z"')


_BY = _option("by", "Who says so.", "NAME")
_ABOUT = click.Argument(["about"], metavar="CODE")

_entering(
    "flight",
    "Enter a flight of an AIRCRAFT. One noted on a release enters itself.",
    _argument("aircraft"),
    _option("minutes", "From launch to landing.", "NUMBER"),
    _option("charged", 'What the charger put back, such as "2290 mAh".'),
    _option("pilot", "Who flew.", "NAME"),
    _option("place", "Where."),
    _option("pack", "On which pack; else the one put in last.", "NAME"),
    _option("release", "The release flown on.", "CODE"),
    _at("When it was launched, in UTC; else it has just landed."),
)
_entering(
    "event",
    f"Enter what was done or befell an AIRCRAFT. WHAT is one of: {_CHANGES}.",
    _argument("aircraft"),
    _argument("what"),
    _option("words", "More words."),
    _BY,
    _at(),
)
_entering(
    "card",
    "Enter a test CARD flown. Such as stall, or link loss.",
    _argument("aircraft"),
    _argument("card"),
    _BY,
    _at(),
)
_entering(
    "pack",
    "Enter a PACK as it is now. What was measured of it, and the aircraft it was put into.",
    _argument("pack"),
    click.Option(["--in", "aircraft"], metavar="AIRCRAFT", help="Put into this aircraft."),
    _option("temperature", 'Such as "21 degC".'),
    _option("capacity", 'Measured, such as "4700 mAh".'),
    _option("resistance", 'Of the whole pack, such as "30 mohm".'),
    _option("cycles", "How often it was charged so far.", "NUMBER"),
    click.Option(["--swollen"], type=click.Choice(["yes", "no"]), help="Whether it is swollen."),
    _at(),
)
_entering(
    "defect",
    "Enter what was found wrong on an AIRCRAFT.",
    _argument("aircraft"),
    _argument("words"),
    _BY,
    _at(),
)
_entering(
    "deferral",
    f"Decide to fly on with a defect. CODE is {_CODE}.",
    _ABOUT,
    _option("by", "Who decides.", "NAME"),
    _option("until", "The last day.", "2026-07-01"),
    _option("flights", "For so many flights.", "NUMBER"),
    _option("limitation", "What must not be done meanwhile."),
)
_entering(
    "done",
    f"Say that a defect was put right, or maintenance carried out. CODE is {_CODE}.",
    _ABOUT,
    _BY,
    _option("words", "What was done."),
    _at(),
)
_entering(
    "maintenance",
    "Enter a TASK that comes back. What comes first counts: flights, hours in the air, months.",
    _argument("aircraft"),
    _argument("task"),
    _option("flights", "After so many flights.", "NUMBER"),
    _option("hours", "After so many hours in the air.", "NUMBER"),
    _option("months", "After so many months.", "NUMBER"),
    _at("When it was last done, in UTC; else now."),
)
_entering(
    "paper",
    "Enter a paper. KIND is registration, certificate, insurance or permission; HOLDER whose it "
    "is: an aircraft, a person.",
    _argument("kind"),
    _argument("holder"),
    _option("number", "What stands on it."),
    _option("until", "Its last day; else it has no end.", "2027-03-31"),
    _option("conditions", "What it asks for, each on a line of its own."),
)
_entering(
    "person",
    "Enter a person by NAME and what they do, such as pilot, observer.",
    _argument("name"),
    _argument("roles"),
)
_entering(
    "note",
    "Enter WORDS to remember.",
    _argument("words"),
    _option("aircraft", "Of which aircraft.", "NAME"),
    _BY,
    _at(),
)
_entering(
    "withdrawal",
    f"Take back an entry that does not hold. CODE is {_CODE}; both stay in the book.",
    _ABOUT,
    _BY,
    _option("reason", "Why."),
)


@logbook.command("answer")
@click.argument("about", metavar="CODE")
@click.argument("what")
@click.option("--by", metavar="NAME", help="Who says so.")
@click.pass_context
def answer_change(context: click.Context, *, about: str, what: str, by: str | None) -> None:
    """Say what a changed aircraft record stands for. WHAT as for `event`."""
    from homeleg.desk.logbook_typed import enter_typed
    from homeleg.desk.logbook_words import thing_words

    desk = _desk(context)
    typed = {"about": about, "what": what, "by": by or ""}
    entry = enter_typed(desk.base, desk.laptop, desk.now, "event", typed)
    say(f"{entry.code}  {thing_words(entry.thing)}\n")


@logbook.command()
@click.pass_context
def verify(context: click.Context) -> None:
    """Say whether it is whole, or where it breaks.

    Exit status: 0 whole, 4 not.
    """
    from homeleg.cli.logbook_text import findings_text
    from homeleg.desk.logbook_keep import verify_logbook

    findings = verify_logbook(_desk(context).base)
    say(findings_text(findings))
    context.exit(_EXIT_BROKEN if findings.breaks else 0)


@logbook.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.pass_context
def export(context: click.Context, *, folder: Path) -> None:
    """Write the logbook as plain files into FOLDER.

    logbook.json, which `merge` reads back entry for entry the same, and a table of each kind to
    look at.
    """
    from homeleg.desk.logbook_keep import export_logbook

    desk = _desk(context)
    with held_back():
        paths = export_logbook(desk.base, folder, desk.now)
    say("".join(f"{path}\n" for path in paths))


@logbook.command()
@click.argument("other", type=click.Path(path_type=Path))
@click.pass_context
def merge(context: click.Context, *, other: Path) -> None:
    """Take over what OTHER has and this base not.

    OTHER is another base, a logbook.db or an exported logbook.json.
    Nothing here is changed, and nothing in the other place. Files that differ are named.
    """
    from homeleg.cli.logbook_text import merged_text
    from homeleg.desk.logbook_keep import merge_into

    desk = _desk(context)
    with held_back():
        merged = merge_into(desk.base, other, desk.laptop, desk.now)
    say(merged_text(merged, other))


@logbook.command()
@click.argument("new", type=click.Path(path_type=Path), metavar="NEW-FILE")
@click.pass_context
def rescue(context: click.Context, *, new: Path) -> None:
    """Save what a damaged logbook holds into NEW-FILE.

    The damaged one stays as it is.
    """
    from homeleg.cli.logbook_text import rescued_text
    from homeleg.desk.logbook import logbook_path
    from homeleg.desk.logbook_keep import rescue_logbook

    path = logbook_path(_desk(context).base)
    with held_back():
        rescued = rescue_logbook(path, new)
    say(rescued_text(rescued, path, new))


def _desk(context: click.Context) -> _Desk:
    """Return the base told, stood in, or opened last; raises InputFileError where there is none."""
    from homeleg.desk.logbook_base import base_meant
    from homeleg.desk.logbook_laptop import this_laptop

    base = base_meant(context.obj, Path.cwd(), os.environ, sys.platform)
    laptop = this_laptop(os.environ, sys.platform)
    return _Desk(base=base, laptop=laptop, now=datetime.now(UTC).replace(microsecond=0))
