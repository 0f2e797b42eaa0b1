"""Do ordinary newcomers on an ordinary good day reach a fair verdict, and bad ones a NO-GO?

`python -m benchmarks.newcomers [NUMBER ...]` answers the questions of the guided screens for each
newcomer below: what the newcomer knows, else what is offered, else "don't know". The files that
come of it are checked in full; the seeds are fixed. The figures of the aircraft are ours (MEMORY:
usual sizes of such aircraft), no two alike, all within what people fly.
"""

import sys
import tempfile
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from homeleg.app.questions import DONT_KNOW, Question, read_answers
from homeleg.app.screens.aircraft import QUESTIONS as ABOUT_THE_AIRCRAFT
from homeleg.app.screens.new_sortie import QUESTIONS as ABOUT_THE_SORTIE
from homeleg.desk.base import Base, make_base
from homeleg.desk.check import check_sortie
from homeleg.desk.field_need import field_need, lower_the_pattern
from homeleg.desk.guide import keep_aircraft
from homeleg.desk.guided_sortie import keep_sortie
from homeleg.foundation.errors import InputFileError, OutOfModelError
from homeleg.verdict.limits import RowKind
from homeleg.verdict.result import Row, Status, Verdict

NOW = datetime(2026, 6, 9, 10, 0, tzinfo=UTC)
PLACE = "52.0000 N, 5.0000 E, 20 m"
FACE = "wind felt on the face, leaves rustle"  # force 2
TWIGS = "leaves and small twigs move all the time"  # force 3
CALM = "smoke drifts, vanes stay still"  # force 1
SWAY = "small trees in leaf sway"  # force 5


@dataclass(frozen=True)
class Newcomer:
    """Who comes, and what they know of aircraft and day; the rest is offered or not known."""

    words: str
    knows: Mapping[str, str]


def newcomer(words: str, **knows: str) -> Newcomer:
    always = {"flights": "10", "place": PLACE, "from": "SW", "gusty": "no", "kept": "room"}
    return Newcomer(words, {**always, **{name.replace("_", "-"): a for name, a in knows.items()}})


def pusher(**more: str) -> dict[str, str]:
    return {
        "plan": "tail-boom pusher", "span": "1.90 m", "chord": "245 mm", "mass": "2.60 kg",
        "pack": "4S 10 Ah", **more,
    }  # fmt: skip


def front_motor(**more: str) -> dict[str, str]:
    return {
        "plan": "front motor with tail", "span": "1.40 m", "chord": "205 mm", "mass": "1.30 kg",
        "pack": "3S 3.3 Ah", **more,
    }  # fmt: skip


def wing(**more: str) -> dict[str, str]:
    return {
        "plan": "flying wing", "span": "1.00 m", "chord": "270 mm", "mass": "0.90 kg",
        "pack": "3S 2.2 Ah", **more,
    }  # fmt: skip


def glider(**more: str) -> dict[str, str]:
    return {
        "plan": "long-span glider type", "span": "2.60 m", "chord": "190 mm", "mass": "1.80 kg",
        "pack": "3S 4 Ah", **more,
    }  # fmt: skip


