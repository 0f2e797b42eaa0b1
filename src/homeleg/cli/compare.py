"""`homeleg compare` and `homeleg export`: the released route out, and a route found against it."""

from pathlib import Path

import click

from homeleg.cli.computing import computing, say, warn_of_slow_start
from homeleg.cli.stopping import held_back
from homeleg.cli.streams import answer

EXIT_BY_END = {"SAME": 0, "NOT THE SAME": 5, "CANNOT TELL": 8}
_STDOUT = Path("-")
_KINDS = ("kml", "gpx", "geojson", "csv")


@click.command()
@click.argument("release", type=click.Path(path_type=Path))
@click.argument("found", metavar="FILE|RELEASE", type=click.Path(path_type=Path))
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
    found: Path,
    heights: str | None,
    members: int | None,
    json_target: Path | None,
) -> None:
    """Compare the route in FILE, or in another release, with that of the RELEASE.

    Differences come with the most dangerous first, and what was found is flown in computation. Exit
    status: 0 SAME, 5 NOT THE SAME, 8 CANNOT TELL, 2 bad input.
    """
    warn_of_slow_start()
    with computing() as progress:
        from homeleg.desk.compare import compare_release, comparison_json

        compared = compare_release(
            release, found, heights=heights, members=members, progress=progress
        )
    if json_target == _STDOUT:
        answer(comparison_json(compared))
    else:
        from homeleg.cli.compare_text import compared_text

        say(compared_text(compared))
        if json_target is not None:
            from homeleg.formats.text_file import write_text

            write_text(json_target, comparison_json(compared))
    context.exit(EXIT_BY_END[compared.comparison.end.value])


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
