"""A picture by its bytes: which kind, how large, whether whole; nothing of it is decoded here.

References: PNG, ISO/IEC 15948, 5.2 to 5.5 and 11.2 (signature, chunks with a CRC-32 each, IHDR
first, IEND last); JPEG, ITU-T T.81, annex B (markers, SOF0 to SOF15 hold lines and samples a line,
EOI ends it). From MEMORY.
"""

import zlib
from dataclasses import dataclass

from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["LARGEST_PICTURE_BYTES", "Picture", "picture_of"]

LARGEST_PICTURE_BYTES = 32 * 1024 * 1024
# What a browser decodes without trouble; four bytes a pixel. Ours.
_MOST_PIXELS = 64_000_000
_LONGEST_SIDE = 16_384
_PNG = b"\x89PNG\r\n\x1a\n"
_JPEG, _JPEG_END = b"\xff\xd8", b"\xff\xd9"
# Start of a frame; C4, C8 and CC are tables and reserved.
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
# Markers that stand alone.
_ALONE = frozenset((0x01, *range(0xD0, 0xD8)))


@dataclass(frozen=True, slots=True)
class Picture:
    """The media type of a picture, the ending of its name, and its size in pixels."""

    media_type: str
    ending: str
    width: int
    height: int


def picture_of(name: str, content: bytes) -> Picture:
    """Return what a picture is; raises InputFileError where it is none, or too large."""
    if len(content) > LARGEST_PICTURE_BYTES:
        most = LARGEST_PICTURE_BYTES // (1024 * 1024)
        raise _refusal(name, f"is larger than {most} MB", "Save it smaller, or cut it.")
    size = None
    kind = ("image/png", ".png")
    if content.startswith(_PNG):
        size = _png_size(content)
    elif content.startswith(_JPEG):
        kind = ("image/jpeg", ".jpg")
        size = _jpeg_size(content)
    if size is None:
        problem = "is no whole PNG or JPEG picture"
        raise _refusal(name, problem, "Save it as PNG or JPEG, and drop it again.")
    width, height = size
    if not (1 < width <= _LONGEST_SIDE and 1 < height <= _LONGEST_SIDE):
        problem = f"is {width:,} by {height:,} pixels"
        raise _refusal(name, problem, f"Save it with 2 to {_LONGEST_SIDE:,} pixels a side.")
    if width * height > _MOST_PIXELS:
        problem = f"is {width:,} by {height:,} pixels"
        raise _refusal(name, problem, f"Save it with at most {_MOST_PIXELS:,} pixels.")
    return Picture(*kind, width, height)


def _png_size(content: bytes) -> tuple[int, int] | None:
    """Return width and height; None where a chunk is not as it was written, or the last lacks."""
    size, at = None, len(_PNG)
    while size is not None or at == len(_PNG):
        end = at + 12 + int.from_bytes(content[at : at + 4], "big")
        name_and_data, sum_ = content[at + 4 : end - 4], content[end - 4 : end]
        if len(sum_) < 4 or zlib.crc32(name_and_data) != int.from_bytes(sum_, "big"):
            return None
        if name_and_data.startswith(b"IEND"):
            return size
        if name_and_data.startswith(b"IHDR") and len(name_and_data) >= 12:
            width, height = (int.from_bytes(name_and_data[n : n + 4], "big") for n in (4, 8))
            size = width, height
        at = end
    return None


def _jpeg_size(content: bytes) -> tuple[int, int] | None:
    at = 2
    while at + 9 <= len(content) and content[at] == 0xFF:
        marker = content[at + 1]
        if marker == 0xFF or marker in _ALONE:
            at += 1 if marker == 0xFF else 2
            continue
        if marker in _FRAMES:
            if _JPEG_END not in content[at:]:
                return None
            height, width = (
                int.from_bytes(content[at + from_ : at + from_ + 2], "big") for from_ in (5, 7)
            )
            return width, height
        length = int.from_bytes(content[at + 2 : at + 4], "big")
        if length < 2:
            return None
        at += 2 + length
    return None


def _refusal(where: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=where[:80], problem=problem, remedy=remedy)])
