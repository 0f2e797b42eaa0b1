"""Where the screens of the link find and put files: in the base, and nowhere else by themselves."""

from datetime import datetime
from pathlib import Path

from homeleg.desk.base import Base

__all__ = ["file_given", "key_files", "new_fetched", "new_recording", "settings_maps"]

_KEY_BYTES = 32
_SETTINGS_MAP = "homeleg/settings-map/"


def key_files(base: Base) -> tuple[str, ...]:
    """Return the signing keys that lie beside the aircraft, by their path in the base."""
    found = (path for path in base.aircraft.glob("*.key") if base.holds(path) and path.is_file())
    return _named(base, [path for path in found if path.stat().st_size == _KEY_BYTES])


def settings_maps(base: Base) -> tuple[str, ...]:
    """Return the maps of settings that lie beside the aircraft, by their path in the base."""
    found = (path for path in base.aircraft.glob("*.toml") if base.holds(path) and path.is_file())
    return _named(base, [path for path in found if _says(path, _SETTINGS_MAP)])


def file_given(base: Base, text: str) -> Path | None:
    """Return the file that a person names: in the base, or by its whole path; None for none."""
    return base.folder / Path(text.strip()).expanduser() if text.strip() else None


def new_fetched(base: Base, code: str, now: datetime) -> Path:
    """Return the file for a route that is fetched: beside the release."""
    return base.releases / f"{code}.fetched-{now:%Y%m%dT%H%M%SZ}.csv"


def new_recording(base: Base, code: str, now: datetime) -> Path:
    """Return the file for a recording of a flight on a release; its folder is there."""
    base.recordings.mkdir(exist_ok=True)
    return base.recordings / f"{code}-{now:%Y%m%dT%H%M%SZ}.rec"


def _named(base: Base, paths: list[Path]) -> tuple[str, ...]:
    return tuple(sorted(str(path.relative_to(base.folder)) for path in paths))


def _says(path: Path, words: str) -> bool:
    with path.open("rb") as file:
        return words.encode() in file.read(400)
