"""A release as text: who may fly what until when, and the route to be read aloud."""

import textwrap
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from homeleg.cli.text import WIDTH
from homeleg.foundation.stated_text import shown_time
from homeleg.release.read_aloud import item_words, place_words
from homeleg.release.refusals import ROUTE_NOT_COVERED, after_release
from homeleg.release.release import Release, Stage
from homeleg.verdict.result import Verdict

__all__ = ["release_page", "written_line"]

_NOT_READ = (
    "Code and seal tell that a file was changed, not who wrote it. No aircraft was asked: compare "
    "what it holds with this."
)


def written_line(release: Release, path: Path, verdict: Verdict) -> str:
    """Return the sentences that tell where a release was written, and what comes before launch."""
    until = shown_time(release.valid_until)
    if release.stage is Stage.PLAN:
        return (
            f"Wrote {path}: a plan, not released. At the field: homeleg release {path} with what "
            "is told there.\n"
        )
    lines = [f"Released as {release.code}, to launch until {until}: {path}."]
    lines += [f"Before launch: {item.ask}" for item in after_release(verdict)]
    return "\n".join(lines) + "\n"


def release_page(release: Release, now: datetime) -> str:
    """Return the whole release on one page of text."""
    blocks = [_head(release, now), _route(release), list(_settings(release)), _before(release)]
    blocks += [[*release.answer["cautions"][:1], _NOT_READ]]
    filled = (
        "\n".join(textwrap.fill(line, WIDTH, subsequent_indent="  ") for line in block)
        for block in blocks
        if block
    )
    return "\n\n".join(filled) + "\n"


def _head(release: Release, now: datetime) -> list[str]:
    what = "Release" if release.stage is Stage.RELEASE else "Plan, not released:"
    lines = [f"{what} {release.code}: {release.answer['headline']}"]
    if release.override is not None:
        by, reason = release.override.name, release.override.reason
        lines.append(f"{release.word}, flown on the decision of {by}: {reason}")
        lines.append(ROUTE_NOT_COVERED)
    until = shown_time(release.valid_until)
    passed = " It has expired: release the sortie again." if release.has_expired(now) else ""
    lines.append(f"To launch until {until}.{passed}")
    lines += [
        f"Signed by {one.words}{', who read it back' if one.read_back else ''}."
        for one in release.signatures
    ]
    lines.append(f"Digest {release.digest}, verified.")
    return lines


def _route(release: Release) -> list[str]:
    route = release.route
    lines = ["The route, to be read aloud against what the aircraft holds:"]
    if route.launch_point is not None:
        lines.append(f"    {place_words(route.launch_point)}")
    return lines + [f"{n:3d} {item_words(item)}" for n, item in enumerate(route.items, start=1)]


def _settings(release: Release) -> Iterator[str]:
    settings: Any = release.frozen["settings"]
    loss = settings["link_loss"]
    height = loss["return_height"]
    after = "a time not told" if loss["after_ds"] is None else f"{loss['after_ds'] / 10:g} s"
    climb = {True: "climbs first", False: "does not climb first", None: "climbs or not: not told"}
    at = "not told" if height is None else f"{height['cm'] / 100:g} m {height['above']}"
    path = loss["path"] or "by a path not told"
    if isinstance(path, list):
        path = f"over {', '.join(path)}"
    yield (
        f"Link lost, as declared: after {after}; {climb[loss['climb_first']]}; return height {at}; "
        f"home {path}; then {loss['at_launch_point'] or 'not told'}."
    )


def _before(release: Release) -> list[str]:
    asks = [item["ask"] for item in release.answer["to_do"]]
    if release.stage is Stage.RELEASE:
        return [f"Before launch: {' '.join(asks)}"] if asks else []
    return [f"{len(asks)} to do at the field: {' '.join(asks)}"] if asks else []
