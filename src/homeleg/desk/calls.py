"""The calls made at the aircraft: which there are, which are still open, and an answer kept."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum
from pathlib import Path

from homeleg.briefing.calls import SWITCHED_OFF, Call, calls_for
from homeleg.briefing.calls_page import from_behind
from homeleg.desk.edit import rewrite, set_in_file
from homeleg.formats.field_answers import FieldAnswers
from homeleg.formats.sortie_edit import edited_sortie
from homeleg.formats.sortie_file import read_sortie, sortie_from_text
from homeleg.formats.toml_edit import with_value
from homeleg.formats.toml_text import read_text_file
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.stated_text import shown_time
from homeleg.readiness.told import DECLARED_ITEMS, TOLD_ITEMS, ToldAnswer, ToldItem, is_open
from homeleg.release.release import Release

__all__ = [
    "FIGURES",
    "SOON",
    "FieldCall",
    "Stands",
    "field_calls",
    "from_behind",
    "keep_answers",
    "keep_call",
    "unplug",
    "with_next_pack",
]

# Only there once a route was loaded: asked when the release is compared.
_AFTER_RELEASE = "route_aboard"
# The figure of a told item, and the unit it is asked in.
FIGURES = {"heading": ("error", "deg"), "position": ("distance", "m")}
_MEASURED = {
    "pack.temperature": lambda text: FieldAnswers(pack_temperature=text),
    "pack.health": lambda text: FieldAnswers(pack_capacity=text),
}
_NAMES = {"pitot": "speed.pitot"}  # in the file, and as an item
# From an answer to the launch, where the planned one has passed. Ours.
SOON = timedelta(minutes=10)


class Stands(StrEnum):
    """How a told item stands."""

    GOOD = "good"
    BAD = "bad"
    OPEN = "open"


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldCall:
    """A told item, the calls it is made of, and how it stands: good, bad or open.

    `seen` and `until` are when it was answered and how long that stands, None where it was not.
    """

    item: str
    calls: tuple[Call, ...]
    stands: Stands
    seen: datetime | None = None
    until: datetime | None = None

    @property
    def voided(self) -> bool:
        """Whether unplugging the pack makes its answer worthless."""
        return any(call.voided for call in self.calls)

    def outcome(self, said: Sequence[str]) -> Stands | None:
        """Return what the answers given so far make of it, None while more are to be asked."""
        for call, answer in zip(self.calls, said, strict=False):
            if answer in call.leave:
                return Stands.OPEN
            if not call.unit and answer not in call.right:
                return Stands.BAD
        return Stands.GOOD if len(said) == len(self.calls) else None


def field_calls(path: Path, to_do: Collection[str], now: datetime) -> tuple[FieldCall, ...]:
    """Return the calls for a sortie file as it stands `now`, in the order they are best made in.

    `to_do` names what its verdict found undeclared. Raises InputFileError.
    """
    sortie = read_sortie(path).sortie
    told = {_NAMES.get(answer.item, answer.item): answer for answer in sortie.told}
    seen = {name: answer.seen for name, answer in told.items() if answer.seen is not None}
    at = max(sortie.launch_time, now)
    items = [item for item in TOLD_ITEMS if item.name != _AFTER_RELEASE]
    items += [item for item in DECLARED_ITEMS if item.name in {*to_do, *told}]
    return tuple(
        FieldCall(
            item=item.name,
            calls=tuple(_asked(call) for call in calls_for((item,), sortie.aircraft.plan)),
            stands=_stands(item, told.get(item.name), at),
            seen=seen.get(item.name),
            until=seen[item.name] + item.stands_for if item.name in seen else None,
        )
        for item in items
    )


def keep_call(path: Path, call: FieldCall, said: Sequence[str], now: datetime) -> None:
    """Write the answers to a call into the sortie file, seen `now`; raises InputFileError."""
    first, answer = call.calls[0], said[-1]
    if not first.unit:
        keep_answers(path, FieldAnswers(told=(f"{first.item}={call.outcome(said)}",)), now)
    elif call.item in FIGURES:
        figure, unit = FIGURES[call.item]
        keep_answers(path, FieldAnswers(), now, (call.item, figure, f"{answer} {unit}"))
    else:
        keep_answers(path, _MEASURED[call.item](f"{answer} {first.unit}"), now)


def keep_answers(
    path: Path, answers: FieldAnswers, now: datetime, figure: tuple[str, str, str] | None = None
) -> None:
    """Write what was seen or measured `now` into a sortie file; its comments stay.

    `figure` is a told item, the name of its figure, and that as text. A launch that has passed
    becomes one in ten minutes. Raises InputFileError; the file is then as it was.
    """
    file = read_text_file(path)
    if answers.launch is None and sortie_from_text(file, path.parent).sortie.launch_time < now:
        answers = replace(answers, launch=shown_time(now + SOON))
    text = edited_sortie(file.text, answers, now)
    if figure is not None:
        item, name, value = figure
        text = with_value(text, ["told", item], {name: value, "seen": shown_time(now)})
    sortie_from_text(replace(file, text=text), path.parent)
    rewrite(path, file, text)


def unplug(path: Path) -> None:
    """Take out of a sortie file what nobody knows once the pack was unplugged."""
    for item in SWITCHED_OFF:
        set_in_file(path, ["told", item], None)


def with_next_pack(path: Path, released: Release, now: datetime) -> None:
    """Write into the sortie file of a release that the pack was changed.

    Raises InputFileError where the route is another one by now.
    """
    files = read_sortie(path)
    carried = {file.name: file.text for file in released.files}
    if any(carried.get(name) != text.text for name, text in files.texts[2:]):
        problem = f"the route has changed since release {released.code}"
        remedy = "Look at its verdict first, then release it as a sortie of its own."
        raise InputFileError([Problem(where=path.parent.name, problem=problem, remedy=remedy)])
    file = read_text_file(path)
    rewrite(path, file, edited_sortie(file.text, FieldAnswers(another_pack=True), now))


def _asked(call: Call) -> Call:
    """Return a call that asks for a figure where the item has one."""
    return replace(call, unit=FIGURES[call.item][1]) if call.item in FIGURES else call


def _stands(item: ToldItem, answer: ToldAnswer | None, at: datetime) -> Stands:
    if answer is not None and answer.good is False:
        return Stands.BAD
    return Stands.OPEN if is_open(item, answer, at) else Stands.GOOD
