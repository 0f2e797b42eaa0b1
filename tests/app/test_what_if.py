"""The what-if screen: asked, flown, both set against each other, taken or forgotten.

The verdicts are made by hand (tests/conftest.py): what is tested is what the page does with them.
"""

import html
import re
from dataclasses import replace
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from homeleg.app.office import Office
from homeleg.app.what_ifs import AskedWhatIf
from homeleg.desk.base import Base
from homeleg.desk.check import CheckResult
from homeleg.desk.face import SI
from homeleg.desk.what_if import WhatIf
from homeleg.desk.what_if_inputs import turned_files
from homeleg.desk.what_if_view import what_if_view
from homeleg.formats.sortie_file import read_sortie
from homeleg.verdict.result import Status, Verdict
from tests.conftest import MakeVerdict

PAGE = "/sortie/tern-point/what-if"


@pytest.fixture
def path(base: Base) -> Path:
    path = base.sorties / "tern-point" / "sortie.toml"
    path.write_text(f"# Ours, and it stays.\n{path.read_text()}")
    return path


def answered(path: Path, before: Verdict, after: Verdict) -> WhatIf:
    files = read_sortie(path)
    turned = turned_files(files, path.parent, {"speed": "8", "gust": "11"}, SI)
    result = CheckResult(verdict=before, sortie=files.sortie, sources=files.sources)
    return WhatIf(before=result, after=replace(result, verdict=after), turned=turned)


@pytest.fixture
def flown(office: Office, path: Path, make_verdict: MakeVerdict) -> WhatIf:
    """Return a what-if that was flown: GO as it stands, NO-GO with more wind."""
    made = answered(path, make_verdict(Status.GO), make_verdict(Status.NO_GO))
    office.what_ifs[path] = AskedWhatIf({"speed": "8", "gust": "11"}, said=made)
    return made


def words(page: str) -> str:
    return " ".join(re.sub(r"<[^>]*>", " ", html.unescape(page)).split())


def test_it_asks_beside_what_stands_there(client: TestClient, path: Path) -> None:
    page = client.get(PAGE)
    assert page.status_code == 200
    assert "Wind speed now 5.0" in words(page.text)
    assert path.exists()


def test_a_slip_is_said_at_its_field_and_the_rest_is_kept(client: TestClient, path: Path) -> None:
    before = path.read_bytes()
    refused = client.post(PAGE, data={"speed": "fast", "charged": "80"})
    assert refused.status_code == 422
    assert 'aria-describedby="wrong-speed"' in refused.text
    assert 'name="charged" value="80"' in refused.text
    assert path.read_bytes() == before


def test_nothing_half_done_is_shown_as_a_verdict(
    client: TestClient, office: Office, path: Path
) -> None:
    asked = client.post(PAGE, data={"speed": "8", "gust": "11"})
    assert asked.status_code == 200
    assert 'class="plate' not in asked.text
    assert 'id="flown"' in asked.text
    assert office.what_ifs[path].typed == {"speed": "8", "gust": "11"}


def test_both_side_by_side_and_only_what_changed(
    client: TestClient, path: Path, flown: WhatIf
) -> None:
    before = path.read_bytes()
    page = client.get(PAGE).text
    assert re.findall(r'class="plate ([a-z-]+)"', page) == ["go", "no-go"]
    assert "GO becomes NO-GO" in words(page)
    assert "GO → NO-GO" in words(page)
    assert path.read_bytes() == before
    assert flown.words in words(page)


def test_the_same_answer_changes_nothing(path: Path, make_verdict: MakeVerdict) -> None:
    view = what_if_view(answered(path, make_verdict(), make_verdict()))
    assert view.lines == ()
    assert view.figures == ()
    assert view.unchanged == len(make_verdict().answers)


def test_take_this_writes_and_the_verdict_takes_it_back(
    client: TestClient, office: Office, path: Path, flown: WhatIf
) -> None:
    before = path.read_bytes()
    answer = client.post(f"{PAGE}/take", data={"words": flown.words})
    assert answer.url.path == "/sortie/tern-point"
    assert path.read_text().startswith("# Ours, and it stays.\n")
    assert '"8 m/s from 225"' in path.read_text()
    assert path not in office.what_ifs
    client.post("/sortie/tern-point/undo")
    assert path.read_bytes() == before


def test_forget_it_touches_nothing(
    client: TestClient, office: Office, path: Path, flown: WhatIf
) -> None:
    before = path.read_bytes()
    client.post(f"{PAGE}/forget")
    assert flown.words
    assert path.read_bytes() == before
    assert path not in office.what_ifs


@pytest.mark.usefixtures("flown")
def test_what_was_flown_on_other_files_is_not_taken(client: TestClient, path: Path) -> None:
    path.write_text(path.read_text().replace("35 m AMSL", "36 m AMSL"))
    page = client.get(PAGE).text
    assert "changed since this was flown" in page
    assert 'name="speed" value="8"' in page
    refused = client.post(f"{PAGE}/take", data={"words": "wind 8 m/s from 225, gusts 11 m/s"})
    assert refused.status_code == 422
    assert "8 m/s from 225" not in path.read_text()


@pytest.mark.usefixtures("flown")
def test_only_what_the_page_showed_is_taken(client: TestClient, path: Path) -> None:
    before = path.read_bytes()
    assert client.post(f"{PAGE}/take", data={"words": "another"}).status_code == 422
    assert path.read_bytes() == before
