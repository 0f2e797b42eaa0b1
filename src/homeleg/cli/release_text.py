"""A release as text: who may fly what until when, and the route to be read aloud."""

import textwrap
from datetime import datetime
from pathlib import Path

from homeleg.cli.text import WIDTH
from homeleg.foundation.stated_text import shown_time
from homeleg.release.read_aloud import item_words, place_words, settings_words
from homeleg.release.refusals import ROUTE_NOT_COVERED
from homeleg.release.release import Release, Stage
from homeleg.release.route_aboard import ROUTE_ABOARD, RouteAboard

__all__ = ["EXPIRED", "release_page", "written_line"]

EXPIRED = "It has expired: release the sortie again."
_SEALED = "Code and seal tell that a file was changed, not who wrote it."
_NOT_READ = "No aircraft was asked: compare what it holds with this."


def written_line(release: Release, path: Path) -> str:
    """Return the sentences that tell where a release was written, and what comes before launch."""
    until = shown_time(release.valid_until)
    if release.stage is Stage.PLAN:
        return (
            f"Wrote {path}: a plan, not released. At the field: homeleg release {path} with what "
            "is told there.\n"
        )
    return (
        f"Released as {release.code}, to launch until {until}: {path}.\n"
        f"Before launch: {ROUTE_ABOARD.ask} No launch before SAME.\n"
    )


def release_page(release: Release, aboard: RouteAboard, now: datetime) -> str:
    """Return the whole release on one page of text, with how the route aboard stands."""
    blocks = [_head(release, aboard, now), _route(release)]
    blocks += [[settings_words(release.settings)], _before(release, aboard)]
    asked = _SEALED if aboard.proof else f"{_SEALED} {_NOT_READ}"
    blocks += [[*release.answer["cautions"][:1], asked]]
    filled = (
        "\n".join(textwrap.fill(line, WIDTH, subsequent_indent="  ") for line in block)
        for block in blocks
        if block
    )
    return "\n\n".join(filled) + "\n"


def _head(release: Release, aboard: RouteAboard, now: datetime) -> list[str]:
    what = "Release" if release.stage is Stage.RELEASE else "Plan, not released:"
    lines = [f"{what} {release.code}: {release.answer['headline']}"]
    if release.override is not None:
        by, reason = release.override.name, release.override.reason
        lines.append(f"{release.word}, flown on the decision of {by}: {reason}")
        lines.append(ROUTE_NOT_COVERED)
    if release.stage is Stage.RELEASE:
        lines.append(aboard.words)
    lines.append(f"To launch until {shown_time(release.valid_until)}.")
    if release.has_expired(now):
        lines[-1] += f" {EXPIRED}"
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


def _before(release: Release, aboard: RouteAboard) -> list[str]:
    """Return what is still to do; the route aboard as it stands now, whatever was told before."""
    to_do = release.answer["to_do"]
    if release.stage is not Stage.RELEASE:
        asks = [item["ask"] for item in to_do]
        return [f"{len(asks)} to do at the field: {' '.join(asks)}"] if asks else []
    asks = [item["ask"] for item in to_do if item["item"] != ROUTE_ABOARD.name]
    asks += [] if aboard.is_same else [ROUTE_ABOARD.ask]
    return [f"Before launch: {' '.join(asks)}"] if asks else []
