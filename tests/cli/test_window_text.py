"""The wind window as a table that fits the screen."""

import math

from homeleg.cli.window_text import window_text
from homeleg.verdict.limits import Question
from homeleg.verdict.result import Status, WindPoint, WindWindow


def test_each_edge_names_its_question() -> None:
    found = {1.0: (Status.GO, None), 2.0: (Status.MARGINAL, Question.HEADWAY)}
    found[3.0] = (Status.NO_GO, Question.IN)
    points = tuple(
        WindPoint(
            from_true_rad=math.radians(direction), speed_m_s=speed, status=status, question=question
        )
        for direction in (0.0, 22.5)
        for speed, (status, question) in found.items()
    )
    lines = window_text(WindWindow(height_agl_m=2.0, members=32, points=points)).splitlines()
    assert "a quick look, 32 flights a wind" in lines[0]
    assert lines[2].split() == [
        "000.0",
        "GO",
        "marg",
        "-",
        *["marginal", "from", "2.0:", "Makes", "headway;", "NO-GO", "from", "3.0:", "Gets", "in"],
    ]
    assert lines[3].startswith("022.5")
    assert max(len(line) for line in lines) <= 120
