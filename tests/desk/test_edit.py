"""One file, several hands: nothing is overwritten unseen, nothing is half written."""

import multiprocessing
import threading
import tomllib
from pathlib import Path

import pytest

from homeleg.desk.edit import rewrite, set_in_file
from homeleg.formats.toml_text import read_text_file
from homeleg.foundation.errors import InputFileError

ROUNDS = 12


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "sortie.toml"
    path.write_text("# mine\none = 0\nother = 0\n" + "# much more\n" * 50)
    return path


def test_a_file_that_moved_on_is_left_as_it_is(path: Path) -> None:
    read = read_text_file(path)
    path.write_text("one = 7\n")
    with pytest.raises(InputFileError, match="another hand"):
        rewrite(path, read, "one = 1\n")
    assert path.read_text() == "one = 7\n"


def count_up(path: Path, key: str) -> None:
    """Raise a number of the file again and again, as a person does who is told to do it again."""
    done = 0
    while done < ROUNDS:
        try:
            set_in_file(path, [key], done + 1)
        except InputFileError:
            continue
        done += 1


def test_two_threads_lose_nothing_of_each_other(path: Path) -> None:
    threads = [threading.Thread(target=count_up, args=(path, key)) for key in ("one", "other")]
    for thread in threads:
        thread.start()
    while any(thread.is_alive() for thread in threads):
        tomllib.loads(path.read_text())  # whole, whenever somebody looks
    assert tomllib.loads(path.read_text()) == {"one": ROUNDS, "other": ROUNDS}
    assert [one.name for one in path.parent.iterdir()] == ["sortie.toml"]


@pytest.mark.slow
def test_two_programs_lose_nothing_of_each_other(path: Path) -> None:
    context = multiprocessing.get_context("spawn")
    programs = [context.Process(target=count_up, args=(path, key)) for key in ("one", "other")]
    for program in programs:
        program.start()
    for program in programs:
        program.join()
    assert tomllib.loads(path.read_text()) == {"one": ROUNDS, "other": ROUNDS}
    assert [one.name for one in path.parent.iterdir()] == ["sortie.toml"]
