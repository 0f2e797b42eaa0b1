"""Bases: made, listed, with examples, edited without losing what a person wrote."""

from pathlib import Path

import pytest

from homeleg.desk.base import aircraft_in, is_base, make_base, sorties_in
from homeleg.desk.check import check_sortie
from homeleg.desk.edit import set_in_file
from homeleg.desk.examples import add_example, examples
from homeleg.desk.user_folder import default_base_folder, user_folder
from homeleg.foundation.errors import InputFileError


def test_a_base_is_made_of_five_folders_and_found_again(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "base"
    make_base(folder)
    assert sorted(one.name for one in folder.iterdir()) == [
        "aircraft",
        "recordings",
        "releases",
        "sites",
        "sorties",
    ]
    assert is_base(folder)
    assert make_base(folder).folder == folder.resolve()


@pytest.mark.parametrize("name", examples())
def test_every_example_reads_in_a_base(tmp_path: Path, name: str) -> None:
    base = make_base(tmp_path)
    add_example(base, name)
    [sortie] = sorties_in(base)
    assert sortie.problems == ()
    assert [one.title for one in aircraft_in(base)] == [sortie.aircraft]


@pytest.mark.slow
def test_an_example_in_a_base_is_flown_as_where_it_came_from(tmp_path: Path) -> None:
    base = make_base(tmp_path)
    path = add_example(base, "tern-point")
    here = check_sortie(path, members=16, quick=True).verdict
    there = check_sortie(Path("examples/tern-point/sortie.toml"), members=16, quick=True).verdict
    assert here == there


def test_an_example_never_writes_over_what_is_there(tmp_path: Path) -> None:
    base = make_base(tmp_path)
    (base.aircraft / "petrel.toml").write_text("my own")
    add_example(base, "tern-point")
    assert (base.aircraft / "petrel.toml").read_text() == "my own"
    with pytest.raises(InputFileError, match="already"):
        add_example(base, "tern-point")


def test_a_link_out_of_the_base_is_not_listed(tmp_path: Path) -> None:
    base = make_base(tmp_path / "base")
    outside = tmp_path / "outside.toml"
    outside.write_text("x = 1")
    (base.aircraft / "linked.toml").symlink_to(outside)
    assert aircraft_in(base) == ()


def test_an_edit_keeps_comments_and_order(tmp_path: Path) -> None:
    path = tmp_path / "sortie.toml"
    path.write_text(
        "# mine\nseed = 1  # why not\n\n[weather]  # of today\n"
        'surface_wind = { value = "5.0 m/s from 225", at = "10 m" }  # held high\n'
    )
    set_in_file(path, ["weather", "surface_wind", "value"], "6.0 m/s from 230")
    set_in_file(path, ["weather", "temperature"], "14 degC")
    set_in_file(path, ["told", "walk"], {"answer": "good", "seen": "2026-06-09 16:40Z"})
    set_in_file(path, ["seed"], None)
    assert path.read_text() == (
        "# mine\n\n[weather]  # of today\n"
        'surface_wind = { value = "6.0 m/s from 230", at = "10 m" }  # held high\n'
        'temperature = "14 degC"\n\n[told]\n'
        'walk = {answer = "good", seen = "2026-06-09 16:40Z"}\n'
    )
    assert [file.name for file in tmp_path.iterdir()] == ["sortie.toml"]


@pytest.mark.parametrize(("text", "keys"), [("[torn", ["a"]), ("a = 1\n", ["a", "b"])])
def test_an_edit_that_cannot_be_made_leaves_the_file(
    tmp_path: Path, text: str, keys: list[str]
) -> None:
    path = tmp_path / "file.toml"
    path.write_text(text)
    with pytest.raises(InputFileError, match=r"file\.toml"):
        set_in_file(path, keys, "1")
    assert path.read_text() == text


def test_folders_follow_each_platforms_custom(tmp_path: Path) -> None:
    home = str(tmp_path)
    (tmp_path / "Documents").mkdir()
    windows = {"USERPROFILE": home, "APPDATA": f"{home}/AppData/Roaming"}
    assert user_folder({"HOME": home}, "linux") == tmp_path / ".config/homeleg"
    assert user_folder({"HOME": home, "XDG_CONFIG_HOME": "/x"}, "linux") == Path("/x/homeleg")
    assert user_folder(windows, "win32") == tmp_path / "AppData/Roaming/homeleg"
    assert user_folder({"HOME": home}, "darwin").parts[-2:] == ("Application Support", "homeleg")
    assert default_base_folder(windows, "win32") == tmp_path / "Documents/Homeleg"
