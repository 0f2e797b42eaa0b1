"""The reference page names every key, every column and every word there is."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from homeleg.formats.json_schema import SCHEMAS, schema_text
from homeleg.formats.route_file import ROUTE_COLUMNS

PAGE = (Path(__file__).parent.parent.parent / "docs" / "reference-files.md").read_text("utf-8")
# The keys of an estimate are told once, in prose.
OF_ESTIMATES = {"value", "sd", "basis", "at"}


def keys_and_words(schema: dict[str, Any]) -> Iterator[str]:
    for key, inner in schema.get("properties", {}).items():
        yield key
        yield from keys_and_words(inner)
    for inner in [*schema.get("anyOf", []), *([schema["items"]] if "items" in schema else [])]:
        yield from keys_and_words(inner)
    yield from schema.get("enum", [])


@pytest.mark.parametrize("name", list(SCHEMAS))
def test_every_key_and_word_is_on_the_page(name: str) -> None:
    schema = json.loads(schema_text(name))
    bases = {"assumed", "from geometry", "maker's figure", "declared", "bench", "flight"}
    named = set(keys_and_words(schema)) - OF_ESTIMATES - bases
    assert len(named) > 60
    assert [word for word in sorted(named) if f"`{word}`" not in PAGE] == []


def test_every_column_is_on_the_page() -> None:
    assert [column for column in ROUTE_COLUMNS if f"`{column}`" not in PAGE] == []
