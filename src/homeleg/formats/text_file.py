"""Writing files whole: the old file or the new one is there, never half of one."""

import errno
import os
import threading
from pathlib import Path

from homeleg.foundation.errors import InputFileError, Problem


def refuse_unwritable(path: Path) -> None:
    """Raise InputFileError, naming the path, where `write_text` could write nothing."""
    target = path.resolve()
    part = _part_of(target)
    try:
        if target.is_dir():
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
        if not target.exists() or target.is_file():
            part.touch()
            part.unlink()
        elif not os.access(target, os.W_OK):
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
    except OSError as error:
        raise _not_written(path, error) from error


def write_text(path: Path, text: str) -> None:
    """Write the text as UTF-8, as `write_whole` does."""
    write_whole(path, text.encode())


def write_whole(path: Path, content: bytes) -> None:
    """Write the content, replacing what the path held in one step.

    A pipe or device is written to, not replaced. Raises InputFileError, naming the path, when the
    folder does not take the file.
    """
    target = path.resolve()
    part = _part_of(target)
    try:
        if target.exists() and not target.is_file():
            target.write_bytes(content)
            return
        try:
            part.write_bytes(content)
            part.replace(target)
        finally:
            part.unlink(missing_ok=True)
    except OSError as error:
        raise _not_written(path, error) from error


def refuse_taken(path: Path) -> None:
    """Raise InputFileError, naming the path, where `write_new_text` would write nothing."""
    if path.exists() or path.is_symlink():
        raise _taken(path)
    refuse_unwritable(path)


def write_new_text(path: Path, text: str) -> None:
    """Write the text as UTF-8 into a file that does not exist yet.

    Raises InputFileError when it exists, or when the folder does not take the file.
    """
    write_new_bytes(path, text.encode())


def write_new_bytes(path: Path, content: bytes) -> None:
    """Write the content into a file that does not exist yet, as `write_new_text` does."""
    try:
        with path.open("xb") as file:
            file.write(content)
    except FileExistsError as error:
        raise _taken(path) from error
    except OSError as error:
        raise _not_written(path, error) from error


def add_line(path: Path, line: str) -> None:
    """Add a line of UTF-8 text at the end of a file, which is made where there is none.

    A last line that was cut off stays a line of its own. Raises InputFileError as `write_text`.
    """
    try:
        with path.open("a+b") as file:
            file.seek(max(file.seek(0, os.SEEK_END) - 1, 0))
            whole = file.read() in {b"", b"\n"}
            file.write(("" if whole else "\n").encode() + line.encode() + b"\n")
            file.flush()
            os.fsync(file.fileno())
    except OSError as error:
        raise _not_written(path, error) from error


def _part_of(target: Path) -> Path:
    """Return the file beside the target that holds the text of this writer until it is whole."""
    return target.with_name(f".{target.name}.{os.getpid()}-{threading.get_ident()}")


def _taken(path: Path) -> InputFileError:
    return InputFileError(
        [
            Problem(
                where=str(path),
                problem="there is such a file already, and it was left as it is",
                remedy="Choose another name, or move the old file away first.",
            )
        ]
    )


def _not_written(path: Path, error: OSError) -> InputFileError:
    return InputFileError(
        [
            Problem(
                where=str(path),
                problem=f"this file cannot be written ({error.strerror})",
                remedy="Choose a folder that exists and that you may write.",
            )
        ]
    )
