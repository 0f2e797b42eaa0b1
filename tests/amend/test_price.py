"""The price of a change as it is said."""

import pytest

from homeleg.amend.proposal import Price


@pytest.mark.parametrize(
    ("minutes", "mah", "said"),
    [
        (-16.0, 470.0, "Costs 470 mAh on a middle day, saves 16 minutes."),
        (1.0, 40.0, "Costs 40 mAh and 60 seconds on a middle day."),
        (-2.0, -157.0, "Saves 157 mAh and 2 minutes on a middle day."),
        (30.0, 0.2, "Costs 30 minutes on a middle day."),
        (0.0, 0.0, "Costs neither time nor charge."),
    ],
)
def test_price_in_words(minutes: float, mah: float, said: str) -> None:
    assert Price(duration_s=60.0 * minutes, charge_ah=mah / 1000.0).words == said
