"""Release files: they keep their schema, open again, and tell when they were changed."""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from homeleg.formats.release_file import read_release, release_schema, release_text
from homeleg.foundation.errors import InputFileError
from homeleg.release.release import Release


def refusal(tmp_path: Path, text: str) -> str:
    path = tmp_path / "x.release.json"
    path.write_text(text, "utf-8")
    with pytest.raises(InputFileError) as caught:
        read_release(path)
    return str(caught.value)


@pytest.fixture
def text(make_release: Callable[..., Release]) -> str:
    return release_text(make_release())


def test_it_opens_as_it_was_written(tmp_path: Path, make_release: Any) -> None:
    release = make_release()
    path = tmp_path / "x.release.json"
    path.write_text(release_text(release), "utf-8")
    assert read_release(path) == release
    assert release_text(read_release(path)) == release_text(release)


def test_it_keeps_its_schema(text: str) -> None:
    validator = jsonschema.Draft202012Validator(release_schema())
    validator.check_schema(release_schema())
    document = json.loads(text)
    validator.validate(document)
    document["frozen"]["route"]["items"][0]["latitude_1e7_deg"] = 55.0000001
    assert not validator.is_valid(document)


def changed(text: str, *keys: Any, to: Any) -> str:
    document = json.loads(text)
    place = document
    for key in keys[:-1]:
        place = place[key]
    assert place[keys[-1]] != to
    place[keys[-1]] = to
    return json.dumps(document, indent=1)


@pytest.mark.parametrize(
    ("keys", "to", "said"),
    [
        (("frozen", "route", "items", 3, "height", "cm"), 5500, "would now be"),
        (("frozen", "verdict", "word"), "NO-GO", "would now be"),
        (("frozen", "settings", "link_loss", "after_ds"), 300, "would now be"),
        (("files", 1, "lines", 1), "name = 1\n", "the text of petrel.toml"),
        (("code",), "AAAAAA", "not its own"),
        (("digest",), "0" * 64, "would now be"),
        (("signatures", 0, "name"), "Lee", "signatures, times or the answer"),
        (("override",), {"name": "Lee", "reason": "Nobody asked."}, "signatures"),
        (("given_at",), "2026-06-10T16:55:00Z", "signatures, times"),
        (("answer", "headline"), "GO", "signatures, times or the answer"),
    ],
)
def test_a_changed_file_is_told_in_words(
    tmp_path: Path, text: str, keys: Any, to: Any, said: str
) -> None:
    words = refusal(tmp_path, changed(text, *keys, to=to))
    assert said in words
    assert "It is no release any more." in words


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("{", "cut off"),
        ("[]", "does not say what it is"),
        ("{}", "does not say what it is"),
        ('{"schema": "homeleg/check/1"}', "says it is homeleg/check/1"),
        ('{"schema": "homeleg/release/1"}', "is not a whole release"),
        ('{"schema": "homeleg/release/1", "frozen": 1.5}', "is not a whole release"),
        ("name,kind\n", "is not JSON"),
    ],
)
def test_what_is_no_release_is_refused(tmp_path: Path, content: str, said: str) -> None:
    assert said in refusal(tmp_path, content)


def test_every_cut_is_noticed(tmp_path: Path, text: str) -> None:
    for length in range(1, len(text) - 2, len(text) // 40):
        assert "release" in refusal(tmp_path, text[:length])


@pytest.mark.parametrize(
    "keys", [("frozen", "route", "items"), ("frozen", "valid_until"), ("answer", "headline")]
)
def test_a_forged_file_that_lacks_something_is_no_traceback(
    tmp_path: Path, text: str, keys: tuple[str, ...], make_release: Callable[..., Release]
) -> None:
    release = make_release()
    broken = json.loads(json.dumps({"frozen": release.frozen, "answer": release.answer}))
    place = broken
    for key in keys[:-1]:
        place = place[key]
    del place[keys[-1]]
    forged = release_text(replace(release, frozen=broken["frozen"], answer=broken["answer"]))
    assert "is not a whole release" in refusal(tmp_path, forged)


def test_deep_nesting_is_no_traceback(tmp_path: Path) -> None:
    deep = '{"schema": "homeleg/release/1", "frozen": ' + "[\n" * 900 + "]\n" * 900 + "}"
    assert "is not a whole release" in refusal(tmp_path, deep)
