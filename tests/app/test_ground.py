"""The ground told on a page: level, skyline, terrain files; what is refused changes nothing."""

import math
import shutil
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from homeleg.app.application import application
from homeleg.app.guard import Guard
from homeleg.app.office import Office
from homeleg.app.server import LARGEST_BYTES
from homeleg.desk.base import Base
from homeleg.desk.examples import add_example
from homeleg.formats.sortie_file import read_sortie
from homeleg.world.ground import GroundByEye, TerrainGround
from tests.app.conftest import KEY, OWN, PORT

GROUND = "/sortie/tern-point/ground"
DROP = "/drop/corrie-spur/terrain"


@pytest.fixture
def client(office: Office) -> TestClient:
    """Return a client that was let in, to a program that takes what the real one takes."""
    guarded = Guard(app=application(office), port=PORT, key=KEY, largest_bytes=LARGEST_BYTES)
    client = TestClient(guarded, base_url=OWN)
    client.get("/", params={"key": KEY})
    client.headers["origin"] = OWN
    return client


@pytest.fixture
def path(base: Base) -> Path:
    path = base.sorties / "tern-point" / "sortie.toml"
    path.write_text(f"# Ours, and it stays.\n{path.read_text()}")
    return path


def by_eye(path: Path) -> GroundByEye:
    ground = read_sortie(path).sortie.site.ground
    assert isinstance(ground, GroundByEye)
    return ground


def test_level_as_it_is_told(client: TestClient, path: Path) -> None:
    client.post(GROUND, data={"within": "8", "radius": "1500", "flat_to": ""})
    ground = by_eye(path)
    assert (ground.flat_within_m, ground.radius_m) == (8.0, 1500.0)
    assert path.read_text().startswith("# Ours, and it stays.\n")


def test_in_feet_where_the_face_is(client: TestClient, path: Path) -> None:
    client.post("/face", data={"length": "ft"})
    client.post(GROUND, data={"within": "20", "radius": "4000", "flat_to": ""})
    # A foot is 0.3048 m.
    assert by_eye(path).radius_m == pytest.approx(1219.2)


def test_a_skyline_point_by_angle_or_height_and_again(client: TestClient, path: Path) -> None:
    client.post(GROUND, data={"bearing": "090", "distance": "600", "seen": "5", "as": "angle"})
    client.post(GROUND, data={"bearing": "45", "distance": "400", "seen": "30", "as": "height"})
    north_east, east = by_eye(path).skyline
    assert north_east.height_m.value == 30.0
    # 600 m x tan 5 deg = 52.5 m.
    assert east.height_m.value == pytest.approx(52.49, abs=0.01)
    client.post(GROUND, data={"bearing": "90", "distance": "600", "seen": "6", "as": "angle"})
    assert [round(math.degrees(one.bearing_true_rad)) for one in by_eye(path).skyline] == [45, 90]
    page = client.get(GROUND).text
    assert "090 deg, 600 m: 6 deg up" in page
    # The later one stands first in the file.
    client.post(GROUND, data={"drop": "0"})
    assert [round(math.degrees(one.bearing_true_rad)) for one in by_eye(path).skyline] == [90]


@pytest.mark.parametrize(
    ("told", "why"),
    [
        ({"bearing": "400", "distance": "600", "seen": "5"}, "400"),
        ({"bearing": "90", "distance": "near", "seen": "5"}, "near"),
        ({"bearing": "90", "distance": "600", "seen": ""}, "angle"),
        ({"within": "5", "radius": "", "flat_to": ""}, "radius"),
        ({"within": "5", "radius": "1000", "flat_to": "2000"}, "flat_to"),
        ({"drop": "7"}, "no item 8"),
        ({"drop": "none"}, "no item"),
    ],
)
def test_what_cannot_be_taken_changes_nothing(
    client: TestClient, path: Path, told: dict[str, str], why: str
) -> None:
    before = path.read_bytes()
    answer = client.post(GROUND, data=told)
    assert answer.status_code == 422
    assert why in answer.text
    assert path.read_bytes() == before


@pytest.fixture
def spur(base: Base) -> Path:
    """Return a sortie whose ground is by eye, with a terrain file of its place elsewhere."""
    path = add_example(base, "corrie-spur")
    shutil.move(path.parent / "terrain.tif", base.folder / "away.tif")
    text = path.read_text().replace('terrain = "terrain.tif"', 'by_eye = "flat within 5 m"')
    path.write_text(text.replace('terrain_le90 = "8 m"', 'radius = "3000 m"'))
    return path


def test_a_terrain_file_becomes_the_ground(client: TestClient, spur: Path, base: Base) -> None:
    content = (base.folder / "away.tif").read_bytes()
    answer = client.post(f"{DROP}?file=spur.tif", content=content)
    assert answer.status_code == 200, answer.text
    assert isinstance(read_sortie(spur).sortie.site.ground, TerrainGround)
    assert (spur.parent / "spur.tif").read_bytes() == content
    assert "by_eye" not in spur.read_text()
    # And by eye again, in place of it.
    client.post("/sortie/corrie-spur/ground", data={"within": "5", "radius": "3000"})
    assert by_eye(spur).radius_m == 3000.0


@pytest.mark.parametrize(
    ("name", "content", "why"),
    [
        ("spur.tif", b"no picture at all", "cannot be read as terrain"),
        ("spur.exe", b"MZ", "not the name of a terrain file"),
        ("../../spur.tif", b"II*", "not the name of a terrain file"),
        ("sortie.toml", b"", "not the name of a terrain file"),
        ("taken.tif", b"II*", "another file of that name"),
    ],
)
def test_no_terrain_leaves_nothing_behind(
    client: TestClient, spur: Path, name: str, content: bytes, why: str
) -> None:
    (spur.parent / "taken.tif").write_bytes(b"somebody's own")
    before = {one: one.read_bytes() for one in spur.parent.iterdir()}
    answer = client.post(DROP, params={"file": name}, content=content)
    assert answer.status_code == 422
    assert why in answer.json()["errors"][0]["problem"]
    assert {one: one.read_bytes() for one in spur.parent.iterdir()} == before
