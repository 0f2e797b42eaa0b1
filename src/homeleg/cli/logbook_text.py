"""The logbook as text for a terminal."""

import textwrap
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from homeleg.desk.logbook_keep import Merged, Rescued
    from homeleg.desk.logbook_view import LogbookView
    from homeleg.logbook.chain import ChainFindings

__all__ = ["findings_text", "logbook_text", "merged_text", "rescued_text"]

_WIDTH = 96
_LATEST = 10
_FEW = 8
_SETTLE = "  Settled by: homeleg logbook done CODE, deferral CODE, answer CODE WHAT"


def logbook_text(view: "LogbookView", folder: Path, *, all_rows: bool) -> str:
    """Return what is open, the aircraft and packs, and the latest entries, or all."""
    count = len(view.rows)
    books = "" if view.books < 2 else f" in {view.books} books"
    lines = [f"Logbook of {folder}: {count} {'entry' if count == 1 else 'entries'}{books}.", ""]
    lines += _part(
        "Open",
        [("!" if one.stops else " ") + f" {one.entry.code}  {one.words}" for one in view.open],
    )
    if view.open:
        lines[-1:] = [_SETTLE, ""]
    lines += _part("Aircraft", _aircraft(view))
    lines += _part("Packs", [f"  {pack.name}: {words}" for pack, words in view.packs])
    lines += _part("Papers", [f"  {paper.entry.code}  {words}" for paper, words in view.papers])
    rows = view.rows if all_rows else view.rows[:_LATEST]
    lines += _part(
        "Entries" if all_rows else "Latest",
        [f"  {entry.code}  {entry.at:%Y-%m-%d %H:%MZ}  {words}" for entry, words in rows],
    )
    if len(rows) < count:
        lines += [f"and {count - len(rows)} more: homeleg logbook show --all", ""]
    return "\n".join(lines).rstrip("\n") + "\n"


def findings_text(findings: "ChainFindings") -> str:
    """Return whether the books are whole, and where they are not."""
    lines = [
        f"Book {book.name}: {book.entries} {'entry' if book.entries == 1 else 'entries'}, the last "
        f"{book.last.code}, {book.last.at:%Y-%m-%d}, {book.last.digest}"
        for book in findings.books
    ]
    if findings.breaks:
        lines += ["NOT WHOLE.", *findings.breaks]
    else:
        lines.append("Whole: every entry is as it was written, and none is missing between two.")
    lines += findings.oddities
    return "".join(f"{_wrapped(line)}\n" for line in lines)


def merged_text(merged: "Merged", other: Path) -> str:
    """Return what was taken over, and what differs."""
    files = merged.files[:_FEW]
    lines = [
        f"{_count(merged.entries, 'entry', 'entries')} and "
        f"{_count(len(merged.files), 'file', 'files')} taken over from {other}.",
        *(f"  {name}" for name in files),
    ]
    if len(merged.files) > len(files):
        lines.append(f"  and {len(merged.files) - len(files)} more")
    if merged.differ:
        lines.append("Another text there than here, and left as they are in both places:")
        lines += [f"  {name}" for name in merged.differ]
    return "\n".join(lines) + "\n" + findings_text(merged.findings)


def rescued_text(rescued: "Rescued", path: Path, new: Path) -> str:
    """Return what was saved and what to do with it."""
    lines = [f"{_count(rescued.entries, 'entry', 'entries')} saved into {new}."]
    lines += [f"Met on the way: {one}" for one in rescued.trouble]
    end = (
        f"{path} is as it was. To go on with what was saved, move it away and put {new} in its "
        "place; what another laptop or an export still has comes back with: homeleg logbook merge."
    )
    return "\n".join(lines) + "\n" + findings_text(rescued.findings) + f"{_wrapped(end)}\n"


def _aircraft(view: "LogbookView") -> list[str]:
    lines = []
    for one in view.aircraft:
        lines.append(f"  {one.name}: {one.words}.")
        if one.changed:
            lines.append("    Changed since the last flight:")
        lines += [f"      {words}" for _, words in one.changed]
    return lines


def _part(title: str, lines: list[str]) -> list[str]:
    return [title, *map(_wrapped, lines), ""] if lines else []


def _wrapped(line: str) -> str:
    indent = " " * (len(line) - len(line.lstrip()) + 2)
    return textwrap.fill(line, _WIDTH, subsequent_indent=indent, drop_whitespace=True)


def _count(number: int, one: str, more: str) -> str:
    return f"{number} {one if number == 1 else more}"
