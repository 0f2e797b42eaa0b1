"""Whatever a file holds, it gives a sortie or an InputFileError, and nothing else."""

import shutil
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from homeleg.formats.sortie_file import SortieFiles, read_sortie
from homeleg.foundation.errors import InputFileError

EXAMPLE = Path(__file__).parent.parent.parent / "examples" / "tern-point"
FILES = ["sortie.toml", "petrel.toml", "route.csv"]
PIECES = st.sampled_from(
    ["0", "-", '"', "[", "]", "{", "}", "=", ",", "\n", "1e300", "nan", "2026-01-01", "AMSL", "[["]
) | st.text(max_size=12)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(shutil.copytree(EXAMPLE, tmp_path_factory.mktemp("sortie") / "copy"))


def read_with(folder: Path, file: str, content: bytes) -> None:
    original = (EXAMPLE / file).read_bytes()
    try:
        (folder / file).write_bytes(content)
        with suppress(InputFileError):
            assert isinstance(read_sortie(folder / "sortie.toml"), SortieFiles)
    finally:
        (folder / file).write_bytes(original)


@pytest.mark.parametrize("file", FILES)
def test_random_bytes(folder: Path, file: str) -> None:
    @settings(max_examples=20)
    @given(st.binary(max_size=300) | st.text(max_size=300).map(lambda text: text.encode("utf-8")))
    def check(content: bytes) -> None:
        read_with(folder, file, content)

    check()


@pytest.mark.parametrize("file", FILES)
def test_a_good_file_with_a_piece_exchanged(folder: Path, file: str) -> None:
    text = (EXAMPLE / file).read_text("utf-8")

    @settings(max_examples=25)
    @given(st.integers(0, len(text)), st.integers(0, 30), PIECES)
    def check(start: int, length: int, piece: str) -> None:
        changed = text[:start] + piece + text[start + length :]
        read_with(folder, file, changed.encode("utf-8"))

    check()


@pytest.mark.parametrize("file", FILES)
def test_a_good_file_with_a_number_exchanged(folder: Path, file: str) -> None:
    text = (EXAMPLE / file).read_text("utf-8")
    places = [index for index, letter in enumerate(text) if letter.isdigit()]

    @settings(max_examples=25)
    @given(st.sampled_from(places), st.floats().map(repr) | st.integers(-(10**20), 10**20).map(str))
    def check(place: int, number: str) -> None:
        changed = text[:place] + number + text[place + 1 :]
        read_with(folder, file, changed.encode("utf-8"))

    check()
