"""A comparison and an export as text, on one screen."""

import textwrap
from collections.abc import Iterator
from pathlib import Path

from homeleg.cli.text import WIDTH
from homeleg.desk.compare import Compared, Consequence
from homeleg.desk.export import Exported
from homeleg.foundation.counted import counted
from homeleg.release.comparison import End
from homeleg.release.release import Stage

__all__ = ["KEPT", "compared_text", "exported_text"]

_MOST = 12
_LEAST_SAID_M = 0.0005

KEPT = "Kept beside the release: homeleg show says how the route aboard stands."
_IN_A_FILE = (
    "It proves what was in the file, not what the aircraft holds nor how it will fly. Settings are "
    "not in it: read them aloud."
)


def compared_text(compared: Compared, proves: str = _IN_A_FILE, *, kept: str) -> str:
    """Return the end, the differences with the worst first, and what they would do.

    `proves` says what SAME stands for and what not, `kept` whether it was kept beside the release.
    """
    lines = [_end(compared), *_differences(compared), *_not_told(compared)]
    if compared.consequence is not None:
        lines += _consequence(compared.consequence)
    lines += compared.comparison.remarks
    if compared.comparison.end is End.SAME:
        lines.append(proves)
    lines.append(kept)
    return _filled(lines)


def exported_text(exported: Exported, out: Path) -> str:
    """Return what was written, what its heights are above, and what it does not hold."""
    release = exported.release
    count = counted(len(release.route.items), "item")
    heights = {item.height.above.value for item in release.route.items if item.height is not None}
    lines = [
        f"Wrote {out}: the {count} of release {release.code}, WGS 84.",
        f"Heights were released as {' and '.join(sorted(heights)) or 'nothing'}.",
        *(f"Not as released: {words}." for words in exported.losses),
        "What another program makes of it is not known: fetch it back and compare.",
    ]
    return _filled(lines)


def _end(compared: Compared) -> str:
    comparison, stage = compared.comparison, compared.release.stage
    what = "release" if stage is Stage.RELEASE else "plan, not released,"
    code = f"{what} {compared.release.code}"
    count = len(comparison.differences)
    match comparison.end:
        case End.SAME:
            rounding = f", after rounding of at most {100.0 * comparison.rounding_m:.1f} cm"
            return f"SAME as {code}{rounding if _is_rounded(compared) else ''}."
        case End.NOT_THE_SAME:
            return f"NOT THE SAME as {code}: {count} difference{'s'[: count != 1]}."
        case End.CANNOT_TELL:
            return f"CANNOT TELL whether it is {code}: no difference in what it holds."


def _is_rounded(compared: Compared) -> bool:
    return compared.comparison.rounding_m > _LEAST_SAID_M


def _differences(compared: Compared) -> Iterator[str]:
    differences = compared.comparison.differences
    for number, one in enumerate(differences[:_MOST], start=1):
        yield f"{number:3d} {one.sentence}"
    if len(differences) > _MOST:
        yield f"    and {len(differences) - _MOST} more: --json holds them all"


def _not_told(compared: Compared) -> Iterator[str]:
    names = ", ".join(aspect.value for aspect in compared.comparison.unproven)
    if names:
        yield f"It cannot tell: {names}. Read them aloud from the aircraft, against homeleg show."


def _consequence(consequence: Consequence) -> Iterator[str]:
    if consequence.after is None:
        yield f"What was found cannot be flown in computation. {consequence.not_flown}"
        return
    word = f"{consequence.before} as released, {consequence.after} as found"
    yield f"Flown in computation: {word}."
    for row in consequence.rows:
        cause = f" Cause: {row.cause}." if row.cause else ""
        yield f"    {row.title}: {row.after}, as released {row.before}.{cause}"
    if not consequence.rows:
        yield "    No row of the verdict changes its status. It is another route all the same."


def _filled(lines: list[str]) -> str:
    return "\n".join(textwrap.fill(line, WIDTH, subsequent_indent="    ") for line in lines) + "\n"
