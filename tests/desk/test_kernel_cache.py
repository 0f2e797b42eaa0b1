"""The folder of the compiled kernel: the user's choice, the platform's, or a passing one."""

import os
import sys
from pathlib import Path

import pytest

from homeleg.desk import kernel_cache
from homeleg.desk.kernel_cache import (
    choose_kernel_cache,
    kernel_digest,
    refuse_bad_threads,
    use_kernel_cache,
)
from homeleg.foundation.errors import InputFileError


@pytest.mark.parametrize(
    ("platform", "environment", "inside"),
    [
        ("linux", {"XDG_CACHE_HOME": "{}/xdg", "HOME": "{}/home"}, "xdg/homeleg"),
        ("linux", {"HOME": "{}/home"}, "home/.cache/homeleg"),
        ("darwin", {"HOME": "{}/home"}, "home/Library/Caches/homeleg"),
        ("win32", {"LOCALAPPDATA": "{}/local"}, "local/homeleg"),
        ("win32", {"USERPROFILE": "{}/me"}, "me/AppData/Local/homeleg"),
        ("linux", {"HOMELEG_CACHE": "{}/mine", "HOME": "{}/home"}, "mine"),
    ],
)
def test_folder_by_platform(
    tmp_path: Path, platform: str, environment: dict[str, str], inside: str
) -> None:
    filled = {name: value.format(tmp_path) for name, value in environment.items()}
    cache = choose_kernel_cache(filled, platform)
    assert cache.folder.parent == tmp_path / inside
    assert cache.folder.is_dir()
    assert cache.lasting


def test_a_folder_that_takes_no_files_falls_back(tmp_path: Path) -> None:
    # A file in the way refuses root too, which a read-only folder would not.
    (tmp_path / "home").write_text("in the way")
    cache = choose_kernel_cache({"HOME": str(tmp_path / "home")}, "linux")
    assert not cache.lasting
    (cache.folder / "kernel.bin").write_bytes(b"compiled")


def test_a_compiled_kernel_that_can_only_be_read_is_copied(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = choose_kernel_cache({"HOME": str(tmp_path)}, "linux").folder
    (kept / "flight").mkdir()
    (kept / "flight" / "kernel.nbi").write_bytes(b"index")
    monkeypatch.setattr(kernel_cache, "_takes_files", lambda folder: False)  # root may write all
    cache = choose_kernel_cache({"HOME": str(tmp_path)}, "linux")
    assert cache.folder != kept
    assert (cache.folder / "flight" / "kernel.nbi").read_bytes() == b"index"
    assert cache.lasting


def test_an_empty_folder_that_can_only_be_read_keeps_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    choose_kernel_cache({"HOME": str(tmp_path)}, "linux")
    monkeypatch.setattr(kernel_cache, "_takes_files", lambda folder: False)
    assert not choose_kernel_cache({"HOME": str(tmp_path)}, "linux").lasting


def test_users_unwritable_choice_falls_to_the_platforms(tmp_path: Path) -> None:
    (tmp_path / "mine").write_text("in the way")
    environment = {"HOMELEG_CACHE": str(tmp_path / "mine"), "HOME": str(tmp_path)}
    assert choose_kernel_cache(environment, "linux").folder.parent == tmp_path / ".cache/homeleg"


def test_no_home_at_all_falls_back() -> None:
    assert not choose_kernel_cache({}, "linux").lasting


def test_digest_follows_source_and_numba(tmp_path: Path) -> None:
    source = tmp_path / "kernel.py"
    source.write_text("a = 1\n")
    first = kernel_digest([source], "0.60.0")
    assert kernel_digest([source], "0.61.0") != first
    source.write_text("a = 2\n")
    assert kernel_digest([source], "0.60.0") != first


def test_environment_is_told_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOMELEG_CACHE", str(tmp_path))
    of_the_user = tmp_path / "of the user"
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(of_the_user))
    assert use_kernel_cache().folder == of_the_user
    assert os.environ["NUMBA_CACHE_DIR"] == str(of_the_user)
    monkeypatch.delenv("NUMBA_CACHE_DIR")
    monkeypatch.setattr(sys, "platform", "linux")
    assert os.environ.get("NUMBA_CACHE_DIR") is None
    assert use_kernel_cache().folder.parent == tmp_path
    assert os.environ["NUMBA_CACHE_DIR"].startswith(str(tmp_path))
    monkeypatch.delenv("NUMBA_CACHE_DIR")


def test_numbas_own_folder_that_takes_no_files_is_passed_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path / "file"))
    monkeypatch.setenv("HOMELEG_CACHE", str(tmp_path / "mine"))
    assert use_kernel_cache().folder.parent == tmp_path / "mine"


@pytest.mark.parametrize("told", ["0", "abc", "-1", "1.5", "100000"])
def test_no_number_of_threads_is_refused(told: str) -> None:
    with pytest.raises(InputFileError, match=rf"NUMBA_NUM_THREADS: {told} is not a number of"):
        refuse_bad_threads({"NUMBA_NUM_THREADS": told})


@pytest.mark.parametrize("environment", [{}, {"NUMBA_NUM_THREADS": ""}, {"NUMBA_NUM_THREADS": "2"}])
def test_a_number_of_threads_passes(environment: dict[str, str]) -> None:
    refuse_bad_threads(environment)
