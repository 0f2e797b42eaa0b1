"""The search for the smallest change that mends a verdict: looks first, then flown in full.

Singles are made from the failing rows and looked at. If none reaches GO, the three that leave least
to mend are each joined by one more change, made from what they leave. What looks GO is flown in
full, smallest first. All is counted, nothing timed: the same sortie gives the same answer.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping

from homeleg.amend.basis import basis_of
from homeleg.amend.candidates import candidates
from homeleg.amend.change import Change, both, changed_sortie
from homeleg.amend.looking import Look, look_at, rows_to_mend
from homeleg.amend.proposal import Proposal
from homeleg.foundation.errors import OutOfModelError
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.limits import Limit
from homeleg.verdict.result import Status, Verdict

__all__ = ["MOST_FULL", "MOST_LOOKS", "Confirm", "find_change"]

MOST_LOOKS = 32
MOST_FULL = 3
_JOINED = 3
_CORNERS = "corners.capture"
_SEVERITY = {Status.GO: 0, Status.MARGINAL: 1, Status.NO_GO: 2}

Confirm = Callable[[Change], tuple[Sortie, Verdict] | None]


class _Search:
    """What is left of the budget, and the best that was flown in full.

    `chance` are the rows that fail in a look at the unchanged sortie, and do not when it is flown
    in full: the same draws are flown in every look, so they say nothing of a change.
    """

    def __init__(
        self,
        sortie: Sortie,
        verdict: Verdict,
        limits: Mapping[str, Limit],
        confirm: Confirm,
        progress: Callable[[float], None],
    ) -> None:
        self.sortie, self.verdict, self.limits = sortie, verdict, limits
        self.confirm, self.progress = confirm, progress
        failing = {reason.row for reason in verdict.reasons}
        self.duration_s = verdict.flight.duration_s.p50
        seen = look_at(sortie, limits, self.duration_s)
        self.chance = {reason.row for reason in seen.reasons} - failing
        self.looks, self.full = 0, 0
        self.best: Proposal | None = None
        self.seen: set[Change] = set()
        self.flown: set[Change] = set()

    def look_at(self, changes: Iterable[Change]) -> Iterator[Look]:
        """Return the looks at changes, smallest first, as long as the budget lasts."""
        for change in changes:
            if self.looks >= MOST_LOOKS:
                return
            if change.effect in self.seen:
                continue
            self.seen.add(change.effect)
            self.looks += 1
            self.progress(self.looks / (MOST_LOOKS + 1))
            sortie = changed_sortie(self.sortie, change)
            try:
                verdict = look_at(sortie, self.limits, self.duration_s)
            except OutOfModelError:
                continue  # such as an airspeed that this aircraft cannot fly
            rows, doubtful = (
                tuple(row for row in some if row.limit.slug not in self.chance)
                for some in rows_to_mend(verdict)
            )
            yield Look(
                change=change, sortie=sortie, verdict=verdict, rows=rows, doubtful=len(doubtful)
            )

    def round_of(self, changes: Iterable[Change]) -> list[Look]:
        """Return the looks at changes; one that reaches GO, flown in full, ends all rounds."""
        looks: list[Look] = []
        if self.is_settled():
            return looks
        for look in self.look_at(changes):
            looks.append(look)
            if look.word is Status.GO:
                self.fly_in_full(look)
            if self.is_settled():
                break
        return looks

    def is_settled(self) -> bool:
        """Whether a change reaches GO, flown in full."""
        return self.best is not None and self.best.reaches_go

    def fly_in_full(self, look: Look) -> None:
        """Fly a look in full, once, as long as the budget lasts, and keep it if it is the best."""
        if look.change.effect in self.flown or self.full >= MOST_FULL:
            return
        self.full += 1
        self.flown.add(look.change.effect)
        found = self.confirm(look.change)
        if found is None:
            return
        proposal = Proposal(
            change=look.change, sortie=found[0], before=self.verdict, after=found[1]
        )
        if _is_better(proposal.after, self.best.after if self.best else self.verdict):
            self.best = proposal


def find_change(
    sortie: Sortie,
    verdict: Verdict,
    limits: Mapping[str, Limit],
    *,
    confirm: Confirm,
    progress: Callable[[float], None],
) -> Proposal | None:
    """Return the smallest change found that reaches GO, else the one with the best other word.

    `verdict` is the sortie's own, flown in full; `confirm` flies a change in full and returns the
    sortie it flew with its verdict, None where the change cannot be written. `progress` hears the
    share of the budget spent; what it raises ends the search. None where nothing betters the word.
    """
    if verdict.word is Status.GO:
        return None
    search = _Search(sortie, verdict, limits, confirm, progress)
    made = _made(sortie, verdict, [reason.row for reason in verdict.reasons])
    singles = search.round_of(made)
    firsts = sorted(singles, key=lambda look: look.badness)[:_JOINED]
    pairs = [look for first in firsts for look in search.round_of(_joined(first))]
    # Points moved for another corner that is left are still the same kind of change.
    short = [look for look in pairs if {row.limit.slug for row in look.rows} == {_CORNERS}]
    short = sorted(short, key=lambda look: look.badness)[:_JOINED]
    corners = [look for pair in short for look in search.round_of(_joined(pair))]
    _fly_the_best(search, [*singles, *pairs, *corners])
    return search.best


def _made(sortie: Sortie, verdict: Verdict, to_mend: Iterable[str]) -> list[Change]:
    return candidates(basis_of(sortie, verdict, to_mend))


def _joined(first: Look) -> list[Change]:
    """Return a change joined by each that may mend what it leaves."""
    left = [row.limit.slug for row in first.rows]
    more = (both(first.change, second) for second in _made(first.sortie, first.verdict, left))
    return [change for change in more if change is not None]


def _fly_the_best(search: _Search, looks: list[Look]) -> None:
    """Fly the best look in full where it promises a better word than there is, the others after."""
    for look in sorted(looks, key=lambda look: look.badness):
        best = search.best.after if search.best else search.verdict
        if _SEVERITY[look.word] >= _SEVERITY[best.word]:
            return
        search.fly_in_full(look)


def _is_better(after: Verdict, than: Verdict) -> bool:
    return _SEVERITY[after.word] < _SEVERITY[than.word]
