"""Winds out of GRIB files, read in a process of their own; needs `homeleg[grib]`.

The library that reads them is compiled, ends the process on some damaged files, and writes to
standard error as it likes. Here it can only end its own.
"""

import json
import subprocess
import sys
from datetime import datetime
from pathlib import Path

from homeleg.formats.plane import Plane
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["GRIB_ENDINGS", "grib_layers"]

GRIB_ENDINGS = (".grib", ".grib1", ".grib2", ".grb", ".grb1", ".grb2")
_READER = "homeleg.formats.grib_reader"
_LONGEST_S = 60.0


def grib_layers(path: Path, launch: Plane, launch_time: datetime) -> list[dict[str, str]]:
    """Return the layers of a file at the grid point and valid time nearest to the launch.

    Raises InputFileError when it is not GRIB, does not reach the place, or holds no winds.
    """
    place = [f"{angle_rad!r}" for angle_rad in (launch.latitude_rad, launch.longitude_rad)]
    command = [sys.executable, "-m", _READER, str(path), *place, launch_time.isoformat()]
    try:
        done = subprocess.run(command, capture_output=True, timeout=_LONGEST_S, check=False)  # noqa: S603 (our own module, no shell)
    except subprocess.TimeoutExpired as error:
        problem = f"was not read within {_LONGEST_S:.0f} s"
        raise _refusal(path, problem, "Fetch a smaller one, of the region flown in.") from error
    if done.returncode != 0:
        raise _refusal(path, "is damaged, or no GRIB", "Fetch it again.")
    answer = json.loads(done.stdout)
    if "problem" in answer:
        raise _refusal(path, answer["problem"], answer["remedy"])
    layers: list[dict[str, str]] = answer["layers"]
    return layers


def _refusal(path: Path, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=path.name, problem=problem, remedy=remedy)])
