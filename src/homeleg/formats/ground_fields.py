"""The keys of a sortie file that tell the ground and what stands on it."""

import re
from enum import Enum

from homeleg.formats.aircraft_fields import HEIGHT, TIME
from homeleg.formats.kinds import Choice, Number, Quantity, Spread, Stated, Text
from homeleg.formats.outside_heights import parse_heights
from homeleg.formats.reader import EstimateOf, Field, ListOf, OneOf, OrFile, Pair, TableOf
from homeleg.foundation.stated_text import parse_bearing, parse_flatness
from homeleg.foundation.units import Dimension, TextError, shown
from homeleg.world.site import PeopleOnGround

__all__ = [
    "BEARING",
    "CANOPY",
    "CORNERS",
    "DISTANCE",
    "FILE",
    "GROUND",
    "HEIGHTS",
    "HEIGHT_OF",
    "OBSTACLE",
    "ONLY",
    "PEOPLE",
]

_CONTROLLED = "controlled ground"
_PER_KM2 = re.compile(r"(\d+(?:\.\d+)?) *(?:/|per) *km2")
_MOST_PER_KM2 = 1e6


def _parse_people(text: str) -> PeopleOnGround:
    """Return "12 per km2" or "controlled ground"; raises TextError."""
    words = " ".join(text.lower().split())
    if words == _CONTROLLED:
        return PeopleOnGround(None)
    match = _PER_KM2.fullmatch(words)
    if match is None or float(match[1]) > _MOST_PER_KM2:
        raise TextError(
            f"{shown(text)} does not say how many people there are",
            f'Write "12 per km2", or "{_CONTROLLED}" where you keep everybody out.',
        )
    return PeopleOnGround(float(match[1]))


class TerrainUnit(Enum):
    """The unit of heights in a terrain file that does not say it itself."""

    METRE = "m"
    FOOT = "ft"
    US_SURVEY_FOOT = "US survey ft"


BEARING = Stated(parse_bearing, "225 deg")
DISTANCE = Quantity(Dimension.LENGTH, 0, 50_000)
HEIGHT_OF = Quantity(Dimension.LENGTH, 0, 1000)
PEOPLE = Stated(_parse_people, "12 per km2")
CORNERS = ListOf(Pair(Number(-1e5, 1e5), Number(-1e5, 1e5), "[350.0, -240.0]"), 3, 500)
_TREES = EstimateOf(Quantity(Dimension.LENGTH, 0, 120), Spread(Dimension.LENGTH, 50))

_SKYLINE_POINT = TableOf(
    (
        Field("bearing", BEARING, "Its bearing from the launch point.", required=True),
        Field(
            "distance",
            Quantity(Dimension.LENGTH, 10, 50_000),
            "Its distance.",
            required=True,
        ),
        Field("height", HEIGHT, "Its height, or else the angle it is seen at."),
        Field(
            "angle",
            Quantity(Dimension.ANGLE, -10, 60),
            "How far above level it is seen; a fist at arm's length is about 10 degrees.",
        ),
        Field("spread", Quantity(Dimension.LENGTH, 0, 500), "Standard deviation of its height."),
    )
)
GROUND = TableOf(
    (
        Field(
            "by_eye",
            Stated(parse_flatness, "flat within 5 m"),
            "How level the ground is with the launch point.",
        ),
        Field("radius", Quantity(Dimension.LENGTH, 50, 50_000), "Out to where it is known."),
        Field("flat_to", DISTANCE, "Out to where it is flat, when it rises farther out."),
        Field("skyline", ListOf(_SKYLINE_POINT, 0, 100), "What the skyline around is made of."),
        Field("highest", HEIGHT, "The highest ground inside the radius, from a map."),
        Field(
            "terrain",
            OneOf(Text(), ListOf(Text(), 1, 64)),
            "Terrain files instead, beside this one: GeoTIFF or HGT.",
        ),
        Field("terrain_unit", Choice(TerrainUnit), "Unit of their heights where they say none."),
        Field(
            "terrain_le90",
            Quantity(Dimension.LENGTH, 0.1, 200),
            "Their heights are right within this, nine times in ten.",
        ),
        Field("canopy", _TREES, "Height of trees over all of it."),
        Field("clearing", DISTANCE, "How far from the launch point those trees begin."),
    )
)
CANOPY = TableOf(
    (
        Field("height", _TREES, "Height of the trees above the ground.", required=True),
        Field(
            "vertices_m",
            CORNERS,
            "Corners of the wood, metres east and north of the launch point.",
            required=True,
        ),
    )
)
FILE = Field("file", Text(), "A KML, KMZ, GPX, GeoJSON or CSV file beside this one.", required=True)
ONLY = Field("only", Text(), "Only what has this name in the file.")
HEIGHTS = Field(
    "heights",
    Stated(parse_heights, "AGL"),
    "What its heights are above, or one height for all, where the file does not say.",
)
OBSTACLE = OrFile(
    of_file=TableOf((FILE, ONLY, HEIGHTS)),
    plain=TableOf(
        (
            Field("name", Text(60), "What it is.", required=True),
            Field("bearing", BEARING, "Its bearing from the launch point.", required=True),
            Field("distance", DISTANCE, "Its distance.", required=True),
            Field(
                "height",
                EstimateOf(HEIGHT_OF, Spread(Dimension.LENGTH, 200)),
                "Its height above the ground there.",
                required=True,
            ),
            Field("seen", TIME, "When it was looked at or surveyed."),
        )
    ),
)
