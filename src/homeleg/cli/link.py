"""`homeleg link`: what the aircraft holds, compared with a release, and a release into it."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from homeleg.cli.computing import prepare_kernel, say, warn_of_slow_start
from homeleg.cli.stopping import at_once, held_back

if TYPE_CHECKING:
    from homeleg.desk.link import Aboard, Before
    from homeleg.desk.link_line import Line
    from homeleg.desk.listen import Glance
    from homeleg.link.session import Reading
    from homeleg.release.declared import ReadAloud

_EXIT_BY_END = {"SAME": 0, "NOT THE SAME": 5, "CANNOT TELL": 8}
_STDOUT = Path("-")
_PORT = "serial:DEVICE@BAUD, udp-listen:HOST:PORT, udp-connect:HOST:PORT or tcp:HOST:PORT."


def _link_options(command: click.Command) -> click.Command:
    command.params += [
        click.Option(["--port"], required=True, metavar="PORT", help=_PORT),
        click.Option(
            ["--system"],
            type=click.IntRange(1, 255),
            help="The aircraft; may be left out where one is heard.",
        ),
        click.Option(
            ["--present"], is_flag=True, help="Send a heartbeat: some links wait for one."
        ),
        click.Option(
            ["--home-first"],
            type=click.Choice(["yes", "no"]),
            help="Whether the aircraft keeps its launch point as item 0, where it does not tell.",
        ),
        click.Option(
            ["--signing-key-file", "key_file"],
            type=click.Path(path_type=Path),
            metavar="FILE",
            help="32 bytes, as in the aircraft, where it signs.",
        ),
        click.Option(
            ["--json", "json_target"],
            metavar="FILE|-",
            type=click.Path(allow_dash=True, path_type=Path),
            help="Write all of it as JSON too; with - only JSON comes out.",
        ),
    ]
    return command


def _compare_options(command: click.Command) -> click.Command:
    command.params += [
        click.Option(
            ["--return-height"],
            metavar="TEXT",
            help='As read in the maker\'s own tool, such as "60 m above launch".',
        ),
        click.Option(
            ["--link-loss-after"],
            metavar="TEXT",
            help='From a lost link to the return, as read there, such as "20 s".',
        ),
        click.Option(
            ["--link-loss-climb"],
            metavar="TEXT",
            help='Before it turns for home, as read there: "climbs first" or not.',
        ),
        click.Option(
            ["--link-loss-path"],
            metavar="TEXT",
            help='Which way it comes home, as read there, such as "straight".',
        ),
        click.Option(
            ["--link-loss-action"],
            metavar="TEXT",
            help='What ends a lost link, as read there, such as "orbit, then land".',
        ),
        click.Option(["--read-by"], metavar="NAME", help="Who read these settings aloud."),
        click.Option(
            ["--settings-map", "settings_map"],
            metavar="FILE",
            type=click.Path(path_type=Path),
            help="Your names for the aircraft's settings: listened for, never asked for.",
        ),
        click.Option(
            ["--watch"],
            is_flag=True,
            help="Where it is the same, go on listening and say when that holds no more.",
        ),
        click.Option(["--members"], type=click.IntRange(16, 65_536), help="As for compare."),
    ]
    return command


@click.group()
def link() -> None:
    """Read what an aircraft holds over its telemetry link, compare it, load a release into it.

    MAVLink 2. It never arms, steers or configures. Needs the extra homeleg[link].
    """


@_link_options
@link.command()
@click.option("--out", required=True, type=click.Path(path_type=Path), help="The new route file.")
def fetch(*, out: Path, **given: Any) -> None:
    """Write the route that the aircraft holds to a file that every check can read."""
    _need_the_extra()
    from homeleg.cli.link_text import fetched_text
    from homeleg.desk.link import fetch_aboard
    from homeleg.desk.link_answer import read_json
    from homeleg.desk.link_line import on_line

    with held_back() as heed, on_line(**_line(given, heed)) as line:
        reading, route = fetch_aboard(line, out)
    _put(fetched_text(reading, route, out), read_json(reading, str(out)), given["json_target"])


@_link_options
@link.command()
@click.argument("release", required=False, type=click.Path(path_type=Path))
@click.option("--seconds", type=click.FloatRange(1.0), help="How long; else until Ctrl-C.")
def listen(*, release: Path | None, seconds: float | None, **given: Any) -> None:
    """Say who is on the link; with a RELEASE, how long turning back still lands with the reserve.

    Read only: the pilot in command decides. Begin before the launch: its time is heard.
    """
    _need_the_extra()
    from homeleg.desk.link_line import on_line
    from homeleg.desk.listen import listen as hear

    target = given["json_target"]
    with (
        suppress(KeyboardInterrupt),
        _lines_to(target) as write,
        held_back() as heed,
        on_line(**_line(given, heed)) as line,
    ):
        show = _showing(write, said=target != _STDOUT)
        hear(line, release, show=show, seconds=seconds)


@_link_options
@link.command()
@click.argument("release", required=False, type=click.Path(path_type=Path))
@click.option("--out", required=True, type=click.Path(path_type=Path), help="The new recording.")
def record(*, release: Path | None, out: Path, **given: Any) -> None:
    """Record all that is heard, silent, until Ctrl-C; a power cut costs a second at most.

    With a RELEASE it says at once where home lies elsewhere than its launch point.
    """
    _need_the_extra()
    from homeleg.cli.streams import complain
    from homeleg.desk.glance_words import moved_words
    from homeleg.desk.link_answer import recorded_json
    from homeleg.desk.link_line import on_line
    from homeleg.desk.record_link import record_line
    from homeleg.desk.release import opened

    kept, launch = None, None if release is None else opened(release).route.launch_point
    with suppress(KeyboardInterrupt), held_back() as heed, on_line(**_line(given, heed)) as line:
        line.tell = complain
        kept = record_line(
            line,
            out,
            given["port"],
            datetime.now(UTC),
            launch=launch,
            say_moved=lambda off_m: complain(moved_words(off_m)),
        )
    if kept is None:
        raise KeyboardInterrupt
    words = f"{out}: {kept.frames} frames; {kept.skipped_bytes} bytes were no frame.\n"
    _put(words, recorded_json(kept, str(out)), given["json_target"])
    if kept.ended:
        from homeleg.foundation.errors import LinkError

        raise LinkError(f"It ended before you did: {kept.ended}. What is in the file is whole.")


@link.command()
@click.argument("recording", type=click.Path(path_type=Path))
@click.option("--out", required=True, type=click.Path(path_type=Path), help="The new CSV file.")
def series(*, recording: Path, out: Path) -> None:
    """Write a RECORDING as CSV: a row for every field of every message."""
    _need_the_extra()
    from homeleg.desk.record_link import export_recording

    written = export_recording(recording, out)
    say(f"{out}: {written.rows} rows of {written.frames} frames.\n")
    if written.lost_bytes:
        say(f"Its last {written.lost_bytes} bytes are no whole record: they are lost.\n")


@_compare_options
@_link_options
@link.command()
@click.argument("release", type=click.Path(path_type=Path))
@click.pass_context
def compare(context: click.Context, /, *, release: Path, **given: Any) -> None:
    """Compare what the aircraft holds with the RELEASE, on the ground or in flight.

    Exit status: 0 SAME, 5 NOT THE SAME, 8 CANNOT TELL, 6 the link failed, 7 refused, 2 bad input.
    """
    _need_the_extra()
    read = _read_aloud(given, release)
    warn_of_slow_start()
    from homeleg.desk.link import compare_aboard

    def compared(line: "Line") -> "Aboard":
        now, members = datetime.now(UTC), given["members"]
        return compare_aboard(line, release, read, now=now, members=members)

    _answer(context, compared, release, given)


@_compare_options
@_link_options
@link.command()
@click.argument("release", type=click.Path(path_type=Path))
@click.option(
    "--confirm-system",
    required=True,
    type=click.IntRange(1, 255),
    help="The system id of the aircraft, once more.",
)
@click.option("--on-ground", is_flag=True, help="You look at it, and it stands on the ground.")
@click.pass_context
def load(
    context: click.Context,
    /,
    *,
    release: Path,
    confirm_system: int,
    on_ground: bool,
    **given: Any,
) -> None:
    """Load the RELEASE into a disarmed aircraft on the ground, fetch it back and compare.

    Take the propeller off, or hold the aircraft fast. Exit status as compare; 6 after a failed
    load: fetch before flight.
    """
    if given["system"] not in (None, confirm_system):
        raise click.UsageError("--system and --confirm-system name two aircraft.")
    _need_the_extra()
    read = _read_aloud(given, release)
    prepare_kernel()
    from homeleg.desk.link import LoadOrder, load_release

    order = LoadOrder(
        system=confirm_system,
        seen_on_ground=on_ground,
        confirm=_confirmed,
        ask_home_first=_home_first,
    )

    def loaded(line: "Line") -> "Aboard":
        now, members = datetime.now(UTC), given["members"]
        return load_release(line, release, order, read, now=now, members=members)

    _answer(context, loaded, release, given)


def _need_the_extra() -> None:
    from homeleg.desk.link_extra import need_the_extra

    need_the_extra()


def _line(given: dict[str, Any], heed: Callable[[], None]) -> dict[str, Any]:
    from homeleg.link.steady_clock import steady_s

    said = given["home_first"]
    names = ("port", "system", "present", "key_file")
    return {
        **{name: given[name] for name in names},
        "home_first": None if said is None else said == "yes",
        "clock": steady_s,
        "heed": heed,
        "now": datetime.now(UTC),
    }


def _read_aloud(given: dict[str, Any], release: Path) -> "ReadAloud":
    """Return the settings that a person read; who sits at a terminal is asked for the rest."""
    from homeleg.desk.read_aloud import SETTINGS, declared_settings, read_aloud_from
    from homeleg.foundation.units import TextError

    if given["watch"] and given["json_target"] == _STDOUT:
        raise click.UsageError("--watch goes on in words: give --json a file.")
    try:
        read = read_aloud_from(given)
    except TextError as error:
        raise click.BadParameter(str(error)) from error
    wanted = [key for key in declared_settings(release) if given[key] is None]
    if not wanted or given["settings_map"] is not None or not sys.stdin.isatty():
        return read
    words = "No link reads what follows: read it aloud in the maker's own tool. Enter leaves it."
    click.echo(words, err=True)
    typed = {**given, **{key: _typed(key, SETTINGS[key]) for key in wanted}}
    if any(typed[key] for key in wanted) and given["read_by"] is None:
        typed["read_by"] = _typed("read_by", "who reads")
    return read_aloud_from(typed)


def _typed(key: str, words: str) -> str:
    """Return what a person types for a setting, asked again as long as it is none."""
    from homeleg.desk.read_aloud import read_aloud_from
    from homeleg.foundation.units import TextError

    def looked_at(text: str) -> str:
        try:
            read_aloud_from({key: text})
        except TextError as error:
            raise click.UsageError(str(error)) from error
        return text

    question = f"{words[0].upper()}{words[1:]}"
    with at_once():
        said = click.prompt(
            question, default="", show_default=False, value_proc=looked_at, err=True
        )
    return str(said)


def _confirmed(before: "Before") -> bool:
    """Return whether a person at a terminal types the system id; elsewhere the option stands."""
    from homeleg.cli.link_text import before_text

    click.echo(before_text(before), err=True)
    if not sys.stdin.isatty():
        return True
    with at_once():
        typed = click.prompt("Type its system id to load", default="", show_default=False, err=True)
    return str(typed).strip() == str(before.reading.system)


def _home_first(reading: "Reading") -> bool | None:
    """Return what a person at a terminal says of item 0; elsewhere nobody is asked."""
    from homeleg.cli.link_text import item_0_text

    if not sys.stdin.isatty():
        return None
    click.echo(item_0_text(reading), err=True)
    words, known = "Does it keep its launch point as item 0?", click.Choice(["yes", "no", ""])
    with at_once():
        said = click.prompt(words, type=known, default="", show_default=False, err=True)
    return None if said == "" else said == "yes"


def _answer(
    context: click.Context,
    ask: "Callable[[Line], Aboard]",
    release: Path,
    given: dict[str, Any],
) -> None:
    """Put a comparison out, watch for as long as it holds if wished, and leave with its status."""
    from homeleg.cli.link_text import aboard_text
    from homeleg.desk.link_answer import aboard_json
    from homeleg.desk.link_line import on_line
    from homeleg.desk.listen import listen as hear
    from homeleg.formats.settings_map import read_settings_map

    status, named = None, given["settings_map"]
    settings_map = None if named is None else read_settings_map(named)
    with suppress(KeyboardInterrupt), held_back() as heed, on_line(**_line(given, heed)) as line:
        line.settings_map = settings_map
        aboard = ask(line)
        held, watched = aboard.verified, given["watch"] and aboard.is_as_released
        _put(aboard_text(aboard, watched=watched), aboard_json(aboard), given["json_target"])
        status = _EXIT_BY_END[aboard.end.value]
        if watched:
            try:
                hear(line, release, show=_showing(None), seconds=None, verified=held)
            finally:
                status = _EXIT_BY_END["CANNOT TELL"] if held.ended else status
    if status is None:
        raise KeyboardInterrupt
    context.exit(status)


def _put(words: str, document: str, target: Path | None) -> None:
    """Put an answer out: in words, and as JSON where it is wanted."""
    if target == _STDOUT:
        from homeleg.cli.streams import answer

        answer(document)
        return
    say(words)
    if target is not None:
        from homeleg.formats.text_file import write_text

        write_text(target, document)


@contextmanager
def _lines_to(target: Path | None) -> "Iterator[Callable[[str], None] | None]":
    """Give what writes a line of JSON, None where none is wanted."""
    if target is None:
        yield None
    elif target == _STDOUT:
        from homeleg.cli.streams import answer

        yield answer
    else:
        from homeleg.formats.text_file import write_text

        write_text(target, "")
        with target.open("a", encoding="utf-8") as file:

            def write(text: str) -> None:
                file.write(text)
                file.flush()

            yield write


def _showing(
    write: "Callable[[str], None] | None", *, said: bool = True
) -> "Callable[[Glance], None]":
    """Return what shows a moment: in words, and as a line of JSON where it is wanted."""
    from homeleg.desk.glance_words import glance_words
    from homeleg.desk.link_answer import heard_json

    def show(glance: "Glance") -> None:
        if said:
            say(glance_words(glance).line())
        if write is not None:
            write(heard_json(glance))

    return show
