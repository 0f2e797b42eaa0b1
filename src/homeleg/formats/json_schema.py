"""The JSON Schemas of the files a person writes, from the same fields that read them.

`python -m homeleg.formats.json_schema` writes those that ship with the program.
"""

import json
from pathlib import Path

from homeleg.formats.aircraft_fields import AIRCRAFT
from homeleg.formats.kinds import JsonSchema
from homeleg.formats.reader import TableOf
from homeleg.formats.sortie_fields import SORTIE

__all__ = ["SCHEMAS", "schema_text", "shipped_schema_path"]

SCHEMAS: dict[str, tuple[str, TableOf]] = {
    "aircraft": ("A Homeleg aircraft file", AIRCRAFT),
    "sortie": ("A Homeleg sortie file", SORTIE),
}


def schema_text(name: str) -> str:
    """Return the JSON Schema of a kind of file, as it is shipped."""
    title, table = SCHEMAS[name]
    schema: JsonSchema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": title,
        **table.schema(),
    }
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


def shipped_schema_path(name: str) -> Path:
    """Return where the JSON Schema of a kind of file ships."""
    return Path(__file__).parent / "schemas" / f"{name}.schema.json"


if __name__ == "__main__":
    for kind_of_file in SCHEMAS:
        shipped_schema_path(kind_of_file).write_text(schema_text(kind_of_file), encoding="utf-8")
