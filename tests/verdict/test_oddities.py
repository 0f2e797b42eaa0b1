"""A launch or landing point that lies inside ground to keep out of is told as a slip of the pen."""

import shutil
from pathlib import Path

import pytest

from homeleg.desk.check import check_sortie

TERN_POINT = Path(__file__).parents[2] / "examples" / "tern-point"
# About the launch point, whose landing point lies 30 m or less from it; and well away from both.
AROUND = "[[-200, -200], [200, -200], [200, 200], [-200, 200]]"
AWAY = "[[3000, 3000], [3100, 3000], [3100, 3100]]"


@pytest.mark.parametrize(
    ("kind", "corners", "said"),
    [("road", AROUND, True), ("water", AROUND, False), ("road", AWAY, False)],
)
def test_a_field_inside_keep_out_ground_for_people_is_odd(
    tmp_path: Path, kind: str, corners: str, *, said: bool
) -> None:
    site = shutil.copytree(TERN_POINT, tmp_path / "site")
    sortie = site / "sortie.toml"
    lane = f'keep_out = [{{ name = "lane", kind = "{kind}", vertices_m = {corners} }}]'
    told = sortie.read_text("utf-8")
    assert "keep_out = []" in told
    sortie.write_text(told.replace("keep_out = []", lane), "utf-8")

    warnings = check_sortie(sortie, members=32, quick=True).verdict.warnings

    odd = [words for words in warnings if "keep-out ground lane (road)" in words]
    assert [words.split(" lies ")[0] for words in odd] == (
        ["The launch point", "The landing point"] if said else []
    )
