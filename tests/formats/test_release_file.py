"""Release files: they keep their schema, open again, and tell when they were changed."""

import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from homeleg.formats.release_file import (
    _changed,
    _seal,
    read_release,
    release_schema,
    release_text,
)
from homeleg.formats.release_marks import marks_of
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
    return json.dumps(document, indent=1, ensure_ascii=False) + "\n"


@pytest.mark.parametrize(
    ("keys", "to", "said"),
    [
        (("frozen", "route", "items", 3, "height", "cm"), 5500, "would now be"),
        (("frozen", "verdict", "word"), "NO-GO", "would now be"),
        (("frozen", "settings", "link_loss", "after_ds"), 300, "would now be"),
        (("files", 1, "lines", 1), "name = 1\n", "the text of petrel.toml"),
        (("code",), "AAAAAA", "not its own"),
        (("digest",), "0" * 64, "would now be"),
        (("signatures", 0, "name"), "Lee", "written, in the signatures (at signatures[1].name)"),
        (("override",), {"name": "Lee", "reason": "Nobody asked."}, "override"),
        (("given_at",), "2026-06-10T16:55:00Z", "the time at which it was given"),
        (("answer", "headline"), "GO", "the answer of the check (at answer.headline)"),
        (("stage",), "plan, not released", "whether it is a release or a plan (at stage)"),
        (("folder",), "elsewhere", "the folder that it leads to (at folder)"),
        (("seal",), "0" * 64, "its seal, or a mark"),
    ],
)
def test_a_changed_file_is_told_in_words(
    tmp_path: Path, text: str, keys: Any, to: Any, said: str
) -> None:
    words = refusal(tmp_path, changed(text, *keys, to=to))
    assert said in words
    assert "It is no release any more." in words


def every_value(value: Any, keys: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], Any]]:
    """Give each value of a document that holds no other, with the keys that lead to it."""
    inner = value.items() if isinstance(value, dict) else enumerate(value)
    for key, held in inner:
        if isinstance(held, dict | list) and held:
            yield from every_value(held, (*keys, key))
        else:
            yield (*keys, key), held


def as_told(keys: tuple[Any, ...]) -> str:
    """Return the keys of a value as a refusal names them: places count from one."""
    words = "".join(f"[{key + 1}]" if isinstance(key, int) else f".{key}" for key in keys)
    return words.removeprefix(".")


def edited(value: Any) -> Any:
    """Return another value of the same kind."""
    if isinstance(value, bool) or value is None:
        return not value
    if isinstance(value, dict | list):
        return ["x"]
    return f"{value}x" if isinstance(value, str) else value + 1


@pytest.mark.slow
def test_every_value_changed_by_hand_is_named(text: str) -> None:
    document = json.loads(text)
    document["answer"] |= {"rows": [{"slug": "home.charge", "value": {"p50": 0.25}}], "none": []}
    whole = json.loads(release_text_of(document))
    named = 0
    for keys, value in every_value(whole):
        if keys[0] in ("schema", "code", "digest", "marks", "seal"):
            continue  # told in other words, above
        broken = json.loads(json.dumps(whole))
        place = broken
        for key in keys[:-1]:
            place = place[key]
        place[keys[-1]] = edited(value)
        said = _changed(broken)
        if keys[0] == "files" and keys[-1] == "sha256":
            assert "the text of" in said
        else:
            assert f"(at {as_told(keys)}" in said, (keys, said)
        named += 1
        del place[keys[-1]]
        assert " (at " in _changed_or_not_whole(broken), keys
    assert named > 300


def release_text_of(document: dict[str, Any]) -> str:
    """Return a document sealed anew, as who writes a release does."""
    document = {key: document[key] for key in document if key not in ("marks", "seal")}
    document["marks"] = marks_of(document)
    document["seal"] = _seal(document)
    return json.dumps(document)


def _changed_or_not_whole(document: dict[str, Any]) -> str:
    try:
        return _changed(document)
    except (KeyError, TypeError):
        return " (at "  # told as no whole release


def test_the_same_values_in_other_bytes_are_refused(tmp_path: Path, text: str) -> None:
    lines = text.split("\n")
    twice = text.replace(' "stage"', ' "stage": "plan, not released",\n "stage"', 1)
    for other, line in (
        (text.replace("\n", "\r\n"), 1),
        (text.rstrip("\n"), len(lines)),
        (text + "\n", len(lines) + 1),
        ("\ufeff" + text, 1),
        (json.dumps(json.loads(text), indent=2, ensure_ascii=False) + "\n", 2),
        (twice, 4),
    ):
        assert f"line {line} was written anew" in refusal(tmp_path, other)


def test_a_release_without_marks_still_opens_and_tells(tmp_path: Path, text: str) -> None:
    document = {key: value for key, value in json.loads(text).items() if key != "marks"}
    document["seal"] = _seal({key: value for key, value in document.items() if key != "seal"})
    old = json.dumps(document, indent=1, ensure_ascii=False) + "\n"
    path = tmp_path / "old.release.json"
    path.write_text(old, "utf-8")
    assert read_release(path).code == document["code"]
    assert "its seal, or a mark" in refusal(tmp_path, old.replace("Kim", "Lee"))


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("{", "cut off"),
        ("[]", "does not say what it is"),
        ("{}", "does not say what it is"),
        ('{"schema": "homeleg/check/1"}', "says it is homeleg/check/1"),
        ('{"schema": "homeleg/release/2"}', "says it is homeleg/release/2"),
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
