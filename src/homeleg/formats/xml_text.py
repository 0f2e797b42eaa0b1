"""XML from outside: what its tree holds, without entities, outside files or other surprises."""

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any, TypeAlias

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import ParseError, fromstring

from homeleg.formats.toml_text import TextFile
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["Element", "child", "children", "local_name", "parse_xml", "passed_over", "text_of"]

Element: TypeAlias = Any  # the library carries no types
# Deeper than any file of these kinds; what builds the tree has limits of its own. Ours.
_DEEPEST = 100


def parse_xml(file: TextFile, root_name: str) -> Element:
    """Return the root of an XML file, which must have this name; raises InputFileError."""
    try:
        root = fromstring(file.text, forbid_dtd=True)
    except ParseError as error:
        line, column = error.position
        raise _refusal(
            f"{file.name}, line {line}",
            f"is not XML: column {column} breaks its rules",
            "Write it again from the program it came from.",
        ) from error
    except DefusedXmlException as error:
        raise _refusal(
            file.name,
            "declares a document type or entities of its own, and those are not read",
            "Take the <!DOCTYPE ...> out.",
        ) from error
    if _depth(root) > _DEEPEST:
        raise _refusal(file.name, "is nested too deeply", "Is this the right file?")
    if local_name(root) != root_name:
        raise _refusal(
            file.name,
            f"holds <{local_name(root)[:40]}>, and <{root_name}> is wanted",
            "Is its name's ending right?",
        )
    return root


def local_name(element: Element) -> str:
    """Return an element's name without its namespace."""
    return str(element.tag).rpartition("}")[2]


def children(element: Element | None, name: str) -> Iterator[Element]:
    """Yield the children of a name, in any namespace; none of what is not there."""
    return (inner for inner in (() if element is None else element) if local_name(inner) == name)


def child(element: Element | None, name: str) -> Element | None:
    """Return the first child of a name, None where there is none."""
    return next(children(element, name), None)


def text_of(element: Element | None) -> str:
    """Return an element's text in one line, without space around it; "" where there is none."""
    return "" if element is None else " ".join((element.text or "").split())


def passed_over(root: Element, words: Mapping[str, str]) -> list[str]:
    """Return in words how many elements of which kinds the file holds, by their names."""
    counts = Counter(local_name(element) for element in root.iter())
    return [f"{what} ({counts[name]})" for name, what in words.items() if counts[name]]


def _depth(root: Element) -> int:
    deepest, level = 0, [root]
    while level and deepest <= _DEEPEST:
        deepest, level = deepest + 1, [inner for element in level for inner in element]
    return deepest


def _refusal(where: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
