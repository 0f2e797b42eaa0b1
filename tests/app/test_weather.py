"""The weather told anew on a page: by METAR, by eye; what is refused leaves the file as it was."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from homeleg.app.office import Office
from homeleg.desk.base import Base
from homeleg.formats.sortie_file import read_sortie
from homeleg.world.weather import WindSource

WEATHER = "/sortie/tern-point/weather"
NOW = datetime(2026, 6, 9, 16, 50, tzinfo=UTC)


@pytest.fixture
def path(base: Base, office: Office) -> Path:
    office.now = lambda: NOW
    path = base.sorties / "tern-point" / "sortie.toml"
    path.write_text(f"# Ours, and it stays.\n{path.read_text()}")
    return path


def test_a_metar_takes_the_place_of_all_that_it_tells(client: TestClient, path: Path) -> None:
    report = "METAR XXXX 091650Z 25012KT 8000 FEW030 11/08 Q1009="
    answer = client.post(WEATHER, data={"metar": report, "distance": "12,5"})
    assert answer.url.path == "/sortie/tern-point"
    text = path.read_text()
    assert text.startswith("# Ours, and it stays.\n")
    assert "surface_wind" not in text
    weather = read_sortie(path).sortie.weather
    assert weather.surface is not None
    # 12 kt are 12 x 1852 / 3600 m/s.
    assert weather.surface.speed_m_s.value == pytest.approx(6.173, abs=0.001)
    assert weather.temperature_k.value == pytest.approx(273.15 + 11.0, abs=0.5)
    assert weather.visibility_m == 8000.0
    assert "metar_distance" in text
    assert "humidity" not in text


def test_three_taps_take_the_place_of_the_wind(client: TestClient, path: Path) -> None:
    data = {"sign": "leaves and small twigs move all the time", "from": "SW", "gusty": "no"}
    page = client.get(WEATHER).text
    assert all(f'value="{value}"' in page for value in data.values())
    answer = client.post(WEATHER, data=data)
    assert answer.url.path == "/sortie/tern-point"
    surface = read_sortie(path).sortie.weather.surface
    assert surface is not None
    assert surface.source is WindSource.BEAUFORT
    assert surface.seen == NOW


@pytest.mark.parametrize(
    ("told", "why"),
    [
        ({"metar": "fine today"}, "METAR"),
        ({"metar": "METAR XXXX 091650Z 25099ZZ"}, "25099ZZ"),
        ({"metar": "METAR XXXX 011650Z 25012KT 9999 14/08 Q1016"}, "metar"),
        ({"sign": "leaves and small twigs move all the time", "from": "SW"}, "Tap what it does"),
        ({"sign": "hurricane", "from": "SW", "gusty": "no"}, "Tap what it does"),
    ],
)
def test_what_cannot_be_taken_is_said_and_kept(
    client: TestClient, path: Path, told: dict[str, str], why: str
) -> None:
    before = path.read_bytes()
    answer = client.post(WEATHER, data=told)
    assert answer.status_code == 422
    assert why in answer.text
    assert told.get("metar", "") in answer.text
    assert path.read_bytes() == before


def test_a_launch_that_has_passed_is_soon(client: TestClient, path: Path, office: Office) -> None:
    office.now = lambda: NOW.replace(hour=19)
    client.post(WEATHER, data={"metar": "METAR XXXX 091850Z 25012KT 9999 14/08 Q1016"})
    # 19:50 and ten minutes.
    assert read_sortie(path).sortie.launch_time == datetime(2026, 6, 9, 20, 0, tzinfo=UTC)


def test_numbers_lead_back_to_the_verdict(client: TestClient, path: Path) -> None:
    data = {"speed": "4", "gust": "", "from": "230", "height": "2", "pack": "", "then": "verdict"}
    answer = client.post("/sortie/tern-point/numbers", data=data)
    assert answer.url.path == "/sortie/tern-point"
    assert "4 m/s from 230" in path.read_text()
