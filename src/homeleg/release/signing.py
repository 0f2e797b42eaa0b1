"""Who signs a release, what a single signer has to read back, and who flies against the word."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from homeleg.foundation.units import TextError, shown
from homeleg.release.code import typed_code
from homeleg.verdict.result import Status, Verdict
from homeleg.verdict.wording import figure, tightest

__all__ = [
    "Override",
    "ReadBack",
    "Signature",
    "name_key",
    "not_overridable",
    "override_of",
    "read_back_of",
    "refused_read_back",
    "refused_signers",
    "signature_of",
]

# What no pilot can fly against, whatever the reason.
_NEVER = {
    "mass.balance": "the centre of gravity is outside its range",
    "wing": "what holds the wing was found bad",
    "sense": "a surface moves the wrong way, or not far enough",
    "route_aboard": "the route aboard is not the one planned",
}
_NUMBER = re.compile(r"[-+−]?\d+(?:\.\d+)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Signature:
    """Who signed, in which role ("" where none was told), and whether it was read back."""

    name: str
    role: str
    read_back: bool

    @property
    def words(self) -> str:
        """The name, with the role where one was given."""
        return f"{self.name}, {self.role}" if self.role else self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Override:
    """Who flies against the word, and why. The word stays."""

    name: str
    reason: str


def signature_of(text: str) -> Signature:
    """Return the signature of "Kim Park, pilot in command"; raises TextError.

    A role is kept where one is given; none is made up.
    """
    name, comma, role = (part.strip() for part in text.partition(","))
    if comma:
        role = _words(role, "role", 2, 60)
    return Signature(name=_words(name, "name", 2, 60), role=role, read_back=False)


def override_of(name: str, reason: str) -> Override:
    """Return an override as typed; raises TextError where name or reason say nothing."""
    words = _words(reason.strip(), "reason", 10, 500)
    return Override(name=signature_of(name).name, reason=words)


def _words(text: str, what: str, shortest: int, longest: int) -> str:
    letters = sum(sign.isalpha() for sign in text)
    if not text.isprintable() or not shortest <= len(text) <= longest or letters < 2:
        problem = f"{shown(text)} is no {what}"
        raise TextError(problem, f"Write a {what} of {shortest} to {longest} letters in one line.")
    return text


@dataclass(frozen=True, slots=True)
class ReadBack:
    """What one signer alone must type: the code, and the number of the row with least room.

    The number is the one that would be the first to hurt, and it differs from flight to flight: who
    types it has read the answer.
    """

    code: str
    title: str
    figure: str

    @property
    def ask(self) -> str:
        """What to type, without giving it away."""
        title = f"{self.title[0].lower()}{self.title[1:]}"
        return f"the release code, then the figure of the tightest row ({title})"


def read_back_of(code: str, verdict: Verdict) -> ReadBack:
    """Return what a single signer has to read back of a verdict."""
    for row in tightest(verdict.rows, 1):
        if row.reading is not None:
            return ReadBack(code, row.limit.title, figure(row.reading, row.limit.unit))
    left = 100.0 * verdict.flight.landing_charge_fraction.p10
    return ReadBack(code, "Charge left at landing, the lower figure", figure(left, "%"))


def refused_read_back(asked: ReadBack, typed: str) -> str | None:
    """Return what is wrong with a typed "CODE NUMBER"; None where it is right."""
    code, _, number = typed.strip().partition(" ")
    if typed_code(code) != asked.code:
        return "the code is not that of this release"
    if _value(number) is None or _value(number) != _value(asked.figure):
        return f"the figure is not the one printed for: {asked.title}"
    return None


def _value(text: str) -> float | None:
    found = _NUMBER.search(text)
    return None if found is None else float(found[0].replace("−", "-"))


def name_key(name: str) -> str:
    """Return a name so that two spellings of the same one are equal."""
    return " ".join(name.split()).casefold()


def not_overridable(verdict: Verdict, *, ground_unknown: bool, pack_damaged: bool) -> list[str]:
    """Return what nobody can fly against, in words; the input has to change instead."""
    bad = {row.limit.slug for row in verdict.rows if row.status is Status.NO_GO}
    reasons = [words for slug, words in _NEVER.items() if slug in bad]
    reasons += ["the ground under the route is unknown"] if ground_unknown else []
    return reasons + (["the pack is damaged"] if pack_damaged else [])


def refused_signers(signatures: Sequence[Signature]) -> str | None:
    """Return what is wrong with the number of people who sign; None where it is right."""
    if not signatures:
        return "nobody has signed"
    if len(signatures) > 2:
        return f"{len(signatures)} people sign, and there is room for two"
    if len({name_key(signature.name) for signature in signatures}) < len(signatures):
        return "the same person signs twice"
    return None
