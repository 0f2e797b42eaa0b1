"""Heights of a route as altitudes of formats that know fewer kinds of them."""

from collections.abc import Sequence

from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.release.plain_route import PlainRoute

__all__ = ["amsl_of", "height_losses", "launch_amsl_m"]


def launch_amsl_m(route: PlainRoute) -> float | None:
    """Return a launch point's height above mean sea level, None where nobody says it. [m]."""
    height = None if route.launch_point is None else route.launch_point.height
    return height.value_m if height is not None and height.above is Datum.AMSL else None


def amsl_of(height: StatedHeight | None, launch_m: float | None) -> float | None:
    """Return a height above mean sea level, None where that cannot be told. [m]."""
    if height is None:
        return None
    if height.above is Datum.AMSL:
        return height.value_m
    if height.above is Datum.ABOVE_LAUNCH and launch_m is not None:
        return launch_m + height.value_m
    return None


def height_losses(
    heights: Sequence[StatedHeight | None],
    launch_m: float | None,
    what: str,
    also: tuple[Datum, ...] = (),
) -> list[str]:
    """Return in words what becomes of heights that are written as altitudes above sea level.

    `what` is the format's word for an altitude, `also` what else it can be above.
    """
    stated = [height for height in heights if height is not None]
    unwritten = sum(
        amsl_of(height, launch_m) is None and height.above not in also for height in stated
    )
    losses = []
    if any(height.above is Datum.ABOVE_LAUNCH for height in stated) and launch_m is not None:
        losses.append(
            f"heights above launch are written as AMSL, from the launch point's {launch_m:g} m"
        )
    if unwritten:
        losses.append(f"{unwritten} heights are not written as {what}: their datum is another")
    return losses
