"""The first page: what was asked, what was answered, what was told, and who signed."""

from collections.abc import Sequence
from typing import Any

from homeleg.briefing.briefing_input import BriefingInput
from homeleg.briefing.charge_axis import ChargeUnit
from homeleg.briefing.dial import dial_figure, dial_sentence
from homeleg.briefing.dial_form import DIAL_PAPER
from homeleg.briefing.dial_winds import dial_winds
from homeleg.briefing.field_words import occasion, wind_line
from homeleg.briefing.palette import BLACK_ON_WHITE
from homeleg.briefing.plate import fill_of, plate, status_mark
from homeleg.briefing.ribbon import ribbon_figure
from homeleg.briefing.ribbon_form import PAPER
from homeleg.foundation.estimate import Basis
from homeleg.readiness.told import TOLD_ITEMS
from homeleg.release.route_aboard import ROUTE_ABOARD
from homeleg.verdict.cautions import GROUND, WIND, word_caution
from homeleg.verdict.estimate_figure import estimate_figure
from homeleg.verdict.limits import Sense
from homeleg.verdict.result import Answer, CommitCircle, Row, Status, Verdict
from homeleg.verdict.wording import figure, tightest, why

__all__ = ["release_page"]

_MOST_ASSUMED = 8
_UNTOLD = (Basis.ASSUMED.value, Basis.FROM_GEOMETRY.value)
_WORST_FIRST = (
    Status.NO_GO,
    Status.MARGINAL,
    Status.NOT_ANSWERED,
    Status.GO,
    Status.DOES_NOT_APPLY,
)
_PLAIN = {Status.GO: "yes", Status.NO_GO: "no"}
_TOLD_SHORT = {
    "wing": "wing: held, aged, pulled",
    "sense": "surfaces seen, each the right way",
    "speed.pitot": "tube: zero noted, no leak",
    "heading": "heading against a landmark",
    "position": "launch point as planned",
    "pack.temperature": "pack: temperature",
    "pack.health": "pack: capacity, resistance",
    "walk": "walked: wires, cranes, growth",
    "airspace": "airspace read for the time",
    ROUTE_ABOARD.name: "route aboard SAME as released",
    "settings": "return height, timer, action",
    "crew": "who has control, abort words",
    "papers": "papers at hand, in date",
}


def release_page(given: BriefingInput) -> dict[str, Any]:
    """Return the words and figures of the first page by their place on it."""
    verdict = given.verdict
    return {
        "mark": given.mark,
        "name": given.name,
        "occasion": occasion(given),
        "code": given.spaced_code,
        "word": verdict.word.value,
        "plate": plate(verdict.word.value, fill_of(verdict.word), BLACK_ON_WHITE, name="plate"),
        "headline": _sentence(why(verdict)),
        "summary": verdict.summary,
        "provisional": verdict.provisional,
        "ribbon": _ribbon(verdict),
        "dial": _dial(given),
        "commit": _commit(verdict.commit) if given.may_fly else [],
        "wind": wind_line(given.sortie),
        "assumed": _assumed(verdict),
        "limits": _limits(verdict),
        "questions": _questions(verdict),
        "told": _told(verdict, route_is_same=given.route_is_same),
        "route": given.route_words,
        "route_is_same": given.route_is_same,
        "override": given.override or "",
        "signatures": list(given.signatures),
        "caution": word_caution(verdict.word),
        "cautions": f"{WIND} {GROUND}",
    }


def _sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:].rstrip('.')}."


def _ribbon(verdict: Verdict) -> dict[str, str] | None:
    if verdict.ribbon is None:
        return None
    turn_back = None if verdict.way_home is None else verdict.way_home.turn_back
    svg = ribbon_figure(verdict.ribbon, turn_back, ChargeUnit.MAH, PAPER, BLACK_ON_WHITE)
    return {"svg": svg, "words": svg.partition("<desc>")[2].partition("</desc>")[0]}


def _dial(given: BriefingInput) -> dict[str, str] | None:
    window = given.verdict.wind_window
    if window is None:
        return None
    winds = dial_winds(window, given.sortie)
    words = (
        f"Solid GO, hatched MARGINAL, empty NO-GO; out from the centre is stronger, rim "
        f"{winds.speeds_m_s[-1]:.0f} m/s at {window.height_agl_m:.0f} m. {dial_sentence(winds)} "
        "Small rings: where else today's wind may be."
    )
    return {"svg": dial_figure(winds, DIAL_PAPER, BLACK_ON_WHITE), "words": words}


