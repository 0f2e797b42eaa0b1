"""The limits that ship with the program: one data file, one object per row."""

import tomllib
from importlib import resources
from typing import Any

from homeleg.verdict.limits import Limit, Question, Reading, RowKind, Sense

__all__ = ["read_limits"]


def read_limits() -> dict[str, Limit]:
    """Return the limits of all rows by slug, in the order of the questions."""
    text = resources.files("homeleg.formats").joinpath("data/limits.toml").read_text("utf-8")
    return {slug: _limit(slug, row) for slug, row in tomllib.loads(text)["row"].items()}


def _limit(slug: str, row: dict[str, Any]) -> Limit:
    question = slug.partition(".")[0]
    return Limit(
        slug=slug,
        question=Question(question) if "." in slug else None,
        title=row["title"],
        kind=RowKind(row["kind"]),
        unit=row["unit"],
        sense=Sense(row["sense"]),
        reading=Reading(row["read_at"]),
        want=row.get("want"),
        hard=row.get("hard"),
        physical=row.get("physical"),
        extra=dict(row.get("extra", {})),
        source=row["source"],
    )
