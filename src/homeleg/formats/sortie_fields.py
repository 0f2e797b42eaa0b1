"""The keys of a sortie file: what each must be, its limits, and what it means."""

from enum import Enum

from homeleg.formats.aircraft_fields import (
    CENTRE_OF_GRAVITY,
    CHANGED_LIMITS,
    ELEVATION,
    HEIGHT,
    TIME,
)
from homeleg.formats.ground_fields import (
    BEARING,
    CANOPY,
    CORNERS,
    DISTANCE,
    FILE,
    GROUND,
    HEIGHT_OF,
    HEIGHTS,
    OBSTACLE,
    ONLY,
    PEOPLE,
)
from homeleg.formats.kinds import (
    Choice,
    Fixed,
    Flag,
    Kind,
    Quantity,
    Spread,
    Stated,
    Text,
    Whole,
)
from homeleg.formats.reader import EstimateOf, Field, ListOf, OneOf, OrFile, Pair, TableOf
from homeleg.formats.route_items import ROUTE_ITEMS
from homeleg.formats.weather_fields import WEATHER
from homeleg.foundation.stated_text import (
    parse_latitude,
    parse_longitude,
)
from homeleg.foundation.units import Dimension
from homeleg.readiness.told import DECLARED_ITEMS
from homeleg.sortie.sortie import FlownBy
from homeleg.world.site import KeepOutKind

__all__ = ["SORTIE", "SORTIE_SCHEMA", "TOLD_ITEMS", "ToldWord"]

SORTIE_SCHEMA = Fixed("homeleg/sortie/1")


class ToldWord(Enum):
    """The plain answer to a told item."""

    GOOD = "good"
    BAD = "bad"


