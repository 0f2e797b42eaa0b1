"""Whatever a file from outside holds, it gives shapes or an InputFileError, and nothing else."""

from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from homeleg.formats.outside_file import OutsideFile, read_outside
from homeleg.formats.outside_obstacles import obstacles_from
from homeleg.formats.outside_route import route_from
from homeleg.formats.outside_shapes import areas_from
from homeleg.foundation.errors import InputFileError

SEEDS = sorted((Path(__file__).parent.parent / "fuzz" / "outside").iterdir())
MARKS = ["0", "-", '"', "[", "]", "{", "}", "<", "/>", "&", ",", ";", "\n", "1e300", "nan", "95"]
TRIES = [60, pytest.param(2000, marks=pytest.mark.slow)]
PIECES = st.sampled_from(MARKS) | st.text(max_size=12)


def read_anything(path: Path, content: bytes) -> None:
    path.write_bytes(content)
    for take in (route_from, areas_from, obstacles_from):
        with suppress(InputFileError):
            outside = read_outside(path)
            assert isinstance(outside, OutsideFile)
            take(outside.found)


@pytest.mark.parametrize("tries", TRIES)
@pytest.mark.parametrize("seed", SEEDS, ids=[seed.name for seed in SEEDS])
def test_a_seed_with_a_piece_exchanged(tmp_path: Path, seed: Path, tries: int) -> None:
    content = seed.read_bytes()

    @settings(max_examples=tries)
    @given(st.integers(0, len(content)), st.integers(0, 30), PIECES)
    def check(start: int, length: int, piece: str) -> None:
        changed = content[:start] + piece.encode() + content[start + length :]
        read_anything(tmp_path / seed.name, changed)

    check()


@pytest.mark.parametrize("ending", ["kml", "kmz", "gpx", "geojson", "csv"])
def test_random_bytes(tmp_path: Path, ending: str) -> None:
    @settings(max_examples=15)
    @given(st.binary(max_size=300) | st.text(max_size=300).map(str.encode))
    def check(content: bytes) -> None:
        read_anything(tmp_path / f"any.{ending}", content)

    check()
