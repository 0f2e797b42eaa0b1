"""Questions asked one a page, and the answers so far, which travel in the address.

Nothing is kept until a flow ends: the browser's way back undoes an answer, a restart of the program
loses none, and no half-made file is left behind.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

__all__ = [
    "DONT_KNOW",
    "Answers",
    "Choice",
    "Offer",
    "Question",
    "always",
    "one_of",
    "read_answers",
]

DONT_KNOW = "don't know"
_UNIT = "-unit"


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a few answers: what the file holds, the word in the box, a second line under it.

    `picture` is a figure of ours above the word, marked as such by `page.drawn`.
    """

    value: str
    words: str
    more: str = ""
    picture: str = ""


@dataclass(frozen=True, slots=True)
class Offer:
    """An answer that is offered, ready to be taken, and where it comes from."""

    value: str
    why: str


def _accept(_answer: str) -> str | None:
    return None


def _agrees(_answer: str, _given: Mapping[str, str | None]) -> str | None:
    return None


def _no_offer(_given: Mapping[str, str | None]) -> Offer | None:
    return None


def _is_asked(_given: Mapping[str, str | None]) -> bool:
    return True


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question of a flow.

    `units` make it a number with a keypad, the first one being picked; `choices` make it a choice;
    with neither it is a line of text. `offer` returns what is offered after the answers so far.
    `unknown` says what is assumed when nobody knows, None that an answer is needed. `refusal` says
    why an answer cannot be taken, None where it can; `clash` why it cannot go with the answers so
    far. `is_asked` tells after them whether it is a question at all.
    """

    name: str
    words: str
    more: str = ""
    units: tuple[str, ...] = ()
    choices: tuple[Choice, ...] = ()
    offer: Callable[[Mapping[str, str | None]], Offer | None] = field(default=_no_offer)
    unknown: str | None = None
    refusal: Callable[[str], str | None] = field(default=_accept)
    clash: Callable[[str, Mapping[str, str | None]], str | None] = field(default=_agrees)
    is_asked: Callable[[Mapping[str, str | None]], bool] = field(default=_is_asked)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What has been answered, by question, and what is to be asked next.

    An answer is None where nobody knew. `typed` and `refused` are the answer just given to `asked`
    and why it was not taken. `asked` is None at the end of the flow. `count` is how many questions
    there are, as far as the answers tell.
    """

    given: Mapping[str, str | None]
    asked: Question | None
    typed: str
    refused: str | None
    count: int

    @property
    def number(self) -> int:
        """The number of what is asked, from 1."""
        return len(self.given) + 1

    @property
    def offered(self) -> Offer | None:
        """What is offered as the answer to what is asked."""
        return None if self.asked is None else self.asked.offer(self.given)

    @property
    def carried(self) -> dict[str, str]:
        """The answers as fields of the next form."""
        return {name: DONT_KNOW if text is None else text for name, text in self.given.items()}


def always(value: str, why: str) -> Callable[[Mapping[str, str | None]], Offer]:
    """Return the offer of a question that has the same one whatever was answered before."""
    offer = Offer(value, why)
    return lambda _given: offer


def one_of(known: Sequence[str]) -> Callable[[str], str | None]:
    """Return what refuses every answer that is not in a box."""
    return lambda text: None if text in known else "Take one of the boxes."


def read_answers(questions: Sequence[Question], fields: Mapping[str, str]) -> Answers:
    """Return the answers found in the fields of an address or form, in the order of questions."""
    given: dict[str, str | None] = {}
    for question in questions:
        if not question.is_asked(given):
            continue
        text = _text(question, fields)
        if text == DONT_KNOW and question.unknown is not None:
            given[question.name] = None
            continue
        refused = question.refusal(text) or question.clash(text, given) if text else None
        if not text or refused:
            count = sum(one.is_asked(given) for one in questions)
            return Answers(given=given, asked=question, typed=text, refused=refused, count=count)
        given[question.name] = text
    return Answers(given=given, asked=None, typed="", refused=None, count=len(given))


def _text(question: Question, fields: Mapping[str, str]) -> str:
    """Return what was answered; a bare number with the unit that was picked beside it."""
    text = fields.get(question.name, "").strip()
    unit = fields.get(question.name + _UNIT, "")
    bare = text.replace(".", "", 1).lstrip("-").isdecimal()
    return f"{text} {unit}" if bare and unit in question.units else text
