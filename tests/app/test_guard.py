"""Each thing that is refused before a page is made, and what pages are bound to."""

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

KEY = "a-key-of-these-tests"
OWN = "http://127.0.0.1:4321"


def test_the_key_opens_and_leaves_the_address(stranger: TestClient) -> None:
    answer = stranger.get("/", params={"key": KEY}, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert stranger.get("/").status_code == 200


@pytest.mark.parametrize("key", ["", "another", KEY[:-1], KEY + "x", "ä"])
def test_no_other_key_opens(stranger: TestClient, key: str) -> None:
    answer = stranger.get("/", params={"key": key}, follow_redirects=False)
    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers


@pytest.mark.parametrize("path", ["/", "/alive", "/static/page.css", "/sortie/tern-point"])
def test_nothing_without_the_key(stranger: TestClient, path: str) -> None:
    assert stranger.get(path).status_code == 403


def test_the_key_is_taken_at_the_door_alone(stranger: TestClient) -> None:
    assert stranger.get("/alive", params={"key": KEY}).status_code == 403


# A name that somebody else made to lead to 127.0.0.1 (DNS rebinding) is not our own.
@pytest.mark.parametrize("host", ["attacker.example", "127.0.0.1", "127.0.0.1:80", ""])
def test_other_hosts_are_refused(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 403


def test_localhost_is_our_own(client: TestClient) -> None:
    assert client.get("/alive", headers={"host": "localhost:4321"}).status_code == 200


@pytest.mark.parametrize(
    "origin",
    ["http://attacker.example", "null", "https://127.0.0.1:4321", "http://127.0.0.1:4322", ""],
)
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_other_origins_are_refused(client: TestClient, origin: str, method: str) -> None:
    assert client.request(method, "/face", headers={"origin": origin}).status_code == 403


def test_a_form_that_names_no_origin_is_refused(client: TestClient) -> None:
    del client.headers["origin"]
    assert client.post("/face").status_code == 403
    assert client.get("/face").status_code == 200


def test_more_than_a_form_is_refused(client: TestClient) -> None:
    assert client.post("/face", content=b"x" * 262_145).status_code == 413


def test_more_than_told_is_refused(client: TestClient) -> None:
    pieces = (b"x" * 100_000 for _ in range(3))  # goes out in chunks, of no told length
    assert client.post("/face", content=pieces).status_code == 413


def test_a_length_that_is_none_is_refused(client: TestClient) -> None:
    assert client.post("/face", headers={"content-length": "-1"}).status_code == 413


def test_a_dropped_file_has_a_limit_of_its_own(client: TestClient) -> None:
    # There is no such page here: not found is past the guard, too large is not.
    assert client.post("/drop/x", content=b"x" * 1001).status_code == 413
    assert client.post("/drop/x", content=b"x" * 1000).status_code == 404


def test_no_web_socket(client: TestClient) -> None:
    with pytest.raises(WebSocketDisconnect), client.websocket_connect("/"):
        pass


def test_a_page_may_load_and_do_only_what_is_ours(client: TestClient) -> None:
    answer = client.get("/")
    rules = dict(
        rule.strip().split(" ", 1) for rule in answer.headers["content-security-policy"].split(";")
    )
    assert {rules[name] for name in ("default-src", "script-src", "style-src", "connect-src")} == {
        "'self'"
    }
    assert {rules[name] for name in ("object-src", "base-uri", "frame-ancestors")} == {"'none'"}
    assert "unsafe" not in answer.headers["content-security-policy"]
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["cache-control"] == "no-store"


@pytest.mark.parametrize(
    "path",
    [
        "/sortie/..%2f..%2f..%2fetc%2fpasswd",
        "/sortie/../../face.toml",
        "/sortie/%2e%2e",
        "/static/../page.py",
        "/static/%2e%2e/page.py",
        "/static/..%2f..%2fpage.py",
    ],
)
def test_no_path_leads_out(client: TestClient, path: str) -> None:
    assert client.get(path).status_code == 404
