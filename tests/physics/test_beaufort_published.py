"""The Beaufort scale against two printed forms of it."""

import pytest

from homeleg.foundation.constants import KNOT_M_S
from homeleg.physics.beaufort import FORCE_OF_SIGN, STRONGEST_FORCE, LandSign, beaufort_limits

# Each force as printed in m/s, tenths, first and last (FOUND in a public table of the WMO scale).
PRINTED_M_S = [
    (0.0, 0.2),
    (0.3, 1.5),
    (1.6, 3.3),
    (3.4, 5.4),
    (5.5, 7.9),
    (8.0, 10.7),
    (10.8, 13.8),
    (13.9, 17.1),
    (17.2, 20.7),
    (20.8, 24.4),
    (24.5, 28.4),
    (28.5, 32.6),
]
# The same in whole knots (FOUND in another public table).
PRINTED_KT = [
    (0, 0), (1, 3), (4, 6), (7, 10), (11, 16), (17, 21),
    (22, 27), (28, 33), (34, 40), (41, 47), (48, 55), (56, 63),
]  # fmt: skip


@pytest.mark.parametrize("force", range(12))
def test_limits_as_printed(force: int) -> None:
    begins, ends = beaufort_limits(force)
    first, last = PRINTED_M_S[force]
    assert begins == first
    # The next force begins a tenth higher than this one is printed to end.
    assert ends == pytest.approx(last + 0.1)


@pytest.mark.parametrize("force", range(12))
def test_limits_in_knots(force: int) -> None:
    begins, ends = beaufort_limits(force)
    first, last = (KNOT_M_S * knots for knots in PRINTED_KT[force])
    assert begins - 0.5 * KNOT_M_S <= first <= last <= ends + 0.5 * KNOT_M_S


# As in the printed specifications for use on land.
SIGNS = [("smoke rises", 0), ("leaves rustle", 2), ("small twigs", 3), ("small branches", 4),
         ("small trees", 5), ("large branches", 6), ("whole trees", 7)]  # fmt: skip


@pytest.mark.parametrize(("words", "force"), SIGNS)
def test_signs_have_their_force(words: str, force: int) -> None:
    assert [FORCE_OF_SIGN[sign] for sign in LandSign if words in sign.value] == [force]


def test_one_sign_a_force() -> None:
    assert sorted(FORCE_OF_SIGN.values()) == list(range(STRONGEST_FORCE + 1))


@pytest.mark.parametrize("force", [-1, 12])
def test_no_such_force(force: int) -> None:
    with pytest.raises(ValueError, match="outside 0 to 11"):
        beaufort_limits(force)
