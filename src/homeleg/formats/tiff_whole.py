"""Whether a TIFF file is whole: everything its first directory points to lies inside the file.

TIFF revision 6.0 (1992), section 2 (FOUND), and its 64-bit twin BigTIFF (MEMORY).
"""

import struct
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

__all__ = ["missing_bytes"]

# Bytes of a value, by the code of its type.
_TYPE_BYTES = {
    1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 13: 4,
    16: 8, 17: 8, 18: 8,
}  # fmt: skip
_UNSIGNED_TYPES = {3: "u2", 4: "u4", 13: "u4", 16: "u8"}
# A tag is a number of 16 bits.
_MOST_TAGS = 65_536
# Tags of where the parts of the picture begin, and how long they are: in strips, in tiles.
_PARTS = ((273, 279), (324, 325))


@dataclass(frozen=True, slots=True)
class _Layout:
    """How numbers are written: their byte order, and the formats of an offset and of a count."""

    order: str
    offset: str
    tags: str


@dataclass(frozen=True, slots=True)
class _Entry:
    """One tag: the type and number of its values, and where they begin."""

    type_code: int
    number: int
    begins: int

    @property
    def ends(self) -> int:
        return self.begins + self.number * _TYPE_BYTES.get(self.type_code, 0)


def missing_bytes(path: Path) -> int:
    """Return how many bytes a TIFF file lacks at its end, 0 where it is whole.

    A file that is no TIFF at all lacks nothing: others say so.
    """
    size = path.stat().st_size
    with path.open("rb") as file:
        try:
            return max(_end(file, size) - size, 0)
        except struct.error:
            return 1  # the file ends inside its directory


def _end(file: BinaryIO, size: int) -> int:
    """Return where the last thing ends that the first directory points to."""
    head = file.read(4)
    order = {b"II": "<", b"MM": ">"}.get(head[:2])
    version = int.from_bytes(head[2:], "little" if order == "<" else "big")
    if order is None or version not in (42, 43):
        return 0
    layout = _Layout(order, "I", "H") if version == 42 else _Layout(order, "Q", "Q")
    if version == 43:
        file.read(4)
    entries = _entries(file, layout)
    ends = [entry.ends for entry in entries.values()]
    if max(ends, default=0) <= size:
        ends += [_parts_end(file, order, entries, tags) for tags in _PARTS]
    return max(ends, default=0)


def _entries(file: BinaryIO, layout: _Layout) -> dict[int, _Entry]:
    (directory,) = _unpack(file, layout.order + layout.offset)
    file.seek(directory)
    (number,) = _unpack(file, layout.order + layout.tags)
    field_bytes = struct.calcsize(layout.offset)
    entries = {}
    for _ in range(min(number, _MOST_TAGS)):
        tag, type_code, count = _unpack(file, f"{layout.order}HH{layout.offset}")
        begins = file.tell()
        (pointer,) = _unpack(file, layout.order + layout.offset)
        is_inside = count * _TYPE_BYTES.get(type_code, 0) <= field_bytes
        entries[tag] = _Entry(type_code, count, begins if is_inside else pointer)
    return entries


def _parts_end(
    file: BinaryIO, order: str, entries: dict[int, _Entry], tags: tuple[int, int]
) -> int:
    """Return where the last strip or tile ends; a part of no bytes is left out on purpose."""
    if any(tag not in entries for tag in tags):
        return 0
    begin, length = (_values(file, order, entries[tag]) for tag in tags)
    if begin.shape != length.shape:
        return 0
    return int(np.where(length > 0, begin + length, 0).max(initial=0))


def _values(file: BinaryIO, order: str, entry: _Entry) -> NDArray[np.float64]:
    kind = _UNSIGNED_TYPES.get(entry.type_code)
    if kind is None:
        return np.zeros(0)
    file.seek(entry.begins)
    content = file.read(entry.ends - entry.begins)
    return np.frombuffer(content, dtype=order + kind).astype(np.float64)


def _unpack(file: BinaryIO, pattern: str) -> tuple[int, ...]:
    return struct.unpack(pattern, file.read(struct.calcsize(pattern)))
