"""What is heard on a link at one moment, in words: its age first, then the margin and its cause."""

import math
from dataclasses import dataclass

from homeleg.desk.listen import Glance
from homeleg.link.conditions import launch_distance_m
from homeleg.link.watch import Station

__all__ = ["GlanceWords", "glance_words", "moved_words"]

_OLD_S = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class GlanceWords:
    """One moment in words, each empty where there is nothing to say.

    `age` is that of the oldest figure that the margin rests on; `who` is on the link where that is
    not one aircraft alone; `moved` says that home was.
    """

    who: str
    age: str
    is_old: bool
    verified: str
    margin: str
    figures: tuple[str, ...]
    circle: str
    missing: str
    moved: str

    def line(self) -> str:
        """Return it as a line, with a line before it where home was moved."""
        parts = (self.age, self.verified, self.who, self.margin, *self.figures)
        told = " | ".join(part for part in (*parts, self.circle, self.missing) if part)
        return f"{self.moved}\n{told}\n" if self.moved else f"{told}\n"


def glance_words(glance: Glance) -> GlanceWords:
    """Return one moment in words."""
    alone = glance.aircraft is not None
    off_m = glance.home_off_m
    return GlanceWords(
        who="" if alone else f"No aircraft, or more than one: {_everybody(glance)}.",
        age=_age(glance) if alone else "",
        is_old=glance.age_s is None or glance.age_s > _OLD_S,
        verified=_verified(glance),
        margin=_margin(glance),
        figures=tuple(_figures(glance)),
        circle=glance.circle,
        missing=f"not told: {', '.join(glance.missing)}" if glance.missing else "",
        moved="" if off_m is None else moved_words(off_m),
    )


def moved_words(off_m: float) -> str:
    """Return that home lies that far from the released launch point."""
    return (
        f"HOME MOVED: it lies {off_m:.0f} m from the released launch point; heights above launch "
        "are others."
    )


def _everybody(glance: Glance) -> str:
    return "; ".join(_station(one) for one in glance.stations) or "nobody"


def _age(glance: Glance) -> str:
    if glance.age_s is None:
        return "NO DATA"
    return f"{glance.age_s:.1f} s old" if glance.age_s <= _OLD_S else f"{glance.age_s:.0f} S OLD"


def _ago(seconds: float) -> str:
    """Return how long ago something was, in whole seconds or minutes."""
    return f"{seconds:.0f} s" if seconds < 90.0 else f"{seconds / 60.0:.0f} min"


def _verified(glance: Glance) -> str:
    """Return since when the route aboard is verified, or not any more."""
    held = glance.verified
    if held is None:
        return glance.unwatched
    if held.ended is not None:
        gone = _ago(glance.now_s - held.ended.since_s)
        return f"NOT VERIFIED since {gone} ago: {held.ended.why}"
    doubt = "" if held.tells_changes else " (it does not number its plans: a change is not seen)"
    return f"verified {_ago(glance.now_s - held.since_s)} ago{doubt}"


def _margin(glance: Glance) -> str:
    told = glance.margin
    if told is None:
        return ""
    if glance.age_s is None or glance.age_s > _OLD_S:
        return "MARGIN NOT KNOWN: what was heard is too old"
    remarks = "".join(f"; {words}" for words in told.remarks)
    if told.seconds <= 0.0:
        return f"TURN BACK ADVISED ({told.cause}){remarks}"
    minutes, seconds = divmod(int(told.seconds), 60)
    return f"turn back within {minutes} min {seconds:02d} s ({told.cause}){remarks}"


def _figures(glance: Glance) -> list[str]:
    now = glance.flight
    if now is None:
        return [] if glance.aircraft is None else [_station(glance.aircraft)]
    told = [
        (now.ground_speed_m_s, "{:.1f} m/s over ground"),
        (_airspeed(glance), "{:.1f} m/s airspeed"),
        (_height(glance), "{:.0f} m above launch"),
        (_away(glance), "{:.0f} m from launch"),
        (now.volts, "{:.1f} V"),
        (None if now.used_ah is None else 1000.0 * now.used_ah, "{:.0f} mAh"),
    ]
    return [words.format(value) for value, words in told if value is not None] + _wind(glance)


def _airspeed(glance: Glance) -> float | None:
    return _field(glance, "VFR_HUD", "airspeed")


def _height(glance: Glance) -> float | None:
    """Return the height as the aircraft tells it, above its own launch point [m]."""
    millimetres = _field(glance, "GLOBAL_POSITION_INT", "relative_alt")
    return None if millimetres is None else 0.001 * millimetres


def _away(glance: Glance) -> float | None:
    """Return how far it is from the released launch point [m]."""
    if glance.aircraft is None or glance.launch is None:
        return None
    return launch_distance_m(glance.aircraft, glance.launch)


def _field(glance: Glance, message: str, name: str) -> float | None:
    told = None if glance.aircraft is None else glance.aircraft.live.get(message)
    return None if told is None else dict(told[1].fields).get(name)


def _wind(glance: Glance) -> list[str]:
    told = None if glance.aircraft is None else glance.aircraft.live.get("WIND_COV")
    if told is None:
        return []
    fields = dict(told[1].fields)
    north, east = fields["wind_x"], fields["wind_y"]  # the way it blows
    from_deg = math.degrees(math.atan2(-east, -north)) % 360.0
    return [f"wind {math.hypot(north, east):.1f} m/s from {from_deg:03.0f}"]


def _station(station: Station) -> str:
    what = "aircraft" if station.is_aircraft else "station"
    seconds = max(station.last_heard_s - station.first_heard_s, 1.0)
    armed = {None: "", True: ", armed", False: ", disarmed"}[station.armed]
    loss = f"{100.0 * station.loss_fraction():.0f} % lost"
    return f"{what} {station.system}{armed}, {station.frames / seconds:.0f} frames/s, {loss}"
