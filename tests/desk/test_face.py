"""Figures in the units a person likes.

Checks: 1 ft = 0.3048 m, 1 kt = 1852/3600 m/s, 1 mi = 1609.344 m, 1 inHg = 3386.389 Pa, exact or
conventional definitions (NIST SP 811, appendix B; values from MEMORY).
"""

import pytest

from homeleg.desk.face import SI, Face


@pytest.mark.parametrize(
    ("face", "value", "unit", "shown"),
    [
        (Face(length="ft"), 30.48, "m", 100.0),
        (Face(speed="kt"), 18.52, "m/s", 36.0),
        (Face(speed="km/h"), 10.0, "m/s", 36.0),
        (Face(speed="mph"), 4.4704, "m/s", 10.0),
        (Face(pressure="inHg"), 1013.25, "hPa", 29.92),
        (Face(speed="kt"), 12.0, "%", 12.0),
    ],
)
def test_figures(face: Face, value: float, unit: str, shown: float) -> None:
    assert face.shown(value, unit) == pytest.approx(shown, abs=0.005)


def test_sentences() -> None:
    face = Face(length="ft", speed="km/h")
    said = "Too slow: 2.0 m/s, want 5. At 1,200 m, 61.1 m above launch; 5 min, 3 m2, 12.5 mm."
    assert face.text(said) == (
        "Too slow: 7 km/h, want 5. At 3937 ft, 200 ft above launch; 5 min, 3 m2, 12.5 mm."
    )
    assert SI.text(said) == said
    # 1,000 hPa are 100,000 Pa: 29.53 inHg of 3386.389 Pa.
    assert Face(pressure="inHg").text("QNH 1,000 hPa.") == "QNH 29.53 inHg."
