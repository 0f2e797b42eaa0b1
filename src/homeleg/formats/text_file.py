"""Writing text files whole: the old file or the new one is there, never half of one."""

import os
from pathlib import Path

from homeleg.foundation.errors import InputFileError, Problem


def write_text(path: Path, text: str) -> None:
    """Write the text as UTF-8, replacing what the path held in one step.

    A pipe or device is written to, not replaced. Raises InputFileError, naming the path, when the
    folder does not take the file.
    """
    target = path.resolve()
    part = target.with_name(f".{target.name}.{os.getpid()}")
    try:
        if target.exists() and not target.is_file():
            target.write_text(text, encoding="utf-8")
            return
        part.write_text(text, encoding="utf-8", newline="\n")
        part.replace(target)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise _not_written(path, error) from error


def write_new_text(path: Path, text: str) -> None:
    """Write the text as UTF-8 into a file that does not exist yet.

    Raises InputFileError when it exists, or when the folder does not take the file.
    """
    content = text.encode()
    try:
        with path.open("xb") as file:
            file.write(content)
    except FileExistsError as error:
        raise InputFileError(
            [
                Problem(
                    where=str(path),
                    problem="there is such a file already, and it was left as it is",
                    remedy="Choose another name, or move the old file away first.",
                )
            ]
        ) from error
    except OSError as error:
        raise _not_written(path, error) from error


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
