"""A check against the outside: one call asserts it and is its row on docs/published-checks.md."""

import csv
import math
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from decimal import Decimal
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike, NDArray

REFERENCE = Path(__file__).parent / "reference"
# Of half a printed digit: a value in the middle of two digits is printed as either of them.
_TIE = 1.001


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """What a source says, what we say, and how far apart the two may be.

    Of several values of one quantity it is the one that lies furthest off for its tolerance.
    """

    quantity: str
    unit: str
    source: str
    theirs: str
    ours: str
    within: str
    because: str
    values: int
    share_of_tolerance: float

    @property
    def holds(self) -> bool:
        return self.share_of_tolerance <= 1.0


@dataclass(frozen=True, slots=True)
class Published:
    """Assert a published value, and report it with its source."""

    record: Callable[[str, object], None]

    def __call__(
        self,
        quantity: str,
        ours: ArrayLike,
        theirs: str | Sequence[str],
        unit: str = "",
        *,
        source: str,
        within: ArrayLike | None = None,
        relative: float = 0.0,
        because: str = "half its last printed digit",
    ) -> None:
        """Assert that ours is theirs, text as printed, within half of the last digit of each.

        Another tolerance, absolute or relative (the larger counts), needs its reason.
        """
        printed = [theirs] if isinstance(theirs, str) else list(theirs)
        expected = np.array([float(text) for text in printed])
        got = np.atleast_1d(np.asarray(ours, dtype=np.float64))
        assert got.shape == expected.shape, f"{quantity}: {got.shape} of ours, {expected.shape}"
        least = half_digits(printed) if within is None else np.asarray(within, dtype=np.float64)
        tolerance = np.maximum(least, relative * np.abs(expected))
        off = np.abs(got - expected)
        share = np.where(off == 0.0, 0.0, off / np.maximum(tolerance, 1e-300))
        worst = int(np.argmax(np.where(np.isnan(share), np.inf, share)))
        allowed = float(np.broadcast_to(tolerance, expected.shape)[worst])
        self._assert(
            Check(
                quantity=quantity,
                unit=unit,
                source=source,
                theirs=printed[worst].strip(),
                ours=_written(float(got[worst]), allowed),
                within=f"{allowed:.2g}",
                because=because,
                values=len(printed),
                share_of_tolerance=float(share[worst]),
            )
        )

    def exactly(self, quantity: str, ours: object, theirs: object, *, source: str) -> None:
        """Assert that ours is theirs: a word, a class, a whole number, or a list of them."""
        self._assert(
            Check(
                quantity=quantity,
                unit="",
                source=source,
                theirs=_listed(theirs),
                ours=_listed(ours),
                within="0",
                because="the same",
                values=1,
                share_of_tolerance=0.0 if ours == theirs else math.inf,
            )
        )

    def _assert(self, check: Check) -> None:
        self.record("published", asdict(check))
        assert check.holds, (
            f"{check.quantity}: {check.source} has {check.theirs}, we have {check.ours} "
            f"{check.unit}, which may be {check.within} apart ({check.because})"
        )


def table(name: str) -> list[dict[str, str]]:
    """Read a table of published values."""
    with (REFERENCE / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def texts(rows: list[dict[str, str]], key: str) -> list[str]:
    """Return a column as printed."""
    return [row[key] for row in rows]


def values(rows: list[dict[str, str]], key: str) -> NDArray[np.float64]:
    """Return a column as numbers."""
    return np.array([float(row[key]) for row in rows])


def half_digits(printed: Sequence[str]) -> NDArray[np.float64]:
    """Return half a unit of the last digit of each."""
    exponents = [Decimal(text).as_tuple().exponent for text in printed]
    return np.array([_TIE * 0.5 * 10.0 ** int(exponent) for exponent in exponents])


def turned_to(got_deg: float, printed_deg: str) -> float:
    """Return an angle as it is nearest to the printed one: a full circle is none."""
    return float(printed_deg) + math.remainder(got_deg - float(printed_deg), 360.0)


def _written(value: float, tolerance: float) -> str:
    """Write a value one digit further than it is checked."""
    if not math.isfinite(value) or tolerance <= 0.0:
        return repr(value)
    digits = max(0, 1 - math.floor(math.log10(tolerance)))
    if 0.0 < abs(value) < 1e-3:
        return f"{value:.{max(1, digits + math.floor(math.log10(abs(value))))}e}"
    return f"{value:.{digits}f}"


def _listed(value: object) -> str:
    if isinstance(value, (list, tuple)):
        return ", ".join(map(str, value))
    return "none" if value is None else str(value)
