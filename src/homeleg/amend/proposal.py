"""The one change to propose, in words, with its price on a middle flight."""

from dataclasses import dataclass

from homeleg.amend.change import Change
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.result import FlightSummary, Status, Verdict

__all__ = ["NO_CHANGE", "Price", "Proposal", "price_of"]

NO_CHANGE = "no change found that reaches GO"


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """What a change costs the middle flight: more time and charge; less where below zero."""

    duration_s: float
    charge_ah: float

    @property
    def words(self) -> str:
        """The price as it is said: "Costs 470 mAh on a middle day, saves 16 minutes."."""
        minutes = abs(self.duration_s) / 60.0
        time = f"{minutes:.0f} minutes" if minutes >= 1.5 else f"{60.0 * minutes:.0f} seconds"
        charge = f"{abs(1000.0 * self.charge_ah):.0f} mAh"
        parts = [(self.charge_ah, charge), (self.duration_s, time)]
        parts = [(value, words) for value, words in parts if not words.startswith("0 ")]
        costs = " and ".join(words for value, words in parts if value > 0.0)
        saves = " and ".join(words for value, words in parts if value < 0.0)
        if costs and saves:
            return f"Costs {costs} on a middle day, saves {saves}."
        if costs or saves:
            return f"{'Costs' if costs else 'Saves'} {costs or saves} on a middle day."
        return "Costs neither time nor charge."


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A change with the verdicts before and after it, both flown in full by the same judge."""

    change: Change
    sortie: Sortie
    before: Verdict
    after: Verdict

    @property
    def reaches_go(self) -> bool:
        """Whether the word after it is GO."""
        return self.after.word is Status.GO

    @property
    def act(self) -> str:
        """The change as a sentence."""
        return f"{self.change.words[0].upper()}{self.change.words[1:]}."

    @property
    def price(self) -> Price:
        """What it costs the middle flight."""
        return price_of(self.before.flight, self.after.flight)

    @property
    def sentence(self) -> str:
        """The change and its price; where it does not reach GO, that first."""
        words = f"{self.act} {self.price.words}"
        if self.reaches_go:
            return words
        return (
            f"{NO_CHANGE[0].upper()}{NO_CHANGE[1:]}. The best is {self.after.word.value}: {words}"
        )


def price_of(before: FlightSummary, after: FlightSummary) -> Price:
    """Return what the middle flight after a change takes more than the one before."""
    return Price(
        duration_s=after.duration_s.p50 - before.duration_s.p50,
        charge_ah=after.charge_used_ah.p50 - before.charge_used_ah.p50,
    )
