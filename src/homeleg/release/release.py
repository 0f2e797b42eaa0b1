"""A sortie with its verdict, frozen: the release, or the plan that may become one at the field."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from typing import Any

from homeleg.release.canonical import Frozen, digest_of
from homeleg.release.code import code_of
from homeleg.release.plain_route import PlainRoute
from homeleg.release.signing import Override, Signature
from homeleg.release.stored import route_of

__all__ = ["CarriedFile", "Release", "Stage"]


class Stage(Enum):
    """Whether it may be flown on."""

    PLAN = "plan, not released"
    RELEASE = "release"


@dataclass(frozen=True, slots=True, kw_only=True)
class CarriedFile:
    """A text the verdict rests on, under the name by which the sortie calls it."""

    name: str
    text: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Release:
    """A sortie frozen with its verdict, signatures and texts.

    `frozen` is what the code stands for; `answer` is the check's whole JSON document; `files` are
    the sortie's own text first, then aircraft and route; `folder` leads from the release to where
    the sortie lay, for ground files, which are not carried.
    """

    stage: Stage
    frozen: Mapping[str, Frozen]
    given_at: datetime
    signatures: tuple[Signature, ...]
    override: Override | None
    answer: Mapping[str, Any]
    files: tuple[CarriedFile, ...]
    folder: str

    @property
    def digest(self) -> str:
        """The SHA-256 of all that is signed, in hexadecimal."""
        return digest_of(self.frozen)

    @property
    def code(self) -> str:
        """Six characters that stand for it."""
        return code_of(self.digest)

    @property
    def route(self) -> PlainRoute:
        """The route as an aircraft stores it."""
        return route_of(_table(self.frozen["route"]))

    @property
    def settings(self) -> Mapping[str, Any]:
        """What the aircraft must be set to, in stored form."""
        return _table(self.frozen["settings"])

    @property
    def ground_files(self) -> tuple[tuple[str, str], ...]:
        """Name and SHA-256 of the ground files it rests on, which are not carried."""
        files = self.frozen["ground_files"]
        tables = files if isinstance(files, Sequence) else ()
        return tuple((str(_table(one)["name"]), str(_table(one)["sha256"])) for one in tables)

    @property
    def word(self) -> str:
        """The word of the verdict, whoever has overridden it."""
        return str(_table(self.frozen["verdict"])["word"])

    @property
    def launch_time(self) -> datetime:
        """When the launch was planned, aware."""
        return datetime.fromisoformat(str(_table(self.frozen["sortie"])["launch_time"]))

    @property
    def valid_until(self) -> datetime:
        """Until when the launch may be made on it."""
        return datetime.fromisoformat(str(self.frozen["valid_until"]))

    def has_expired(self, now: datetime) -> bool:
        """Return whether its time is over."""
        return now > self.valid_until


def _table(value: Frozen) -> Mapping[str, Any]:
    if not isinstance(value, Mapping):
        raise TypeError(f"{value!r} is not a table")
    return value
