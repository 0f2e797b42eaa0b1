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
from homeleg.desk.first_figures import FirstFigures, aircraft_so_far, first_figures
from homeleg.desk.new import new_aircraft, refusal_of
from homeleg.desk.starting_files import AIRCRAFT_ASKS
from homeleg.desk.weighing import balanced_by_fingers
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.stated_text import PositionReference
from homeleg.foundation.units import Dimension, TextError, parse_quantity

__all__ = [
    "AT_A_RUN",
    "LAUNCHES",
    "PLANS",
    "balance_clash",
    "balance_refusal",
    "figures_picture",
    "keep_aircraft",
    "needs_range",
    "needs_sweep",
    "pack_options",
    "pack_refusal",
    "plan_drawing",
    "range_clash",
    "range_refusal",
    "what_follows",
]

PLANS = tuple(plan.value for plan in BodyPlan)
AT_A_RUN = "hand, at a run"
LAUNCHES = ("hand", AT_A_RUN, "bungee", "runway")
# The throw that is assumed from a stand, 7 m/s, and a jog of 2 m/s. Ours (MEMORY).
_THROW_AT_A_RUN = {"value": "9 m/s", "sd": "1 m/s", "basis": "assumed"}
_ASKS = {ask.option: ask for ask in AIRCRAFT_ASKS}
_PACK_ASKS = (_ASKS["cells"], _ASKS["capacity"])
_AT_THE_BODY = PositionReference.ROOT_LEADING_EDGE.value
_WHOLE_UNITS = ("W", "min")
_LABEL = re.compile(
    r"(?P<cells>[0-9]{1,2}) ?s[ ,]*(?P<amount>[0-9][0-9.,]*) ?(?P<unit>m?ah)", re.IGNORECASE
)
_RANGE = re.compile(
    r"(?P<fore>[0-9]+(?:[.,][0-9]+)?) ?(?:to|and|-|–|\.\.) ?(?P<aft>[0-9]+(?:[.,][0-9]+)?) ?"
    r"(?P<unit>mm|cm|in|% MAC)"
)
_NOT_A_NAME = re.compile(r"[^a-z0-9]+")


def plan_drawing(plan: str) -> str:
    """Return the drawing of a body plan as SVG."""
    return body_plan(BodyPlan(plan), BUFF)


def what_follows(answers: Mapping[str, str], face: Face) -> tuple[str, str] | None:
    """Return the figures that follow as SVG, and what to measure next; None if none do yet."""
    found = first_figures(_options(answers))
    if found is None:
        return None
    return figures_picture(found, face), found.narrows_most


def figures_picture(found: FirstFigures, face: Face) -> str:
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
    return expected(spans, BUFF)


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


def balance_refusal(text: str) -> str | None:
    """Return why a place of balance cannot be taken; None where it can."""
    return refusal_of(_ASKS["balance"], _told_at_the_body(text))


def range_refusal(text: str) -> str | None:
    """Return why a range of balance cannot be taken; None where it can."""
    told = _range_in_file(text)
    if told is None:
        return f"{text} does not say two places. Write them such as 60 to 75 mm."
    return refusal_of(_ASKS["balance-range"], told)


def range_clash(answers: Mapping[str, str]) -> str | None:
    """Return why a range cannot be that of an aircraft of these answers; None where it can."""
    try:
        mass = aircraft_so_far(_options(answers)).mass
    except InputFileError as error:
        return " ".join(f"{one.problem}. {one.remedy}" for one in error.problems)
    if mass.flown_range_fraction is None or 0.0 <= mass.flown_range_fraction[1] <= 1.0:
        return None
    return f"{answers['balance-range']} ends behind the wing. Measure from its front edge, in mm."


def needs_range(answers: Mapping[str, str | None]) -> bool:
    """Tell whether limits of the balance are to be told: a flying wing's follow from the wing."""
    return answers.get("balance") is not None and answers["plan"] != BodyPlan.FLYING_WING.value


def needs_sweep(answers: Mapping[str, str | None]) -> bool:
    """Tell whether the balance of a swept wing was told at the body, ahead of its mean chord."""
    balance = answers.get("balance")
    return (
        balance is not None
        and answers["plan"] == BodyPlan.FLYING_WING.value
        and _told_at_the_body(balance).endswith(_AT_THE_BODY)
    )


def balance_clash(answers: Mapping[str, str]) -> str | None:
    """Return why an aircraft of these answers cannot balance where they say; None where it can."""
    if needs_sweep(answers) and "sweep" not in answers:
        return None
    balance = aircraft_so_far(_options(answers)).mass.centre_of_gravity_fraction.value
    if 0.0 <= balance <= 1.0:
        return None
    where = "ahead of" if balance < 0.0 else "behind"
    return (
        f"{answers['balance']} lies {where} the wing's middle chord: nothing that flies balances "
        "there. Measure again, or go back to the answer that is wrong."
    )


def keep_aircraft(base: Base, answers: Mapping[str, str]) -> str:
    """Write the aircraft into the base and return its name there; raises InputFileError.

    `answers` are by option of the file, with `pack` for what its label says.
    """
    path = _free_path(base.aircraft, answers["name"])
    options = _options(answers)
    new_aircraft(path, options)
    if answers["launch"] == AT_A_RUN:
        set_in_file(path, ["takeoff", "throw"], _THROW_AT_A_RUN)
    if options.get("balance", "").endswith(_AT_THE_BODY):
        at_m = parse_quantity(answers["balance"], Dimension.LENGTH)
        set_in_file(path, ["mass", "centre_of_gravity"], balanced_by_fingers(at_m))
    return path.stem


def _options(answers: Mapping[str, str]) -> dict[str, str]:
    """Return the answers by option of the file."""
    options = {name: text for name, text in answers.items() if name != "pack"}
    if "balance" in options:
        options["balance"] = _told_at_the_body(options["balance"])
    if told := _range_in_file(options.get("balance-range", "")):
        options["balance-range"] = told
    if needs_sweep(options) and "sweep" not in options:
        del options["balance"]  # at the body alone it says nothing of a swept wing
    if options.get("launch") == AT_A_RUN:
        options["launch"] = LaunchMethod.HAND.value
    return {**options, **pack_options(answers.get("pack", ""))}


def _told_at_the_body(balance: str) -> str:
    """Return a place of balance as the file holds it: a bare length was measured at the body."""
    try:
        parse_quantity(balance, Dimension.LENGTH)
    except TextError:
        return balance
    return f"{balance} {_AT_THE_BODY}"


def _range_in_file(text: str) -> str | None:
    """Return "60 to 75 mm" as the two places that the file holds; None where it is no range."""
    found = _RANGE.fullmatch(text.strip())
    if found is None:
        return None
    places = (f"{found[end].replace(',', '.')} {found['unit']}" for end in ("fore", "aft"))
    return ", ".join(_told_at_the_body(place) for place in places)


def _free_path(folder: Path, name: str) -> Path:
    """Return a file of that name, with a number behind it where the name is taken."""
    stem = _NOT_A_NAME.sub("-", name.lower()).strip("-") or "aircraft"
    path, number = folder / f"{stem}.toml", 2
    while path.exists():
        path, number = folder / f"{stem}-{number}.toml", number + 1
    return path
