"""The key of a run: kept over a restart, for this user alone, not for long; its port likewise."""

import json
import socket
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from homeleg.app.server import _listen
from homeleg.app.session import Session, keep_session, resume_session
from homeleg.foundation.errors import InputFileError

NOW = datetime(2026, 6, 9, 6, 0, tzinfo=UTC)


def kept(folder: Path, base: Path) -> Session:
    fresh = resume_session(folder, base, now=NOW)
    session = Session(port=5000, key=fresh.key, since=fresh.since)
    keep_session(folder, base, session)
    return session


def test_a_restart_on_the_same_day_keeps_key_and_port(tmp_path: Path) -> None:
    session = kept(tmp_path, tmp_path / "base")
    later = NOW + timedelta(hours=17)
    assert resume_session(tmp_path, tmp_path / "base", now=later) == session


@pytest.mark.parametrize("after", [timedelta(hours=18), timedelta(days=7), timedelta(hours=-1)])
def test_another_day_has_another_key(tmp_path: Path, after: timedelta) -> None:
    session = kept(tmp_path, tmp_path / "base")
    fresh = resume_session(tmp_path, tmp_path / "base", now=NOW + after)
    assert fresh.port == 0
    assert fresh.key != session.key


def test_another_base_has_another_key(tmp_path: Path) -> None:
    session = kept(tmp_path, tmp_path / "base")
    assert resume_session(tmp_path, tmp_path / "other", now=NOW).key != session.key


@pytest.mark.skipif(sys.platform == "win32", reason="files have no such modes there")
def test_nobody_else_can_read_the_key(tmp_path: Path) -> None:
    kept(tmp_path, tmp_path / "base")
    kept(tmp_path, tmp_path / "base")  # written over
    [file] = tmp_path.glob("session-*.json")
    assert file.stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize("text", ["", "[]", "{}", "null", json.dumps({"port": 1, "key": "x"})])
def test_a_spoilt_note_gives_a_fresh_key(tmp_path: Path, text: str) -> None:
    kept(tmp_path, tmp_path / "base")
    [file] = tmp_path.glob("session-*.json")
    file.write_text(text)
    fresh = resume_session(tmp_path, tmp_path / "base", now=NOW)
    # 256 bits, as bytes in base 64 without padding: 43 letters.
    assert (fresh.port, len(fresh.key)) == (0, 43)


def test_a_port_that_is_taken_is_refused_when_asked_for_and_else_left() -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(InputFileError, match="this port cannot be used"):
            _listen(port, insist=True)
        with _listen(port, insist=False) as other:
            host, elsewhere = other.getsockname()
            assert host == "127.0.0.1"
            assert elsewhere != port
