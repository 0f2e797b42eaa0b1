"""`homeleg app`, and `homeleg` alone: the screens, on this machine only."""

import os
from contextlib import suppress
from pathlib import Path

import click

from homeleg.cli.computing import prepare_kernel
from homeleg.cli.streams import complain


@click.command()
@click.argument("base", required=False, type=click.Path(path_type=Path))
@click.option(
    "--port",
    type=click.IntRange(1024, 65_535),
    help="Of this machine's loopback; else that of the last time, or any that is free.",
)
@click.option("--no-browser", is_flag=True, help="Only say the address.")
def app(*, base: Path | None = None, port: int | None = None, no_browser: bool = False) -> None:
    """Open the screens on a BASE: the folder that holds aircraft and sorties as plain files.

    A folder that is not there is made. Without BASE: the one opened last; the first time, the
    page asks. Nothing but this machine is listened to.
    """
    prepare_kernel()
    from homeleg.app.server import serve

    with suppress(KeyboardInterrupt):  # the way to end it
        serve(base, port=port, browser=not no_browser, environment=os.environ, say=complain)
