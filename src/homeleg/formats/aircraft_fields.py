"""The keys of an aircraft file: what each must be, its limits, and what it means."""

from homeleg.aircraft.priors import BodyPlan
from homeleg.aircraft.record import AtLaunchPoint, LaunchMethod, ReturnPath, TakeoffPath
from homeleg.formats.kinds import (
    Choice,
    Fixed,
    Flag,
    Number,
    Quantity,
    Spread,
    Stated,
    Text,
    Whole,
)
from homeleg.formats.reader import EstimateOf, Field, ListOf, OneOf, Pair, TableOf
from homeleg.foundation.heights import StatedAirspeed, StatedHeight
from homeleg.foundation.side import Side
from homeleg.foundation.stated_text import (
    ChordPosition,
    parse_airspeed,
    parse_chord_position,
    parse_chord_spread,
    parse_elevation,
    parse_height,
    parse_time,
)
from homeleg.foundation.units import Dimension
from homeleg.physics.battery import Chemistry

__all__ = [
    "AIRCRAFT",
    "AIRCRAFT_SCHEMA",
    "AIRSPEED",
    "CENTRE_OF_GRAVITY",
    "CHANGED_LIMITS",
    "HEIGHT",
    "TIME",
]

AIRCRAFT_SCHEMA = Fixed("homeleg/aircraft/1")


def _height_m(height: StatedHeight) -> float:
    return height.value_m


def _airspeed_m_s(airspeed: StatedAirspeed) -> float:
    return airspeed.value_m_s


def _position(position: ChordPosition) -> float:
    return position.value


HEIGHT = Stated(parse_height, "80 m above launch", _height_m, -450.0, 9000.0, "m")
ELEVATION = Stated(parse_elevation, "35 m AMSL", _height_m, -450.0, 9000.0, "m")
AIRSPEED = Stated(parse_airspeed, "15.5 m/s TAS", _airspeed_m_s, 4.0, 70.0, "m/s")
TIME = Stated(parse_time, "2026-06-09 17:00Z")
_POSITION = Stated(parse_chord_position, "28.5 % MAC", _position, -0.5, 1.5)
_POSITION_SPREAD = Stated(parse_chord_spread, "0.8 % MAC", _position, 0.0, 0.5)
CENTRE_OF_GRAVITY = EstimateOf(_POSITION, _POSITION_SPREAD)
_MASS = Quantity(Dimension.MASS, 0.001, 25.0)
_EFFICIENCY = EstimateOf(Quantity(Dimension.RATIO, 0.1, 0.95), Spread(Dimension.RATIO, 0.5))


def _coefficient(lowest: float, highest: float) -> EstimateOf:
    return EstimateOf(
        Quantity(Dimension.RATIO, lowest, highest),
        Spread(Dimension.RATIO, highest),
    )


