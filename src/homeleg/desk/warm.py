"""Compiling the flight kernel ahead of its first use, by checking a small sortie of our own."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from homeleg.desk.check import check_sortie
from homeleg.desk.new import new_aircraft, new_sortie
from homeleg.desk.starting_files import AIRCRAFT_ASKS, SORTIE_ASKS, Ask

_MEMBERS = 16
_OF_TODAY = ("wind-seen", "launch-time")


def compile_kernel(*, now: datetime, progress: Callable[[str, float], None] | None) -> None:
    """Check the example sortie once: every part of the kernel is compiled and kept on the way."""
    with TemporaryDirectory(prefix="homeleg-") as folder:
        aircraft, sortie = Path(folder, "aircraft.toml"), Path(folder, "sortie.toml")
        # Flown before: a maiden would be checked beside it, with the same kernel.
        new_aircraft(aircraft, {**_examples(AIRCRAFT_ASKS), "flights": "5"})
        new_sortie(sortie, aircraft, _examples(SORTIE_ASKS), now=now)
        check_sortie(sortie, members=_MEMBERS, seed=1, quick=True, progress=progress)


def _examples(asks: tuple[Ask, ...]) -> dict[str, str]:
    return {ask.option: ask.example for ask in asks if ask.option not in _OF_TODAY}
