"""The store of a recording: a line that says what it is, then records, each with its own CRC.

First line: JSON with `format`, `program`, `started_utc`, `port`, ended by one line feed. Then
records, little-endian: microseconds since the start (8 bytes), kind (1), length of what was kept
(2), that many bytes, CRC-32 of all of these (4). Kind 1 is a whole frame, kind 2 a frame whose
signature was left out. A cut or damaged record ends what can be read: nothing is guessed.
"""

import json
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from homeleg.link.splitter import SIGNATURE_BYTES, Frame

__all__ = ["FORMAT", "Recorded", "Recording", "header_line", "read_recording", "record_of"]

FORMAT = "homeleg/recording/1"
_WHOLE, _WITHOUT_SIGNATURE = 1, 2
_HEAD, _CHECK = struct.Struct("<QBH"), struct.Struct("<I")
_MICROSECONDS = 1_000_000
_KEY_SETUP = 256  # SETUP_SIGNING of the common set: it carries the key itself


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """A frame with when it was heard, counted from the start [s]; its signature may be left out."""

    time_s: float
    raw: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Recording:
    """What could be read of a recording; `lost_bytes` at its end belong to no whole record."""

    header: dict[str, Any]
    records: tuple[Recorded, ...]
    lost_bytes: int


def header_line(program: str, started_utc: str, port: str) -> bytes:
    """Return the first line of a recording."""
    told = {"format": FORMAT, "program": program, "started_utc": started_utc, "port": port}
    return json.dumps(told).encode() + b"\n"


def record_of(frame: Frame, time_s: float) -> bytes:
    """Return the record of a frame, b"" for one that carries a key."""
    if frame.message_id == _KEY_SETUP:
        return b""
    kept = frame.raw[:-SIGNATURE_BYTES] if frame.signed else frame.raw
    kind = _WITHOUT_SIGNATURE if frame.signed else _WHOLE
    body = _HEAD.pack(round(_MICROSECONDS * time_s), kind, len(kept)) + kept
    return body + _CHECK.pack(zlib.crc32(body))


def read_recording(content: bytes) -> Recording:
    """Return what a recording holds as far as it is whole; raise ValueError if it is none."""
    line, _, rest = content.partition(b"\n")
    try:
        header = json.loads(line)
    except ValueError as error:
        raise ValueError("does not begin as a recording does") from error
    if not isinstance(header, dict) or header.get("format") != FORMAT:
        raise ValueError(f"does not say that it is {FORMAT}")
    records, ended = [], 0
    for record, end in _whole_records(rest):
        records.append(record)
        ended = end
    return Recording(header=header, records=tuple(records), lost_bytes=len(rest) - ended)


def _whole_records(data: bytes) -> Iterator[tuple[Recorded, int]]:
    """Give each whole record with where it ends."""
    at = 0
    while len(data) - at >= _HEAD.size + _CHECK.size:
        microseconds, kind, length = _HEAD.unpack_from(data, at)
        check_at = at + _HEAD.size + length
        end = check_at + _CHECK.size
        if (
            end > len(data)
            or zlib.crc32(data[at:check_at]) != _CHECK.unpack_from(data, check_at)[0]
        ):
            return
        raw = data[at + _HEAD.size : check_at]
        if kind == _WITHOUT_SIGNATURE:
            raw += bytes(SIGNATURE_BYTES)
        yield Recorded(time_s=microseconds / _MICROSECONDS, raw=raw), end
        at = end
