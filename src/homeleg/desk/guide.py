"""Guided answers about a new aircraft: drawings, what follows so far, and the file at the end."""

import re
from collections.abc import Mapping
from pathlib import Path

from homeleg.aircraft.priors import BodyPlan
from homeleg.aircraft.record import LaunchMethod
from homeleg.briefing.body_plan import body_plan
from homeleg.briefing.expected import Span, expected
from homeleg.briefing.palette import BUFF
from homeleg.desk.base import Base
from homeleg.desk.edit import set_in_file
from homeleg.desk.face import Face
from homeleg.desk.first_figures import FirstFigures, first_figures
from homeleg.desk.new import new_aircraft, refusal_of
from homeleg.desk.starting_files import AIRCRAFT_ASKS

__all__ = [
    "AT_A_RUN",
    "LAUNCHES",
    "PLANS",
    "figures_picture",
    "keep_aircraft",
    "pack_options",
    "pack_refusal",
    "plan_drawing",
    "what_follows",
]

PLANS = tuple(plan.value for plan in BodyPlan)
AT_A_RUN = "hand, at a run"
LAUNCHES = ("hand", AT_A_RUN, "bungee", "runway")
# The throw that is assumed from a stand, 7 m/s, and a jog of 2 m/s. Ours (MEMORY).
_THROW_AT_A_RUN = {"value": "9 m/s", "sd": "1 m/s", "basis": "assumed"}
_PACK_ASKS = tuple(ask for ask in AIRCRAFT_ASKS if ask.option in ("cells", "capacity"))
_WHOLE_UNITS = ("W", "min")
_LABEL = re.compile(
    r"(?P<cells>[0-9]{1,2}) ?s[ ,]*(?P<amount>[0-9][0-9.,]*) ?(?P<unit>m?ah)", re.IGNORECASE
)
_NOT_A_NAME = re.compile(r"[^a-z0-9]+")


def plan_drawing(plan: str) -> str:
    """Return the drawing of a body plan as SVG."""
    return body_plan(BodyPlan(plan), BUFF)


def what_follows(answers: Mapping[str, str], face: Face, *, width: float) -> tuple[str, str] | None:
    """Return the figures that follow as SVG, and what to measure next; None if none do yet."""
    found = first_figures(_options(answers))
    if found is None:
        return None
    return figures_picture(found, face, width=width), found.narrows_most


def figures_picture(found: FirstFigures, face: Face, *, width: float) -> str:
    """Return figures with their spread as SVG, in the units of the face."""
    spans = [
        Span(
            name=one.name,
            p10=face.shown(one.p10, one.unit),
            p50=face.shown(one.p50, one.unit),
            p90=face.shown(one.p90, one.unit),
            unit=face.unit_for(one.unit),
            decimals=0 if one.unit in _WHOLE_UNITS else 1,
        )
        for one in found.figures
    ]
    return expected(spans, BUFF, width=width)


def pack_options(label: str) -> dict[str, str]:
    """Return what a pack's label says as answers for the file; nothing where it says neither."""
    found = _LABEL.fullmatch(label.strip())
    if found is None:
        return {}
    amount = found["amount"].replace(",", ".")
    unit = "mAh" if found["unit"].lower() == "mah" else "Ah"
    return {"cells": found["cells"], "capacity": f"{amount} {unit}"}


def pack_refusal(label: str) -> str | None:
    """Return why a label cannot be taken; None where it can."""
    options = pack_options(label)
    if not options:
        return f"{label} does not say cells and charge. Write it such as 4S 5200 mAh."
    refusals = (refusal_of(ask, options[ask.option]) for ask in _PACK_ASKS)
    return " ".join(one for one in refusals if one) or None


def keep_aircraft(base: Base, answers: Mapping[str, str]) -> str:
    """Write the aircraft into the base and return its name there; raises InputFileError.

    `answers` are by option of the file, with `pack` for what its label says.
    """
    path = _free_path(base.aircraft, answers["name"])
    new_aircraft(path, _options(answers))
    if answers["launch"] == AT_A_RUN:
        set_in_file(path, ["takeoff", "throw"], _THROW_AT_A_RUN)
    return path.stem


def _options(answers: Mapping[str, str]) -> dict[str, str]:
    """Return the answers by option of the file."""
    options = {name: text for name, text in answers.items() if name != "pack"}
    if options.get("launch") == AT_A_RUN:
        options["launch"] = LaunchMethod.HAND.value
    return {**options, **pack_options(answers.get("pack", ""))}


def _free_path(folder: Path, name: str) -> Path:
    """Return a file of that name, with a number behind it where the name is taken."""
    stem = _NOT_A_NAME.sub("-", name.lower()).strip("-") or "aircraft"
    path, number = folder / f"{stem}.toml", 2
    while path.exists():
        path, number = folder / f"{stem}-{number}.toml", number + 1
    return path
