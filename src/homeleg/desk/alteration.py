"""Files altered together, and put back to the byte as long as nobody else changed them since."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from homeleg.formats.text_file import write_whole
from homeleg.formats.toml_text import LARGEST_BYTES, file_bytes
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["Alteration", "FileChange", "alter"]


@dataclass(frozen=True, slots=True)
class FileChange:
    """A file with what it holds before and after."""

    path: Path
    before: bytes
    after: bytes


@dataclass(frozen=True, slots=True)
class Alteration:
    """What was done, in words, and to which files."""

    words: str
    files: tuple[FileChange, ...]

    @property
    def stands(self) -> bool:
        """Whether every file still is as the alteration left it."""
        try:
            return all(file_bytes(one.path, LARGEST_BYTES) == one.after for one in self.files)
        except InputFileError:
            return False

    def take_back(self) -> None:
        """Put the files back as they were; raises InputFileError, and leaves them, if changed."""
        alter([FileChange(one.path, one.after, one.before) for one in self.files])


def alter(files: Sequence[FileChange]) -> None:
    """Write every file, or none; raises InputFileError where one is not as it was before."""
    for one in files:
        if file_bytes(one.path, LARGEST_BYTES) != one.before:
            problem = "was changed since"
            remedy = "Nothing was written. Look at it, and change it by hand."
            raise InputFileError([Problem(where=one.path.name, problem=problem, remedy=remedy)])
    written: list[FileChange] = []
    try:
        for one in files:
            write_whole(one.path, one.after)
            written.append(one)
    except InputFileError:
        for one in written:
            write_whole(one.path, one.before)
        raise
