"""The fix that a hand-worked sortie is offered: it mends what it is said to mend.

Worked by hand: in the workshop 23.5 mm of pack put the balance inside at nine in ten, and only the
mass, 1.016 of the greatest flown, is left: MARGINAL.
"""

import shutil
from pathlib import Path

import pytest

from homeleg.desk.check import check_sortie
from homeleg.verdict.result import Status

EXAMPLES = Path(__file__).parents[2] / "examples"
MOVED = """[[loading.change]]
name = "pack, where it was"
mass = "-0.79 kg"
arm = "-40 mm"

[[loading.change]]
name = "pack, 24 mm farther forward"
mass = "0.79 kg"
arm = "-64 mm"

[site]
"""


@pytest.mark.slow
def test_a_pack_moved_forward_leaves_only_the_mass(tmp_path: Path) -> None:
    here = tmp_path / "bracken-workshop"
    shutil.copytree(EXAMPLES / "bracken-workshop", here)
    path = here / "sortie.toml"
    path.write_text(path.read_text("utf-8").replace("[site]\n", MOVED, 1), "utf-8")
    verdict = check_sortie(path, quick=True).verdict
    # 83.3 mm less 0.79 / 2.49 of 24 mm: 75.7 of 245 mm.
    assert 100.0 * verdict.aircraft.centre_of_gravity_fraction == pytest.approx(30.9, abs=0.05)
    assert verdict.word is Status.MARGINAL
    assert [reason.row for reason in verdict.reasons] == ["mass.total"]
    assert verdict.reasons[0].value == pytest.approx(1.016, abs=0.001)
