"""The ground of a sortie file, as told by eye and by terrain files."""

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import rasterio
from rasterio.transform import from_origin

from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError, OutOfModelError
from homeleg.foundation.estimate import Basis
from homeleg.sortie.resolve import resolve
from homeleg.world.ground import GroundByEye, TerrainGround, ground_height

EditExample = Callable[..., Path]

BY_EYE = 'ground = { by_eye = "flat within 5 m", radius = "1200 m" }'


def ground(inside: str) -> tuple[str, str]:
    return BY_EYE, f"ground = {{ {inside} }}"


def terrain(folder: Path, above_launch_m: float = 0.0) -> None:
    """Write ground that rises one in ten to the north from the launch point's 35 m AMSL."""
    rows, _ = np.mgrid[0:300, 0:300]
    north_deg = 55.03 - 2e-4 * (rows + 0.5) - 55.0
    with rasterio.open(
        folder / "t.tif",
        "w",
        driver="GTiff",
        dtype="float32",
        count=1,
        height=300,
        width=300,
        crs="EPSG:4326",
        transform=from_origin(-5.03, 55.03, 2e-4, 2e-4),
    ) as file:
        # 111,325 m to a degree of latitude at 55 N.
        file.write((35.0 + above_launch_m + 11132.5 * north_deg).astype(np.float32), 1)


def errors(path: Path) -> str:
    with pytest.raises(InputFileError) as caught:
        read_sortie(path)
    return str(caught.value)


def by_eye(path: Path) -> GroundByEye:
    told = read_sortie(path).sortie.site.ground
    assert isinstance(told, GroundByEye)
    return told


def test_flat_ground_is_flat_to_its_radius(edit_example: EditExample) -> None:
    assert by_eye(edit_example("sortie.toml")).flat_to_m == 1200.0


def test_skyline_and_highest_ground(edit_example: EditExample) -> None:
    change = ground(
        'by_eye = "flat within 5 m", radius = "1200 m", highest = "135 m AMSL", skyline = ['
        '{ bearing = "90 deg", distance = "800 m", angle = "5 deg", spread = "4 m" }, '
        '{ bearing = "10 deg", distance = "900 m", height = "95 m AMSL" }]'
    )
    told = by_eye(edit_example("sortie.toml", change))
    assert told.highest_m == 100.0  # above the launch point at 35 m
    assert told.flat_to_m == 0.0
    north, east = told.skyline
    assert math.degrees(north.bearing_true_rad) == pytest.approx(10.0)
    assert (north.height_m.value, north.height_m.sd) == (60.0, 9.0)  # 15 % of it
    assert east.height_m.value == pytest.approx(69.99, abs=0.005)  # 800 tan 5 deg
    assert east.height_m.sd == 4.0


@pytest.mark.parametrize(
    ("inside", "more", "words"),
    [
        ('by_eye = "flat within 5 m"', "", "out to where"),
        ('radius = "1200 m"', "", "how level the ground is"),
        (
            'by_eye = "flat within 5 m", radius = "1200 m", highest = "60 m above launch"',
            "",
            "not from where",
        ),
        (
            'by_eye = "flat within 5 m", radius = "1200 m", '
            'skyline = [{ bearing = "1 deg", distance = "800 m" }]',
            "",
            "the height of the skyline, or the angle",
        ),
        (
            'by_eye = "flat within 5 m", radius = "1200 m", skyline = '
            '[{ bearing = "1 deg", distance = "800 m", height = "5 m AGL" }]',
            "",
            "above launch or sea level",
        ),
        (
            'by_eye = "flat within 5 m", radius = "1200 m", skyline = '
            '[{ bearing = "1 deg", distance = "800 m", height = "5 m above launch", '
            'angle = "5 deg" }]',
            "",
            "both height and angle are given, and one is wanted",
        ),
        (
            'by_eye = "flat within 5 m", radius = "1200 m", skyline = '
            '[{ bearing = "0 deg", distance = "800 m", angle = "5 deg" }, '
            '{ bearing = "360 deg", distance = "700 m", angle = "4 deg" }]',
            "",
            "a second point lies at 0 deg",
        ),
        (
            'by_eye = "flat within 5 m", radius = "1200 m", flat_to = "1201 m", '
            'highest = "90 m above launch"',
            "",
            "1201 m lies beyond the radius of 1200 m",
        ),
        ('by_eye = "flat within 5 m", radius = "10 m"', "", "Write 50 to 50000 m."),
        ('terrain = "."', "", "is a folder"),
        ('by_eye = "flat within 5 m", radius = "1200 m", canopy = "18 m"', "", "clearing"),
        ('terrain = "t.tif", radius = "1200 m"', "", "is given, and terrain too"),
        (
            'by_eye = "flat within 5 m", radius = "1200 m"',
            '[[site.canopy]]\nheight = "9 m"\nvertices_m = [[-9, -9], [9, -9], [0, 9]]',
            "the launch point stands in a wood",
        ),
    ],
)
def test_what_is_asked_about(edit_example: EditExample, inside: str, more: str, words: str) -> None:
    path = edit_example("sortie.toml")
    terrain(path.parent)
    edit_example("sortie.toml", ("[weather]", f"{more}\n[weather]"))
    assert words in errors(edit_example("sortie.toml", ground(inside)))


