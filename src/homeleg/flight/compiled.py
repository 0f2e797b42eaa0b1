"""How the kernel is compiled, and the step and lag that several of its pieces share."""

from numba import njit

__all__ = ["ROLL_LAG_S", "STEP_S", "compiled", "in_parallel", "inlined"]

# Division by zero gives infinity, as in C: the check that Python makes costs a sixth of the time.
# Pieces of a step are inlined: called, their arrays cost a third of the time.
compiled = njit(cache=True, error_model="numpy")
inlined = njit(cache=True, error_model="numpy", inline="always")
in_parallel = njit(cache=True, error_model="numpy", parallel=True)

STEP_S = 0.1

# Lags and gains of the flown aircraft, here and where they are used. MEMORY: usual for small
# autopilots. Halved or doubled, each moves headway by up to 0.2 m/s and turn margins by up to 0.02:
# more than the sampling error, at most a fifth of the room between the limits
# (docs/decisions/0002-step-and-lags.md).
ROLL_LAG_S = 0.4
