"""The screens as a browser gets them: a base, a broken file, the first start, units and light."""

import html
from pathlib import Path

from starlette.testclient import TestClient

from homeleg.app.office import Office
from homeleg.desk.base import Base, is_base


def shown(client: TestClient, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200
    return html.unescape(answer.text)


def test_the_base_shows_its_sorties_and_aircraft(client: TestClient) -> None:
    page = shown(client, "/base")
    assert "Tern Point" in page
    assert "Petrel" in page
    assert "Check Tern Point" in page


def test_a_broken_file_says_what_is_wrong_and_the_rest_works(
    client: TestClient, base: Base
) -> None:
    (base.aircraft / "heron.toml").write_text('schema = "homeleg/aircraft/1"\nname = 3\n')
    folder = base.sorties / "torn"
    folder.mkdir()
    (folder / "sortie.toml").write_text("[site\n")
    page = shown(client, "/base")
    assert "heron.toml, line 2" in page
    assert "sortie.toml, line 1" in page
    assert "Check Tern Point" in page
    assert "torn cannot be read" in shown(client, "/sortie/torn").lower()


def test_an_example_is_one_click_away(client: TestClient, base: Base) -> None:
    answer = client.post("/examples", data={"example": "mesa-alta"}, follow_redirects=False)
    assert answer.headers["location"] == "/sortie/mesa-alta"
    assert (base.sorties / "mesa-alta" / "sortie.toml").is_file()
    assert "Mesa Alta" in shown(client, "/base")


def test_no_example_outside_the_shipped_ones(client: TestClient, base: Base) -> None:
    answer = client.post("/examples", data={"example": "../../tests"})
    assert answer.status_code == 422
    assert "there is no such example" in answer.text
    assert len(list(base.sorties.iterdir())) == 1


def test_the_first_start_offers_a_folder_and_takes_another(
    client: TestClient, office: Office, tmp_path: Path
) -> None:
    office.base = None
    assert str(office.offered_folder) in shown(client, "/")
    told = tmp_path / "mine"
    client.post("/first", data={"folder": str(told)})
    assert is_base(told)
    assert "Show me an example" in shown(client, "/")
    assert "My aircraft" in shown(client, "/")


def test_the_first_start_refuses_a_folder_of_other_things(
    client: TestClient, office: Office, tmp_path: Path
) -> None:
    office.base = None
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "letter.txt").write_text("dear")
    for told in (str(tmp_path / "full"), "here", ""):
        answer = client.post("/first", data={"folder": told})
        assert answer.status_code == 422
        assert office.base is None
    assert [file.name for file in (tmp_path / "full").iterdir()] == ["letter.txt"]


def test_units_and_light_are_kept_in_the_base(client: TestClient, base: Base) -> None:
    client.post("/face", data={"speed": "kt", "light": "sunlight"})
    assert 'speed = "kt"' in (base.folder / "face.toml").read_text()
    assert 'data-light="sunlight"' in shown(client, "/")
    assert client.post("/face", data={"speed": "furlongs"}).status_code == 422


def test_a_page_that_is_not_there_says_so_in_our_words(client: TestClient) -> None:
    answer = client.get("/nowhere")
    assert answer.status_code == 404
    assert "No such page." in answer.text


def test_no_script_or_style_stands_in_a_page(client: TestClient) -> None:
    for path in ("/", "/base", "/face", "/nowhere"):
        text = client.get(path).text
        assert "<style" not in text
        assert " style=" not in text
        assert text.count("<script") == text.count('<script type="module" src="/static/')
