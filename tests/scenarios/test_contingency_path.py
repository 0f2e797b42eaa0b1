"""A way home through a spur, mended by a path along the valley.

Hand: the straight line home at 390 m meets tree tops at 390 m; along the valley, by a point before
the spur, the way home runs over the floor as the route does: 52 m clear, 44 at nine in ten. The
link is still 1.3 dB behind the spur, and that is MARGINAL, for the way home from there holds.
"""

import shutil
from pathlib import Path

import pytest

from homeleg.desk.check import check_sortie
from homeleg.verdict.result import Status

EXAMPLE = Path(__file__).parents[2] / "examples" / "corrie-spur"


@pytest.mark.slow
def test_a_point_before_the_spur_mends_the_way_home(tmp_path: Path) -> None:
    here = tmp_path / "corrie-spur"
    shutil.copytree(EXAMPLE, here)
    point = '[site]\ndiversion_points = [{ name = "bend", east = "620 m", north = "-480 m" }]\n'
    for name, old, new in (
        ("sortie.toml", "[site]\n", point),
        ("ousel.toml", 'path = "straight"', 'path = "over the nearest diversion point"'),
    ):
        text = (here / name).read_text("utf-8")
        assert old in text
        (here / name).write_text(text.replace(old, new, 1), "utf-8")
    verdict = check_sortie(here / "sortie.toml", quick=True).verdict
    rows = {row.limit.slug: row for row in verdict.rows}
    assert rows["ground.way_home"].status is Status.GO
    assert rows["ground.way_home"].reading == pytest.approx(44.0, abs=2.0)
    assert rows["heard.margin"].status is Status.MARGINAL
    assert rows["heard.margin"].reading == pytest.approx(1.3, abs=0.3)
