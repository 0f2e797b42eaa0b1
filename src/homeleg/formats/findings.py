"""The problems of one file, gathered while it is read, each with the line it stands on."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.units import TextError, printable

__all__ = ["Findings", "KeyPath", "Spot", "raise_problems"]

KeyPath: TypeAlias = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Findings:
    """What is wrong with one file: its name, the lines of its keys, the problems so far.

    `columns` names the columns of a table file, by the key that each gives.
    """

    file_name: str
    lines: Mapping[KeyPath, int]
    problems: list[Problem] = field(default_factory=list)
    columns: Mapping[str, str] = field(default_factory=dict)

    def raise_if_any(self) -> None:
        """Raise InputFileError with every problem so far, in the order of the file."""
        raise_problems(self.problems)

    @property
    def top(self) -> "Spot":
        """The file as a whole."""
        return Spot(self, ())


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in a file, where a value was read from and a problem can be reported."""

    findings: Findings
    path: KeyPath

    def at(self, key: str | int) -> "Spot":
        """Return the place of a key of this table, or of an item of this list (from 0)."""
        return Spot(self.findings, (*self.path, key))

    def report(self, problem: str, remedy: str) -> None:
        """Add a problem found here."""
        where, problem, remedy = (printable(text) for text in (self.words, problem, remedy))
        self.findings.problems.append(Problem(where=where, problem=problem, remedy=remedy))

    def report_text(self, error: TextError) -> None:
        """Add the problem of a text that could not be read."""
        self.report(error.problem, error.remedy)

    @property
    def words(self) -> str:
        """The place in words: "petrel.toml, line 14, [battery] capacity"."""
        line = self._line()
        parts = [self.findings.file_name] + ([f"line {line}"] if line else [])
        columns = self.findings.columns
        name = _column(self.path, columns) if columns else _name(self.path)
        return ", ".join([*parts, name] if name else parts)

    def _line(self) -> int | None:
        """Return the line of this key, or of the nearest table around it."""
        for length in range(len(self.path), 0, -1):
            if self.path[:length] in self.findings.lines:
                return self.findings.lines[self.path[:length]]
        return None


_FILE_AND_LINE = re.compile(r"(.*?)(?:, line (\d+).*)?", re.DOTALL)


def raise_problems(problems: Sequence[Problem]) -> None:
    """Raise InputFileError with problems, if any, of one file after the other, each by line."""
    places = [_file_and_line(problem.where) for problem in problems]
    files = list(dict.fromkeys(file for file, _ in places))
    order = sorted(range(len(problems)), key=lambda i: (files.index(places[i][0]), places[i][1]))
    if order:
        raise InputFileError([problems[i] for i in order])


def _file_and_line(where: str) -> tuple[str, int]:
    """Return the file's name and the line of a place in words, 0 where it has none."""
    match = _FILE_AND_LINE.fullmatch(where)
    return (match[1], int(match[2] or 0)) if match else (where, 0)


def _name(path: KeyPath) -> str:
    """Return a path as a person would write it; items of lists count from one."""
    words = [f"item {part + 1}" if isinstance(part, int) else part for part in path]
    if len(words) < 2:
        return " ".join(words)
    named = f"[{words[0]}]"
    rest = words[1:]
    if isinstance(path[1], int):
        named = f"[{words[0]}, {words[1]}]"
        rest = words[2:]
    return " ".join([named, ", ".join(rest)]).strip()


def _column(path: KeyPath, columns: Mapping[str, str]) -> str:
    """Return the column of a table file that a path ends in; the line says the rest."""
    column = columns.get(str(path[-1])) if path else None
    return f"column {column}" if column else ""
