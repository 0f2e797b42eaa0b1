"""What an aircraft may hold after a load that did not come to its end, plan by plan, in words.

Read back it is what was read; else it follows from what was said on the link: an aircraft cannot
hold an item that was never sent, and one that refused an offer took nothing of it.
"""

from collections.abc import Mapping, Sequence

from homeleg.link.load import Load
from homeleg.link.messages import Item, PlanType
from homeleg.link.proof import is_as_written
from homeleg.link.session import Reading, Writing

__all__ = ["read_back_words", "said_words"]


def said_words(writing: Writing, loads: Sequence[Load]) -> tuple[str, ...]:
    """Return what it may hold of each plan by the loads that were begun, in their order."""
    begun = {load.plan: load for load in loads}
    return tuple(f"{plan.words} {_held(begun.get(plan))}" for plan in writing.order())


def read_back_words(
    writing: Writing, before: Mapping[PlanType, Sequence[Item]], after: Reading
) -> tuple[str, ...]:
    """Return what it holds of each plan, as it was read after the load."""
    return tuple(
        f"{plan.words} {_found(plan, writing, before.get(plan, ()), after)}"
        for plan in writing.order()
    )


def _held(load: Load | None) -> str:
    if load is None or not load.offered:
        return "as before, nothing of it was sent"
    if load.accepted:
        return "as released, as the aircraft says"
    if load.sent == 0:
        return "as before: it refused" if load.refused else "as before, or none"
    if load.sent < len(load.items):
        return "as before, or part of the released one"
    return "as before, as released, or part of it"


def _found(plan: PlanType, writing: Writing, before: Sequence[Item], after: Reading) -> str:
    fetched = after.plans.get(plan)
    if fetched is None:
        return "not known"
    if is_as_written(plan, writing.items(plan), fetched.items):
        return "as released"
    if is_as_written(plan, before, fetched.items):
        return "as before"
    return f"neither as before nor as released, {len(fetched.items)} items"
