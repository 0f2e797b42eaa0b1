"""`homeleg search`: where to look for an aircraft that did not come back."""

import textwrap
from pathlib import Path
from typing import TYPE_CHECKING

import click

from homeleg.cli.answering import refuse_taken_files, target_file
from homeleg.cli.computing import computing, say, warn_of_slow_start
from homeleg.cli.stopping import held_back

if TYPE_CHECKING:
    from homeleg.briefing.search_sheet import SearchSheet


@click.command()
@click.argument("release", type=click.Path(path_type=Path))
@click.option(
    "--last-seen",
    required=True,
    metavar="LAT,LON[,HEIGHT]",
    help='Where it was last, such as "55.0036 N, 4.9892 W, 85 m above launch".',
)
@click.option(
    "--at",
    required=True,
    metavar="TIME",
    help='When that was, such as "17:02:30Z", with or without a date.',
)
@click.option("--launched", metavar="TIME", help="When it left, if not at the time released.")
@click.option(
    "--only",
    multiple=True,
    type=click.Choice(["gliding", "circling", "home"]),
    help="Keep only this way of coming down; may be given twice.",
)
@click.option(
    "--out",
    metavar="FILE.kml",
    type=click.Path(dir_okay=False, writable=True, path_type=Path),
    callback=target_file,
    help="Write the areas and places for a map.",
)
@click.option(
    "--paper",
    metavar="FILE.pdf",
    type=click.Path(dir_okay=False, writable=True, path_type=Path),
    callback=target_file,
    help="Write one page to walk with.",
)
@click.option(
    "--sheet", type=click.Choice(["A4", "Letter"]), default="A4", help="Of the page. [A4]"
)
def search(
    *,
    release: Path,
    last_seen: str,
    at: str,
    launched: str | None,
    only: tuple[str, ...],
    out: Path | None,
    paper: Path | None,
    sheet: str,
) -> None:
    """Say where to look for the aircraft of a RELEASE, from where it was seen last.

    It comes down in computation, in the wind and over the ground released: gliding on, circling, or
    on its way home. Exit status: 0 answered, 7 refused, 2 bad input.
    """
    with held_back():
        refuse_taken_files(out, paper)
    warn_of_slow_start()
    with computing() as progress:
        from homeleg.desk.search import Sighting, search, write_search

        sighting = Sighting(place=last_seen, at=at, launched=launched, only=only)
        found = search(release, sighting, progress=progress)
        write_search(found, out, paper, sheet=sheet)
    say(search_text(found.sheet))
    for written in (out, paper):
        if written is not None:
            say(f"Wrote {written}.\n")


def search_text(sheet: "SearchSheet") -> str:
    """Return where to look, in which order, what that rests on, and what to mind."""
    from homeleg.briefing.search_sheet import SEARCH_CAUTIONS, spot_line
    from homeleg.verdict.cautions import ADVICE

    rows = [[str(spot.number), *spot_line(spot)] for spot in sheet.spots]
    table = [
        f"  {number}  {share:>9}  {bearing:>7}  {distance:>8}  {place}"
        for number, share, bearing, distance, place in rows
    ]
    title = f"{'':3}  {'of all':>9}  {'bearing':>7}  {'from':>8}  WGS 84"
    head = f"Look in this order, {sheet.around:.0f} m around each; from the launch point, true:"
    blocks = (
        _filled([f"Where to look for {sheet.name}, release {sheet.code}.", sheet.seen]),
        [head, title, *table],
        _filled([*sheet.area, *sheet.kept, *sheet.notes]),
        _filled([*SEARCH_CAUTIONS, ADVICE]),
    )
    return "\n\n".join("\n".join(block) for block in blocks) + "\n"


def _filled(lines: list[str]) -> list[str]:
    from homeleg.cli.text import WIDTH

    return [textwrap.fill(line, WIDTH, subsequent_indent="  ") for line in lines]
