"""What the pages are made from."""

from dataclasses import dataclass

from homeleg.release.route_aboard import RouteAboard
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.result import Status, Verdict

__all__ = ["BriefingInput"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BriefingInput:
    """A checked sortie under a name, and what a release adds to it.

    Without `released` every page is marked as a plan. `code` stands for what was signed,
    `signatures` are names with roles, `override` says who flies against the word and why, `aboard`
    how the route in the aircraft stood when the pages were made.
    `contacts` are names with telephone numbers and `place` how to find the launch point, as said
    to a stranger; what is missing is left to be written in.
    """

    name: str
    verdict: Verdict
    sortie: Sortie
    released: bool = False
    code: str | None = None
    signatures: tuple[str, ...] = ()
    override: str | None = None
    aboard: RouteAboard | None = None
    contacts: tuple[tuple[str, str], ...] = ()
    place: str = ""

    @property
    def mark(self) -> str:
        """What the pages are called: a release, or a plan that nobody may launch on."""
        return "Release" if self.released else "Plan, not released"

    @property
    def spaced_code(self) -> str:
        """The code in two groups, as it is read aloud; empty where there is none."""
        return "" if self.code is None else f"{self.code[:3]} {self.code[3:]}"

    @property
    def route_words(self) -> str:
        """How the route in the aircraft stands, empty for a plan: it is in none."""
        return "" if self.aboard is None else self.aboard.words

    @property
    def route_is_same(self) -> bool:
        """Whether the route in the aircraft was found to be the released one."""
        return self.aboard is not None and self.aboard.is_same

    @property
    def may_fly(self) -> bool:
        """Whether the word, or who flies against it, lets the pages carry figures to fly by."""
        return self.verdict.word is not Status.NO_GO or self.override is not None
