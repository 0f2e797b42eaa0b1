"""Starting files for a new aircraft and a new sortie: what is asked, and the text that results.

An answer is text as the file holds it ("1.90 m"). What is not known stays out of the file, with a
remark that says what is then assumed.
"""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

_WHOLE = re.compile(r"[0-9]{1,9}")


class Form(Enum):
    """How an answer stands in the file."""

    TEXT = "text"
    NUMBER = "number"
    PAIR = "two texts, with a comma between"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One question about a new file: option, place in the file, words, and an example.

    `unknown` says what is assumed without an answer; None means that an answer is needed.
    """

    option: str
    table: str
    key: str
    words: str
    example: str
    unknown: str | None = None
    form: Form = Form.TEXT


_PRIOR = "assumed from the body plan, with a wide spread"

AIRCRAFT_ASKS = (
    Ask(
        option="name",
        table="",
        key="name",
        words="What is the aircraft called?",
        example="Petrel",
    ),
    Ask(
        option="plan",
        table="",
        key="plan",
        words="Body plan: tail-boom pusher, front motor with tail, flying wing, or long-span "
        "glider type?",
        example="tail-boom pusher",
    ),
    Ask(
        option="flights",
        table="",
        key="flights",
        words="How many flights has it made?",
        example="0",
        unknown="none: it is treated as never flown",
        form=Form.NUMBER,
    ),
    Ask(
        option="launch",
        table="",
        key="launch",
        words="How is it launched: hand, bungee or runway?",
        example="hand",
    ),
    Ask(
        option="span",
        table="wing",
        key="span",
        words="Wing span, tip to tip?",
        example="1.90 m",
    ),
    Ask(
        option="area",
        table="wing",
        key="area",
        words="Wing area?",
        example="0.460 m2",
        unknown="computed from span and mean chord, one of the two is needed",
    ),
    Ask(
        option="chord",
        table="wing",
        key="mean_chord",
        words="Mean chord of the wing?",
        example="245 mm",
        unknown="computed from span and area",
    ),
    Ask(
        option="sweep",
        table="wing",
        key="mean_chord_behind_root",
        words="How far does the mean chord begin behind the front edge at the body?",
        example="90 mm",
        unknown="a flying wing then balances where it is told in % MAC; others have no sweep",
    ),
    Ask(
        option="mass",
        table="mass",
        key="total",
        words="All-up mass, pack and payload on board?",
        example="2.60 kg",
    ),
    Ask(
        option="flown-maximum",
        table="mass",
        key="flown_maximum",
        words="Greatest mass it has flown at, or its maker's limit?",
        example="2.60 kg",
        unknown="the all-up mass",
    ),
    Ask(
        option="balance",
        table="mass",
        key="centre_of_gravity",
        words="Where does it balance?",
        example="28.5 % MAC",
        unknown=_PRIOR,
    ),
    Ask(
        option="balance-range",
        table="mass",
        key="flown_range",
        words="Foremost and rearmost balance it has flown with, or its maker's limits?",
        example="25 % MAC, 32 % MAC",
        unknown="how far back is too far stays an open question, save for a flying wing",
        form=Form.PAIR,
    ),
    Ask(
        option="full-power",
        table="propulsion",
        key="full_power",
        words="Electrical power at full throttle?",
        example="420 W",
        unknown=_PRIOR,
    ),
    Ask(
        option="cells",
        table="battery",
        key="cells",
        words="Pack: how many cells in series?",
        example="4",
        form=Form.NUMBER,
    ),
    Ask(
        option="capacity",
        table="battery",
        key="capacity",
        words="Pack: capacity on its label?",
        example="10 Ah",
    ),
    Ask(
        option="resistance",
        table="battery",
        key="resistance",
        words="Resistance of the whole pack?",
        example="30 mohm",
        unknown="assumed from the capacity, with a wide spread",
    ),
    Ask(
        option="cruise",
        table="speeds",
        key="cruise",
        words="Planned cruise airspeed, and which airspeed it is?",
        example="15.5 m/s TAS",
        unknown="proposed from the stall speed",
    ),
    Ask(
        option="release-speed",
        table="takeoff",
        key="throw",
        words="Speed over the ground when it leaves the hand, the bungee or the runway?",
        example="8 m/s",
        unknown="assumed from the launch method",
    ),
    Ask(
        option="motor-delay",
        table="takeoff",
        key="motor_delay",
        words="Time from release to full power?",
        example="0 s",
        unknown="0.3 s",
    ),
)

SORTIE_ASKS = (
    Ask(
        option="flown-by",
        table="",
        key="flown_by",
        words="Who flies: hand, assisted or route?",
        example="assisted",
        unknown="assisted",
    ),
    Ask(
        option="launch-point",
        table="site",
        key="launch_point",
        words="Launch point, latitude and longitude?",
        example="55.0000 N, 5.0000 W",
        form=Form.PAIR,
    ),
    Ask(
        option="elevation",
        table="site",
        key="elevation",
        words="Elevation of the launch point?",
        example="35 m AMSL",
    ),
    Ask(
        option="strip-length",
        table="site.strip",
        key="length",
        words="Length of open ground to land in?",
        example="250 m",
    ),
    Ask(
        option="strip-direction",
        table="site.strip",
        key="direction",
        words="Direction of landing, degrees true?",
        example="225 deg",
        unknown="open in every direction: into the wind",
    ),
    Ask(
        option="ground",
        table="site.ground",
        key="by_eye",
        words="How flat is the ground, by eye?",
        example="flat within 5 m",
    ),
    Ask(
        option="ground-radius",
        table="site.ground",
        key="radius",
        words="Out to which distance did you look at it?",
        example="1200 m",
    ),
    Ask(
        option="temperature",
        table="weather",
        key="temperature",
        words="Air temperature?",
        example="14 degC",
    ),
    Ask(
        option="wind",
        table="weather.surface_wind",
        key="value",
        words="Surface wind: speed, and degrees true that it blows from?",
        example="5.0 m/s from 225",
    ),
    Ask(
        option="gust",
        table="weather.surface_wind",
        key="gust",
        words="Strongest gust seen?",
        example="6.5 m/s",
        unknown="drawn from the mean wind",
    ),
    Ask(
        option="wind-height",
        table="weather.surface_wind",
        key="at",
        words="Height above ground at which the wind was taken?",
        example="2 m",
        unknown="2 m, an anemometer held in the hand",
    ),
    Ask(
        option="wind-seen",
        table="weather.surface_wind",
        key="seen",
        words="When was the wind seen (UTC)?",
        example="2026-06-09 16:45Z",
        unknown="now",
    ),
    Ask(
        option="launch-time",
        table="time",
        key="launch",
        words="When is the launch (UTC)?",
        example="2026-06-09 17:00Z",
        unknown="the second quarter of an hour from now",
    ),
    Ask(
        option="pack-temperature",
        table="pack",
        key="temperature",
        words="Temperature of the pack?",
        example="18 degC",
        unknown="the air's, with a wide spread",
    ),
)


_EVERYWHERE = (
    "Every quantity carries its unit, every height what it is above. Change what you know better."
)
AIRCRAFT_REMARKS = (
    "An aircraft, as its owner knows it.",
    _EVERYWHERE,
    "More that can stand here: [aero] [guidance] [takeoff] [link_loss] [radio] [limits],",
    '[[stations]] [[flown]]. Estimates take a spread: { value = "2.60 kg", sd = "0.02 kg" }.',
)
SORTIE_REMARKS = (
    "A sortie: one intended flight.",
    _EVERYWHERE,
    "More that can stand here: [loading] [rules] [told] [limits], and [[weather.layers]].",
)


def starting_text(
    remarks: tuple[str, ...],
    top: Mapping[str, str],
    asks: tuple[Ask, ...],
    answers: Mapping[str, str],
) -> str:
    """Return a commented TOML file: remarks, ready-made keys, then the answers by option name.

    Answers that are missing leave a remark in place of their key.
    """
    lines = [*(f"# {remark}" for remark in remarks), ""]
    lines += [f"{key} = {quoted(value)}" for key, value in top.items()]
    table = ""
    for ask in asks:
        if ask.table != table:
            table = ask.table
            lines += ["", f"[{table}]"]
        lines += _entry(ask, answers.get(ask.option))
    return "\n".join(lines) + "\n"


def _entry(ask: Ask, answer: str | None) -> list[str]:
    if answer is None:
        return [
            f"# {ask.key} = {toml_value(ask, ask.example)}",
            f"#   not known: {ask.unknown}",
        ]
    return [f"{ask.key} = {toml_value(ask, answer)}  # {ask.words}"]


def toml_value(ask: Ask, answer: str) -> str:
    """Return an answer as it stands in the file; a number that is none, as the text it is."""
    if ask.form is Form.NUMBER and _WHOLE.fullmatch(answer):
        return str(int(answer))
    if ask.form is Form.PAIR:
        return "[" + ", ".join(quoted(part.strip()) for part in answer.split(",")) + "]"
    return quoted(answer)


def quoted(value: str) -> str:
    """Return a text as TOML writes it."""
    # A JSON string is a TOML basic string too, save for DEL, which JSON leaves as it is.
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
