"""The key and port of a run, kept for its pages so that they find the program after a restart.

The key lies in the user's own folder, readable by nobody else, and is a new one each day: a page
left open at the field comes back by itself, an address of last week opens nothing.
"""

import hashlib
import json
import os
import secrets
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from pathlib import Path

__all__ = ["Session", "keep_session", "resume_session"]

_LIFE = timedelta(hours=18)
_KEY_BYTES = 32


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """The port listened on (0: any), the key to the pages, and since when it opens them."""

    port: int
    key: str
    since: str


def resume_session(folder: Path, base: Path, *, now: datetime) -> Session:
    """Return the last session of a base, or a fresh one where there is none from today."""
    try:
        session = Session(**json.loads(_file(folder, base).read_text("utf-8")))
        if timedelta(0) <= now - datetime.fromisoformat(session.since) < _LIFE:
            return session
    except (OSError, ValueError, TypeError):
        pass  # none, or not one of ours: a fresh one is as good
    return Session(port=0, key=secrets.token_urlsafe(_KEY_BYTES), since=now.isoformat())


def keep_session(folder: Path, base: Path, session: Session) -> None:
    """Keep a session in a file that only this user can read."""
    path = _file(folder, base)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.unlink(missing_ok=True)
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "w", encoding="utf-8") as file:
        json.dump(asdict(session), file)


def _file(folder: Path, base: Path) -> Path:
    digest = hashlib.sha256(str(base.resolve()).encode()).hexdigest()[:16]
    return folder / f"session-{digest}.json"