_LOADING = TableOf(
    (
        Field(
            "change",
            ListOf(
                TableOf(
                    (
                        Field("name", Text(60), "What is put in or taken out.", required=True),
                        Field(
                            "mass",
                            Quantity(Dimension.MASS, -25, 25),
                            "Its mass: put in above zero, taken out below zero.",
                            required=True,
                        ),
                        Field(
                            "arm",
                            Quantity(Dimension.LENGTH, -3, 3),
                            "Where, from the mean chord's leading edge, aft positive.",
                            required=True,
                        ),
                    )
                ),
                0,
                60,
            ),
            "Things put in or taken out since the aircraft was recorded.",
        ),
        Field(
            "move",
            ListOf(
                TableOf(
                    (
                        Field("station", Text(60), "What is moved.", required=True),
                        Field(
                            "by",
                            Quantity(Dimension.LENGTH, -1, 1),
                            "How far, aft positive.",
                            required=True,
                        ),
                    )
                ),
                0,
                60,
            ),
            "Stations moved along their slide.",
        ),
        Field(
            "weighed",
            EstimateOf(Quantity(Dimension.MASS, 0.1, 25), Spread(Dimension.MASS, 5)),
            "All-up mass as weighed today.",
        ),
        Field(
            "centre_of_gravity",
            CENTRE_OF_GRAVITY,
            "Where it balances today.",
        ),
    )
)
_HEALTH = TableOf(
    (
        Field(
            "capacity",
            EstimateOf(Quantity(Dimension.RATIO, 0.2, 1.1), Spread(Dimension.RATIO, 0.5)),
            "Capacity against a new pack.",
        ),
        Field(
            "resistance",
            EstimateOf(Quantity(Dimension.RATIO, 0.5, 10.0), Spread(Dimension.RATIO, 5.0)),
            "Resistance against a new pack.",
        ),
        Field("cell_spread", Quantity(Dimension.VOLTAGE, 0, 1), "Highest less lowest cell."),
        Field("swollen", Flag(), "Whether the pack is puffed."),
    )
)
_PACK = TableOf(
    (
        Field(
            "temperature",
            EstimateOf(
                Quantity(Dimension.TEMPERATURE, -20, 60),
                Quantity(Dimension.TEMPERATURE_DIFFERENCE, 0, 20),
            ),
            "Pack temperature at launch.",
        ),
        Field(
            "charged",
            EstimateOf(Quantity(Dimension.RATIO, 0.05, 1.0), Spread(Dimension.RATIO, 0.5)),
            "How full it is.",
        ),
        Field("health", _HEALTH, "The pack against a new one of its kind."),
        Field(
            "second",
            TableOf(
                (
                    Field(
                        "capacity",
                        Quantity(Dimension.ENERGY, 0.5, 500),
                        "Its energy.",
                        required=True,
                    ),
                    Field("power", Quantity(Dimension.POWER, 0.1, 500), "Its load.", required=True),
                )
            ),
            "A separate video or payload pack.",
        ),
        Field("seen", TIME, "When temperature and health were looked at."),
    )
)
_STRIP = TableOf(
    (
        Field("length", Quantity(Dimension.LENGTH, 5, 5000), "Length to land in.", required=True),
        Field("direction", BEARING, "Direction landed in; into the wind when left out."),
        Field("both_ways", Flag(), "Whether the opposite direction can be used too."),
        Field("approach_obstacle", HEIGHT_OF, "Height of what stands at its near end."),
    )
)
_TREE_LINE = TableOf(
    (
        Field("bearing", BEARING, "Bearing of its nearest point.", required=True),
        Field("distance", DISTANCE, "Distance of its nearest point.", required=True),
        Field("height", HEIGHT_OF, "Height of the trees.", required=True),
    )
)
_PLACE_RADIUS = Quantity(Dimension.LENGTH, 1, 5000)
_BOUNDARY = OrFile(
    plain=TableOf(
        (
            Field(
                "hull_margin",
                DISTANCE,
                "Margin around the hull of route and launch point.",
                required=True,
            ),
            Field("top", HEIGHT, "Its top.", required=True),
        )
    ),
    of_file=TableOf((FILE, ONLY, HEIGHTS, Field("top", HEIGHT, "Its top, if the file has none."))),
)
_KEEP_OUT = OrFile(
    plain=TableOf(
        (
            Field("name", Text(60), "What is there.", required=True),
            Field("kind", Choice(KeepOutKind), "What kind of ground it is.", required=True),
            Field(
                "vertices_m",
                CORNERS,
                "Its corners, metres east and north of the launch point.",
                required=True,
            ),
        )
    ),
    of_file=TableOf((FILE, ONLY, Field("kind", Choice(KeepOutKind), "What kind of ground it is."))),
)
_DIVERSION_POINT = TableOf(
    (
        Field("name", Text(60), "What it is called.", required=True),
        Field("east", Quantity(Dimension.LENGTH, -1e5, 1e5), "Metres east.", required=True),
        Field("north", Quantity(Dimension.LENGTH, -1e5, 1e5), "Metres north.", required=True),
        Field("height", HEIGHT, "Height on the way to it; else the return height."),
    )
)
_COME_DOWN = OrFile(
    plain=TableOf(
        (
            Field("name", Text(60), "What the place is called.", required=True),
            Field("east", Quantity(Dimension.LENGTH, -1e5, 1e5), "Metres east.", required=True),
            Field("north", Quantity(Dimension.LENGTH, -1e5, 1e5), "Metres north.", required=True),
            Field("radius", _PLACE_RADIUS, "Radius.", required=True),
        )
    ),
    of_file=TableOf((FILE, ONLY, Field("radius", _PLACE_RADIUS, "Radius around its points."))),
)
_SITE = TableOf(
    (
        Field(
            "launch_point",
            Pair(
                Stated(parse_latitude, "55.0000 N"),
                Stated(parse_longitude, "5.0000 W"),
                '["55.0000 N", "5.0000 W"]',
            ),
            "Latitude and longitude of the launch point.",
            required=True,
        ),
        Field("elevation", ELEVATION, "Height of the launch point, AMSL.", required=True),
        Field(
            "pilot",
            TableOf(
                (
                    Field("bearing", BEARING, "Bearing from the launch point.", required=True),
                    Field("distance", DISTANCE, "Distance from it.", required=True),
                )
            ),
            "Where the pilot stands; at the launch point when left out.",
        ),
        Field("launch_heading", BEARING, "Direction launched in; into the wind when left out."),
        Field("strip", _STRIP, "Where the aircraft lands.", required=True),
        Field("ground", GROUND, "The ground around the launch point.", required=True),
        Field("canopy", ListOf(CANOPY, 0, 100), "Woods, each with its corners."),
        Field("obstacle", ListOf(OBSTACLE, 0, 200), "Things that stand up."),
        Field("tree_line", _TREE_LINE, "A tree line near the touchdown point."),
        Field("boundary", _BOUNDARY, "What must not be left."),
        Field(
            "keep_out",
            ListOf(_KEEP_OUT, 0, 200),
            "Ground not to fly over or fall onto; [] says that there is none.",
        ),
        Field("people", PEOPLE, "People on the ground flown over, for the ground risk class."),
        Field(
            "come_down", ListOf(_COME_DOWN, 0, 200), "Places where it may be lost, motor stopped."
        ),
        Field(
            "diversion_points",
            ListOf(_DIVERSION_POINT, 0, 50),
            "Points that lead home when the link is lost, the farthest first.",
        ),
    )
)

