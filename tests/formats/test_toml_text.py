"""Files that are no good, and the lines of keys."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.formats.toml_text import key_lines, parse_toml, read_text_file
from homeleg.foundation.errors import InputFileError

BAD_FILES = [
    (b"", "is empty"),
    (b" \n\t\n", "is empty"),
    (b"name = 1\x00", "is not a text file"),
    ("name = 1".encode("utf-16"), "is written in UTF-16"),
    (b"a = 1\nname = \xe9", "line 2: is not UTF-8"),
    (b'[a]\nname = "cut off', "line 2: is not TOML: Unterminated string"),
    (b'a = 1\nname = """Petrel\nb = 2\n', "line 2: is not TOML: Unterminated string"),
    (b"a = '''x'''\nname = '''Petrel\nb = 2\n", "line 2: is not TOML"),
    (b'a = """x"""\nb = 1\nname = "cut off', "line 3: is not TOML: Unterminated string"),
    (b"a = 1\nb = [1,\n 2", "line 3: is not TOML: Unclosed array"),
    (b"a = 1\nb = = 2\n", "line 2: is not TOML"),
    (b"a = 1\na = 2\n", "line 2: holds a a second time, after line 1"),
    (b"[t]\nb = 1\n[u]\nb = 1\nb = 2\n", "line 5: holds b a second time, after line 4"),
    (b"[t]\nb = 1\n[u]\n[t]\n", "line 4: holds [t] a second time, after line 1"),
    (b"a = { b = 1, b = 2 }\n", 'line 1: holds "b" twice'),
    (b"#" * 1_000_001, "larger than 1 MB"),
    (b"a = " + b"[" * 9_000, "nested too deeply"),
    (b"a." * 6_000 + b"b = 1", "letters in one line"),
    (b"[a]\nb = 2\nseed = " + b"1" * 5_000, "line 3, [a] seed: holds a number of 5000 digits"),
]


@pytest.mark.parametrize(("content", "said"), BAD_FILES, ids=[said for _, said in BAD_FILES])
def test_bad_files_give_one_clear_problem(tmp_path: Path, content: bytes, said: str) -> None:
    path = tmp_path / "bad.toml"
    path.write_bytes(content)
    with pytest.raises(InputFileError) as caught:
        parse_toml(read_text_file(path))
    assert len(caught.value.problems) == 1
    assert said in str(caught.value)


def test_a_missing_file_and_a_folder(tmp_path: Path) -> None:
    for path, said in ((tmp_path / "none.toml", "cannot be opened"), (tmp_path, "is a folder")):
        with pytest.raises(InputFileError, match=said):
            read_text_file(path)


def test_a_byte_order_mark_does_no_harm(tmp_path: Path) -> None:
    path = tmp_path / "mark.toml"
    path.write_bytes(b"\xef\xbb\xbfa = 1\n")
    assert parse_toml(read_text_file(path)) == {"a": 1}


TEXT = """name = "x"
[wing]
span = "1 m"   # here
[[stations]]
mass = "1 kg"
[[stations]]
mass = "2 kg"
[stations.place]
arm = 1
[limits]
[[limits.changed]]
row = "a"
[[limits.changed]]
"row" = "b"
a.b = 1
"""


def test_lines_of_keys() -> None:
    lines = key_lines(TEXT)
    assert lines["name",] == 1
    assert lines["wing",] == 2
    assert lines["wing", "span"] == 3
    assert lines["stations", 0, "mass"] == 5
    assert lines["stations", 1, "mass"] == 7
    assert lines["stations", 1, "place", "arm"] == 9
    assert lines["limits", "changed", 0, "row"] == 12
    assert lines["limits", "changed", 1, "row"] == 14
    assert lines["limits", "changed", 1, "a", "b"] == 15


@given(st.text(max_size=200))
def test_any_text_has_lines(text: str) -> None:
    count = len(text.splitlines())
    assert all(1 <= line <= count for line in key_lines(text).values())
