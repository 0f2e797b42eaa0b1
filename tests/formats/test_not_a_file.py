"""What is no plain file is refused by name, and nobody waits for a pipe."""

import os
import sys
from pathlib import Path

import pytest

from homeleg.formats.toml_text import read_text_file
from homeleg.foundation.errors import InputFileError


@pytest.mark.parametrize("path", [".", "", "..", "/"])
def test_a_folder_is_named_as_it_was_given(path: str) -> None:
    name = str(Path(path)).replace(".", r"\.")
    with pytest.raises(InputFileError, match=f"^{name}: is a folder\n  Name a file"):
        read_text_file(Path(path))


@pytest.mark.skipif(sys.platform == "win32", reason="there are no named pipes in folders")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "sortie.toml")
    with pytest.raises(InputFileError, match=r"sortie\.toml: is not a plain file"):
        read_text_file(tmp_path / "sortie.toml")


@pytest.mark.skipif(sys.platform == "win32", reason="os.devnull has no path there")
def test_a_device_is_not_read() -> None:
    with pytest.raises(InputFileError, match="null: is not a plain file"):
        read_text_file(Path(os.devnull))
