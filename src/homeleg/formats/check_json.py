"""A verdict as JSON: stable slugs, plain numbers, null where nothing is known."""

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from importlib import resources
from typing import TypeAlias

from homeleg import __version__
from homeleg.formats.plane import Plane
from homeleg.foundation import constants as c
from homeleg.sortie.assumptions import Assumption
from homeleg.sortie.rules import RuleProfile
from homeleg.verdict.cautions import cautions
from homeleg.verdict.limits import Limit
from homeleg.verdict.result import (
    AircraftSummary,
    Answer,
    CommitCircle,
    Contributions,
    FlightSummary,
    Gate,
    GlideEdge,
    GroundRisk,
    HomeFrom,
    LegSummary,
    MeasureNext,
    Percentiles,
    Place,
    Reason,
    Ribbon,
    Row,
    Share,
    StoppedSecond,
    ToDo,
    Verdict,
    WayHome,
    WindWindow,
)

SCHEMA = "homeleg/check/1"

Json: TypeAlias = "bool | int | float | str | Sequence[Json] | Mapping[str, Json] | None"


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What a number from the field changed, in words: what, as the file has it, and now."""

    what: str
    in_file: str
    now: str


def check_document(
    verdict: Verdict,
    *,
    plane: Plane,
    sources: Sequence[tuple[str, str]],
    given_at: datetime,
    changes: Sequence[Change] = (),
) -> dict[str, Json]:
    """Return the JSON document of a check.

    `plane` is the one about the launch point; `sources` are (file name, sha256) of every file
    read; `given_at` is the aware time of the answer; `changes` are those against the file. What
    this version does not compute is null or an empty list.
    """
    return {
        "schema": SCHEMA,
        "program": f"homeleg {__version__}",
        "given_at": _utc(given_at),
        "seed": int(verdict.seed),
        "members": int(verdict.members),
        "verdict": verdict.word.value,
        "headline": verdict.headline,
        "summary": verdict.summary,
        "departure": verdict.departure,
        "endings": [{"ending": words, "flights": int(n)} for words, n in verdict.endings],
        "provisional": bool(verdict.provisional),
        "valid_until": None if verdict.valid_until is None else _utc(verdict.valid_until),
        "warnings": list(verdict.warnings),
        "changed": [{**asdict(change)} for change in changes],
        "cautions": list(cautions(verdict.word)),
        "reasons": [_reason(reason) for reason in verdict.reasons],
        "questions": [_answer(answer) for answer in verdict.answers],
        "rows": [_row(row, plane) for row in verdict.rows],
        "to_do": [_to_do(item) for item in verdict.to_do],
        "flight": _flight(verdict.flight),
        "way_home": _way_home(verdict.way_home, plane),
        "ribbon": _ribbon(verdict.ribbon),
        "commit": None if verdict.commit is None else _commit(verdict.commit),
        "gates": [_gate(gate) for gate in verdict.gates],
        "wind_window": None if verdict.wind_window is None else _window(verdict.wind_window),
        "measure_next": [_measure_next(one) for one in verdict.measure_next],
        "ground_risk": None if verdict.ground_risk is None else _ground_risk(verdict.ground_risk),
        "maiden": None if verdict.maiden is None else _reduced(verdict.maiden),
        "aircraft": _aircraft(verdict.aircraft),
        "assumptions": [_assumption(assumption) for assumption in verdict.assumptions],
        "rules": None if verdict.rules is None else _rules(verdict.rules),
        "contributions": [_contributions(row) for row in verdict.contributions],
        "inputs": [{"name": name, "sha256": digest} for name, digest in sources],
    }


def _rules(rules: RuleProfile) -> Json:
    return {
        "name": rules.name,
        "source": rules.source,
        "as_of": rules.as_of,
        "remarks": list(rules.remarks),
    }


def check_json(document: Mapping[str, Json]) -> str:
    """Return the document as text in plain ASCII, one key a line, refusing NaN and infinities."""
    return json.dumps(document, indent=2, allow_nan=False) + "\n"


def check_schema() -> dict[str, object]:
    """Return the shipped JSON Schema of the document."""
    file = resources.files("homeleg.formats") / "schemas" / "check.schema.json"
    schema: dict[str, object] = json.loads(file.read_text(encoding="utf-8"))
    return schema


def _reduced(verdict: Verdict) -> Json:
    """Return the maiden flight: the word with its reasons, without tables."""
    return {
        "verdict": verdict.word.value,
        "headline": verdict.headline,
        "summary": verdict.summary,
        "reasons": [_reason(reason) for reason in verdict.reasons],
        "questions": [_answer(answer) for answer in verdict.answers],
        "to_do": [_to_do(item) for item in verdict.to_do],
    }


def _reason(reason: Reason) -> Json:
    return {
        "row": reason.row,
        "title": reason.title,
        "status": reason.status.value,
        "cause": reason.cause,
        "value": _number(reason.value),
        "unit": reason.unit,
        "act": reason.act,
    }


def _answer(answer: Answer) -> Json:
    return {
        "slug": answer.question.value,
        "title": answer.question.title,
        "status": answer.status.value,
        "row": answer.row,
    }


def _to_do(item: ToDo) -> Json:
    return {"item": item.item, "ask": item.ask}


def _row(row: Row, plane: Plane) -> Json:
    limit: Limit = row.limit
    return {
        "slug": limit.slug,
        "question": None if limit.question is None else limit.question.value,
        "title": limit.title,
        "kind": limit.kind.value,
        "status": row.status.value,
        "value": _percentiles(row.value),
        "reading": _number(row.reading),
        "unit": limit.unit,
        "sense": limit.sense.value,
        "want": _number(row.want),
        "hard": _number(row.hard),
        "judged_at": limit.reading.value,
        "share_beyond_hard": _share(row.share_beyond_hard),
        "where": None if row.where is None else _place(row.where, plane),
        "cause": row.cause,
        "act": row.act,
        "note": row.note,
        "source": limit.source,
        "limit_changed": limit.changed,
    }


def _place(place: Place, plane: Plane) -> Json:
    latitude_rad, longitude_rad = plane.to_geographic(place.east_m, place.north_m)
    return {
        "leg": place.leg,
        "time_s": _number(place.time_s),
        "latitude_deg": _number(math.degrees(latitude_rad)),
        "longitude_deg": _number(math.degrees(longitude_rad)),
        "height_above_launch_m": _number(place.height_above_launch_m),
    }


def _way_home(way: WayHome | None, plane: Plane) -> Json:
    if way is None:
        return None
    turn_back: Json = None
    if way.turn_back is not None:
        turn_back = {
            "time_s": _number(way.turn_back.time_s),
            "leg": way.turn_back.leg,
            "charge_left_fraction": _number(way.turn_back.charge_left_fraction),
        }
    return {
        "worst": None if way.worst is None else _place(way.worst, plane),
        "charge_left_fraction": _percentiles(way.charge),
        "turn_back": turn_back,
        "assumed": list(way.assumed),
        "home_from": _home_from(way.home_from),
        "motor_stopped": _motor_stopped(way.motor_stopped, plane),
        "glide_edge": _glide_edge(way.glide_edge, plane),
    }


def _home_from(home: HomeFrom | None) -> Json:
    if home is None:
        return None
    return {
        "clearance_m": _percentiles(home.clearance_m),
        "time_home_s": _percentiles(home.time_home_s),
        "sight_m": _number(home.sight_m),
        "link_margin_db": _number(home.link_margin_db),
    }


def _motor_stopped(stopped: StoppedSecond | None, plane: Plane) -> Json:
    if stopped is None:
        return None
    return {
        "where": _place(stopped.where, plane),
        "reaches": stopped.reaches,
        "distance_m": _number(stopped.distance_m),
        "bearing_deg": _number(math.degrees(stopped.bearing_rad)),
        "spare_height_m": _percentiles(stopped.spare_height_m),
        "words": stopped.words,
    }


def _glide_edge(edge: GlideEdge | None, plane: Plane) -> Json:
    if edge is None:
        return None
    latitude_rad, longitude_rad = plane.to_geographic(*edge.landing_m)
    return {
        "height_above_launch_m": _number(edge.height_above_launch_m),
        "latitude_deg": _number(math.degrees(latitude_rad)),
        "longitude_deg": _number(math.degrees(longitude_rad)),
        "points": [
            {
                "bearing_deg": _number(math.degrees(point.bearing_rad)),
                "p10_m": _number(point.p10_m),
                "p50_m": _number(point.p50_m),
            }
            for point in edge.points
        ],
    }


def _ribbon(ribbon: Ribbon | None) -> Json:
    if ribbon is None:
        return None
    figures = asdict(ribbon)
    for band in ("left_fraction", "needed_fraction"):
        figures[band] = {
            share: [_number(one[share]) for one in figures[band]] for share in ("p10", "p50", "p90")
        }
    return figures


def _flight(flight: FlightSummary) -> Json:
    return {
        "duration_s": _percentiles(flight.duration_s),
        "energy_wh": _percentiles(flight.energy_j, 1.0 / c.WATT_HOUR_J),
        "charge_used_ah": _percentiles(flight.charge_used_ah),
        "landing_charge_fraction": _percentiles(flight.landing_charge_fraction),
        "legs": [_leg(leg) for leg in flight.legs],
    }


def _leg(leg: LegSummary) -> Json:
    return {
        "from": leg.start,
        "to": leg.end,
        "kind": leg.kind.value,
        "ground_speed_m_s": _percentiles(leg.ground_speed_m_s),
        "crab_deg": _percentiles(leg.crab_rad, math.degrees(1.0)),
        "time_s": _percentiles(leg.time_s),
        "energy_wh": _percentiles(leg.energy_j, 1.0 / c.WATT_HOUR_J),
        "clearance_m": _percentiles(leg.clearance_m),
    }


def _aircraft(aircraft: AircraftSummary) -> Json:
    figures = asdict(aircraft)
    envelope = figures.pop("envelope_fraction")
    return {
        **{name: _number(value) for name, value in figures.items()},
        "envelope_fraction": None if envelope is None else [_number(end) for end in envelope],
    }


def _ground_risk(risk: GroundRisk) -> Json:
    figures = asdict(risk)
    risk_class = figures.pop("risk_class")
    return {"class": risk_class, **{name: _number(value) for name, value in figures.items()}}


def _assumption(assumption: Assumption) -> Json:
    return {
        "key": assumption.key,
        "value": _number(assumption.value),
        "sd": _number(assumption.sd),
        "unit": assumption.unit,
        "basis": assumption.basis,
    }


def _commit(commit: CommitCircle) -> Json:
    return {
        "height_above_launch_m": _number(commit.height_above_launch_m),
        "true_airspeed_m_s": _number(commit.true_airspeed_m_s),
        "bank_deg": _number(math.degrees(commit.bank_rad)),
        "turns": int(commit.turns),
        "most_half_difference_m_s": _number(commit.most_half_difference_m_s),
        "least_mean_m_s": _number(commit.least_mean_m_s),
        "most_mean_m_s": _number(commit.most_mean_m_s),
        "time_s": _number(commit.duration_s),
        "charge_ah": _number(commit.charge_ah),
        "rows": list(commit.rows),
        "share_go_on": _share(commit.go_on),
        "share_missed_of_those": _share(commit.missed_of_those),
    }


def _gate(gate: Gate) -> Json:
    least, most = gate.ground_speed_m_s or (None, None)
    return {
        "name": gate.name,
        "time_s": _number(gate.time_s),
        "latest_s": _number(gate.latest_s),
        "least_ground_speed_m_s": _number(least),
        "most_ground_speed_m_s": _number(most),
        "least_volts": _number(gate.least_volts),
        "used_ah": _number(gate.used_ah),
        "most_used_ah": _number(gate.most_used_ah),
    }


def _window(window: WindWindow) -> Json:
    return {
        "provisional": True,
        "height_agl_m": _number(window.height_agl_m),
        "members": int(window.members),
        "points": [
            {
                "from_deg": _number(math.degrees(point.from_true_rad)),
                "speed_m_s": _number(point.speed_m_s),
                "status": point.status.value,
                "question": None if point.question is None else point.question.value,
            }
            for point in window.points
        ],
    }


def _contributions(row: Contributions) -> Json:
    return {
        "row": row.row,
        "r2": _number(row.r2),
        "explained_by": row.explained.value,
        "inputs": [{"input": one.input, "share": _number(one.share)} for one in row.inputs],
    }


def _measure_next(one: MeasureNext) -> Json:
    return {**asdict(one), "share": _number(one.share)}


def _percentiles(value: Percentiles | None, factor: float = 1.0) -> Json:
    if value is None or not math.isfinite(value.p50):
        return None
    return {
        "p10": _number(value.p10 * factor),
        "p50": _number(value.p50 * factor),
        "p90": _number(value.p90 * factor),
    }


def _share(share: Share | None) -> Json:
    if share is None:
        return None
    return {name: _number(value) for name, value in asdict(share).items()}


def _number(value: float | None) -> float | None:
    """Return a plain float, whatever NumPy scalar came in; null where nothing is known."""
    if value is None or not math.isfinite(value):
        return None
    return float(value)


def _utc(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
