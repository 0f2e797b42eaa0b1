"""TOML files as text: read with care, and with the line on which each key stands."""

import hashlib
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from homeleg.formats.findings import Findings, KeyPath
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.units import shown

__all__ = [
    "LARGEST_BYTES",
    "TextFile",
    "decoded_text",
    "file_bytes",
    "key_lines",
    "parse_toml",
    "read_text_file",
]

LARGEST_BYTES = 1_000_000
_LONGEST_LINE = 10_000
_TRIPLE_QUOTES = (3 * '"', 3 * "'")
_NOTHING_LOADED = "Nothing of this file was loaded."


@dataclass(frozen=True, slots=True)
class TextFile:
    """A file's name, its text, and the SHA-256 of its bytes in hexadecimal."""

    name: str
    text: str
    sha256: str


def read_text_file(path: Path, *, longest_line: int = _LONGEST_LINE) -> TextFile:
    """Return a UTF-8 text file; raises InputFileError when it is anything else."""
    name = path.name or str(path)  # a folder such as "." has no name
    content = file_bytes(path, LARGEST_BYTES)
    text = decoded_text(name, content, longest_line)
    return TextFile(name, text, hashlib.sha256(content).hexdigest())


def file_bytes(path: Path, largest: int) -> bytes:
    """Return what a plain file holds; raises InputFileError where that is more than `largest`."""
    name = path.name or str(path)
    try:
        if path.exists() and not path.is_file():
            kind = "is a folder" if path.is_dir() else "is not a plain file"
            raise _refusal(name, kind, f"Name a file. Looked at {path.resolve()}.")
        with path.open("rb") as stream:
            content = stream.read(largest + 1)
    except OSError as error:
        reason = error.strerror or "it cannot be read"
        raise _refusal(name, f"cannot be opened: {reason.lower()}", f"Looked at {path}.") from error
    if len(content) > largest:
        problem = f"is larger than {largest / 1e6:.0f} MB"
        raise _refusal(name, problem, "Is this the right file?")
    return content


def decoded_text(name: str, content: bytes, longest_line: int) -> str:
    """Return the text of bytes in UTF-8; raises InputFileError when they are anything else."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise _refusal(name, "is written in UTF-16", "Save it as UTF-8.")
    if content.startswith(b"PK\x03\x04"):
        remedy = "Unpack it; the name of a KMZ file ends in .kmz."
        raise _refusal(name, "is a ZIP archive", remedy)
    if b"\x00" in content:
        raise _refusal(name, "is not a text file", "Choose the text file itself.")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        bad_line = content[: error.start].count(b"\n") + 1
        raise _refusal(
            f"{name}, line {bad_line}", "is not UTF-8 text", "Save it as UTF-8."
        ) from error
    if not text.strip():
        raise _refusal(name, "is empty", "Choose the file that holds the data.")
    for number, line in enumerate(text.splitlines(), start=1):
        if len(line) > longest_line:
            problem = f"holds {len(line)} letters in one line (at most {longest_line})"
            raise _refusal(f"{name}, line {number}", problem, "Is this the right file?")
    return text


def parse_toml(file: TextFile) -> dict[str, Any]:
    """Return the tables of a TOML file; raises InputFileError with the line when it is not TOML."""
    try:
        return tomllib.loads(file.text)
    except RecursionError as error:
        raise _refusal(file.name, "is nested too deeply", _NOTHING_LOADED) from error
    except tomllib.TOMLDecodeError as error:
        # What is not closed is told "at end of document", which is a line as well.
        told = re.search(r"at line (\d+)", str(error))
        line = told[1] if told else _line_left_open(file.text)
        where = f"{file.name}, line {line}"
        if twin := _written_twice(file.text, int(line), str(error)):
            raise _refusal(where, twin, f"Keep one of them. {_NOTHING_LOADED}") from error
        problem = re.sub(r"\s*\(at .*\)", "", str(error))
        raise _refusal(where, f"is not TOML: {problem}", _NOTHING_LOADED) from error
    except ValueError as error:
        raise _too_many_digits(file) from error


def _written_twice(text: str, line: int, told: str) -> str:
    """Return in words which key or table is written a second time, "" where none is."""
    if inline := re.match(r"Duplicate inline table key '(.*)'", told):
        return f"holds {shown(inline[1])} twice"
    if not told.startswith(("Cannot overwrite a value", "Cannot declare")):
        return ""
    to_there = text.splitlines()[:line]
    lines = key_lines("\n".join(to_there))
    written = _HEADER.match(to_there[-1]) or _KEY.match(to_there[-1])
    if written is None:
        return ""
    name = written[2] if written.re is _HEADER else written[1]
    header = next((one for one in map(_HEADER.match, reversed(to_there)) if one), None)
    table = () if header is None else tuple(_parts(header[2]))
    path = table if written.re is _HEADER else (*table, *_parts(name))
    words = f"[{name.strip()}]" if written.re is _HEADER else name
    first = lines.get(path, line)
    return f"holds {words} a second time" + (f", after line {first}" if first < line else "")


def _line_left_open(text: str) -> int:
    """Return the line of the last triple quotes where one of them is not closed, else the last."""
    left_open = [text.rfind(quotes) for quotes in _TRIPLE_QUOTES if text.count(quotes) % 2]
    return text.count("\n", 0, max(left_open)) + 1 if left_open else len(text.splitlines())


def _too_many_digits(file: TextFile) -> InputFileError:
    """Return the refusal of a number that is too long to be read, with its key."""
    digits = max(re.findall(r"\d[\d_]*", file.text), key=len)
    line = file.text[: file.text.index(digits)].count("\n") + 1
    lines = key_lines(file.text)
    before = [path for path, at in lines.items() if at <= line]
    key = max(before, key=lambda path: lines[path], default=())
    where = Findings(file.name, {key: line}).top
    for part in key:
        where = where.at(part)
    problem = f"holds a number of {len(digits)} digits"
    return _refusal(where.words, problem, _NOTHING_LOADED)


_HEADER = re.compile(r"\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(r"""\s*((?:[A-Za-z0-9_.\-]|"[^"]*"|'[^']*')+)\s*=""")


def key_lines(text: str) -> dict[KeyPath, int]:
    """Return the line (from 1) of each table header and key that starts a line.

    Good enough to point at a line: a key inside an inline table has the line of its table.
    """
    lines: dict[KeyPath, int] = {}
    counts: dict[KeyPath, int] = {}
    table: KeyPath = ()
    for number, line in enumerate(text.splitlines(), start=1):
        if header := _HEADER.match(line):
            table = _table_path(header.group(2), counts, is_list=header.group(1) == "[[")
            lines.setdefault(table, number)
        elif key := _KEY.match(line):
            lines.setdefault((*table, *_parts(key.group(1))), number)
    return lines


def _table_path(name: str, counts: dict[KeyPath, int], *, is_list: bool) -> KeyPath:
    """Return the path of a table header; an item of a list of tables gets its number."""
    path: KeyPath = ()
    for part in _parts(name):
        path = (*path, part)
        if path in counts and path[-len(_parts(name)) :] != tuple(_parts(name)):
            path = (*path, counts[path] - 1)
    if is_list:
        counts[path] = counts.get(path, 0) + 1
        path = (*path, counts[path] - 1)
    return path


def _parts(dotted: str) -> list[str]:
    return [part.strip().strip("\"'") for part in dotted.split(".")]


def _refusal(where: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
