"""The plain C ceiling: build it into a folder, and fly members with it."""

import ctypes
import subprocess
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from homeleg.flight import compiled, guidance, kernel, layout, motion, readings
from homeleg.flight import surroundings as air_and_ground
from homeleg.foundation import constants
from homeleg.physics import battery

Array = NDArray[np.float64]

SOURCE = Path(__file__).parent / "ceiling" / "kernel.c"
# No contraction: multiplications and additions round apart, as in the kernel.
FLAGS = ("-O2", "-ffp-contract=off", "-fno-math-errno", "-shared", "-fPIC", "-lm")


class _Surroundings(ctypes.Structure):
    _fields_ = (
        *((name, ctypes.c_void_p) for name in ("legs", "plan", "cells", "ground", "obstacles")),
        *((name, ctypes.c_int64) for name in ("leg_count", "cell_nodes")),
        *((name, ctypes.c_int64) for name in ("ground_rows", "ground_columns", "obstacle_count")),
    )


class Ceiling:
    """The kernel's arithmetic compiled by gcc, on one thread."""

    def __init__(self, folder: Path) -> None:
        (folder / "columns.h").write_text(_header(), encoding="utf-8")
        library = folder / "ceiling.so"
        command = ["gcc", str(SOURCE), f"-I{folder}", "-o", str(library), *FLAGS]
        subprocess.run(command, check=True)  # noqa: S603 - fixed words
        self._library = ctypes.CDLL(str(library))

    def fly_members(
        self,
        seed: int,
        numbers: NDArray[np.int64],
        members: Array,
        winds: Array,
        surroundings: tuple[Array, Array, Array, Array, Array],
    ) -> tuple[Array, Array]:
        """Fly as `homeleg.flight.kernel.fly_members`; the surroundings begin with the legs."""
        legs, _, cells, ground, obstacles = kept = tuple(
            np.ascontiguousarray(array) for array in surroundings
        )
        around = _Surroundings(
            *(array.ctypes.data for array in kept),
            legs.shape[0],
            cells.size,
            *ground.shape,
            obstacles.shape[0],
        )
        results = np.empty((members.shape[0], layout.RESULT_COLUMNS))
        leg_results = np.empty((members.shape[0], legs.shape[0], layout.LEG_RESULT_COLUMNS))
        arrays = [np.ascontiguousarray(array) for array in (numbers, members, winds)]
        self._library.fly_members(
            ctypes.c_int64(seed),
            ctypes.c_int64(members.shape[0]),
            *(ctypes.c_void_p(array.ctypes.data) for array in arrays),
            ctypes.byref(around),
            ctypes.c_void_p(results.ctypes.data),
            ctypes.c_void_p(leg_results.ctypes.data),
        )
        return results, leg_results


def _header() -> str:
    """Return every number of the kernel's modules as a C definition under its own name."""
    modules = (constants, battery, layout, compiled, air_and_ground, guidance, motion, readings)
    numbers = {
        name.lstrip("_"): value
        for module in (*modules, kernel)
        for name, value in vars(module).items()
        if name.lstrip("_").isupper() and isinstance(value, int | float)
    }
    lines = ["#pragma once", *(f"#define {name} {value!r}" for name, value in numbers.items())]
    # Defined by the C source itself, from the same constants.
    return (
        "\n".join(line for line in lines if line.split()[1] not in {"G", "RHO0", "TWO_PI"}) + "\n"
    )
