"""A process that writes logbooks and is killed while it does, again and again.

Run as a program: FILES KILLS SEED, in an empty folder. Each time a child writes three entries at a
time and says through a pipe which it was told are there; it is killed at a random moment. What is
wrong afterwards is printed, and the number of kills that met a child at its work.
"""

import os
import random
import select
import signal
import sys
from pathlib import Path

from homeleg.foundation.errors import InputFileError
from homeleg.logbook.chain import chain_findings
from homeleg.logbook.store import read_entries, read_texts
from tests.logbook.books import said, write

TOGETHER = 3
LONGEST_S = 0.03


def writes(path: Path, child: int, told: int) -> None:
    """Write for ever, three at a time, and tell each three that are there."""
    number = 0
    while True:
        write(path, *(f"{child} {number} {part}" for part in range(TOGETHER)))
        os.write(told, f"{child} {number}\n".encode())
        number += 1


def cut_off(path: Path, child: int, dice: random.Random) -> set[str]:
    """Kill a writing process at a random moment, and return what it was told is there."""
    heard, told = os.pipe()
    pid = os.fork()
    if pid == 0:
        os.close(heard)
        writes(path, child, told)
    os.close(told)
    select.select([], [], [], dice.uniform(0.0, LONGEST_S))
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    with os.fdopen(heard, "rb") as pipe:
        return set(pipe.read().decode().splitlines())


def wrong_in(path: Path, told: set[str]) -> list[str]:
    """Return what is wrong with a logbook of which this much was told."""
    try:
        words = said(read_entries(path))
    except InputFileError as error:
        return [str(error)] if path.exists() and told else []
    there = [word.rpartition(" ")[0] for word in words]
    wrong = [f"lost: {one}" for one in told if there.count(one) != TOGETHER]
    wrong += [f"half: {one}" for one in set(there) if there.count(one) != TOGETHER]
    return wrong + list(chain_findings(read_texts(path)).breaks)


def main(files: int, kills: int, seed: int) -> None:
    """Kill the writers of so many logbooks so many times each."""
    dice, met = random.Random(seed), 0  # noqa: S311 (no secret)
    for file in range(files):
        path, told = Path(f"{file}.db"), set[str]()
        for child in range(kills):
            before = path.stat().st_size if path.exists() else 0
            told |= cut_off(path, child, dice)
            left_behind = path.with_name(f"{path.name}-wal").exists()
            met += left_behind or not before
            for words in wrong_in(path, told):
                sys.stdout.write(f"file {file}, kill {child}: {words}\n")
    sys.stdout.write(f"met {met}\n")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
