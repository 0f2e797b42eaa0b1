"""A declarative reader of tables: fields with names, kinds and ranges, all problems gathered.

The same fields write the JSON Schemas (`homeleg.formats.json_schema`).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from homeleg.formats.findings import Findings, Spot
from homeleg.formats.kinds import Choice, Fixed, JsonSchema, Kind
from homeleg.formats.toml_text import TextFile, key_lines, parse_toml
from homeleg.formats.wording import described, nearest, one_of
from homeleg.foundation.estimate import Basis

__all__ = [
    "EstimateOf",
    "Field",
    "ListOf",
    "OneOf",
    "OrFile",
    "Pair",
    "StatedEstimate",
    "TableOf",
    "Values",
    "read_document",
]

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Field:
    """A key of a table: its name, what it must be, and what it means."""

    key: str
    kind: Kind
    about: str
    required: bool = False


class Values:
    """The values of a table that were read, with the place each came from."""

    def __init__(self, spot: Spot, found: Mapping[str, object]) -> None:
        self.spot = spot
        self.found = found

    def get(self, key: str, kind: type[T]) -> T | None:
        """Return a value, or None where the key was left out."""
        value = self.found.get(key)
        if value is None or isinstance(value, kind):
            return value
        raise TypeError(f"{key} was read as {type(value).__name__}, not as {kind.__name__}")

    def need(self, key: str, kind: type[T]) -> T:
        """Return a value that the reader has made sure of."""
        value = self.get(key, kind)
        if value is None:
            raise KeyError(key)
        return value

    def items(self, key: str, kind: type[T]) -> tuple[T, ...]:
        """Return the items of a list, none where it was left out."""
        found = self.get(key, tuple) or ()
        return tuple(item for item in found if isinstance(item, kind))

    def table(self, key: str) -> "Values":
        """Return a table, an empty one where it was left out."""
        return self.get(key, Values) or Values(self.spot.at(key), {})

    def replaced(self, change: Callable[[object, Spot], object]) -> "Values":
        """Return the same table with each value as `change` gives it, those inside others too."""

        def changed(value: object, spot: Spot) -> object:
            if isinstance(value, Values):
                return value.replaced(change)
            if isinstance(value, tuple):
                return tuple(changed(one, spot) for one in value)
            return change(value, spot)

        found = {key: changed(value, self.spot.at(key)) for key, value in self.found.items()}
        return Values(self.spot, found)

    def has(self, key: str) -> bool:
        """Tell whether the key was given."""
        return self.found.get(key) is not None


@dataclass(frozen=True, slots=True)
class StatedEstimate:
    """An estimate as written: None where spread, basis or temperature was left out."""

    value: Any
    sd: Any
    basis: Basis | None
    at: float | None


@dataclass(frozen=True, slots=True)
class EstimateOf:
    """A plain value, or a table of value, sd, basis and (where it matters) the temperature `at`."""

    value: Kind
    sd: Kind
    at: Kind | None = None

    @property
    def fields(self) -> tuple[Field, ...]:
        """The keys of the table form."""
        common = (
            Field("value", self.value, "The value.", required=True),
            Field("sd", self.sd, "One standard deviation, in a unit of the value."),
            Field("basis", Choice(Basis), "What it rests on."),
        )
        return common + ((Field("at", self.at, "At which temperature."),) if self.at else ())

    def read(self, raw: object, spot: Spot) -> StatedEstimate | None:
        """Return the value, or None after reporting what is wrong with it."""
        if not isinstance(raw, dict):
            value = self.value.read(raw, spot)
            return None if value is None else StatedEstimate(value, None, None, None)
        table = TableOf(self.fields).read(raw, spot)
        if table is None or not table.has("value"):
            return None
        return StatedEstimate(
            table.get("value", object),
            table.get("sd", object),
            table.get("basis", Basis),
            table.get("at", float),
        )

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        return {"anyOf": [self.value.schema(), TableOf(self.fields).schema()]}


@dataclass(frozen=True, slots=True)
class ListOf:
    """A list of one kind of item, of a length within limits."""

    item: Kind
    shortest: int = 0
    longest: int = 1000

    def read(self, raw: object, spot: Spot) -> tuple[object, ...] | None:
        """Return the value, or None after reporting what is wrong with it."""
        if not isinstance(raw, list):
            spot.report(f"{described(raw)} is not a list", "Write a list: [ ... ].")
            return None
        if not self.shortest <= len(raw) <= self.longest:
            spot.report(
                f"the list holds {len(raw)} items",
                f"Give {self.shortest} items."
                if self.shortest == self.longest
                else f"Give {self.shortest} to {self.longest} items.",
            )
            return None
        items = [self.item.read(item, spot.at(index)) for index, item in enumerate(raw)]
        return tuple(item for item in items if item is not None)

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        return {
            "type": "array",
            "items": self.item.schema(),
            "minItems": self.shortest,
            "maxItems": self.longest,
        }


@dataclass(frozen=True, slots=True)
class Pair:
    """Two values of their own kinds, in order."""

    first: Kind
    second: Kind
    example: str

    def read(self, raw: object, spot: Spot) -> tuple[object, object] | None:
        """Return the value, or None after reporting what is wrong with it."""
        if not isinstance(raw, list) or len(raw) != 2:
            spot.report(f"{described(raw)} is not a pair", f"Write two values: {self.example}.")
            return None
        first = self.first.read(raw[0], spot.at(0))
        second = self.second.read(raw[1], spot.at(1))
        return None if first is None or second is None else (first, second)

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        return {
            "type": "array",
            "prefixItems": [self.first.schema(), self.second.schema()],
            "minItems": 2,
            "maxItems": 2,
        }


@dataclass(frozen=True, slots=True)
class OneOf:
    """A text, or a list: two ways to give the same key."""

    text: Kind
    listed: Kind

    def read(self, raw: object, spot: Spot) -> object | None:
        """Return the value, or None after reporting what is wrong with it."""
        return (self.listed if isinstance(raw, list) else self.text).read(raw, spot)

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        return {"anyOf": [self.text.schema(), self.listed.schema()]}


@dataclass(frozen=True, slots=True)
class OrFile:
    """A table, or a table with the key `file`, or the file's name alone."""

    plain: "TableOf"
    of_file: "TableOf"

    def read(self, raw: object, spot: Spot) -> object | None:
        """Return the value, or None after reporting what is wrong with it."""
        if isinstance(raw, str):
            return self.of_file.read({"file": raw}, spot)
        has_file = isinstance(raw, dict) and "file" in raw
        return (self.of_file if has_file else self.plain).read(raw, spot)

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        return {"anyOf": [{"type": "string"}, self.plain.schema(), self.of_file.schema()]}


