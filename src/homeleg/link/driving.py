"""A session on an open port: bytes in, frames out, until the session ends."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from homeleg.foundation.errors import LinkError
from homeleg.link.codec import SEEDS, Codec
from homeleg.link.machine import Closed, Event, Tick
from homeleg.link.messages import Message
from homeleg.link.ports import Port
from homeleg.link.session import Session
from homeleg.link.splitter import Frame, Splitter, frames_of

__all__ = ["Frames", "drive"]

# How often Ctrl-C is looked at, and after how much silence half a frame is given up. Ours.
_LOOK_S = 0.1
_HALF_FRAME_S = 0.3
Outcome = TypeVar("Outcome")


@dataclass(slots=True)
class Frames:
    """The frames of a port; bytes that belong to none are counted. `keep` is given each frame."""

    port: Port
    skipped_bytes: int = 0
    keep: Callable[[Frame], None] | None = None
    _splitter: Splitter = field(default_factory=lambda: Splitter(seeds=SEEDS))
    _silent_s: float = 0.0

    def read(self, timeout_s: float) -> list[Frame]:
        """Return what came in time; raises LinkError when the link is gone."""
        frames, keep = self._read(timeout_s), self.keep
        if keep is not None:
            for frame in frames:
                keep(frame)
        return frames

    def _read(self, timeout_s: float) -> list[Frame]:
        data = self.port.read(timeout_s)
        if self.port.datagrams:
            frames, skipped = frames_of(data, SEEDS)
            self.skipped_bytes += skipped
            return frames
        self._silent_s = 0.0 if data else self._silent_s + timeout_s
        frames = self._splitter.feed(data)
        if self._silent_s >= _HALF_FRAME_S:
            frames += self._splitter.end()
        self.skipped_bytes = self._splitter.skipped_bytes
        return frames

    def forget(self) -> None:
        """Drop all that is waiting to be read: it is older than it looks."""
        for _ in range(10_000):
            if not self.port.read(0.001):
                break
        self._splitter = Splitter(seeds=SEEDS)


def drive(
    session: Session[Outcome],
    frames: Frames,
    codec: Codec,
    *,
    clock: Callable[[], float],
    heed: Callable[[], None],
    tell: Callable[[str], None],
) -> Outcome:
    """Run a session to its end; `heed` raises KeyboardInterrupt where a person stops it.

    `tell` hears what is being done, each time it goes on.

    A link that is gone is an outcome, not an error. Who is stopped leaves no load half open: the
    aircraft is told first.
    """
    step = session.begin(clock())
    waiting: list[Event] = []
    while True:
        codec.speak_as(session.watch.our_system)
        gone = _send(step.send, frames.port, codec)
        if step.outcome is not None:
            return step.outcome
        if gone is not None:
            waiting = [gone]
        elif not waiting:
            wait_s = _LOOK_S if step.deadline_s is None else step.deadline_s - clock()
            waiting = _events(frames, codec, min(max(wait_s, 0.001), _LOOK_S))
        try:
            heed()
        except KeyboardInterrupt:
            _send(session.stop().send, frames.port, codec)
            raise
        step = session.on(waiting.pop(0), clock())
        tell(session.doing)


def _events(frames: Frames, codec: Codec, timeout_s: float) -> list[Event]:
    """Return what was heard in time, that nothing was, or that the link is gone."""
    try:
        heard = [codec.read(frame) for frame in frames.read(timeout_s)]
    except LinkError as error:
        return [Closed(str(error))]
    return [one for one in heard if one is not None] or [Tick()]


def _send(messages: Sequence[Message], port: Port, codec: Codec) -> Closed | None:
    try:
        for message in messages:
            port.write(codec.write(message))
    except LinkError as error:
        return Closed(str(error))
    return None
