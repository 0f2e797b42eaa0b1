"""What a height written in a file from outside is above: as the file says, or as a person does."""

from collections.abc import Mapping
from typing import TypeAlias

from homeleg.formats.aircraft_fields import HEIGHT
from homeleg.formats.features import Feature, Vertex
from homeleg.formats.findings import Spot
from homeleg.formats.route_file import inline_item
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.foundation.stated_text import parse_height
from homeleg.foundation.units import TextError, shown

__all__ = ["NO_HEIGHT", "Heights", "height_of", "parse_heights", "stated_height"]

NO_HEIGHT = "no height is written"
# What a person says of all heights of a file: what they are above, or one for all instead.
Heights: TypeAlias = Datum | StatedHeight | None


def parse_heights(text: str) -> Datum | StatedHeight:
    """Return what "AMSL" or "80 m above launch" says of heights; raises TextError."""
    words = " ".join(text.lower().split())
    for datum in Datum:
        if words == datum.value.lower():
            return datum
    if not any(letter.isdigit() for letter in words):
        names = ", ".join(f'"{datum.value}"' for datum in Datum)
        raise TextError(
            f"{shown(text)} does not say what heights are above",
            f'Write {names}, or one height for all, such as "80 m above launch".',
        )
    return parse_height(text)


def stated_height(cells: Mapping[str, str], spot: Spot) -> StatedHeight | None:
    """Return the height that a shape states with its datum, None after reporting a wrong one."""
    text = inline_item(cells).get("height") if "above" in cells else None
    height = None if text is None else HEIGHT.read(text, spot)
    return height if isinstance(height, StatedHeight) else None


def height_of(
    feature: Feature, vertex: Vertex, heights: Heights
) -> tuple[StatedHeight | None, str]:
    """Return the height of a place, and "" or in words why there is none.

    Reports a person and a file that say different things.
    """
    if isinstance(heights, StatedHeight):
        return heights, ""
    if vertex.height_m is None:
        return None, NO_HEIGHT
    if feature.above is not None and heights not in (None, feature.above):
        feature.spot.report(
            f"its heights are {feature.above.value} by the file, and {heights.value} was said",
            'Leave heights out, or give one for all, such as "80 m above launch".',
        )
    above = feature.above or heights
    if above is None:
        return None, feature.doubt
    return StatedHeight(vertex.height_m, above), ""
