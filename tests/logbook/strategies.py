"""Entries as hypothesis makes them: every kind, every field at whatever it may hold."""

from datetime import UTC, datetime

from hypothesis import strategies as st

from homeleg.logbook.record import KINDS, Draft
from homeleg.readiness.entries import BookBegun, Thing

TIMES = st.datetimes(
    min_value=datetime(2001, 1, 1),  # noqa: DTZ001 (the zone comes from the strategy)
    max_value=datetime(2090, 1, 1),  # noqa: DTZ001
    timezones=st.just(UTC),
).map(lambda time: time.replace(microsecond=0))
TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
NUMBERS = st.floats(allow_nan=False, allow_infinity=False)


def things_of(kind: type[Thing]) -> st.SearchStrategy[Thing]:
    return st.builds(kind)


st.register_type_strategy(datetime, TIMES)
st.register_type_strategy(str, TEXTS)
st.register_type_strategy(float, NUMBERS)
ANY_THING: st.SearchStrategy[Thing] = st.one_of(
    *(things_of(kind) for kind in KINDS.values() if kind is not BookBegun)
)
DRAFTS = st.builds(Draft, thing=ANY_THING, at=TIMES, about=st.none())
