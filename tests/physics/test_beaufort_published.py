"""The Beaufort scale against two printed forms of it."""

import pytest

from homeleg.foundation.constants import KNOT_M_S
from homeleg.physics.beaufort import FORCE_OF_SIGN, STRONGEST_FORCE, LandSign, beaufort_limits
from tests.published import Published

IN_M_S = "WMO scale, first and last tenth of a force, a public table. FOUND"
IN_KNOTS = "The same in whole knots, another public table. FOUND"
ON_LAND = "WMO scale, specifications for use on land. FOUND"
PRINTED_M_S = [
    ("0.0", "0.2"), ("0.3", "1.5"), ("1.6", "3.3"), ("3.4", "5.4"), ("5.5", "7.9"), ("8.0", "10.7"),
    ("10.8", "13.8"), ("13.9", "17.1"), ("17.2", "20.7"), ("20.8", "24.4"), ("24.5", "28.4"),
    ("28.5", "32.6"),
]  # fmt: skip
PRINTED_KT = [
    (0, 0), (1, 3), (4, 6), (7, 10), (11, 16), (17, 21),
    (22, 27), (28, 33), (34, 40), (41, 47), (48, 55), (56, 63),
]  # fmt: skip


@pytest.mark.parametrize("force", range(12))
def test_limits_as_printed(published: Published, force: int) -> None:
    begins, ends = beaufort_limits(force)
    first, last = PRINTED_M_S[force]
    why = "exact; the next force begins a tenth higher than this one is printed to end"
    for quantity, ours, printed in (
        ("beginning of a force", begins, first),
        ("end of a force", ends - 0.1, last),
    ):
        published(quantity, ours, printed, "m/s", source=IN_M_S, within=1e-9, because=why)


@pytest.mark.parametrize("force", range(12))
def test_limits_in_knots(published: Published, force: int) -> None:
    first, last = PRINTED_KT[force]
    # Within the force, or half a knot outside it: a whole knot is nearest to one of its speeds.
    begins_kt, ends_kt = (limit / KNOT_M_S for limit in beaufort_limits(force))
    for quantity, knots in (("first knot of a force", first), ("last knot of a force", last)):
        within_it = min(max(knots, begins_kt), ends_kt)
        published(quantity, within_it, str(knots), "kt", source=IN_KNOTS)


SIGNS = [("smoke rises", 0), ("leaves rustle", 2), ("small twigs", 3), ("small branches", 4),
         ("small trees", 5), ("large branches", 6), ("whole trees", 7)]  # fmt: skip


@pytest.mark.parametrize(("words", "force"), SIGNS)
def test_signs_have_their_force(published: Published, words: str, force: int) -> None:
    ours = [FORCE_OF_SIGN[sign] for sign in LandSign if words in sign.value]
    published.exactly(f"force of a sign: {words}", ours, [force], source=ON_LAND)


def test_one_sign_a_force() -> None:
    assert sorted(FORCE_OF_SIGN.values()) == list(range(STRONGEST_FORCE + 1))


@pytest.mark.parametrize("force", [-1, 12])
def test_no_such_force(force: int) -> None:
    with pytest.raises(ValueError, match="outside 0 to 11"):
        beaufort_limits(force)
