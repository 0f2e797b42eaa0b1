"""Comparisons kept beside a release: what is written is read again, and damage is never SAME."""

import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.formats.proof_file import _proof, add_proof, proof_path, read_proofs
from homeleg.foundation.errors import InputFileError
from homeleg.release.comparison import End
from homeleg.release.release import Release
from homeleg.release.route_aboard import Means, Proof, standing

NOW = datetime(2026, 6, 9, 16, 55, tzinfo=UTC)
SAME = Proof(at=NOW, means=Means.FILE, source="größe 1.kml", end=End.SAME, sha256="ab")
UNLIKE = Proof(
    at=NOW, means=Means.LINK, source="system 7", end=End.NOT_THE_SAME, unlike=("Item 1: gone.",)
)

MakeRelease = Callable[..., Release]


def test_what_is_kept_comes_back_in_order(tmp_path: Path, make_release: MakeRelease) -> None:
    release, beside = make_release(), tmp_path / "r.json"
    assert read_proofs(release, beside) == ()
    for proof in (SAME, UNLIKE):
        assert add_proof(release, beside, proof) == proof_path(release, beside)
    assert read_proofs(release, beside) == (SAME, UNLIKE)


def test_another_release_of_that_code_is_left_out(
    tmp_path: Path, make_release: MakeRelease
) -> None:
    release, beside = make_release(), tmp_path / "r.json"
    path = add_proof(release, beside, SAME)
    path.write_text(path.read_text("utf-8").replace(release.digest, "0" * 64), "utf-8")
    assert read_proofs(release, beside) == ()


def test_a_line_cut_off_is_no_proof_and_harms_no_other(
    tmp_path: Path, make_release: MakeRelease
) -> None:
    release, beside = make_release(), tmp_path / "r.json"
    path = add_proof(release, beside, SAME)
    whole = path.read_bytes()
    for end in range(1, len(whole) - 1):
        path.write_bytes(whole + whole[:end])
        assert not standing(read_proofs(release, beside), NOW).is_same, end
    add_proof(release, beside, SAME)
    assert read_proofs(release, beside) == (SAME, None, SAME)


@given(st.binary(max_size=200))
def test_bytes_of_any_kind_are_never_a_proof(content: bytes) -> None:
    assert _proof(content) is None


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("schema", "homeleg/other/1"),
        ("at", "2026-06-09T16:55:00"),
        ("at", "yesterday"),
        ("means", "guess"),
        ("end", "same"),
        ("end", None),
        ("unlike", 7),
    ],
)
def test_a_field_that_says_nothing_is_no_proof(
    tmp_path: Path, make_release: MakeRelease, key: str, value: object
) -> None:
    release, beside = make_release(), tmp_path / "r.json"
    path = add_proof(release, beside, SAME)
    document = json.loads(path.read_text("utf-8"))
    path.write_text(json.dumps({**document, key: value}), "utf-8")
    assert read_proofs(release, beside) == (None,)


def test_a_folder_in_its_place_is_told(tmp_path: Path, make_release: MakeRelease) -> None:
    release, beside = make_release(), tmp_path / "r.json"
    proof_path(release, beside).mkdir()
    with pytest.raises(InputFileError, match="cannot be read"):
        read_proofs(release, beside)
    with pytest.raises(InputFileError, match="cannot be written"):
        add_proof(release, beside, SAME)
