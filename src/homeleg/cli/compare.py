"""`homeleg compare` and `homeleg export`: the released route out, and a route found against it."""

from collections.abc import Sequence
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from homeleg.cli.computing import computing, say, warn_of_slow_start
from homeleg.cli.logbook_news import tell_the_logbook
from homeleg.cli.stopping import held_back
from homeleg.cli.streams import answer

if TYPE_CHECKING:
    from homeleg.release.release import Release

EXIT_BY_END = {"SAME": 0, "NOT THE SAME": 5, "CANNOT TELL": 8}
_STDOUT = Path("-")
_KINDS = ("kml", "gpx", "geojson", "csv")


@click.command()
@click.argument("release", type=click.Path(path_type=Path))
@click.argument("found", metavar="[FILE|RELEASE]", required=False, type=click.Path(path_type=Path))
@click.option(
    "--read-aloud",
    metavar="NAME",
    help="Instead of a file: ask line by line whether the aircraft holds it, and keep who read.",
)
@click.option(
    "--heights", metavar="TEXT", help="What heights in FILE are above, where it does not say."
)
@click.option("--members", type=click.IntRange(16, 65_536), help="As for check; else as released.")
@click.option(
    "--json",
    "json_target",
    metavar="FILE|-",
    type=click.Path(allow_dash=True, path_type=Path),
    help="Write all differences as JSON too; with - only JSON comes out.",
)
@click.pass_context
def compare(
    context: click.Context,
    /,
    *,
    release: Path,
    found: Path | None,
    read_aloud: str | None,
    heights: str | None,
    members: int | None,
    json_target: Path | None,
) -> None:
    """Compare the route in FILE, or in another release, with that of the RELEASE.

    Differences come with the most dangerous first, and what was found is flown in computation. How
    it ends is kept beside the RELEASE, for `homeleg show` and the pages. Exit status: 0 SAME, 5 NOT
    THE SAME, 8 CANNOT TELL, 2 bad input, 7 what was read aloud cannot be taken.
    """
    if (found is None) == (read_aloud is None):
        raise click.UsageError("Give the FILE that was fetched, or --read-aloud NAME.")
    if found is None:
        if heights or members or json_target:
            raise click.UsageError("--read-aloud goes alone: there is no file.")
        _compare_aloud(context, release, str(read_aloud))
        return
    warn_of_slow_start()
    with computing() as progress:
        from homeleg.desk.compare import comparison_json
        from homeleg.desk.field_compare import compare_fetched

        fetched = compare_fetched(
            release,
            found,
            datetime.now(UTC),
            heights=heights,
            members=members,
            progress=progress,
        )
    compared = fetched.compared
    if json_target == _STDOUT:
        answer(comparison_json(compared))
    else:
        from homeleg.cli.compare_text import KEPT, compared_text

        say(compared_text(compared, kept=fetched.not_kept or KEPT))
        if json_target is not None:
            from homeleg.formats.text_file import write_text

            write_text(json_target, comparison_json(compared))
        _warn_of_expiry(compared.release)
    tell_the_logbook(release)
    context.exit(EXIT_BY_END[compared.comparison.end.value])


def _compare_aloud(context: click.Context, release: Path, who: str) -> None:
    """Ask for each line of a release whether the aircraft holds it, and keep the answers."""
    from homeleg.desk.release import opened
    from homeleg.desk.route_aboard import keep_read_aloud, lines_of

    held = opened(release)
    aboard = keep_read_aloud(release, who, _answered(lines_of(held)), datetime.now(UTC))
    say(f"{aboard.words}\n")
    _warn_of_expiry(held)
    tell_the_logbook(release)
    context.exit(EXIT_BY_END["SAME" if aboard.is_same else "NOT THE SAME"])


def _warn_of_expiry(release: "Release") -> None:
    """Say that a release is over: its route may be the one aboard all the same."""
    from homeleg.cli.release_text import EXPIRED
    from homeleg.foundation.stated_text import shown_time

    if release.has_expired(datetime.now(UTC)):
        until = shown_time(release.valid_until)
        say(f"Release {release.code}: to launch until {until}. {EXPIRED}\n")


def _answered(lines: Sequence[str]) -> list[bool]:
    """Return what a person says of each line, as far as they come."""
    same: list[bool] = []
    with suppress(click.Abort):
        for line in lines:
            same.append(click.confirm(f"{line}\nThe same aboard?", err=True))  # noqa: PERF401
    return same


@click.command()
@click.argument("release", type=click.Path(path_type=Path))
@click.option("--as", "kind", required=True, type=click.Choice(_KINDS), help="Which format.")
@click.option("--out", required=True, type=click.Path(path_type=Path), help="The new file.")
def export(*, release: Path, kind: str, out: Path) -> None:
    """Write the route of a RELEASE for another program, and say what its format cannot hold."""
    with held_back():
        from homeleg.cli.compare_text import exported_text
        from homeleg.desk.export import export_release

        exported = export_release(release, kind, out)
    say(exported_text(exported, out))
