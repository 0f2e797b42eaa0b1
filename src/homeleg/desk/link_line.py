"""An open link: its port, who speaks on it, and a script run to its end."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TypeVar

from homeleg.formats.settings_map import SettingsMap
from homeleg.foundation.errors import InputFileError, LinkError, Problem
from homeleg.link.codec import Codec, codec_for
from homeleg.link.driving import Frames, drive
from homeleg.link.ports import open_port
from homeleg.link.session import Script, Session
from homeleg.link.watch import Watch

__all__ = ["Line", "on_line"]

_KEY_BYTES = 32
Outcome = TypeVar("Outcome")


@dataclass(slots=True, kw_only=True)
class Line:
    """An open port with who speaks on it; `home_first` as the user says, None where it is asked.

    `port` is the text that names it. `clock` gives seconds that only go forward, `opened_at` what
    time it was as it read `opened_s`; `heed` raises KeyboardInterrupt where a person stops it;
    `tell` hears what is being done. `settings_map` names the aircraft's settings.
    """

    frames: Frames
    codec: Codec
    clock: Callable[[], float]
    heed: Callable[[], None]
    system: int | None
    present: bool
    home_first: bool | None
    port: str
    opened_at: datetime
    opened_s: float
    settings_map: SettingsMap | None = None
    tell: Callable[[str], None] = lambda _: None

    def now(self) -> datetime:
        """Return what time it is."""
        return self.opened_at + timedelta(seconds=self.clock() - self.opened_s)

    def run(self, script: Callable[[Watch], Script[Outcome]]) -> tuple[Outcome, Watch]:
        """Run a script on what is heard from now on; what waited to be read is dropped."""
        watch = Watch(our_system=self.codec.system, our_component=self.codec.component)
        try:
            self.frames.forget()
        except LinkError as error:
            raise LinkError(f"The link failed: {error}. Nothing was written.") from error
        session = Session(watch, script(watch), self.present)
        told = drive(
            session, self.frames, self.codec, clock=self.clock, heed=self.heed, tell=self.tell
        )
        return told, watch


@contextmanager
def on_line(
    port: str,
    *,
    clock: Callable[[], float],
    heed: Callable[[], None],
    now: datetime,
    system: int | None = None,
    present: bool = False,
    home_first: bool | None = None,
    key_file: Path | None = None,
) -> Iterator[Line]:
    """Open a port and close it at the end; raises InputFileError and LinkError."""
    codec = codec_for(None if key_file is None else _key(key_file), now.timestamp())
    opened = open_port(port)
    try:
        yield Line(
            frames=Frames(opened),
            codec=codec,
            clock=clock,
            heed=heed,
            system=system,
            present=present,
            home_first=home_first,
            port=port,
            opened_at=now,
            opened_s=clock(),
        )
    finally:
        opened.close()


def _key(path: Path) -> bytes:
    try:
        key = path.read_bytes()
    except OSError as error:
        raise _bad_key(path, f"cannot be read: {error.strerror}") from error
    if len(key) != _KEY_BYTES:
        raise _bad_key(path, f"holds {len(key)} bytes")
    return key


def _bad_key(path: Path, problem: str) -> InputFileError:
    remedy = f"A signing key is a file of {_KEY_BYTES} bytes, the same as in the aircraft."
    return InputFileError([Problem(where=str(path), problem=problem, remedy=remedy)])
