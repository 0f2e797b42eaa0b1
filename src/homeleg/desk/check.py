"""Check a sortie: read it, fly it, judge it, and say until when the answer holds."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from homeleg.desk.answer_file import refuse_answer_file
from homeleg.desk.maiden import asks_more_than_a_maiden, maiden_of
from homeleg.flight.ensemble import Flown, fly
from homeleg.formats.check_json import Change
from homeleg.formats.limits_file import read_limits
from homeleg.formats.sortie_file import SortieFiles, read_sortie
from homeleg.sortie.resolve import resolve
from homeleg.sortie.rules import RuleProfile
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.judge import is_undecided, judge, worse_of
from homeleg.verdict.judging import EVENT_SHARE
from homeleg.verdict.limits import Limit, RowKind
from homeleg.verdict.motor_rows import polar_derating
from homeleg.verdict.result import Status, Verdict
from homeleg.way_home.motor_stopped import stop_motor
from homeleg.way_home.search import search_way_home

__all__ = [
    "DEFAULT_MEMBERS",
    "QUICK_MEMBERS",
    "Change",
    "CheckResult",
    "check_read_sortie",
    "check_sortie",
    "limits_of",
]

DEFAULT_MEMBERS = 2048
QUICK_MEMBERS = 256
_MOST_MEMBERS = 8192
_QUICK_SCALE = 0.15

Progress = Callable[[str, float], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckResult:
    """A verdict with the sortie it is on and the files it was read from (name, SHA-256).

    `changes` are what numbers from the field changed against the file.
    """

    verdict: Verdict
    sortie: Sortie
    sources: tuple[tuple[str, str], ...]
    changes: tuple[Change, ...] = ()


def check_sortie(
    path: Path,
    *,
    members: int = DEFAULT_MEMBERS,
    seed: int | None = None,
    quick: bool = False,
    answer_files: Sequence[Path] = (),
    progress: Progress | None = None,
) -> CheckResult:
    """Return the verdict on the sortie in a file.

    `quick` flies fewer members, never more, and calls the answer provisional. Raises
    InputFileError with every problem of the files, OutOfModelError where the model ends. A file
    that is to hold the answer and cannot is refused before anything is flown.
    """
    files = read_sortie(path)
    for answer_file in answer_files:
        refuse_answer_file(answer_file, files.sources)
    return check_read_sortie(files, members=members, seed=seed, quick=quick, progress=progress)


def check_read_sortie(
    files: SortieFiles,
    *,
    members: int = DEFAULT_MEMBERS,
    seed: int | None = None,
    quick: bool = False,
    progress: Progress | None = None,
) -> CheckResult:
    """Return the verdict on a sortie already read; raises OutOfModelError where the model ends."""
    sortie = files.sortie if seed is None else replace(files.sortie, seed=seed)
    limits = limits_of(sortie)
    members = min(members, QUICK_MEMBERS) if quick else members
    verdict = _judged(sortie, limits, members, may_double=not quick, progress=progress)
    if asks_more_than_a_maiden(sortie, verdict):
        offered = _judged(maiden_of(sortie), limits, members, may_double=False, progress=progress)
        verdict = replace(verdict, maiden=offered)
    return CheckResult(verdict=verdict, sortie=sortie, sources=files.sources)


def limits_of(sortie: Sortie) -> Mapping[str, Limit]:
    """Return the shipped limits with the rules flown under, and what aircraft and sortie change."""
    limits = read_limits()
    if sortie.rules is not None:
        limits |= _ruled(sortie.rules, limits)
    for change in (*sortie.aircraft.changed_limits, *sortie.changed_limits):
        old = limits[change.row]
        want = old.want if change.want is None else change.want
        hard = old.hard if change.hard is None else change.hard
        words = (
            f"want {old.want} -> {want}, hard {old.hard} -> {hard}, by {change.changed_by}, "
            f"{change.changed_on}, {change.reason}"
        )
        limits[change.row] = replace(old, want=want, hard=hard, changed=words)
    return limits


def _ruled(rules: RuleProfile, limits: Mapping[str, Limit]) -> dict[str, Limit]:
    """Return the ruled limits by a profile; what it does not rule stays our own, and says so."""
    ruled = {
        slug: replace(limit, source=f"own: {rules.name} does not rule it")
        for slug, limit in limits.items()
        if limit.kind is RowKind.RULED
    }
    for one in rules.limits:
        old = limits[one.row]
        ruled[one.row] = replace(
            old,
            want=one.want,
            hard=one.hard,
            extra={**old.extra, **one.extra},
            source=f"{rules.name}: {one.source}",
        )
    return ruled


def _judged(
    sortie: Sortie,
    limits: Mapping[str, Limit],
    members: int,
    *,
    may_double: bool,
    progress: Progress | None,
) -> Verdict:
    """Fly every way the sortie may leave and return the worse verdict."""
    resolved = resolve(sortie)
    verdicts = []
    for departure in resolved.departures:
        tell = _telling(progress, "flying")
        flown = fly(resolved, departure, members, sortie.seed, tell)
        while may_double and _more_would_tell(flown, limits):
            count = min(2 * flown.draws.members, _MOST_MEMBERS)
            flown = fly(resolved, departure, count, sortie.seed, tell, earlier=flown)
        scale = 1.0 if may_double else _QUICK_SCALE
        tell = _telling(progress, "flying home from every second")
        home = search_way_home(flown, scale=scale, progress=tell)
        stopped = stop_motor(flown, polar_derating(limits["motor.people"]), quick=not may_double)
        verdicts.append(judge(flown, home, stopped, limits, provisional=not may_double))
    return worse_of(verdicts)


def _more_would_tell(flown: Flown, limits: Mapping[str, Limit]) -> bool:
    """Return whether a share lies too near its limit and no other row is NO-GO for good."""
    if flown.draws.members >= _MOST_MEMBERS or not is_undecided(flown):
        return False
    rows = judge(flown, None, None, limits, provisional=True).rows
    return not any(
        row.status is Status.NO_GO
        and (row.share_beyond_hard is None or row.share_beyond_hard.low > EVENT_SHARE)
        for row in rows
    )


def _telling(progress: Progress | None, words: str) -> Callable[[float], None] | None:
    if progress is None:
        return None
    return lambda share: progress(words, share)
