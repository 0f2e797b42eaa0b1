"""Whether somebody has said what changed on an aircraft since it last flew.

`held` are entries as `standing` returns them.
"""

from collections.abc import Sequence

from homeleg.readiness.entries import Entry, Event, Note, things
from homeleg.readiness.since import last_landing, since_last_flight

__all__ = ["NOTHING_CHANGED", "is_asked"]

NOTHING_CHANGED = "Nothing changed since the last flight."


def is_asked(held: Sequence[Entry], aircraft: str) -> bool:
    """Return whether it is still to be said what changed on an aircraft since it last flew.

    What its record only lets suppose is to be said as well; an aircraft that never flew is not
    asked about.
    """
    if any(one.supposed for one in since_last_flight(held, aircraft)):
        return True
    landed = last_landing(held, aircraft)
    if landed is None:
        return False
    said = [entry.at for entry, event in things(held, Event) if event.aircraft == aircraft]
    said += [
        entry.at
        for entry, note in things(held, Note)
        if note.aircraft == aircraft and note.words == NOTHING_CHANGED
    ]
    return not any(at >= landed for at in said)
