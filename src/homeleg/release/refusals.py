"""Why a checked sortie does not become a release: every reason at once, each with its remedy."""

from dataclasses import dataclass
from datetime import datetime

from homeleg.foundation.errors import Problem
from homeleg.readiness.told import TOLD_ITEMS
from homeleg.release.route_aboard import CLOCKS_APART, ROUTE_ABOARD
from homeleg.release.signing import Override, Signature, name_key, not_overridable, refused_signers
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.result import Status, ToDo, Verdict

__all__ = ["ROUTE_NOT_COVERED", "Asked", "blocking", "refusals", "valid_until"]

ROUTE_NOT_COVERED = (
    "The decision does not cover the route aboard: no launch before it was fetched back and "
    "compares as SAME."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A checked sortie, and who asks for its release."""

    sortie: Sortie
    verdict: Verdict
    ground_unknown: bool
    signatures: tuple[Signature, ...]
    override: Override | None


def blocking(verdict: Verdict) -> tuple[ToDo, ...]:
    """Return the told items that are open and stand in the way of a release."""
    return tuple(item for item in verdict.to_do if item.item != ROUTE_ABOARD.name)


def valid_until(sortie: Sortie, verdict: Verdict) -> datetime:
    """Return until when a launch may rest on the answer: the air, or the first told item to end.

    A NO-GO has no time of its own: the told items give it, or the launch it was asked for.
    """
    names = {"pitot": "speed.pitot"}
    stands = {item.name: item.stands_for for item in TOLD_ITEMS}
    ends = [
        answer.seen + stands[name]
        for answer in sortie.told
        if answer.seen is not None
        and (name := names.get(answer.item, answer.item)) in stands
        and name != ROUTE_ABOARD.name
        and answer.seen + stands[name] >= sortie.launch_time
    ]
    if verdict.valid_until is not None:
        ends.append(verdict.valid_until)
    return min(ends, default=sortie.launch_time)


def refusals(asked: Asked, now: datetime) -> list[Problem]:
    """Return every reason why this is no release, none where it is one."""
    return [
        *_of_the_answer(asked.verdict),
        *_of_the_time(asked, now),
        *_of_the_word(asked),
        *_of_the_signers(asked),
    ]


def _of_the_answer(verdict: Verdict) -> list[Problem]:
    problems = []
    if verdict.provisional:
        problems.append(_no("the answer", "is provisional", "Ask without --quick."))
    if open_items := blocking(verdict):
        remedy = " ".join(f"{n}. {item.ask}" for n, item in enumerate(open_items, start=1))
        problems.append(_no("told items", _counted(verdict), remedy))
    return problems


def _counted(verdict: Verdict) -> str:
    """Return how many told items are open, counted as in the verdict, and which come first."""
    count, first = len(verdict.to_do), len(blocking(verdict))
    words = f"{count} to do at the field"
    return words if first == count else f"{words}, {first} of them before the release"


def _of_the_time(asked: Asked, now: datetime) -> list[Problem]:
    problems = []
    seen = [answer.seen for answer in asked.sortie.told]
    seen += [report.seen for report in asked.sortie.weather.reports]
    if any(moment is not None and moment - now > CLOCKS_APART for moment in seen):
        last = max(moment for moment in seen if moment is not None)
        problem = f"something is said to have been seen at {last:%H:%MZ}, and it is {now:%H:%MZ}"
        problems.append(_no("seen", problem, "Write when it was seen, in UTC."))
    until = valid_until(asked.sortie, asked.verdict)
    if now > until:
        problem = f"the answer held until {until:%Y-%m-%d %H:%MZ}, and it is {now:%Y-%m-%d %H:%MZ}"
        remedy = "Measure the wind again, look again at what is too old, give the launch time."
        problems.append(_no("the answer", problem, remedy))
    return problems


def _of_the_word(asked: Asked) -> list[Problem]:
    verdict, override = asked.verdict, asked.override
    if verdict.word is not Status.NO_GO:
        if override is None:
            return []
        problem = f"the word is {verdict.word.value}: there is nothing to override"
        return [_no("the override", problem, "Leave it out.")]
    pack_damaged = any(
        answer.item == "pack.health" and answer.good is False for answer in asked.sortie.told
    )
    never = not_overridable(verdict, ground_unknown=asked.ground_unknown, pack_damaged=pack_damaged)
    if never:
        remedy = "Change this: no decision of a pilot stands against it."
        return [_no("NO-GO", words, remedy) for words in never]
    if override is None:
        remedy = (
            "Change something, or do not fly. Who flies all the same says so by name, with a "
            "reason; at the terminal --override-by NAME --reason TEXT."
        )
        return [_no("the word", verdict.headline, remedy)]
    return []


def _of_the_signers(asked: Asked) -> list[Problem]:
    problems = []
    if words := refused_signers(asked.signatures):
        remedy = "One or two people sign, each by name."
        problems.append(_no("signatures", words, remedy))
    elif len(asked.signatures) == 1 and not asked.signatures[0].read_back:
        remedy = "Read code and figure from the answer and type them, or let a second person sign."
        problems.append(_no("signatures", "one person signs and has read nothing back", remedy))
    if asked.override is not None:
        names = {name_key(signature.name) for signature in asked.signatures}
        if name_key(asked.override.name) not in names:
            problem = f"{asked.override.name} overrides the word and does not sign"
            problems.append(_no("the override", problem, "Who decides signs."))
    return problems


def _no(where: str, problem: str, remedy: str) -> Problem:
    return Problem(where=where, problem=problem, remedy=remedy)