# Told items that hold figures of their own; the others have an answer and its time only.
_TOLD_FIGURES: dict[str, dict[str, Kind]] = {
    "sense": {
        "throw": Quantity(Dimension.RATIO, 0.0, 1.5),
        "slop": Quantity(Dimension.ANGLE, 0, 45),
    },
    "wing": {},
    "pitot": {
        "offset": Quantity(Dimension.SPEED, -30, 30),
        "residual": Quantity(Dimension.SPEED, -30, 30),
    },
    "heading": {
        "error": Quantity(Dimension.ANGLE, -180, 180),
        "field": Quantity(Dimension.RATIO, -1.0, 1.0),
    },
    "position": {
        "distance": Quantity(Dimension.LENGTH, 0, 1e6),
        "height": Quantity(Dimension.LENGTH, -1000, 1000),
    },
    "walk": {"pictures_age": Quantity(Dimension.TIME, 0, 1e9)},
    "airspace": {},
    "route_aboard": {},
    "settings": {},
    "crew": {},
    "papers": {},
    **{item.name: {} for item in DECLARED_ITEMS},
}
TOLD_ITEMS = tuple(_TOLD_FIGURES)


def _told_item(figures: dict[str, Kind]) -> TableOf:
    return TableOf(
        (
            Field("answer", Choice(ToldWord), "The plain answer."),
            Field("seen", TIME, "When it was looked at."),
            *(Field(name, kind, "As measured.") for name, kind in figures.items()),
        )
    )


SORTIE = TableOf(
    (
        Field("schema", SORTIE_SCHEMA, 'Write "homeleg/sortie/1".', required=True),
        Field("aircraft", Text(), "The aircraft file, beside this one.", required=True),
        Field("route", OneOf(Text(), ROUTE_ITEMS), "The route file, or items.", required=True),
        Field("flown_by", Choice(FlownBy), "Who flies."),
        Field("seed", Whole(0, 2**32 - 1), "Seed of the computed flights."),
        Field("loading", _LOADING, "What changed on board since the aircraft was recorded."),
        Field("pack", _PACK, "The battery on board."),
        Field("site", _SITE, "The place flown from.", required=True),
        Field("weather", WEATHER, "The air.", required=True),
        Field(
            "time",
            TableOf((Field("launch", TIME, "Time of launch.", required=True),)),
            "When.",
            required=True,
        ),
        Field(
            "rules",
            TableOf(
                (
                    Field("profile", Text(), "The rule profile: own, a shipped one, or a file."),
                    Field("beyond_sight", Flag(), "Whether flight beyond sight is authorised."),
                )
            ),
            "Rules flown under.",
        ),
        Field("limits", CHANGED_LIMITS, "Limits of the verdict changed for this sortie."),
        Field(
            "told",
            TableOf(
                tuple(
                    Field(name, _told_item(figures), "Told at the field.")
                    for name, figures in _TOLD_FIGURES.items()
                )
            ),
            "Answers at the field, each with its time.",
        ),
    )
)