def test_terrain_becomes_a_surface_above_launch(edit_example: EditExample) -> None:
    path = edit_example("sortie.toml", ground('terrain = "t.tif", terrain_le90 = "5 m"'))
    terrain(path.parent)
    files = read_sortie(path)
    told = files.sortie.site.ground
    assert isinstance(told, TerrainGround)
    assert "t.tif" in [name for name, _ in files.sources]
    assert ground_height(told.surface, 0.0, 500.0) == pytest.approx(50.0, abs=0.1)
    assert told.surface.error_m.sd == pytest.approx(3.040, abs=0.0005)  # 5 / 1.645
    assert told.surface.error_m.basis is Basis.DECLARED


def test_an_untold_terrain_error_is_assumed(edit_example: EditExample) -> None:
    path = edit_example("sortie.toml", ground('terrain = ["t.tif"]'))
    terrain(path.parent)
    resolved = resolve(read_sortie(path).sortie)
    assert resolved.inputs["ground"].sd == pytest.approx(4.863, abs=0.0005)  # 8 / 1.645
    assert resolved.inputs["ground"].is_assumed


def test_heights_agl_stand_on_the_terrain_under_the_item(edit_example: EditExample) -> None:
    edit_example("route.csv", ("E,point,690,400,85,launch", "E,point,690,400,85,AGL"))
    path = edit_example("sortie.toml", ground('terrain = "t.tif"'))
    terrain(path.parent)
    heights_m = {item.name: item.height_m for item in resolve(read_sortie(path).sortie).items}
    assert heights_m["E"] == pytest.approx(125.0, abs=0.1)  # 400 m north: 40 m up
    assert heights_m["D"] == 85.0


def test_heights_agl_on_unknown_ground_are_refused(edit_example: EditExample) -> None:
    edit_example("route.csv", ("E,point,690,400,85,launch", "E,point,690,400,85,AGL"))
    change = ground('by_eye = "flat within 5 m", radius = "700 m"')
    sortie = read_sortie(edit_example("sortie.toml", change)).sortie
    with pytest.raises(OutOfModelError, match="E: 85 m AGL, and the ground under it is not known"):
        resolve(sortie)


@pytest.mark.parametrize(
    ("stated_m", "words"),
    [
        # Terrain at 335 m; 335 m are 1,099 ft and 102.1 m are 335 ft, by 0.3048 m a foot.
        (1099.0, "They agree if the elevation is in feet"),
        (102.0, "They agree if the terrain is in feet"),
        # At 55 N 5 W the geoid lies about 55 m above the ellipsoid (EGM96, MEMORY): 50 m too high
        # is a receiver's height, 120 m too low is none.
        (385.0, "Then write 385 m ellipsoid"),
        (215.0, "unit of the terrain.\n"),
    ],
)
def test_what_may_have_put_the_launch_point_off(
    edit_example: EditExample, stated_m: float, words: str
) -> None:
    path = edit_example(
        "sortie.toml",
        ground('terrain = "t.tif"'),
        ('elevation = "35 m AMSL"', f'elevation = "{stated_m:.0f} m AMSL"'),
    )
    terrain(path.parent, 300.0)
    assert words in f"{errors(path)}\n"


@pytest.mark.parametrize(("above_m", "is_asked"), [(19.0, False), (21.0, True), (-21.0, True)])
def test_launch_point_against_terrain(
    edit_example: EditExample,
    above_m: float,
    is_asked: bool,  # noqa: FBT001
) -> None:
    path = edit_example("sortie.toml", ground('terrain = "t.tif"'))
    terrain(path.parent, above_m)
    if is_asked:
        text = errors(path)
        assert f"stated at 35 m AMSL, and t.tif has {35 + above_m:.0f} m there: 21 m apart" in text
        assert "Which is right?" in text
        return
    told = read_sortie(path).sortie.site.ground
    assert isinstance(told, TerrainGround)
    # The launch point is where it is stated to be; the shift is gone 100 m away.
    assert ground_height(told.surface, 0.0, 0.0) == pytest.approx(0.0, abs=1e-9)
    assert ground_height(told.surface, 0.0, 500.0) == pytest.approx(50.0 + above_m, abs=0.1)


def test_a_route_without_items_is_told_whatever_the_ground(edit_example: EditExample) -> None:
    path = edit_example("sortie.toml", ground('terrain = "t.tif"'))
    terrain(path.parent)
    route = path.parent / "route.csv"
    route.write_text(route.read_text("utf-8").splitlines()[0] + "\n", "utf-8")
    assert "route" in errors(path)
