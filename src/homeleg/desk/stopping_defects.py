"""Defects of an aircraft that stop its release: neither put right nor flown with by decision."""

from datetime import datetime
from pathlib import Path

from homeleg.desk.logbook import logbook_of
from homeleg.desk.logbook_base import base_around
from homeleg.foundation.errors import Problem
from homeleg.readiness.due import OpenDefect, open_defects
from homeleg.release.release import Release

__all__ = ["stopping_defects"]


def stopping_defects(draft: Release, now: datetime) -> list[Problem]:
    """Return each defect that stops a release, by the logbook of the base that its sortie lies in.

    None outside a base, and where no logbook is kept; raises InputFileError where it is damaged.
    """
    base = base_around(Path(draft.folder))
    book = None if base is None else logbook_of(base)
    if book is None:
        return []
    aircraft = Path(draft.files[1].name).stem
    return [
        _problem(one)
        for one in open_defects(book.held, now)
        if one.defect.aircraft == aircraft and (one.deferral is None or one.deferral_ended)
    ]


def _problem(one: OpenDefect) -> Problem:
    put_off = "it was deferred, and that has ended" if one.deferral else "nobody has put it right"
    return Problem(
        where=f"defect {one.entry.code}",
        problem=f"{one.defect.words}: {put_off}",
        remedy="Put it right, or decide by name to fly on with it, in the logbook; then sign.",
    )
