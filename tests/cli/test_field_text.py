"""What to carry to the field: one screen, every number of gates and circle."""

from typing import Any

from homeleg.cli.field_text import field_text
from homeleg.verdict.result import Status


def test_what_is_carried(make_verdict: Any) -> None:
    text = field_text(make_verdict(Status.MARGINAL))
    flat = " ".join(text.split())
    for part in (
        "MARGINAL",
        "Go on only if half the difference of highest and lowest ground speed is at most 8.4 and "
        "their mean 14.0 to 17.0 m/s; else land. Costs 55 s, 111 mAh; 87 % of the flights go on.",
        # 1.456 Ah is printed on the careful side.
        "P3 1:35 1:44 14.2 to 19.9 15.3 251 1450",
        "P4, orbit done 3:15 3:24 - 15.2 401 turn back",
        "Worse at any gate: turn back.",
        "To do at the field: 1. Move each surface and say which way it went.",
    ):
        assert part in flat
    assert max(len(line) for line in text.splitlines()) <= 96


def test_a_no_go_carries_no_circle(make_verdict: Any) -> None:
    assert "Commit circle" not in field_text(make_verdict(Status.NO_GO))
