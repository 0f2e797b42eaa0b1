"""Is an ordinary good day GO, and each planted fault NO-GO with its cause first?

`python -m benchmarks.acceptance RESULTS [SORTIES]` checks sorties 0 to SORTIES - 1 (300), each as
it is (set A) and with one planted fault (set B), at 512 flights, more where a share is undecided.
Every check adds a line of JSON to RESULTS; what stands there is not computed again, so a run may be
broken off and taken up. It then prints what `docs/validation.md` tells of them.
"""

import json
import sys
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from benchmarks.ordinary_sorties import draw_sortie
from benchmarks.planted_faults import FAULTS, fault_of
from homeleg.desk.check import check_sortie
from homeleg.foundation.errors import HomelegError
from homeleg.verdict.judging import wilson

SEED, MEMBERS, SORTIES = 12, 512, 300
WORDS = ("GO", "MARGINAL", "NO-GO", "refused")
Result = dict[str, Any]


def check_one(number: int, which: str) -> Result:
    """Return the verdict on a sortie of set A or B; one that is refused says why."""
    fault = fault_of(number)
    drawn = draw_sortie(number, SEED, fault.needs)
    drawn = fault.plant(drawn) if which == "B" else drawn
    result: Result = {
        "number": number,
        "set": which,
        "fault": fault.name,
        "aircraft": str(drawn.aircraft["name"]),
        "shape": drawn.shape,
        "wind_m_s": drawn.wind_m_s,
    }
    begun = time.perf_counter()
    with TemporaryDirectory() as folder:
        try:
            verdict = check_sortie(drawn.write(Path(folder)), members=MEMBERS).verdict
        except HomelegError as error:
            return result | {"word": "refused", "why": str(error), "reasons": []}
    return result | {
        "word": verdict.word.value,
        "members": verdict.members,
        "seconds": round(time.perf_counter() - begun, 1),
        "reasons": [
            [one.row, one.status.value, one.cause, one.value, one.act]
            for one in verdict.reasons[:4]
        ],
    }


def is_caught(result: Result) -> bool:
    """Return whether the planted fault is what the verdict names first."""
    fault = next(one for one in FAULTS if one.name == result["fault"])
    first = next(iter(result["reasons"]), None)
    return first is not None and fault.is_named_by(first[0], first[2])


def run(path: Path, sorties: int) -> list[Result]:
    """Return the results of both sets, computing and adding to the file what it does not hold."""
    lines = path.read_text(encoding="utf-8").splitlines() if path.exists() else []
    done = {(one["number"], one["set"]): one for one in map(json.loads, lines)}
    for number in range(sorties):
        for which in "AB":
            if (number, which) not in done:
                result = check_one(number, which)
                done[number, which] = result
                with path.open("a", encoding="utf-8") as file:
                    file.write(json.dumps(result) + "\n")
    return [done[number, which] for number in range(sorties) for which in "AB"]


def shares(results: list[Result]) -> str:
    """Return what was reached of each goal, with the interval of nine in ten on each side."""
    ordinary, planted = ([one for one in results if one["set"] == which] for which in "AB")
    goals = (
        ("ordinary sorties that are GO", ordinary, _is("GO"), "at least 65 %"),
        ("ordinary sorties that are MARGINAL", ordinary, _is("MARGINAL"), "at most 20 %"),
        ("planted faults that are NO-GO", planted, _is("NO-GO"), "at least 97 %"),
        ("planted faults named first", planted, is_caught, "at least 90 %"),
    )
    lines = ["| goal | wanted | reached | share | 9 in 10 |", "|---|---|---:|---:|---:|"]
    for name, group, holds, wanted in goals:
        count = sum(map(holds, group))
        share = wilson(count, len(group))
        between = f"{100.0 * share.low:.0f} to {100.0 * share.high:.0f} %"
        reached = f"{count} of {len(group)} | {100.0 * share.value:.0f} % | {between}"
        lines.append(f"| {name} | {wanted} | {reached} |")
    return "\n".join(lines)


def _is(word: str) -> Callable[[Result], bool]:
    return lambda one: bool(one["word"] == word)


def table(results: list[Result]) -> str:
    """Return the confusion table of both sets, and of set B fault by fault, as Markdown."""
    lines = [
        "| set | sorties | GO | MARGINAL | NO-GO | refused | cause first |",
        "|---|" + "---:|" * 6,
    ]
    groups = [("A, ordinary", [one for one in results if one["set"] == "A"])]
    planted = [one for one in results if one["set"] == "B"]
    groups.append(("B, a fault planted", planted))
    groups += [(f"B: {f.name}", [x for x in planted if x["fault"] == f.name]) for f in FAULTS]
    for name, group in groups:
        words = Counter(one["word"] for one in group)
        caught = sum(map(is_caught, group)) if name.startswith("B") else "-"
        cells = " | ".join(str(words[word]) for word in WORDS)
        lines.append(f"| {name} | {len(group)} | {cells} | {caught} |")
    return "\n".join(lines)


def exceptions(results: list[Result]) -> str:
    """Return, counted, what is named first where set A is not GO and where set B is not caught."""
    odd = Counter(
        (one["set"], one["fault"] if one["set"] == "B" else "-", one["word"], *_first(one))
        for one in results
        if (one["set"] == "A" and one["word"] != "GO")
        or (one["set"] == "B" and not (one["word"] == "NO-GO" and is_caught(one)))
    )
    rows = (" | ".join(map(str, (*key, count))) for key, count in sorted(odd.items()))
    return "\n".join(
        ["| set | fault | word | row | cause | sorties |", "|---|---|---|---|---|---:|"]
        + [f"| {row} |" for row in rows]
    )


def _first(result: Result) -> tuple[str, str]:
    reasons = result["reasons"]
    return (reasons[0][0], reasons[0][2]) if reasons else ("-", "-")


def main(path: Path, sorties: int) -> None:
    results = run(path, sorties)
    print(f"Sorties 0 to {sorties - 1}, seed {SEED}, {MEMBERS} flights or more each\n")
    print(shares(results), table(results), exceptions(results), sep="\n\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else SORTIES)
