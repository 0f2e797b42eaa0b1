"""Answers as they travel in the address."""

from homeleg.app.questions import DONT_KNOW, Question, read_answers

SPAN = Question(
    name="span",
    words="Span?",
    units=("m", "ft"),
    refusal=lambda text: None if text.endswith((" m", " ft")) else "has no unit",
)
MASS = Question(name="mass", words="Mass?", units=("kg",))
BALANCE = Question(name="balance", words="Balance?", unknown="from the body plan")


def test_the_first_question_without_an_answer_is_asked() -> None:
    answers = read_answers((SPAN, MASS), {"span": "1.9", "span-unit": "m"})
    assert answers.given == {"span": "1.9 m"}
    assert answers.asked is MASS


def test_a_unit_that_is_typed_stays() -> None:
    answers = read_answers((SPAN,), {"span": "6 ft", "span-unit": "m"})
    assert answers.given == {"span": "6 ft"}
    assert answers.asked is None


def test_a_refused_answer_is_asked_again_with_why() -> None:
    answers = read_answers((SPAN, MASS), {"span": "1.9 furlong", "mass": "2 kg"})
    assert (answers.asked, answers.typed, answers.refused) == (SPAN, "1.9 furlong", "has no unit")
    assert answers.given == {}


def test_dont_know_is_an_answer_only_where_something_is_assumed() -> None:
    fields = {"balance": DONT_KNOW, "mass": DONT_KNOW}
    assert read_answers((BALANCE,), fields).given == {"balance": None}
    assert read_answers((BALANCE,), fields).carried == {"balance": DONT_KNOW}
    assert read_answers((MASS,), {"mass": ""}).asked is MASS
