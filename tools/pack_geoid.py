# ruff: noqa: INP001
"""Pack the 15-minute EGM96 geoid (egm96_15.gtx) into the file that ships with the program.

    python tools/pack_geoid.py egm96_15.gtx src/homeleg/formats/data/egm96_15min.npz

The source: EGM96, National Imagery and Mapping Agency and NASA, 1996, a work of the United States
government in the public domain; as the grid of the Debian package proj-data 9.1.1, whose copyright
file says "public-domain". The format of .gtx: four doubles (south, west, steps), two integers
(rows, columns), then floats row by row from the south, all big-endian.

Undulations are rounded to the centimetre and kept as differences along row and column, which pack
to a third.
"""

import struct
import sys
from pathlib import Path

import numpy as np

_HEADER = struct.Struct(">4d2i")


def pack(source: Path, target: Path) -> None:
    """Write the packed grid."""
    content = source.read_bytes()
    south, west, step, step_east, rows, columns = _HEADER.unpack_from(content)
    if (south, west, step, step_east, rows, columns) != (-90.0, -180.0, 0.25, 0.25, 721, 1440):
        raise SystemExit(f"{source} is not the 15-minute grid from 180 W, 90 S")
    grid = np.frombuffer(content, ">f4", offset=_HEADER.size).reshape(rows, columns)
    centimetres = np.round(100.0 * grid.astype(np.float64)).astype(np.int16)
    differences = np.diff(np.diff(centimetres, axis=1, prepend=0), axis=0, prepend=0)
    np.savez_compressed(target, differences_cm=differences.astype(np.int16))


if __name__ == "__main__":
    pack(Path(sys.argv[1]), Path(sys.argv[2]))
