"""From which second the way home is the tightest over the ground, and what is said of it."""

from dataclasses import dataclass

from homeleg.verdict.result import Row, Status, Verdict
from homeleg.verdict.wording import clock, figure
from homeleg.way_home.way_back import WayBack

__all__ = ["WayBackWords", "WorstSecond", "way_back_words", "worst_for_ground"]

_ROW = "ground.way_home"


@dataclass(frozen=True, slots=True, kw_only=True)
class WorstSecond:
    """When the link is lost after release, on which leg, and how clear of the ground it comes home.

    `clearance_m` holds for 9 in 10 flights; None where it was not read.
    """

    lost_s: float
    leg: str
    clearance_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WayBackWords:
    """What is said of the way back: in a line, and what it rests on."""

    sentence: str
    second: str


def worst_for_ground(verdict: Verdict) -> WorstSecond | None:
    """Return the second that decides the ground under the way home; where none does, for charge."""
    row, home = _row(verdict), verdict.way_home
    if row is not None and row.where is not None:
        leg = row.where.leg.removeprefix("way home from ")
        return WorstSecond(lost_s=row.where.time_s, leg=leg, clearance_m=row.reading)
    if home is None or home.worst is None:
        return None
    return WorstSecond(lost_s=home.worst.time_s, leg=home.worst.leg, clearance_m=None)


def way_back_words(
    verdict: Verdict, worst: WorstSecond | None, back: WayBack | None
) -> WayBackWords:
    """Return what is said of the way back."""
    row = _row(verdict)
    if worst is None or back is None:
        return WayBackWords(sentence="No way home was flown.", second="Too few flights got away.")
    second = f"Link lost on {worst.leg} at {clock(worst.lost_s)}. Home at "
    second += f"{figure(back.height_m, 'm')} above launch."
    if back.words:
        second += f" {back.words[:1].upper()}{back.words[1:]}."
    return WayBackWords(sentence=_sentence(worst, row), second=second)


def _sentence(worst: WorstSecond, row: Row | None) -> str:
    clear = worst.clearance_m
    if clear is None:
        return "The way home starts near the landing point: the ground is not in question."
    if row is not None and "not known" in row.note and row.status is Status.NO_GO:
        return "The ground under the way home is not known all the way."
    if clear <= 0.0:
        return f"Into the ground by {figure(-clear, 'm')} on the way home."
    want = "" if row is None or row.want is None else f", want {figure(row.want, 'm')}"
    if row is not None and row.status is Status.GO:
        return f"Clear of the ground by {figure(clear, 'm')} on the way home."
    return f"Only {figure(clear, 'm')} over the ground on the way home{want}."


def _row(verdict: Verdict) -> Row | None:
    return next((row for row in verdict.rows if row.limit.slug == _ROW), None)
