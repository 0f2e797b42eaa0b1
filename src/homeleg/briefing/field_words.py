"""What is said of a sortie at the field: wind, launch, link lost, motor stopped, coordinates."""

import math

from homeleg.briefing.briefing_input import BriefingInput
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.result import Verdict
from homeleg.verdict.wording import clock
from homeleg.world.weather import WindReport

__all__ = [
    "coordinates",
    "launch_direction",
    "link_lost",
    "motor_stopped",
    "occasion",
    "turn_back_line",
    "wind_line",
]


def occasion(given: BriefingInput) -> str:
    """Return when it is flown, with what, and until when the answer holds."""
    until = given.verdict.valid_until
    words = (
        f"{given.sortie.launch_time:%-d %B %Y, %H:%M} UTC. {given.sortie.aircraft.name}, "
        f"{given.verdict.aircraft.mass_kg:.2f} kg."
    )
    return words if until is None else f"{words} Valid to {until:%H:%M}."


def launch_direction(departure: str) -> str:
    """Return how it leaves, such as "into 225°"."""
    return departure.replace("leaves along ", "into ").replace(" deg", "°")


def wind_line(sortie: Sortie) -> str:
    """Return every wind that the answer rests on."""
    return " ".join(_wind(report) for report in sortie.weather.reports)


def _wind(report: WindReport) -> str:
    gust = "" if report.gust_m_s is None else f", gusts {report.gust_m_s:.1f}"
    seen = "age not told" if report.seen is None else f"seen {report.seen:%H:%M}"
    from_deg = math.degrees(report.from_true_rad.value) % 360.0
    return (
        f"{report.speed_m_s.value:.1f} m/s{gust} from {from_deg:03.0f} at "
        f"{report.height_agl_m:.0f} m AGL, {report.source.value}, {seen}."
    )


def turn_back_line(verdict: Verdict) -> str:
    """Return the last turn-back in words."""
    way = verdict.way_home
    if way is None or way.charge is None:
        return "No way home was computed."
    if way.turn_back is not None:
        return f"Turn back by {clock(way.turn_back.time_s)}, on {way.turn_back.leg}."
    low = 100.0 * way.charge.p10
    if low < 0.5:
        return "Link lost at the worst second: it may not come home."
    return (
        f"Link lost at the worst second for charge: home with {low:.0f} % or more, nine times in "
        "ten."
    )


def link_lost(sortie: Sortie) -> str:
    """Return what the aircraft does when its link is lost, as declared."""
    loss = sortie.aircraft.link_loss
    after = "After a time not told" if loss.after_s is None else f"After {loss.after_s:.0f} s"
    climbs = {
        True: "it climbs first, then comes",
        False: "it comes",
        None: "it may climb first, or come",
    }[loss.climb_first]
    height = "at a height not told"
    if loss.return_height is not None:
        height = f"at {loss.return_height.value_m:.0f} m {loss.return_height.above.value}"
    speed = ""
    if loss.airspeed is not None:
        speed = f", {loss.airspeed.value_m_s:.1f} m/s {loss.airspeed.kind.value}"
    there = "what it does is not told"
    if loss.at_launch_point is not None:
        there = loss.at_launch_point.value
    return f"{after} {climbs} home {loss.path_words} {height}{speed}. At the launch point: {there}."


def motor_stopped(verdict: Verdict) -> str:
    """Return how to glide, from the aircraft as loaded, and where from the worst second."""
    glide, way = verdict.aircraft, verdict.way_home
    words = (
        f"Nose down to {glide.best_glide_speed_eas_m_s:.1f} m/s EAS: 1 m down for "
        f"{glide.best_glide_ratio:.0f} m in still air. Land into wind, away from people; walk, "
        "take the pack out first."
    )
    if way is None or way.motor_stopped is None:
        return words
    return f"{words} Worst at {clock(way.motor_stopped.where.time_s)}: {way.motor_stopped.words}."


def coordinates(sortie: Sortie) -> tuple[str, str]:
    """Return the launch point in decimal degrees, and in degrees and minutes."""
    angles = (
        (math.degrees(sortie.site.latitude_rad), "N", "S"),
        (math.degrees(sortie.site.longitude_rad), "E", "W"),
    )
    sides = [
        (abs(angle), positive if angle >= 0.0 else negative) for angle, positive, negative in angles
    ]
    decimal = "  ".join(f"{angle:.4f} {side}" for angle, side in sides)
    minutes = ", ".join(_minutes(angle, side) for angle, side in sides)
    return decimal, f"{minutes}. WGS 84, {sortie.site.elevation_amsl_m:.0f} m AMSL."


def _minutes(angle_deg: float, side: str) -> str:
    hundredths = round(angle_deg * 6000.0)
    return f"{hundredths // 6000}° {hundredths % 6000 / 100.0:05.2f}' {side}"