_WING = TableOf(
    (
        Field("span", Quantity(Dimension.LENGTH, 0.3, 8.0), "Wing span.", required=True),
        Field("area", Quantity(Dimension.AREA, 0.02, 8.0), "Wing area."),
        Field("mean_chord", Quantity(Dimension.LENGTH, 0.03, 1.5), "Mean chord."),
        Field("root_chord", Quantity(Dimension.LENGTH, 0.03, 2.0), "Chord at the root."),
        Field("tip_chord", Quantity(Dimension.LENGTH, 0.01, 2.0), "Chord at the tip."),
        Field(
            "mean_chord_behind_root",
            Quantity(Dimension.LENGTH, -1.0, 2.0),
            "How far the mean chord's leading edge lies behind the root's.",
        ),
    )
)
_MASSES = TableOf(
    (
        Field(
            "total",
            EstimateOf(Quantity(Dimension.MASS, 0.1, 25.0), Spread(Dimension.MASS, 5.0)),
            "All-up mass, as it flew.",
            required=True,
        ),
        Field("flown_maximum", Quantity(Dimension.MASS, 0.1, 25.0), "Greatest mass flown so far."),
        Field(
            "centre_of_gravity",
            CENTRE_OF_GRAVITY,
            "Where it balances, as it flew.",
        ),
        Field(
            "flown_range",
            Pair(_POSITION, _POSITION, '["25 % MAC", "32 % MAC"]'),
            "Foremost and rearmost centre of gravity flown so far.",
        ),
        Field("neutral_point", _POSITION, "Neutral point."),
        Field(
            "lateral",
            Quantity(Dimension.LENGTH, -0.5, 0.5),
            "Centre of gravity aside of the middle, right positive.",
        ),
    )
)
_STATION = TableOf(
    (
        Field("name", Text(60), "What sits here.", required=True),
        Field("mass", _MASS, "Its mass.", required=True),
        Field(
            "arm",
            Quantity(Dimension.LENGTH, -3.0, 3.0),
            "Where, from the mean chord's leading edge, aft positive.",
            required=True,
        ),
        Field("slide", Quantity(Dimension.LENGTH, 0.0, 1.0), "How far it can be moved."),
    )
)
_AERO = TableOf(
    (
        Field("zero_lift_drag", _coefficient(0.005, 0.2), "Drag coefficient without lift, CD0."),
        Field("span_efficiency", _coefficient(0.2, 1.1), "e in k = 1 / (pi e aspect ratio)."),
        Field("induced_factor", _coefficient(0.005, 0.5), "k itself, instead of span_efficiency."),
        Field("maximum_lift", _coefficient(0.4, 3.0), "Greatest lift coefficient, trimmed."),
        Field(
            "lift_at_least_drag",
            Quantity(Dimension.RATIO, -0.5, 1.0),
            "CL0 in CD0 + k (CL - CL0)^2.",
        ),
        Field("airspeed_factor", _coefficient(0.7, 1.3), "True over shown airspeed."),
    )
)
_PROPULSION = TableOf(
    (
        Field("efficiency", _EFFICIENCY, "Battery to thrust, in cruise."),
        Field("climb_efficiency", _EFFICIENCY, "Battery to thrust, at full power."),
        Field(
            "full_power",
            EstimateOf(Quantity(Dimension.POWER, 10, 20_000), Spread(Dimension.POWER, 5_000)),
            "What the motor draws at full throttle.",
        ),
        Field("avionics", Quantity(Dimension.POWER, 0, 500), "What everything else draws."),
        Field(
            "propeller_diameter",
            EstimateOf(Quantity(Dimension.LENGTH, 0.05, 1.0), Spread(Dimension.LENGTH, 0.3)),
            "Propeller diameter.",
        ),
    )
)
_BATTERY = TableOf(
    (
        Field("chemistry", Choice(Chemistry), "What the cells are made of."),
        Field("cells", Whole(1, 24), "Cells in series.", required=True),
        Field(
            "capacity",
            Quantity(Dimension.CHARGE, 0.1, 60),
            "Capacity of a new pack.",
            required=True,
        ),
        Field("usable", _coefficient(0.3, 1.0), "Share of the capacity that may be used."),
        Field(
            "resistance",
            EstimateOf(
                Quantity(Dimension.RESISTANCE, 0.001, 2.0),
                Spread(Dimension.RESISTANCE, 2.0),
                Quantity(Dimension.TEMPERATURE, -20, 60),
            ),
            "Resistance of the whole new pack (at 25 degC unless said).",
        ),
        Field("cut_off", Quantity(Dimension.CELL_VOLTAGE, 2.0, 3.8), "Least volts under load."),
        Field("lowest_tested", Quantity(Dimension.TEMPERATURE, -30, 40), "Coldest pack flown."),
    )
)
_SPEEDS = TableOf(
    (
        Field("cruise", AIRSPEED, "Airspeed on the route."),
        Field("climb", AIRSPEED, "Airspeed in the climb."),
        Field("climb_rate", Quantity(Dimension.SPEED, 0.2, 30), "Planned climb rate."),
        Field("base", AIRSPEED, "Airspeed on base leg."),
        Field("final", AIRSPEED, "Airspeed on final approach."),
    )
)
_GUIDANCE = TableOf(
    (
        Field("bank", Quantity(Dimension.ANGLE, 5, 70), "Greatest bank on the route."),
        Field("pattern_bank", Quantity(Dimension.ANGLE, 5, 60), "Bank in the landing pattern."),
        Field("pattern_height", HEIGHT, "Height of the landing pattern."),
        Field("pattern_side", Choice(Side), "To which side the pattern turns."),
        Field(
            "launch_point_first",
            Flag(),
            "Whether it keeps its launch point as item 0 of the route it stores.",
        ),
    )
)
_RELEASE_SPEED = EstimateOf(Quantity(Dimension.SPEED, 0, 40), Spread(Dimension.SPEED, 10))
_TAKEOFF = TableOf(
    (
        Field("along", Choice(TakeoffPath), "Which way a take-off item climbs."),
        Field("throw", _RELEASE_SPEED, "Hand launch: speed over the ground at release."),
        Field("release_speed", _RELEASE_SPEED, "Bungee or runway: speed over the ground."),
        Field("release_height", Quantity(Dimension.LENGTH, 0, 10), "Height at release."),
        Field("motor_delay", Quantity(Dimension.TIME, 0, 10), "From release to full power."),
    )
)
_LINK_LOSS = TableOf(
    (
        Field("after", Quantity(Dimension.TIME, 0, 1800), "How long it waits before acting."),
        Field("climb_first", Flag(), "Whether it climbs to the return height before returning."),
        Field("return_height", HEIGHT, "Height of the way home."),
        Field("airspeed", AIRSPEED, "Airspeed of the way home; else the cruise airspeed."),
        Field(
            "path",
            OneOf(Choice(ReturnPath), ListOf(Text(60), 1, 50)),
            "Which way: or the names of the points it returns over, in order.",
        ),
        Field("at_launch_point", Choice(AtLaunchPoint), "What it does when it has come home."),
        Field(
            "orbit_for",
            Quantity(Dimension.TIME, 1, 3600),
            "How long it orbits there: else once round, or until the pilot takes over.",
        ),
    )
)
_RADIO = TableOf(
    (
        Field(
            "frequency",
            Quantity(Dimension.FREQUENCY, 30, 6000),
            "Carrier frequency.",
            required=True,
        ),
        Field("power", Quantity(Dimension.POWER, 0.001, 10), "Transmitter power.", required=True),
        Field(
            "gain",
            Pair(
                Quantity(Dimension.GAIN, -20, 40),
                Quantity(Dimension.GAIN, -20, 40),
                '["2 dBi", "2 dBi"]',
            ),
            "Antenna gains, aircraft and ground.",
            required=True,
        ),
        Field("losses", Quantity(Dimension.LOSS, 0, 40), "Cable losses of both ends."),
        Field(
            "sensitivity",
            Quantity(Dimension.LEVEL, -160, -40),
            "Least level the receiver needs.",
            required=True,
        ),
        Field("antenna_height", Quantity(Dimension.LENGTH, 0, 100), "Ground antenna above ground."),
    )
)
_LEARNED = TableOf(
    (
        Field("names", ListOf(Text(60), 1, 20), "What was learned, in order.", required=True),
        Field("mean", ListOf(Number(), 1, 20), "Their means, SI units.", required=True),
        Field(
            "covariance",
            ListOf(ListOf(Number(), 1, 20), 1, 20),
            "Lower triangle of their covariance, row by row.",
            required=True,
        ),
        Field("flights", Whole(1, 100_000), "How many flights taught it.", required=True),
        Field("valid", Text(), "Mass, speed and pack temperature it holds for.", required=True),
        Field("from", Text(), "Which flights.", required=True),
    )
)
_CHANGED_LIMIT = TableOf(
    (
        Field("row", Text(40), "The row's name, such as reserve.charge.", required=True),
        Field("want", Text(40), 'The new limit for GO, such as "15 %".'),
        Field("hard", Text(40), "The new limit beyond which it is NO-GO."),
        Field("by", Text(60), "Who changed it.", required=True),
        Field("on", Text(40), "When.", required=True),
        Field("reason", Text(), "Why.", required=True),
    )
)
CHANGED_LIMITS = TableOf((Field("changed", ListOf(_CHANGED_LIMIT, 0, 40), "Changed limits."),))
_FLOWN = TableOf(
    (
        Field("on", TIME, "When it was flown.", required=True),
        Field("minutes", Number(0.5, 600.0), "How long it flew.", required=True),
        Field(
            "charged",
            Quantity(Dimension.CHARGE, 0.01, 60),
            "What the charger put back.",
            required=True,
        ),
        Field("release", Text(6), "The release it was flown on, where it was noted."),
    )
)
AIRCRAFT = TableOf(
    (
        Field("schema", AIRCRAFT_SCHEMA, 'Write "homeleg/aircraft/1".', required=True),
        Field("name", Text(60), "What the aircraft is called.", required=True),
        Field("plan", Choice(BodyPlan), "How wing, tail and motor are arranged.", required=True),
        Field("flights", Whole(0, 100_000), "Flights made, as declared."),
        Field("cards", ListOf(Text(60), 0, 60), "Flight-test cards flown, such as trim or stall."),
        Field("launch", Choice(LaunchMethod), "How it leaves the ground.", required=True),
        Field("wing", _WING, "Wing geometry.", required=True),
        Field("mass", _MASSES, "Mass and balance as recorded.", required=True),
        Field("stations", ListOf(_STATION, 0, 60), "Things on board that can be moved."),
        Field("aero", _AERO, "Lift and drag, where known."),
        Field("propulsion", _PROPULSION, "Motor and propeller, where known."),
        Field("battery", _BATTERY, "The kind of pack.", required=True),
        Field("speeds", _SPEEDS, "Planned speeds."),
        Field("guidance", _GUIDANCE, "Limits the autopilot flies by."),
        Field("takeoff", _TAKEOFF, "How it leaves, as stated."),
        Field("link_loss", _LINK_LOSS, "What it does when the control link is lost, as stated."),
        Field("radio", _RADIO, "The control link's radio."),
        Field("learned", _LEARNED, "What flights taught."),
        Field("limits", CHANGED_LIMITS, "Limits of the verdict that the owner changed."),
        Field("flown", ListOf(_FLOWN, 0, 1000), "Earlier flights: minutes and charge put back."),
    )
)
