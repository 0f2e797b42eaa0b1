"""The sentences that stand under every answer, in the same words on every face of the program."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:  # the help text needs the advice alone, and at once
    from homeleg.verdict.result import Status

ADVICE = (
    "Advice to a responsible pilot. Not a certificate, permission, weather service or obstacle "
    "database. Local rules and licensed practice come first."
)
WIND = "Does not foresee lee turbulence, thermals, fronts, sea breeze."
GROUND = "Wires, masts, cranes and new growth are not in this ground. Walk it."

_BY_WORD = {
    "GO": (
        "No question failed with these inputs, as old as shown. It covers only what was declared. "
        "The pilot in command decides."
    ),
    "MARGINAL": (
        "No hard limit failed with these inputs, as old as shown, but at least one figure is short "
        "of what is wanted. It covers only what was declared. The pilot in command decides."
    ),
    "NO-GO": "At least one limit fails. Change something, or do not fly.",
}


def word_caution(word: Status) -> str:
    """Return the sentence that belongs under the word of a verdict.

    Raises ValueError for a status that is not a word of a verdict.
    """
    if word.value not in _BY_WORD:
        raise ValueError(f"{word.value} is no word of a verdict; there are: {', '.join(_BY_WORD)}")
    return _BY_WORD[word.value]


def cautions(word: Status) -> tuple[str, ...]:
    """Return all the sentences that go with a verdict, the word's own first."""
    return (word_caution(word), WIND, GROUND)
