"""A comparison as JSON."""

import json
from typing import Any

from homeleg import __version__
from homeleg.release.comparison import Comparison

__all__ = ["comparison_document", "document_text"]

SCHEMA = "homeleg/comparison/1"


def comparison_document(comparison: Comparison, code: str, digest: str) -> dict[str, Any]:
    """Return the JSON document of a comparison with the release of that code and digest."""
    return {
        "schema": SCHEMA,
        "program": f"homeleg {__version__}",
        "release": {"code": code, "digest": digest},
        "end": comparison.end.value,
        "differences": [
            {
                "danger": one.danger.name.lower(),
                "item": one.item,
                "sentence": one.sentence,
                "what": one.what,
                "released": one.released,
                "aboard": one.aboard,
                "then": one.then,
            }
            for one in comparison.differences
        ],
        "not_told": [aspect.value for aspect in comparison.unproven],
        "largest_rounding_m": float(comparison.rounding_m),
        "remarks": list(comparison.remarks),
    }


def document_text(document: dict[str, Any]) -> str:
    """Return a document as text, one key a line, refusing NaN and infinities."""
    return json.dumps(document, indent=2, allow_nan=False, ensure_ascii=False) + "\n"
