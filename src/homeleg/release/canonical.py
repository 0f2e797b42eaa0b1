"""One form in bytes for everything a release stands for, and the digest of those bytes.

JSON with sorted keys, no blanks and no bare fractions: numbers are whole, in a unit as small as an
aircraft stores, or texts of nine significant digits. So the same values give the same bytes on
every machine.
"""

import hashlib
import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import UTC, datetime
from enum import Enum
from typing import TypeAlias

import numpy as np

__all__ = ["Frozen", "canonical_bytes", "digest_of", "recorded"]

Frozen: TypeAlias = "bool | int | str | Sequence[Frozen] | Mapping[str, Frozen] | None"


def recorded(value: object) -> Frozen:
    """Return a record of the program as canonical values, its fields by name.

    Raises ValueError for a number that is not finite, TypeError for what has no canonical form.
    """
    match value:
        case None | bool() | int() | str():
            plain: Frozen = value
        case float() | np.floating():
            plain = _digits(float(value))
        case Enum():
            plain = recorded(value.value)
        case datetime():
            plain = value.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
        case Mapping():
            plain = {str(key): recorded(inner) for key, inner in value.items()}
        case tuple() | list():
            plain = [recorded(inner) for inner in value]
        case np.ndarray():
            plain = recorded(value.tolist())
        case _ if is_dataclass(value) and not isinstance(value, type):
            plain = {field.name: recorded(getattr(value, field.name)) for field in fields(value)}
        case _:
            raise TypeError(f"{type(value).__name__} has no canonical form")
    return plain


def canonical_bytes(value: Frozen) -> bytes:
    """Return the one form in bytes of canonical values.

    Raises TypeError where a number with a fraction is among them.
    """
    _refuse_fractions(value)
    text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return text.encode("ascii")


def digest_of(value: Frozen) -> str:
    """Return the SHA-256 of canonical values, in hexadecimal."""
    return hashlib.sha256(canonical_bytes(value)).hexdigest()


def _digits(number: float) -> str:
    if not math.isfinite(number):
        raise ValueError(f"{number} is not a number that a release can hold")
    return format(number + 0.0, ".9g")


def _refuse_fractions(value: object) -> None:
    if isinstance(value, float):
        raise TypeError(f"{value} is not a canonical value: give it whole, or as a text")
    if isinstance(value, Mapping):
        for inner in value.values():
            _refuse_fractions(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            _refuse_fractions(inner)