def _commit(commit: CommitCircle | None) -> list[str]:
    """Return what the two turns must read, and what they cost; nothing where none is asked."""
    if commit is None:
        return []
    return [
        f"half the difference is at most {commit.most_half_difference_m_s:.1f} m/s",
        f"and the mean is {commit.least_mean_m_s:.1f} to {commit.most_mean_m_s:.1f} m/s.",
        f"Else land. The circle takes {commit.duration_s:.0f} s and "
        f"{1000.0 * commit.charge_ah:.0f} mAh.",
    ]


def _assumed(verdict: Verdict) -> str:
    bare = [one for one in verdict.assumptions if one.basis in _UNTOLD]
    if not bare:
        return "Nothing: every input was declared or measured."
    words = [
        f"{one.key.replace('_', ' ')} {estimate_figure(one.value, one.sd, one.unit)}"
        for one in bare[:_MOST_ASSUMED]
    ]
    more = len(bare) - len(words)
    return "; ".join(words) + (f"; and {more} more in the answer's file." if more > 0 else ".")


def _limits(verdict: Verdict) -> str:
    changed = [row.limit for row in verdict.rows if row.limit.changed is not None]
    return " ".join(f"{limit.title}: {limit.changed}." for limit in changed) or "None."


def _questions(verdict: Verdict) -> list[dict[str, str]]:
    """Return the sixteen questions, the worst and then the tightest first."""

    def order(answer: Answer) -> tuple[int, float]:
        row = _row_of(answer, verdict.rows)
        return _WORST_FIRST.index(answer.status), 0.0 if row is None else -row.shortfall

    return [
        {
            "mark": _mark(answer.status),
            "title": answer.question.title,
            **_figures(answer, verdict.rows),
        }
        for answer in sorted(verdict.answers, key=order)
    ]


def _mark(status: Status) -> str:
    return status_mark(status, BLACK_ON_WHITE, side=12.0, name="mark")


def _figures(answer: Answer, rows: Sequence[Row]) -> dict[str, str]:
    """Return the figure that answers a question, and what is wanted of it."""
    row = _row_of(answer, rows)
    if row is None or row.reading is None:
        return {"value": _PLAIN.get(answer.status, answer.status.value.lower()), "want": ""}
    share = row.share_beyond_hard
    if answer.status is Status.NO_GO and share is not None and "computed flights" in row.note:
        return {"value": f"{100.0 * share.value:.0f} % of flights fail", "want": ""}
    want = ""
    if row.want is not None:
        sign = "≥" if row.limit.sense is Sense.AT_LEAST else "≤"
        bare = figure(row.want, row.limit.unit).removesuffix(row.limit.unit).rstrip()
        want = f"want {sign} {bare}"
    return {"value": figure(row.reading, row.limit.unit), "want": want}


def _row_of(answer: Answer, rows: Sequence[Row]) -> Row | None:
    """Return the row that decides a question; where all have room, the one with least."""
    own = [row for row in rows if row.limit.question is answer.question]
    if answer.status is Status.GO:
        return next(iter(tightest(own, 1)), None) or _named(answer, own)
    return _named(answer, own)


def _named(answer: Answer, rows: Sequence[Row]) -> Row | None:
    return next((row for row in rows if row.limit.slug == answer.row), None)


def _told(verdict: Verdict, *, route_is_same: bool) -> list[dict[str, Any]]:
    """Return every told item, ticked where it is answered, and what else is to do.

    The route aboard is ticked by a comparison with this release, not by what was told before it.
    """
    to_do = {one.item: one.ask for one in verdict.to_do} | {ROUTE_ABOARD.name: ROUTE_ABOARD.ask}
    if route_is_same:
        del to_do[ROUTE_ABOARD.name]
    told = [
        {"words": _TOLD_SHORT[item.name], "done": item.name not in to_do} for item in TOLD_ITEMS
    ]
    others = to_do.keys() - _TOLD_SHORT.keys()
    return told + [{"words": to_do[item], "done": False} for item in sorted(others)]
