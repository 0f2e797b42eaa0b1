"""Seconds that only go forward, and go on while the machine sleeps where the system counts that.

A machine that slept has heard nothing meanwhile, and must know it.
"""

import time

__all__ = ["steady_s"]


def steady_s() -> float:
    """Return the seconds of a clock that nobody sets."""
    if hasattr(time, "CLOCK_BOOTTIME"):
        return time.clock_gettime(time.CLOCK_BOOTTIME)
    return time.monotonic()  # noqa: TID251 (this is the edge)
