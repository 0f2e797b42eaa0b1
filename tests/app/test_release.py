"""From a sortie to a release on the screens: signed, refused in words, carried, told when changed.

The verdict is made by hand (tests/conftest.py); its tightest row reads 2.1 m/s.
"""

import csv
import html
import json
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from starlette.testclient import TestClient

from homeleg.app.errands import Errand
from homeleg.app.office import Office
from homeleg.desk import compare as desk_compare
from homeleg.desk import field_release
from homeleg.desk import note as desk_note
from homeleg.desk import release as desk
from homeleg.desk.base import Base
from homeleg.desk.check import CheckResult
from homeleg.desk.logbook import logbook_of
from homeleg.formats.release_file import read_release
from homeleg.readiness.entries import Defect, things
from homeleg.release.signing import ReadBack
from homeleg.verdict.result import Status

PAGE = "/sortie/tern-point/release"
NOW = datetime(2026, 6, 9, 16, 55, tzinfo=UTC)
TWO = {"name-0": "Kim", "role-0": "pilot", "name-1": "Lee", "role-1": "observer"}

Check = Callable[..., CheckResult]


@pytest.fixture(autouse=True)
def before_launch(
    office: Office, hand_made_check: None, errands_here: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    office.now = lambda: NOW
    monkeypatch.setattr(field_release, "with_wind_window", lambda result, _progress: result)


@pytest.fixture
def no_go(monkeypatch: pytest.MonkeyPatch, make_verdict: Any) -> None:
    """Put a NO-GO in place of the verdict made by hand."""
    made: Check = vars(desk)["check_read_sortie"]

    def check(*given: Any, **more: Any) -> CheckResult:
        result = made(*given, **more)
        return replace(result, verdict=replace(make_verdict(Status.NO_GO), to_do=()))

    monkeypatch.setattr(desk, "check_read_sortie", check)


def signed(client: TestClient, **fields: str) -> Any:
    client.get(PAGE)
    return client.post(PAGE, data=fields, follow_redirects=False)


def code_on(page: str) -> str:
    found = re.search(r'class="code">(\w{3}) (\w{3})<', page)
    assert found is not None
    return found[1] + found[2]


def words(page: str) -> str:
    return html.unescape(" ".join(re.sub(r"<[^>]*>", " ", page).split()))


@pytest.fixture
def address(client: TestClient) -> str:
    return str(signed(client, **TWO).headers["location"])


def test_two_people_release_it_into_the_base(client: TestClient, base: Base, address: str) -> None:
    code = address.removeprefix("/release/")
    release = read_release(base.releases / f"{code}.release.json")
    assert release.code == code
    assert [one.name for one in release.signatures] == ["Kim", "Lee"]
    page = client.get(address).text
    assert code_on(page) == code
    said = words(page)
    # The circle of the verdict made by hand, and the return height of the example's aircraft.
    for number in ("≤ 8.4 m/s", "14.0–17.0", "≥ 14.2 m/s", "1450 mAh", "15.3 V", "85 m", "225°"):
        assert number in said
    assert code in client.get("/base").text


def test_one_person_reads_it_once_more(client: TestClient) -> None:
    alone = {"name-0": "Kim", "role-0": ""}
    answer = signed(client, **alone)
    assert answer.status_code == 422
    assert "one person signs and has read nothing back" in words(answer.text)
    code = code_on(answer.text)
    wrong = signed(client, **alone, code=code, figure="5.0")
    assert "the figure is not the one printed for" in words(wrong.text)
    assert "the code is not that of this release" in words(
        signed(client, **alone, code="234567", figure="2.1").text
    )
    spaced = f"{code[:3].lower()} {code[3:]}"
    right = signed(client, **alone, code=spaced, figure="2.1")
    assert right.headers["location"] == f"/release/{code}"
    assert "Signed by Kim (read back)." in words(client.get(f"/release/{code}").text)


def test_the_figure_to_read_back_stands_on_the_page(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    # A row that is not among the three tightest questions of the verdict made by hand.
    def late(code: str, _verdict: Any) -> ReadBack:
        return ReadBack(code, "Landing before sunset", "-7.3 min")

    monkeypatch.setattr(desk, "read_back_of", late)
    said = words(client.get(PAGE).text)
    assert "The figure at: Landing before sunset" in said
    assert "-7.3 min" in said


def test_nobody_or_one_twice_is_refused(client: TestClient, base: Base) -> None:
    assert "nobody has signed" in words(signed(client).text)
    twice = {**TWO, "name-1": "kim"}
    assert "the same person signs twice" in words(signed(client, **twice).text)
    assert "is no name" in words(signed(client, **{**TWO, "name-0": "K"}).text)
    assert list(base.releases.iterdir()) == []


def test_an_open_call_is_in_the_way(client: TestClient, base: Base) -> None:
    client.post("/sortie/tern-point/unplugged")
    page = client.get(PAGE).text
    assert "3 to do before the release" in words(page)
    assert 'href="/sortie/tern-point/calls"' in page
    answer = signed(client, **TWO)
    assert answer.status_code == 422
    assert "4 to do at the field, 3 of them before the release" in words(answer.text)
    assert list(base.releases.iterdir()) == []


@pytest.mark.usefixtures("no_go")
def test_against_a_no_go_only_with_a_reason(client: TestClient, base: Base) -> None:
    assert signed(client, **TWO).status_code == 422
    assert "is no reason" in words(signed(client, **TWO, reason="because").text)
    reason = "Search for a lost walker, wind falling."
    address = signed(client, **TWO, reason=reason).headers["location"]
    page = words(client.get(address).text)
    assert f"NO-GO, flown on the decision of Kim: {reason}" in page
    assert "does not cover the route aboard" in page


def test_a_go_has_nothing_to_override(client: TestClient) -> None:
    assert 'name="reason"' not in client.get(PAGE).text
    answer = signed(client, **TWO, reason="No reason at all here.")
    assert "there is nothing to override" in words(answer.text)


def test_a_wind_measured_meanwhile_is_flown_anew(client: TestClient) -> None:
    before = code_on(client.get(PAGE).text)
    numbers = {"speed": "6", "gust": "8", "from": "230", "height": "2", "pack": "19"}
    client.post("/sortie/tern-point/numbers", data=numbers)
    assert code_on(client.get(PAGE).text) != before


def test_the_phone_pages_are_handed_out_to_be_kept(client: TestClient, address: str) -> None:
    for name in ("card.html", "calls.html"):
        answer = client.get(f"{address}/pages/{name}")
        assert answer.headers["content-type"] == "text/html; charset=utf-8"
        assert answer.headers["content-disposition"].startswith("attachment")
        assert answer.content.startswith(b"<!")


def test_the_paper_is_made_of_what_was_signed(
    client: TestClient, address: str, base: Base, monkeypatch: pytest.MonkeyPatch
) -> None:
    pages = base.releases / address.removeprefix("/release/")
    for paper in ("A4", "Letter"):
        answer = client.get(f"{address}/pages/{paper}.pdf")
        assert answer.headers["content-type"] == "application/pdf"
        assert answer.content == (pages / f"{paper}.pdf").read_bytes()
        assert answer.content.startswith(b"%PDF-")
    assert 'action="' + address + '/paper"' not in client.get(address).text
    # Where it has gone it is flown again, when it is asked for, and not before.
    flown = []

    def check(files: Any, *, members: int, progress: Any) -> CheckResult:
        assert progress
        flown.append(members)
        result: CheckResult = vars(desk)["check_read_sortie"](files, members=members)
        return result

    monkeypatch.setattr(field_release, "check_read_sortie", check)
    for page in pages.glob("*.pdf"):
        page.unlink()
    assert client.get(f"{address}/pages/A4.pdf").status_code == 404
    assert flown == []
    assert 'action="' + address + '/paper"' in client.get(address).text
    client.post(f"{address}/paper")
    assert flown == [2048]
    assert (pages / "Letter.pdf").is_file()


def test_nothing_else_is_handed_out(client: TestClient, address: str, base: Base) -> None:
    (base.folder / "secret.html").write_text("secret")
    pages = base.releases / address.removeprefix("/release/")
    (pages / "card.html").unlink()
    (pages / "card.html").symlink_to("/etc/hostname")
    for name in ("card.html", "A3.pdf", "A4", "secret.html", "..%2F..%2Fsecret.html"):
        assert client.get(f"{address}/pages/{name}").status_code == 404
    assert client.get(f"{address}/export/exe").status_code == 404
    for code in ("AAAAAA", "%2E%2E", "..%2Fsorties"):
        assert client.get(f"/release/{code}").status_code == 404


def test_the_route_goes_out_in_four_formats(client: TestClient, address: str, base: Base) -> None:
    route = (base.sorties / "tern-point" / "route.csv").read_text("utf-8")
    rows = csv.DictReader(line for line in route.splitlines() if not line.startswith("#"))
    names = [row["name"] for row in rows]
    assert len(names) > 3
    for kind in ("kml", "gpx", "geojson", "csv"):
        answer = client.get(f"{address}/export/{kind}")
        assert answer.status_code == 200
        assert f".{kind}" in answer.headers["content-disposition"]
        assert all(name in answer.text for name in names)


def test_a_changed_release_says_so(client: TestClient, address: str, base: Base) -> None:
    path = base.releases / f"{address.removeprefix('/release/')}.release.json"
    path.write_text(path.read_text("utf-8").replace('"Lee"', '"Lou"'), "utf-8")
    assert "This is no release any more." in words(client.get(address).text)
    assert "is no release any more" in words(client.get("/base").text)
    assert client.get(f"{address}/export/kml").status_code == 422


def test_a_release_under_another_name_is_none(client: TestClient, address: str, base: Base) -> None:
    path = base.releases / f"{address.removeprefix('/release/')}.release.json"
    path.rename(base.releases / "234567.release.json")
    assert "its name says 234567" in words(client.get("/release/234567").text)


def test_it_expires(client: TestClient, address: str, office: Office) -> None:
    office.now = lambda: NOW + timedelta(hours=3)
    page = client.get(address).text
    assert "Expired at" in words(page)
    assert 'href="/sortie/tern-point/numbers?then=release"' in page


def fetched(client: TestClient, address: str, **given: str) -> Any:
    return client.post(address.replace("/release/", "/compare/"), data=given)


def as_fetched(kind: str, text: str) -> str:
    """Return an exported route as another program writes it: the same values, other bytes."""
    return text.replace("\n", "\n\n", 1) if kind == "csv" else text.rstrip() + "\n \n"


def test_the_route_that_comes_back_is_the_same(
    client: TestClient, address: str, base: Base
) -> None:
    before = words(client.get(address).text)
    assert "Released, not to be launched yet." in before
    assert "The route aboard has not been compared. No launch before SAME." in before
    assert f'class="act" href="{address.replace("/release/", "/compare/")}"' in (
        client.get(address).text
    )
    assert client.get(address.replace("/release/", "/compare/")).status_code == 200
    release = next(base.releases.glob("*.release.json")).read_bytes()
    for kind in ("kml", "gpx", "geojson", "csv"):
        text = as_fetched(kind, client.get(f"{address}/export/{kind}").text)
        for name in (f"C:\\field\\fetched.{kind}", ""):
            answer = fetched(client, address, name=name, text=text)
            assert answer.status_code == 200
            assert '<span class="plate wide go"><span>SAME</span>' in answer.text, kind
            assert "Write it on the tape" in answer.text
    after = words(client.get(address).text)
    assert "Ready to launch until" in after
    assert "Route aboard SAME, from the file fetched back (typed.csv), 16:55Z." in after
    assert next(base.releases.glob("*.release.json")).read_bytes() == release
    client.post(f"{address}/unplugged")
    assert "What is aboard is not known, since 16:55Z: the pack was unplugged." in words(
        client.get(address).text
    )


def test_the_file_that_was_exported_proves_nothing(client: TestClient, address: str) -> None:
    for kind in ("kml", "gpx", "geojson", "csv"):
        text = client.get(f"{address}/export/{kind}").text
        answer = fetched(client, address, name=f"x.{kind}", text=text.replace("\n", "\r\n"))
        assert '<span class="plate wide marginal"><span>CANNOT TELL</span>' in answer.text
        assert "it was not fetched from the aircraft" in words(answer.text)
    assert "has not been compared" in words(client.get(address).text)


def aloud(client: TestClient, address: str, who: str = "Kim", **unlike: str) -> Any:
    place = address.replace("/release/", "/compare/") + "/aloud"
    lines = client.get(place).text.count("<fieldset")
    said = {f"line-{n}": "same" for n in range(lines)} | {"who": who} | unlike
    return client.post(place, data=said)


def test_reading_aloud_stands_where_nothing_was_fetched(client: TestClient, address: str) -> None:
    page = client.get(address.replace("/release/", "/compare/") + "/aloud").text
    # Launch point, ten items, and the settings of the lost link.
    assert page.count("<fieldset") == 12
    assert "return height 85 m above launch" in words(page)
    unread = aloud(client, address, **{"line-3": ""})
    assert unread.status_code == 422
    assert "11 of 12 lines were read" in words(unread.text)
    assert "nobody is named" in words(aloud(client, address, who="").text)
    assert "Ready to launch" in words(aloud(client, address).text)
    assert "Route aboard SAME, read aloud by Kim, 16:55Z." in words(client.get(address).text)
    unlike = words(aloud(client, address, **{"line-5": "not"}).text)
    assert "Released, not to be launched yet." in unlike
    assert "The route aboard is NOT THE SAME, read aloud by Kim" in unlike
    assert "Not so aboard: 5 D, point:" in unlike
    assert "Ready to launch" in words(aloud(client, address).text)


def test_reading_aloud_does_not_settle_a_difference(
    client: TestClient, address: str, monkeypatch: pytest.MonkeyPatch, make_verdict: Any
) -> None:
    def check(files: Any, **_: Any) -> CheckResult:
        return CheckResult(verdict=make_verdict(Status.NO_GO), sortie=files.sortie, sources=())

    monkeypatch.setattr(desk_compare, "check_read_sortie", check)
    text = client.get(f"{address}/export/csv").text
    fetched(client, address, text=text.replace(",85", ",55", 1))
    page = words(client.get(address).text)
    assert "The route aboard is NOT THE SAME, from the file fetched back (typed.csv)" in page
    assert "Item 5 (D): 30 m lower than released" in page
    refused = aloud(client, address)
    assert refused.status_code == 422
    assert "reading aloud does not settle it" in words(refused.text)
    client.post(f"{address}/unplugged")
    assert "NOT THE SAME" in words(client.get(address).text)
    fetched(client, address, text=as_fetched("csv", text))
    assert "Ready to launch" in words(client.get(address).text)


def test_what_differs_is_told_with_what_it_would_do(
    client: TestClient, address: str, monkeypatch: pytest.MonkeyPatch, make_verdict: Any
) -> None:
    def check(files: Any, **_: Any) -> CheckResult:
        return CheckResult(verdict=make_verdict(Status.NO_GO), sortie=files.sortie, sources=())

    monkeypatch.setattr(desk_compare, "check_read_sortie", check)
    text = client.get(f"{address}/export/csv").text
    assert ",85" in text
    answer = fetched(client, address, text=text.replace(",85", ",55", 1))
    assert '<span class="plate wide no-go"><span>NOT THE SAME</span>' in answer.text
    said = words(answer.text)
    assert "1 of 10 items differs. Do not launch." in said
    assert (
        "Item 5 (D), height released 85 m above launch aboard 55 m above launch The aircraft would "
        "pass 30 m lower than you released."
    ) in said
    assert "Flown in computation as it was found NO-GO , released as GO" in said


def test_what_is_no_route_is_refused_and_kept(client: TestClient, address: str) -> None:
    for given, said in (
        ({"text": " "}, "nothing was given"),
        ({"text": "hello & <b>"}, "hello"),
        ({"name": "../../etc/route.txt", "text": "x"}, "is no kind of file"),
        ({"name": "a.kml", "text": "<kml"}, "a.kml"),
        ({"text": "a", "heights": "above me"}, "typed.csv"),
    ):
        answer = fetched(client, address, **given)
        assert answer.status_code == 422
        assert "Not compared." in words(answer.text)
        assert said in words(answer.text)
        assert "<b>" not in answer.text.split("<textarea")[1].split("</textarea>")[0]
    assert fetched(client, address, other="AAAAAA").status_code == 404
    assert client.get("/compare/AAAAAA").status_code == 404


def test_another_release_is_compared(client: TestClient, address: str, office: Office) -> None:
    numbers = {"speed": "6", "gust": "8", "from": "230", "height": "2", "pack": "19"}
    client.post("/sortie/tern-point/numbers", data=numbers)
    second = str(signed(client, **TWO).headers["location"])
    assert second != address
    code = second.removeprefix("/release/")
    assert f'value="{code}"' in client.get(address.replace("/release/", "/compare/")).text
    answer = fetched(client, address, other=code).text
    assert ">SAME<" in answer
    assert "says nothing of the route aboard" in words(answer)
    assert "has not been compared" in words(client.get(address).text)


def noted(client: TestClient, address: str, minutes: str, charge: str, **more: str) -> Any:
    given = {"minutes": minutes, "charge": charge, "wind": "", **more}
    return client.post(f"{address}/after", data=given)


def test_two_numbers_teach_and_are_taken_back(
    client: TestClient, address: str, base: Base, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(desk_note, "_MEMBERS", 128)
    file = base.aircraft / "petrel.toml"
    if not file.exists():
        file = next(base.folder.rglob("petrel.toml"))
    before = file.read_bytes()
    answer = noted(client, address, "4:36", "520")
    assert answer.status_code == 200
    said = words(answer.text)
    # 4:36 was typed; the bars are one figure's before and after.
    assert "Down in 4:36, " in said
    assert "than the middle flight." in said
    assert "Power in level cruise" in said
    assert "of the doubt gone" in said
    assert "Reach: step 3, what the margins allow, as before." in said
    assert "nothing that the logbook knows of" in said
    assert "No comparison found the route aboard" in said
    assert "Again, next pack" in said
    assert file.read_bytes() != before
    again = noted(client, address, "4.6", "520")
    assert "has a note on release" in words(again.text)
    client.post(f"{address}/after/undo")
    assert file.read_bytes() == before
    assert "How long, and how much went back in?" in words(client.get(f"{address}/after").text)


def test_numbers_that_cannot_be_are_refused_in_place(
    client: TestClient, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(desk_note, "_MEMBERS", 128)
    for minutes, charge, said in (
        ("", "520", "Minutes flown"),
        ("4.6", "<many>", "mAh put back"),
        ("700", "520", "700 cannot be"),
        ("4.6", "5", "5 cannot be"),
        ("4.6", "11500", "more than the pack holds"),
        ("nan", "520", "Minutes flown"),
    ):
        answer = noted(client, address, minutes, charge)
        assert answer.status_code == 422, (minutes, charge)
        assert said in words(answer.text)
        assert "<many>" not in answer.text
        assert 'name="accept"' not in answer.text
    windy = noted(client, address, "4.6", "520", wind="a breeze")
    assert windy.status_code == 422
    assert 'value="a breeze"' in windy.text
    far = noted(client, address, "4.6", "750")
    assert "than foretold" in words(far.text)
    assert 'name="accept"' in far.text
    assert noted(client, address, "4.6", "750", accept="yes").status_code == 200


def test_again_with_the_next_pack(client: TestClient, address: str, base: Base) -> None:
    answer = client.post(f"{address}/again", follow_redirects=False)
    assert answer.headers["location"] == "/sortie/tern-point/numbers?then=calls"
    text = (base.sorties / "tern-point" / "sortie.toml").read_text("utf-8")
    assert "health" not in text
    assert "route_aboard" not in text
    route = base.sorties / "tern-point" / "route.csv"
    route.write_text(route.read_text("utf-8").replace("60", "61"), "utf-8")
    refused = client.post(f"{address}/again")
    assert refused.status_code == 422
    assert "the route has changed since release" in words(refused.text)


def test_a_release_made_twice_is_refused(client: TestClient, address: str) -> None:
    answer = signed(client, **TWO)
    assert answer.status_code == 422
    assert "such a file already" in words(answer.text)
    assert address


def test_no_inline_style_or_handler(client: TestClient, address: str) -> None:
    for place in (PAGE, address, f"{address}/after", "/sortie/tern-point/numbers"):
        page = client.get(place).text
        assert not re.search(r"<[^>]* (style|on\w+)=", page)
        assert "<style" not in page


def test_the_release_carries_what_was_typed(base: Base, address: str) -> None:
    path = base.releases / f"{address.removeprefix('/release/')}.release.json"
    assert json.loads(path.read_text("utf-8"))["folder"] == "../sorties/tern-point"


def test_what_is_typed_stays_where_it_is_flown_again(client: TestClient, office: Office) -> None:
    code = code_on(client.get(PAGE).text)
    office.candidates.clear()  # as after the program was started again
    answer = client.post(PAGE, data=TWO, follow_redirects=False)
    assert answer.headers["location"] == PAGE
    page = client.get(PAGE).text
    assert code_on(page) == code
    assert 'value="Kim"' in page
    assert "It was flown again since you typed" in words(page)
    assert client.post(PAGE, data=TWO, follow_redirects=False).headers["location"] == (
        f"/release/{code}"
    )
    assert "It was flown again" not in words(client.get(PAGE).text)


def test_the_flights_to_sign_show_how_far_they_are(
    client: TestClient, office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun: list[str] = []

    def begin(key: str, *_: Any) -> Errand:
        begun.append(key)
        office.errands._begun[key] = Errand(what="flying", share=0.4)
        return office.errands._begun[key]

    monkeypatch.setattr(type(office.errands), "begin", staticmethod(begin))
    for _ in range(2):
        page = client.get(PAGE).text
        assert "flying, 40 %" in words(page)
        assert 'action="/sortie/tern-point/release/stop"' in page
    assert begun == ["tern-point"]
    assert client.get(f"{PAGE}/progress").json() == {"done": False, "what": "flying", "share": 0.4}
    stopped = client.post(f"{PAGE}/stop", follow_redirects=False)
    assert stopped.headers["location"] == "/sortie/tern-point"
    assert client.get(f"{PAGE}/progress").json() == {"done": True}
    assert client.get("/sortie/none/release/progress").status_code == 404


def test_a_defect_goes_into_the_logbook(client: TestClient, address: str, base: Base) -> None:
    page = words(client.get(f"{address}/after").text)
    assert "Defects None open." in page
    for typed in ("", "x", "y" * 301):
        refused = client.post(f"{address}/after/defect", data={"defect": typed})
        assert refused.status_code == 422
        assert "Write what was found" in words(refused.text)
    book = logbook_of(base)  # made when it was released
    assert book is not None
    assert things(book.held, Defect) == []
    found = {"defect": "Left <aileron> horn is loose."}
    client.post(f"{address}/after/defect", data=found)
    page = words(client.get(f"{address}/after").text)
    assert "Left <aileron> horn is loose. (" in page
    assert "nothing that the logbook knows of" in page
    twice = client.post(f"{address}/after/defect", data=found)
    assert "this stands there already" in words(twice.text)
