"""`homeleg evidence`: one zip for a customer or an authority."""

from pathlib import Path

import click

from homeleg.cli.answering import target_file
from homeleg.cli.computing import say
from homeleg.cli.stopping import held_back


@click.command()
@click.argument("release", type=click.Path(path_type=Path))
@click.option(
    "--out",
    required=True,
    metavar="FILE.zip",
    type=click.Path(dir_okay=False, path_type=Path),
    callback=target_file,
    help="The new file.",
)
@click.option(
    "--recording",
    "recordings",
    multiple=True,
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="A recording of the flight: its digest goes in. May be given twice.",
)
@click.option(
    "--page",
    "pages",
    multiple=True,
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="A page to put in, such as the signed one, scanned. May be given twice.",
)
@click.option("--people", is_flag=True, help="Papers and people of the logbook too.")
def evidence(
    *,
    release: Path,
    out: Path,
    recordings: tuple[Path, ...],
    pages: tuple[Path, ...],
    people: bool,
) -> None:
    """Put what was released, compared, flown and noted on a RELEASE into one zip.

    It says how to verify it, and lists what is missing. Exit status: 0 written, 2 bad input.
    """
    with held_back():
        from homeleg.desk.evidence import evidence as write

        made = write(release, out, sheets=pages, recordings=recordings, people=people)
    lines = [f"Wrote {out}: {len(made.content)} bytes, SHA-256 {made.sha256}"]
    for part in made.parts:
        held = f"{len(part.files)} file{'' if len(part.files) == 1 else 's'}"
        lines.append(f"  {part.what}: {f'missing, {part.missing}' if part.missing else held}.")
    lines.append("Give that SHA-256 to whoever gets the zip, by another way.")
    say("\n".join(lines) + "\n")