@dataclass(frozen=True, slots=True)
class TableOf:
    """A table of named fields and no others."""

    fields: tuple[Field, ...]

    def read(self, raw: object, spot: Spot) -> Values | None:
        """Return the value, or None after reporting what is wrong with it."""
        if not isinstance(raw, dict):
            keys = ", ".join(field.key for field in self.fields[:4])
            spot.report(f"{described(raw)} is not a table", f"Write a table with keys: {keys} ...")
            return None
        self._report_unknown(raw, spot)
        found: dict[str, object] = {}
        for field in self.fields:
            if field.key in raw:
                found[field.key] = field.kind.read(raw[field.key], spot.at(field.key))
            elif field.required:
                there = spot.at(field.key)
                there.report("is missing", _how_to_add(field, there))
        return Values(spot, found)

    def _report_unknown(self, raw: Mapping[str, object], spot: Spot) -> None:
        names = [field.key for field in self.fields]
        for key in raw:
            if key not in names:
                spot.at(key).report(f"is not a known key{nearest(key, names)}", one_of(names))

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        properties = {}
        for field in self.fields:
            inner = field.kind.schema()
            unit = inner.pop("description", "")
            about = f"{field.about} ({unit})" if unit else field.about
            properties[field.key] = {"description": about, **inner}
        return {
            "type": "object",
            "properties": properties,
            "required": [field.key for field in self.fields if field.required],
            "additionalProperties": False,
        }


def _how_to_add(field: Field, spot: Spot) -> str:
    """Return how a missing key is written: a table by the keys it needs, a text by an example."""
    schema = field.kind.schema()
    if needed := schema.get("required"):
        return f"Add [{'.'.join(map(str, spot.path))}] with {', '.join(needed)}."
    examples = schema.get("examples")
    such = f', such as {field.key} = "{examples[0]}"' if examples else ""
    return f"Add it{such}: {field.about}"


def read_document(file: TextFile, schema: Fixed, table: TableOf) -> Values:
    """Return the values of a TOML file; its problems stand in the findings of their place.

    Raises InputFileError when it is not TOML, or says itself that it is another kind of file.
    """
    findings = Findings(file.name, key_lines(file.text))
    raw = parse_toml(file)
    if "schema" in raw:
        schema.read(raw["schema"], findings.top.at("schema"))
        findings.raise_if_any()
    return table.read(raw, findings.top) or Values(findings.top, {})
