"""An example sortie in a folder of its own, to be changed by a test."""

import shutil
from pathlib import Path
from typing import Protocol

import pytest

EXAMPLES = Path(__file__).parent.parent.parent / "examples"


class EditExample(Protocol):
    def __call__(self, file: str, *changes: tuple[str, str]) -> Path: ...


@pytest.fixture
def edit_example(tmp_path: Path) -> EditExample:
    """Return an editor of a copy of the Tern Point example; it gives the path of the sortie."""
    shutil.copytree(EXAMPLES / "tern-point", tmp_path, dirs_exist_ok=True)

    def edit(file: str, *changes: tuple[str, str]) -> Path:
        path = tmp_path / file
        text = path.read_text("utf-8")
        for old, new in changes:
            assert old in text
            text = text.replace(old, new, 1)
        path.write_text(text, "utf-8")
        return tmp_path / "sortie.toml"

    return edit
