"""How the route aboard stands against a release: what was compared, by what means, what stands."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum

from homeleg.readiness.told import TOLD_ITEMS
from homeleg.release.comparison import End

__all__ = ["CLOCKS_APART", "ROUTE_ABOARD", "Means", "Proof", "RouteAboard", "standing"]

# Clocks of two laptops differ by this much.
CLOCKS_APART = timedelta(minutes=2)
# The one told item that can only be done once there is a release to compare with.
ROUTE_ABOARD = next(item for item in TOLD_ITEMS if item.name == "route_aboard")


class Means(Enum):
    """By what the route aboard was known."""

    LINK = "fetched over the link"
    FILE = "from the file fetched back"
    ALOUD = "read aloud"
    EVENT = "something happened to it"


_FETCHED = (Means.LINK, Means.FILE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """One comparison with a release, kept beside it.

    `source` names the file, the aircraft's system or the person who read; `unlike` are differences
    in sentences, `untold` what nobody could tell, or the event after which nobody can; `sha256` is
    of what was fetched, "" where nothing was.
    """

    at: datetime
    means: Means
    source: str
    end: End
    unlike: tuple[str, ...] = ()
    untold: tuple[str, ...] = ()
    sha256: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteAboard:
    """Whether the route aboard is proven, and what proves it; None where nothing does."""

    proof: Proof | None
    why_not: str

    @property
    def is_same(self) -> bool:
        """Whether it was found to be the released one, by something that still stands."""
        return not self.why_not

    @property
    def found_unlike(self) -> bool:
        """Whether a comparison found a difference, and none has been made since."""
        last = self.proof
        return last is not None and last.end is End.NOT_THE_SAME and last.means in _FETCHED

    @property
    def words(self) -> str:
        """How it stands, in one sentence."""
        if self.why_not:
            return f"{self.why_not} No launch before SAME."
        return f"Route aboard SAME, {_told_by(self.proof)}." if self.proof else ""


def standing(proofs: Sequence[Proof | None], now: datetime) -> RouteAboard:
    """Return how the route aboard stands `now`; None among the proofs is one that is unreadable.

    The last one counts. Only a difference that was found stands against all that people say: that
    needs another comparison.
    """
    if not proofs:
        return RouteAboard(proof=None, why_not="The route aboard has not been compared.")
    last = proofs[-1]
    if last is None:
        why = "The last comparison kept cannot be read: compare the route aboard again."
        return RouteAboard(proof=None, why_not=why)
    compared = [one for one in proofs if one is not None and one.means in _FETCHED]
    if compared and compared[-1].end is End.NOT_THE_SAME:
        last = compared[-1]
    return RouteAboard(proof=last, why_not=_why_not(last, now))


def _why_not(last: Proof, now: datetime) -> str:
    """Return why a comparison does not prove the route aboard, "" where it does."""
    if last.end is End.NOT_THE_SAME:
        return f"The route aboard is NOT THE SAME, {_told_by(last)}."
    if last.end is End.CANNOT_TELL:
        untold = f": {', '.join(last.untold)}" if last.untold else ""
        return f"What is aboard is not known, {_told_by(last)}{untold}."
    if not -CLOCKS_APART <= now - last.at <= ROUTE_ABOARD.stands_for:
        hours = ROUTE_ABOARD.stands_for.total_seconds() / 3600.0
        return (
            f"The route aboard was SAME, {_told_by(last)}: that stands for {hours:.0f} hours. "
            "Compare it again."
        )
    return ""


def _told_by(proof: Proof) -> str:
    if proof.means is Means.EVENT:
        return f"since {proof.at:%H:%MZ}"
    by = f" by {proof.source}" if proof.means is Means.ALOUD else f" ({proof.source})"
    return f"{proof.means.value}{by}, {proof.at:%H:%MZ}"
