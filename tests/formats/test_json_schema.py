"""The shipped JSON Schemas: as generated, well formed, and met by the examples."""

import json
import tomllib
from pathlib import Path

import jsonschema
import pytest

from homeleg.formats.json_schema import SCHEMAS, schema_text, shipped_schema_path

EXAMPLES = Path(__file__).parent.parent.parent / "examples"


@pytest.mark.parametrize("name", list(SCHEMAS))
def test_shipped_schema_is_the_generated_one(name: str) -> None:
    assert shipped_schema_path(name).read_text("utf-8") == schema_text(name)


@pytest.mark.parametrize("name", list(SCHEMAS))
def test_schema_is_well_formed_and_describes_every_key(name: str) -> None:
    schema = json.loads(schema_text(name))
    jsonschema.Draft202012Validator.check_schema(schema)
    assert all(key["description"] for key in schema["properties"].values())


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*/*.toml")), ids=lambda path: path.stem)
def test_examples_meet_their_schema(path: Path) -> None:
    name = "sortie" if path.stem == "sortie" else "aircraft"
    content = tomllib.loads(path.read_text("utf-8"))
    validator = jsonschema.Draft202012Validator(json.loads(schema_text(name)))
    assert list(validator.iter_errors(content)) == []
    content["nonsense"] = 1
    assert not validator.is_valid(content)


def test_there_are_five_examples() -> None:
    assert len(list(EXAMPLES.glob("*/*.toml"))) == 10
