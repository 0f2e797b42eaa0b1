"""Cut off at any moment: what was acknowledged is there, and nothing is half there.

Killing a process shows what it had not handed to the system. That a commit waits for the disk
(synchronous=FULL) cannot be shown without pulling a plug; what is shown is that the setting is on,
and that a log cut at any byte behind an acknowledged entry still holds that entry.
"""

import os
import random
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from homeleg.logbook import store
from homeleg.logbook.schema import configure
from homeleg.logbook.store import read_entries
from tests.logbook.books import said, write
from tests.logbook.cut_off import TOGETHER, wrong_in

KILLS, A_FILE = 1000, 50
MOST_STATEMENTS = 40


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "fork"), reason="kills processes as POSIX does")
def test_a_thousand_kills_lose_nothing(tmp_path: Path) -> None:
    root = Path(__file__).parents[2]
    program = [sys.executable, "-m", "tests.logbook.cut_off"]
    ended = subprocess.run(  # noqa: S603 (our own program)
        [*program, str(KILLS // A_FILE), str(A_FILE), "7"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": f"{root}{os.pathsep}{root / 'src'}"},
        capture_output=True,
        text=True,
        check=True,
    )
    *wrong, met = ended.stdout.splitlines()
    assert wrong == []
    # Else the kills came before or between the writing, and showed nothing.
    assert int(met.removeprefix("met ")) > KILLS // 4


def killed_before(path: Path, statement: int) -> bool:
    """Write in a process that kills itself before its nth statement; return whether it did."""
    pid = os.fork()
    if pid == 0:
        left = iter(range(statement))

        def heard(_: str) -> None:
            if next(left, None) is None:
                os.kill(os.getpid(), signal.SIGKILL)

        def counting(connection: sqlite3.Connection, *, patience_s: float) -> None:
            connection.set_trace_callback(heard)
            configure(connection, patience_s=patience_s)

        store.configure = counting  # type: ignore[attr-defined]
        write(path, *(f"cut {statement} {part}" for part in range(TOGETHER)))
        os._exit(0)
    _, status = os.waitpid(pid, 0)
    return os.WIFSIGNALED(status)


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "fork"), reason="kills processes as POSIX does")
@pytest.mark.filterwarnings("ignore:This process .* is multi-threaded:DeprecationWarning")
@pytest.mark.parametrize("is_new", [True, False])
def test_killed_before_each_statement(tmp_path: Path, *, is_new: bool) -> None:
    for statement in range(MOST_STATEMENTS):
        path = tmp_path / f"{statement}.db"
        if not is_new:
            write(path, *(f"before 0 {part}" for part in range(TOGETHER)))
        killed = killed_before(path, statement)
        assert wrong_in(path, set() if is_new else {"before 0"}) == []
        write(path, *(f"after 0 {part}" for part in range(TOGETHER)))  # and it goes on
        assert wrong_in(path, {"after 0"}) == []
        if not killed:
            assert statement > 10  # it came through, after having been killed at every one before
            assert f"cut {statement} 0" in said(read_entries(path))
            return
    pytest.fail("the writing never came through")


@contextmanager
def held_open(path: Path) -> Iterator[None]:
    """Keep the log beside the file, as a program does that is still there when power is cut."""
    with closing(sqlite3.connect(path)) as holding:
        holding.execute("SELECT count(*) FROM entry").fetchone()
        yield


@pytest.mark.parametrize("torn", [b"", b"\xa5" * 5000])
def test_a_log_cut_at_any_byte_keeps_what_was_acknowledged(tmp_path: Path, torn: bytes) -> None:
    path = tmp_path / "logbook.db"
    log = path.with_name("logbook.db-wal")
    write(path, "first")
    with held_open(path):
        sizes = []
        for word in ("second", "third", "fourth"):
            write(path, word)
            sizes.append(log.stat().st_size)
        file, whole = path.read_bytes(), log.read_bytes()
    dice = random.Random(11)  # noqa: S311 (no secret)
    cuts = [
        0,
        *sizes,
        *(size - 1 for size in sizes),
        *(dice.randrange(len(whole)) for _ in range(9)),
    ]
    for cut in cuts:
        left = tmp_path / f"{cut} {len(torn)}"
        left.mkdir(exist_ok=True)
        (left / path.name).write_bytes(file)
        (left / log.name).write_bytes(whole[:cut] + torn)
        acknowledged = sum(size <= cut for size in sizes)
        words = ["first", "second", "third", "fourth"][: 1 + acknowledged]
        assert said(read_entries(left / path.name)) == words


def test_a_commit_waits_for_the_disk(tmp_path: Path) -> None:
    path = tmp_path / "logbook.db"
    write(path, "one")
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
        configure(connection, patience_s=1.0)
        full = 2  # SQLite documentation, "PRAGMA synchronous": 0 off, 1 normal, 2 full (MEMORY)
        assert connection.execute("PRAGMA synchronous").fetchone() == (full,)
