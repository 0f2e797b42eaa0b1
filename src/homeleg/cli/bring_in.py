"""`homeleg import`: a route or ground from another program, as a file of ours."""

from pathlib import Path

import click

from homeleg.cli.stopping import held_back

_PURPOSES = ("route", "boundary", "keep-out", "come-down", "obstacles")


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--as", "purpose", required=True, type=click.Choice(_PURPOSES), help="What it is.")
@click.option(
    "--out",
    required=True,
    type=click.Path(path_type=Path),
    help="The new file: route.csv for a route, else a .geojson.",
)
@click.option(
    "--heights",
    metavar="TEXT",
    help='What the heights in it are above, where it does not say: "AMSL", "AGL", "above launch" '
    'or "ellipsoid"; or one height for all, such as "80 m above launch".',
)
@click.option(
    "--columns",
    metavar="TEXT",
    help='Columns of a CSV file, ours first: "name=Point, latitude_deg=Lat, longitude_deg=Lon, '
    'height_m=Alt".',
)
@click.option("--only", metavar="NAME", help="Only what has this name in it.")
def bring_in(
    *,
    file: Path,
    purpose: str,
    out: Path,
    heights: str | None,
    columns: str | None,
    only: str | None,
) -> None:
    """Turn a KML, KMZ, GPX, GeoJSON or CSV FILE into one that a sortie can name.

    What could not be carried over is listed. A height is never guessed: where the file does not
    say what it is above, --heights must.
    """
    with held_back():
        from homeleg.desk.bring_in import Purpose
        from homeleg.desk.bring_in import bring_in as brought_in

        result = brought_in(
            file, out, Purpose(purpose), heights=heights, columns=columns, only=only
        )
    click.echo(f"Wrote {out}: {result.count}.")
    for words in result.changed:
        click.echo(f"Changed: {words}.")
    for words in result.lost:
        click.echo(f"Not carried over: {words}.")
    click.echo(result.next_step)
