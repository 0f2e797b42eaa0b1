"""Files are written whole, and a new one only where there is none."""

import os
from pathlib import Path

import pytest

from homeleg.formats.text_file import refuse_taken, refuse_unwritable, write_new_text, write_text
from homeleg.foundation.errors import InputFileError


def test_the_new_text_replaces_the_old(tmp_path: Path) -> None:
    path = tmp_path / "answer.json"
    path.write_text("old and longer")
    write_text(path, "neu ≥\n")
    assert path.read_bytes() == "neu ≥\n".encode()
    assert list(tmp_path.iterdir()) == [path]


def test_a_link_is_written_through(tmp_path: Path) -> None:
    target = tmp_path / "target.json"
    target.write_text("old")
    link = tmp_path / "link.json"
    link.symlink_to(target)
    write_text(link, "new")
    assert link.is_symlink()
    assert target.read_text() == "new"


def test_a_device_is_written_to_and_left_a_device() -> None:
    write_text(Path(os.devnull), "gone")
    assert not Path(os.devnull).is_file()


@pytest.mark.parametrize("write", [write_text, write_new_text])
def test_a_missing_folder_is_named(tmp_path: Path, write: object) -> None:
    path = tmp_path / "no" / "such.toml"
    assert callable(write)
    with pytest.raises(InputFileError, match=r"such\.toml: this file cannot be written \(No such"):
        write(path, "text")


def test_a_folder_in_the_way_stays(tmp_path: Path) -> None:
    (tmp_path / "answer").mkdir()
    with pytest.raises(InputFileError, match="cannot be written"):
        write_text(tmp_path / "answer", "text")
    assert list(tmp_path.iterdir()) == [tmp_path / "answer"]


def test_a_new_file_leaves_an_old_one(tmp_path: Path) -> None:
    path = tmp_path / "petrel.toml"
    write_new_text(path, "first\n")
    with pytest.raises(InputFileError, match="left as it is"):
        write_new_text(path, "second\n")
    assert path.read_text() == "first\n"


def test_looking_ahead_leaves_everything_as_it_is(tmp_path: Path) -> None:
    old = tmp_path / "answer.json"
    old.write_text("old")
    for path in (old, tmp_path / "new.json", Path(os.devnull)):
        refuse_unwritable(path)
    assert old.read_text() == "old"
    assert list(tmp_path.iterdir()) == [old]


@pytest.mark.parametrize("name", ["folder", "file/answer.json", "no/such/folder/answer.json"])
def test_what_cannot_be_written_is_known_ahead(tmp_path: Path, name: str) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(InputFileError, match=f"{name}: this file cannot be written"):
        refuse_unwritable(tmp_path / name)


def test_a_taken_name_is_known_ahead(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    with pytest.raises(InputFileError, match="there is such a file already"):
        refuse_taken(tmp_path / "link")
    refuse_taken(tmp_path / "free")
    assert [path.name for path in tmp_path.iterdir()] == ["link"]
