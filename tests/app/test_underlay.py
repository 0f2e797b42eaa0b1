"""The picture and the walked way under the board: taken, tied, told of, taken away."""

import io
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from starlette.testclient import TestClient

from homeleg.desk.base import Base

UNDER = "/sortie/tern-point/underlay"
DROP = "/drop/tern-point/underlay?file="
TRACK = (
    '<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="x"><trk><trkseg>'
    '<trkpt lat="55.0" lon="-5.0"/><trkpt lat="55.001" lon="-5.0"/></trkseg></trk></gpx>'
)


def png(width: int = 400, height: int = 300) -> bytes:
    written = io.BytesIO()
    Image.new("1", (width, height)).save(written, "PNG")
    return written.getvalue()


@pytest.fixture
def folder(base: Base) -> Path:
    return base.sorties / "tern-point"


def tied(client: TestClient, **fields: str) -> Any:
    points = {"by": "points", "x1": "100", "y1": "150", "x2": "300", "y2": "150"}
    return client.post(UNDER, data={**points, **fields})


def test_without_a_picture_there_is_nothing(client: TestClient) -> None:
    told = client.get(UNDER).json()
    assert (told["picture"], told["waits"], told["walked"]) == (None, False, [])
    assert client.get(f"{UNDER}/picture").status_code == 404


def test_a_picture_is_kept_tied_and_taken_away(client: TestClient, folder: Path) -> None:
    assert client.post(f"{DROP}field.png", content=png()).json()["waits"]
    assert client.get(f"{UNDER}/picture").content == png()
    assert client.get(f"{UNDER}/picture").headers["content-type"] == "image/png"
    told = tied(client, place1="launch point", place2="100 m at 090").json()
    # Half a metre a pixel, the first pixel 50 m west and 75 m north.
    assert told["picture"]["corners"][0] == pytest.approx([-50.0, 75.0], abs=0.05)
    assert "0.50 m a pixel, its top towards 000" in told["words"]
    assert "the worst corner is off by" in told["words"]
    gone = client.post(UNDER, data={"by": "nothing"}).json()
    assert gone["picture"] is None
    assert not list(folder.glob("*underlay*"))


def test_places_by_name_and_by_degrees(client: TestClient) -> None:
    client.post(f"{DROP}field.png", content=png())
    # A is at (-200, -190); 55 N 5 W is the launch point itself.
    told = tied(client, place1="55.0000 N, 5.0000 W", place2="a").json()
    first = told["picture"]["corners"][0]
    scale = (200.0**2 + 190.0**2) ** 0.5 / 200.0
    assert (first[0] ** 2 + first[1] ** 2) ** 0.5 == pytest.approx(
        scale * (100.0**2 + 150.0**2) ** 0.5, abs=0.05
    )


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"place1": "launch point", "place2": "somewhere"}, "somewhere"),
        ({"place1": "launch point", "place2": "launch point"}, "0 m apart"),
        ({"place1": "launch point", "place2": "A", "x2": "110"}, "10 pixels apart"),
        ({"place1": "launch point", "place2": "A", "x2": "nan"}, "no place of the picture"),
    ],
)
def test_points_that_tie_nothing(client: TestClient, fields: dict[str, str], words: str) -> None:
    client.post(f"{DROP}field.png", content=png())
    answer = tied(client, **fields)
    assert answer.status_code == 422
    assert words in answer.text
    assert client.get(UNDER).json()["waits"]


def test_a_picture_that_is_none_leaves_the_one_before(client: TestClient) -> None:
    client.post(f"{DROP}field.png", content=png())
    answer = client.post(f"{DROP}field.jpg", content=b"no picture")
    assert "no whole PNG or JPEG" in answer.text
    assert client.get(f"{UNDER}/picture").content == png()


def test_a_world_file_before_its_picture(client: TestClient) -> None:
    answer = client.post(UNDER, data={"by": "world", "world": "1\n0\n0\n-1\n0\n0"})
    assert "there is none yet" in answer.text


def test_a_walked_way_is_seen_and_the_route_stays(client: TestClient, folder: Path) -> None:
    route = (folder / "route.csv").read_bytes()
    told = client.post(f"{DROP}walk.gpx", content=TRACK).json()
    # 0.001 degrees of latitude are 111.3 m at 55 N.
    assert told["walked"][0] == [[0.0, 0.0], pytest.approx([0.0, 111.3], abs=0.1)]
    assert (folder / "route.csv").read_bytes() == route
    assert client.post(UNDER, data={"by": "walk"}).json()["walked"] == []


def test_a_walk_elsewhere_is_refused(client: TestClient) -> None:
    far = TRACK.replace("55.0", "45.0")
    assert "was not walked near" in client.post(f"{DROP}walk.gpx", content=far).text


def test_the_sortie_is_read_as_before(client: TestClient, base: Base) -> None:
    client.post(f"{DROP}field.png", content=png())
    client.post(f"{DROP}walk.gpx", content=TRACK)
    assert "Tern Point" in client.get("/").text
    assert client.get("/sortie/tern-point/route").status_code == 200
    assert [path.name for path in base.sorties.glob("*/*.toml")] == ["sortie.toml"]
