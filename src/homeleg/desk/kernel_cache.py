"""Where the compiled flight kernel is kept; to be settled before numba is first imported.

numba keeps compiled code beside the source unless NUMBA_CACHE_DIR says otherwise, and an installed
program may not be writable there. References: numba documentation, "Environment variables",
NUMBA_CACHE_DIR and NUMBA_NUM_THREADS (MEMORY).
"""

import atexit
import hashlib
import os
import shutil
import sys
import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

from homeleg.foundation.errors import InputFileError, Problem

# numba freezes what compiled code takes from other modules, and looks at none but its own for
# changes: so the digest covers every room that the kernel reads from.
_ROOMS = ("foundation", "physics", "flight")
_DIGEST_LETTERS = 16
_COMPILED = "*.nbi"  # numba's index of what it compiled, one for each function
_THREADS = "NUMBA_NUM_THREADS"
# numba starts as many as it is told: far more than any laptop has, and the process dies. Ours.
_MOST_THREADS = 1024


@dataclass(frozen=True, slots=True, kw_only=True)
class KernelCache:
    """The folder for the compiled kernel, and whether that kernel outlives this process."""

    folder: Path
    lasting: bool


def refuse_bad_threads(environment: Mapping[str, str]) -> None:
    """Raise InputFileError where the environment asks numba for no number of threads."""
    told = environment.get(_THREADS, "").strip()
    if told and not (told.isdecimal() and 1 <= int(told) <= _MOST_THREADS):
        remedy = f"Give 1 to {_MOST_THREADS}, or leave it unset: then all processors are used."
        problem = f"{told} is not a number of threads"
        raise InputFileError([Problem(where=_THREADS, problem=problem, remedy=remedy)])


def use_kernel_cache() -> KernelCache:
    """Choose the folder and tell numba through the environment, unless the user has, and can."""
    chosen_by_user = os.environ.get("NUMBA_CACHE_DIR")
    if chosen_by_user and _takes_files(Path(chosen_by_user)):
        return KernelCache(folder=Path(chosen_by_user), lasting=True)
    cache = choose_kernel_cache(os.environ, sys.platform)
    os.environ["NUMBA_CACHE_DIR"] = str(cache.folder)
    return cache


def choose_kernel_cache(environment: Mapping[str, str], platform: str) -> KernelCache:
    """Return the first folder that can be written, else a temporary one, removed at the end.

    The temporary one begins with what was compiled before, where that lies in a folder that can
    only be read: numba reads its cache from no folder that it cannot write.
    """
    digest = kernel_digest(_kernel_sources(), metadata.version("numba"))
    folders = [base / digest for base in _bases(environment, platform)]
    for folder in folders:
        if _takes_files(folder):
            return KernelCache(folder=folder, lasting=True)
    # A fresh private folder, never a guessable shared one: numba runs what it finds in its cache.
    passing = Path(tempfile.mkdtemp(prefix="homeleg-"))
    atexit.register(shutil.rmtree, passing, ignore_errors=True)
    return KernelCache(folder=passing, lasting=any(_copied(folder, passing) for folder in folders))


def kernel_digest(sources: Iterable[Path], numba_version: str) -> str:
    """Return a short digest of the kernel's source text and numba's version."""
    digest = hashlib.sha256(numba_version.encode())
    for source in sources:
        digest.update(source.name.encode())
        digest.update(source.read_bytes())
    return digest.hexdigest()[:_DIGEST_LETTERS]


def _kernel_sources() -> list[Path]:
    house = Path(__file__).parents[1]
    return [source for room in _ROOMS for source in sorted((house / room).glob("*.py"))]


def _bases(environment: Mapping[str, str], platform: str) -> list[Path]:
    """Return the folders to try, the user's own choice first, then the platform's cache folder."""
    bases = []
    if environment.get("HOMELEG_CACHE"):
        bases.append(Path(environment["HOMELEG_CACHE"]))
    home = environment.get("USERPROFILE" if platform == "win32" else "HOME")
    if platform == "win32":
        cache = environment.get("LOCALAPPDATA") or (home and f"{home}/AppData/Local")
    elif platform == "darwin":
        cache = home and f"{home}/Library/Caches"
    else:
        cache = environment.get("XDG_CACHE_HOME") or (home and f"{home}/.cache")
    if cache:
        bases.append(Path(cache) / "homeleg")
    return bases


def _copied(folder: Path, into: Path) -> bool:
    """Copy a compiled kernel and tell whether there was one."""
    try:
        shutil.copytree(folder, into, dirs_exist_ok=True)
    except OSError:
        return False
    return any(into.rglob(_COMPILED))


def _takes_files(folder: Path) -> bool:
    """Tell whether a file can be made in the folder, which is made if it is missing."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False