# From a kit, whose maker says where it balances; others put theirs together.
PUSHER_KIT = {"balance": "68 mm", "balance-range": "60 to 78 mm"}
FRONT_KIT = {"balance": "55 mm", "balance-range": "48 to 64 mm"}
GLIDER_KIT = {"balance": "60 mm", "balance-range": "50 to 70 mm"}
ORDINARY = (
    newcomer(
        "pusher at a run, circuit", **pusher(launch="hand, at a run", sign=FACE), **PUSHER_KIT
    ),
    newcomer(
        "pusher on a bungee, loop",
        **pusher(launch="bungee", sign=TWIGS, shape="loop"),
        **PUSHER_KIT,
    ),
    newcomer("front motor by hand, loop", **front_motor(launch="hand", sign=FACE, shape="loop")),
    newcomer(
        "front motor on a runway",
        **front_motor(launch="runway", sign=TWIGS, field="large"),
        **FRONT_KIT,
    ),
    newcomer("flying wing by hand", **wing(launch="hand", sign=TWIGS)),
    newcomer(
        "flying wing, balance told at the body",
        **wing(launch="hand, at a run", sign=FACE, balance="95 mm", sweep="45 mm", shape="loop"),
    ),
    newcomer("glider by hand, calm", **glider(launch="hand", sign=CALM), **GLIDER_KIT),
    newcomer("glider at a run, out and back", **glider(sign=FACE, shape="out and back")),
    newcomer(
        "small front motor, cool day",
        **{
            **front_motor(sign=FACE, temperature="cold"),
            "span": "1.10 m", "chord": "180 mm", "mass": "0.80 kg", "pack": "3S 1.8 Ah",
        },
    ),
    newcomer(
        "pusher 3.6 kg on a runway, out and back",
        **{
            **pusher(launch="runway", sign=TWIGS, shape="out and back", field="large"),
            "balance": "76 mm", "balance-range": "66 to 88 mm",
            "span": "2.20 m", "chord": "270 mm", "mass": "3.60 kg", "pack": "6S 8 Ah",
        },
    ),
)  # fmt: skip
BAD = (
    newcomer("front motor at twice its mass", **{**front_motor(sign=FACE), "mass": "2.60 kg"}),
    newcomer("glider in small trees swaying", **glider(sign=SWAY, gusty="yes")),
    newcomer("pusher on a pack for toys", **{**pusher(sign=FACE), "pack": "4S 450 mAh"}),
)


def answered(questions: Sequence[Question], knows: Mapping[str, str]) -> dict[str, str]:
    """Return the answers given, as the screens hand them on; raises ValueError when refused."""
    fields: dict[str, str] = {}
    while (answers := read_answers(questions, fields)).asked is not None:
        asked = answers.asked
        if answers.refused:
            raise ValueError(f"{asked.name}: {answers.typed} is refused: {answers.refused}")
        offered = answers.offered
        text = knows.get(asked.name) or (offered.value if offered else DONT_KNOW)
        fields[asked.name] = text
    return {name: text for name, text in answers.given.items() if text is not None}


def verdict_of(base: Base, who: Newcomer) -> Verdict:
    """Return the verdict that the guided screens lead a newcomer to."""
    aircraft = keep_aircraft(base, answered(ABOUT_THE_AIRCRAFT, who.knows))
    sortie = keep_sortie(base, aircraft, answered(ABOUT_THE_SORTIE, who.knows), NOW)
    path = base.sorties / sortie / "sortie.toml"
    need = field_need(path)
    if need is not None and need.lower_m is not None:
        lower_the_pattern(path, need)
    return check_sortie(path).verdict


def line_of(verdict: Verdict) -> str:
    """Return the word, and what stands against GO with its figure and what it wants."""
    against = (Status.NO_GO, Status.MARGINAL, Status.NOT_ANSWERED)
    rows = [row for row in verdict.rows if row.limit.kind is RowKind.FLOWN]
    shown = [row for row in rows if row.status in against]
    return f"{verdict.word.value:9} {'; '.join(map(told, shown))}"


def told(row: Row) -> str:
    """Return a row in a line: its reading, what it wants, who fails, why, and what would mend."""
    reading = "-" if row.reading is None else f"{row.reading:.3g}"
    beyond = 0.0 if row.share_beyond_hard is None else 100.0 * row.share_beyond_hard.value
    return (
        f"{row.limit.slug} {row.status.value} {reading} (wants {row.want}, hard {row.hard}; "
        f"{beyond:.1f} % beyond; {row.cause}: {row.act})"
    )


def main(numbers: Sequence[int]) -> None:
    """Print a line a newcomer, and how many got which word."""
    words: Counter[str] = Counter()
    for number, who in enumerate((*ORDINARY, *BAD), start=1):
        if numbers and number not in numbers:
            continue
        with tempfile.TemporaryDirectory() as folder:
            try:
                verdict = verdict_of(make_base(Path(folder) / "base"), who)
            except (InputFileError, OutOfModelError, ValueError) as error:
                words["ERROR"] += 1
                print(f"{number:2} {who.words:40} ERROR {error}", flush=True)
                continue
        words[verdict.word.value] += 1
        print(f"{number:2} {who.words:40} {line_of(verdict)}", flush=True)
    print(dict(words))


if __name__ == "__main__":
    main([int(text) for text in sys.argv[1:]])
