"""The flown width against the tracks it is made of, counted one by one."""

import numpy as np
import pytest

from homeleg.flight.ensemble import fly
from homeleg.formats.sortie_file import read_sortie
from homeleg.sortie.resolve import resolve
from homeleg.verdict.corridor import Corridor, corridor_of
from homeleg.verdict.flown_width import FlownWidth, flown_width
from tests.way_home.test_declared_behaviours import SHORE

MEMBERS = 64


@pytest.fixture(scope="module")
def flown() -> tuple[Corridor, FlownWidth]:
    resolved = resolve(read_sortie(SHORE).sortie)
    ensemble = fly(resolved, resolved.departures[0], MEMBERS, 1)
    corridor = corridor_of(ensemble, MEMBERS)
    return corridor, flown_width(ensemble, corridor)


def crosses(track_m: np.ndarray, left_m: np.ndarray, right_m: np.ndarray) -> bool:
    """Tell whether a track passes between two points: one stretch of it cuts the line there."""
    along = right_m - left_m
    off = track_m - left_m
    side = along[0] * off[:, 1] - along[1] * off[:, 0]
    share = (off @ along) / (along @ along)
    cut = np.flatnonzero(side[:-1] * side[1:] < 0.0)
    weight = side[cut] / (side[cut] - side[cut + 1])
    where = share[cut] + weight * (share[cut + 1] - share[cut])
    return bool(np.any((where >= 0.0) & (where <= 1.0)))


def test_nine_in_ten_pass_between_the_edges(flown: tuple[Corridor, FlownWidth]) -> None:
    corridor, width = flown
    tracks = np.stack([corridor.east_m, corridor.north_m], axis=2).swapaxes(0, 1)
    # C (540, -140) to D (760, 130) is straight; its middle is (650, -5).
    place = int(np.argmin(np.hypot(*(width.middle_m - (650.0, -5.0)).T)))
    passed = sum(
        crosses(track[np.isfinite(track).all(axis=1)], width.left_m[place], width.right_m[place])
        for track in tracks
    )
    # Tracks are cut where they are, not where they are at the same share of the leg: nearly alike.
    assert passed / MEMBERS == pytest.approx(0.9, abs=0.05)


def test_the_middle_follows_the_route(flown: tuple[Corridor, FlownWidth]) -> None:
    _, width = flown
    assert np.min(np.hypot(*(width.middle_m - (650.0, -5.0)).T)) < 15.0
    assert np.hypot(*width.middle_m[0]) < 30.0


def test_left_is_left_of_the_way(flown: tuple[Corridor, FlownWidth]) -> None:
    _, width = flown
    along = np.gradient(width.middle_m, axis=0)
    across = width.left_m - width.right_m
    turned = along[:, 0] * across[:, 1] - along[:, 1] * across[:, 0]
    assert np.all(turned >= -1e-6)
