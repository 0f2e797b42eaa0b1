"""The winds of a dial: those computed in a wind window, and today's."""

from homeleg.briefing.dial import DialWinds
from homeleg.briefing.likely_winds import likely_winds
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.result import Status, WindPoint, WindWindow

__all__ = ["dial_winds"]


def dial_winds(window: WindWindow, sortie: Sortie) -> DialWinds:
    """Return the winds of a window with the wind that was told and those likely today."""
    directions = sorted({point.from_true_rad for point in window.points})
    by_direction = [
        sorted(
            (point for point in window.points if point.from_true_rad == direction),
            key=lambda point: point.speed_m_s,
        )
        for direction in directions
    ]
    told = sortie.weather.reports[0]
    return DialWinds(
        directions_rad=tuple(directions),
        speeds_m_s=tuple(point.speed_m_s for point in by_direction[0]),
        statuses=tuple(tuple(point.status for point in points) for points in by_direction),
        closes=tuple(_closing(points) for points in by_direction),
        measured=(told.speed_m_s.value, told.from_true_rad.value),
        likely=likely_winds(sortie),
    )


def _closing(points: list[WindPoint]) -> str:
    """Return the question that first keeps a direction from GO; empty where none does."""
    first = next((point for point in points if point.status is not Status.GO), None)
    return "" if first is None or first.question is None else first.question.title
