"""The wind window of a checked sortie: asked for apart, for it takes as long as the check."""

from dataclasses import replace

from homeleg.desk.check import CheckResult, Progress, limits_of
from homeleg.verdict.result import WindWindow
from homeleg.verdict.wind_window import wind_window

__all__ = ["look_at_winds", "with_wind_window"]


def look_at_winds(result: CheckResult, progress: Progress | None = None) -> WindWindow:
    """Return the wind window of a result.

    `progress` hears what is done and the share of it, 0 to 1; to cancel, raise from it.
    """
    tell = None if progress is None else lambda share: progress("looking at other winds", share)
    return wind_window(result.sortie, result.verdict, limits_of(result.sortie), tell)


def with_wind_window(result: CheckResult, progress: Progress | None = None) -> CheckResult:
    """Return the result with its wind window; `progress` as for the look."""
    window = look_at_winds(result, progress)
    return replace(result, verdict=replace(result.verdict, wind_window=window))
