"""The releases of a base: each verified as it is read, with what its page shows."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from homeleg.briefing.field_numbers import FieldNumber, eight_numbers
from homeleg.desk.base import Base, SortieEntry, sorties_in, title_of
from homeleg.formats.release_file import read_release
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.release.release import Release, Stage
from homeleg.release.signing import Signature
from homeleg.verdict.result import Block, Gate, Narrowest, Percentiles, Ribbon, TurnBack

__all__ = [
    "ReleaseEntry",
    "inside",
    "last_signature",
    "numbers_of",
    "release_named",
    "releases_in",
    "ribbon_of",
    "sortie_released",
]

_SHARES = ("p10", "p50", "p90")
_SUFFIX = ".release.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseEntry:
    """A release file: its code, what it holds, and what is wrong with it; one of both is there."""

    code: str
    path: Path
    release: Release | None
    problems: tuple[Problem, ...]

    @property
    def title(self) -> str:
        """What was released, by the folder of its sortie."""
        return self.code if self.release is None else title_of(Path(self.release.folder).name)

    @property
    def pages(self) -> Path:
        """The folder of its pages."""
        return self.path.parent / self.code


def releases_in(base: Base) -> tuple[ReleaseEntry, ...]:
    """Return the releases of a base, the latest first, broken ones last."""
    entries = [_entry(path) for path in _files(base)]
    return tuple(
        sorted(
            entries,
            key=lambda one: "" if one.release is None else one.release.given_at.isoformat(),
            reverse=True,
        )
    )


def release_named(base: Base, code: str) -> ReleaseEntry | None:
    """Return the release of that code; nothing outside the base has one."""
    return next((_entry(path) for path in _files(base) if _code(path) == code), None)


def inside(base: Base, path: Path) -> Path:
    """Return a path that a release leads to; raises InputFileError where it leaves the base."""
    if not base.holds(path):
        problem = "this release leads to a file outside the base"
        remedy = "Use the command line for a release that was made elsewhere."
        raise InputFileError([Problem(where=path.name, problem=problem, remedy=remedy)])
    return path


def sortie_released(base: Base, entry: ReleaseEntry) -> SortieEntry | None:
    """Return the sortie of the base that a release was made from, None where it has gone."""
    if entry.release is None:
        return None
    path = entry.path.parent / entry.release.folder / entry.release.files[0].name
    return next((one for one in sorties_in(base) if one.path.resolve() == path.resolve()), None)


def last_signature(base: Base, sortie: SortieEntry) -> Signature | None:
    """Return who signed a sortie last, the first of them; None where nobody did yet."""
    for entry in releases_in(base):
        found = sortie_released(base, entry)
        if entry.release is not None and found is not None and found.path == sortie.path:
            return next(iter(entry.release.signatures), None)
    return None


def numbers_of(release: Release) -> list[FieldNumber]:
    """Return the eight numbers to copy onto tape, from the answer that a release carries."""
    answer = release.answer
    commit, turn_back = answer.get("commit"), (answer.get("way_home") or {}).get("turn_back")
    height = release.settings["link_loss"]["return_height"]
    keys = ("most_half_difference_m_s", "least_mean_m_s", "most_mean_m_s")
    return eight_numbers(
        answer["departure"],
        None if commit is None else (commit[keys[0]], commit[keys[1]], commit[keys[2]]),
        None if turn_back is None else TurnBack(**turn_back),
        [_gate(gate) for gate in answer.get("gates") or ()],
        None if height is None else (height["cm"] / 100.0, height["above"]),
        ((answer.get("flight") or {}).get("duration_s") or {}).get("p90"),
    )


def ribbon_of(release: Release) -> Ribbon | None:
    """Return the ribbon of the answer that a release carries, None where it has none."""
    told = release.answer.get("ribbon")
    if told is None:
        return None
    bands = {
        name: tuple(
            Percentiles(p10=low, p50=middle, p90=high)
            for low, middle, high in zip(*(told[name][one] for one in _SHARES), strict=True)
        )
        for name in ("left_fraction", "needed_fraction")
    }
    legs = tuple(Block(**one) for one in told["legs"])
    narrowest, times_s = Narrowest(**told["narrowest"]), tuple(told["times_s"])
    return Ribbon(**{**told, **bands, "legs": legs, "narrowest": narrowest, "times_s": times_s})


def _gate(gate: Mapping[str, Any]) -> Gate:
    least, most = gate["least_ground_speed_m_s"], gate["most_ground_speed_m_s"]
    return Gate(
        name=gate["name"],
        time_s=gate["time_s"],
        latest_s=gate["latest_s"],
        ground_speed_m_s=None if least is None else (least, most),
        least_volts=gate["least_volts"],
        used_ah=gate["used_ah"],
        most_used_ah=gate["most_used_ah"],
    )


def _files(base: Base) -> list[Path]:
    found = sorted(base.releases.glob(f"*{_SUFFIX}"))
    return [path for path in found if base.holds(path) and not path.name.startswith(".")]


def _code(path: Path) -> str:
    return path.name.removesuffix(_SUFFIX)


def _entry(path: Path) -> ReleaseEntry:
    try:
        release = _verified(path)
    except InputFileError as error:
        return ReleaseEntry(code=_code(path), path=path, release=None, problems=error.problems)
    return ReleaseEntry(code=_code(path), path=path, release=release, problems=())


def _verified(path: Path) -> Release:
    """Return a release; raises InputFileError for a changed, wrongly named or unreleased one."""
    release = read_release(path)
    if release.stage is not Stage.RELEASE or release.code != _code(path):
        problem = (
            f"its name says {_code(path)}, and it holds the {release.stage.value} {release.code}"
        )
        raise InputFileError([Problem(where=path.name, problem=problem, remedy="Rename it.")])
    return release
