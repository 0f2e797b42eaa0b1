"""Bytes of a link into whole frames: found, measured and checked here, with what was skipped.

A frame that does not add up is not trusted in anything, not even its length: one byte is given up
and the search goes on behind it, so that noise costs the frames it hit and no others.

References: MAVLink guide, "Packet Serialization" (frame layout, both versions) and "Message
Signing" (13 bytes of signature), MEMORY of the wording; CRC-16/MCRF4XX as the serialisation page
names it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from fastcrc import crc16

__all__ = ["SIGNATURE_BYTES", "Frame", "Splitter", "frames_of"]

_V1, _V2 = 0xFE, 0xFD
_HEADER_BYTES = {_V1: 6, _V2: 10}
_CHECK_BYTES = 2
SIGNATURE_BYTES = 13
_SIGNED_FLAG = 0x01  # the only flag a reader may know and go on reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """One whole frame whose checksum was right.

    `passed_over` are frames just before it of messages we have no checksum seed for, as
    (system, component, sequence): they tell that nothing was lost, and nothing else.
    """

    raw: bytes
    version: int
    message_id: int
    system: int
    component: int
    sequence: int
    payload: bytes
    signed: bool
    passed_over: tuple[tuple[int, int, int], ...] = ()


@dataclass(slots=True, kw_only=True)
class Splitter:
    """Finds frames in a stream of bytes; `seeds` are the checksum seeds by message id."""

    seeds: Mapping[int, int]
    skipped_bytes: int = 0
    _buffer: bytearray = field(default_factory=bytearray)
    _passed_over: list[tuple[int, int, int]] = field(default_factory=list)

    def feed(self, data: bytes) -> list[Frame]:
        """Return the frames that are whole with these bytes; what may become one is kept."""
        self._buffer += data
        return self._split(more_may_come=True)

    def end(self) -> list[Frame]:
        """Return the frames behind what would have become one, had more come."""
        return self._split(more_may_come=False)

    def _split(self, *, more_may_come: bool) -> list[Frame]:
        frames = []
        at = 0
        while at < len(self._buffer):
            length = self._frame_length(at)
            if length is None and more_may_come:
                break
            frame = self._frame(at, length) if length else None
            if frame is None:
                self.skipped_bytes += 1
                at += 1
            else:
                frames.append(frame)
                at += len(frame.raw)
        del self._buffer[:at]
        return frames

    def _frame_length(self, at: int) -> int | None:
        """Return how long the frame that begins here would be; 0: none; None: not yet known."""
        marker = self._buffer[at]
        if marker not in _HEADER_BYTES:
            return 0
        header_bytes = _HEADER_BYTES[marker]
        if len(self._buffer) - at < header_bytes:
            return None
        length = header_bytes + self._buffer[at + 1] + _CHECK_BYTES
        if marker == _V2:
            flags = self._buffer[at + 2]
            if flags & ~_SIGNED_FLAG:
                return 0
            length += SIGNATURE_BYTES * (flags & _SIGNED_FLAG)
        return length if len(self._buffer) - at >= length else None

    def _frame(self, at: int, length: int) -> Frame | None:
        """Return the frame of that length that begins here, None if it does not add up."""
        raw = bytes(self._buffer[at : at + length])
        version = 2 if raw[0] == _V2 else 1
        header_bytes = _HEADER_BYTES[raw[0]]
        message_id = int.from_bytes(raw[7:10], "little") if version == 2 else raw[5]
        sequence, system, component = raw[4:7] if version == 2 else raw[2:5]
        if message_id not in self.seeds:
            self._passed_over.append((system, component, sequence))
            return None
        end = header_bytes + raw[1]
        checked = crc16.mcrf4xx(raw[1:end] + bytes([self.seeds[message_id]]))
        if checked != int.from_bytes(raw[end : end + _CHECK_BYTES], "little"):
            return None
        passed_over, self._passed_over = tuple(self._passed_over), []
        return Frame(
            raw=raw,
            version=version,
            message_id=message_id,
            system=system,
            component=component,
            sequence=sequence,
            payload=raw[header_bytes:end],
            signed=version == 2 and bool(raw[2] & _SIGNED_FLAG),
            passed_over=passed_over,
        )


def frames_of(datagram: bytes, seeds: Mapping[int, int]) -> tuple[list[Frame], int]:
    """Return the frames of one datagram and how many bytes of it belong to none.

    Half a frame at its end is nothing: it never joins the next datagram.
    """
    splitter = Splitter(seeds=seeds)
    frames = splitter.feed(datagram) + splitter.end()
    return frames, splitter.skipped_bytes
