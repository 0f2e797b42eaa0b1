"""Where this user's own notes of the program lie, and where a base lies unless told."""

from collections.abc import Mapping
from pathlib import Path

from homeleg.formats.text_file import write_text

__all__ = ["default_base_folder", "known_base_folder", "remember_base_folder", "user_folder"]

_BASE_NOTE = "base"


def user_folder(environment: Mapping[str, str], platform: str) -> Path:
    """Return the folder for what the program remembers of this user, by the platform's custom.

    References: XDG Base Directory Specification 0.8, XDG_CONFIG_HOME (MEMORY).
    """
    home = _home(environment, platform)
    if platform == "win32":
        return Path(environment.get("APPDATA") or home / "AppData/Roaming") / "homeleg"
    if platform == "darwin":
        return home / "Library/Application Support/homeleg"
    return Path(environment.get("XDG_CONFIG_HOME") or home / ".config") / "homeleg"


def default_base_folder(environment: Mapping[str, str], platform: str) -> Path:
    """Return where a base is offered: among the documents where there are any, else at home."""
    home = _home(environment, platform)
    documents = home / "Documents"
    return (documents if documents.is_dir() else home) / "Homeleg"


def known_base_folder(folder: Path) -> Path | None:
    """Return the base that was opened last, as noted in the user's folder."""
    try:
        noted = (folder / _BASE_NOTE).read_text("utf-8").strip()
    except (OSError, UnicodeDecodeError):
        return None
    return Path(noted) if noted else None


def remember_base_folder(folder: Path, base: Path) -> None:
    """Note the base that was opened last."""
    folder.mkdir(parents=True, exist_ok=True)
    write_text(folder / _BASE_NOTE, f"{base}\n")


def _home(environment: Mapping[str, str], platform: str) -> Path:
    home = environment.get("USERPROFILE" if platform == "win32" else "HOME")
    return Path(home) if home else Path.home()
