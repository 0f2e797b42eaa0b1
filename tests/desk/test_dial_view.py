"""What the wind dial says of a wind, against a window drawn and read by hand."""

import math

import pytest

from homeleg.briefing.dial import DialWinds
from homeleg.desk.dial_view import DialView, dial_view
from homeleg.verdict.result import Status

GO, MARGINAL, NO_GO = Status.GO, Status.MARGINAL, Status.NO_GO
# From north and east GO to 4 m/s and MARGINAL to 6; from south and west NO-GO from the first.
WINDOW = DialWinds(
    directions_rad=tuple(0.5 * math.pi * number for number in range(4)),
    speeds_m_s=(2.0, 4.0, 6.0, 8.0),
    statuses=((GO, GO, MARGINAL, NO_GO),) * 2 + ((NO_GO,) * 4,) * 2,
    closes=("Makes headway", "Makes headway", "Gets away", "Gets away"),
    likely=((1.0, 0.0),) * 5 + ((5.0, 0.0),) * 3 + ((5.0, math.pi),) * 2,
)


def said(speed_m_s: float, from_deg: float) -> tuple[DialView, dict[str, str]]:
    view = dial_view(WINDOW, (speed_m_s, math.radians(from_deg)))
    return view, dict(view.changes)


@pytest.mark.parametrize(
    ("from_deg", "edge_m_s"),
    # On a straight edge between 4 m/s from north and from east: 4 cos 45 deg; from south none.
    [(0.0, 4.0), (45.0, 4.0 * math.cos(math.pi / 4)), (90.0, 4.0), (180.0, 0.0), (225.0, 0.0)],
)
def test_the_edge_is_where_it_is_drawn(from_deg: float, edge_m_s: float) -> None:
    assert WINDOW.edge_at_m_s((GO,), math.radians(from_deg)) == pytest.approx(edge_m_s, abs=1e-9)


def test_inside_with_room() -> None:
    view, changes = said(1.5, 0.0)
    assert (view.word, view.sentence) == (
        "GO",
        "This wind is inside the window, with 2.5 m/s to spare.",
    )
    assert changes["Stronger:"] == "MARGINAL from 4.0 m/s, NO-GO from 6.0 m/s. Makes headway."
    assert changes["Calmer:"] == "a wind of 2.0 m/s from 180 closes it still. Gets away."
    assert changes["5 in 10"] == (
        "of today's likely winds lie in the solid field, 3 in 10 in the hatched."
    )


def test_how_far_it_may_turn() -> None:
    # The straight edge from north to east lies 4 cos 45 deg out: 3 m/s meets it where the cosine of
    # the angle off north-east is that over 3. West of north the edge runs into the centre.
    leaves_deg = 45.0 - math.degrees(math.acos(4.0 * math.cos(math.pi / 4) / 3.0))
    _, changes = said(3.0, 0.0)
    (turned,) = (what for what in changes if what.startswith("Veers"))
    assert turned == f"Veers past {math.ceil(leaves_deg):03d} or backs past 359:"


def test_at_the_edge_and_outside() -> None:
    assert said(5.0, 0.0)[0].sentence == "This wind is at the edge of the window: Makes headway."
    outside, changes = said(5.0, 180.0)
    assert outside.sentence == "This wind is outside the window: Gets away."
    assert outside.word == "NO-GO"
    assert "Veers" not in " ".join(changes)
