"""The pages for the field, of a check or of a release."""

from collections.abc import Sequence
from pathlib import Path

from homeleg.briefing.briefing_input import BriefingInput
from homeleg.briefing.calls_page import calls_page
from homeleg.briefing.card_page import card_page
from homeleg.briefing.paper import PaperSize, briefing_pdf
from homeleg.desk.check import CheckResult
from homeleg.formats.text_file import write_text, write_whole
from homeleg.release.release import Release, Stage
from homeleg.release.route_aboard import RouteAboard, standing

__all__ = ["plan_input", "release_input", "write_briefing", "write_phone_pages"]

# A folder says more than these names do.
_PLAIN_NAMES = ("sortie",)


def plan_input(result: CheckResult, path: Path) -> BriefingInput:
    """Return what the pages of a check are made from; they are marked as a plan."""
    return BriefingInput(name=_name(path), verdict=result.verdict, sortie=result.sortie)


def release_input(
    result: CheckResult,
    release: Release,
    contacts: Sequence[tuple[str, str]] = (),
    aboard: RouteAboard | None = None,
) -> BriefingInput:
    """Return what the pages of a release are made from, or of a plan that is to become one.

    `aboard` is how the route in the aircraft stands; without it, it was not compared yet.
    """
    override = release.override
    if aboard is None and release.stage is Stage.RELEASE:
        aboard = standing((), release.given_at)
    return BriefingInput(
        name=_name(Path(release.folder) / release.files[0].name),
        verdict=result.verdict,
        sortie=result.sortie,
        released=release.stage is Stage.RELEASE,
        code=release.code,
        signatures=tuple(one.words for one in release.signatures),
        override=None
        if override is None
        else f"{override.name} flies against {result.verdict.word.value}: {override.reason}",
        aboard=aboard,
        contacts=tuple(contacts),
    )


def write_briefing(given: BriefingInput, path: Path, *, paper: str = "A4") -> None:
    """Write release page and flight card as PDF, replacing an older one in one step.

    `paper` is A4 or Letter. Raises InputFileError where the file cannot be written.
    """
    write_whole(path, briefing_pdf(given, PaperSize[paper.upper()]))


def _name(path: Path) -> str:
    """Return what a sortie is called: its file's name, or its folder's where that says nothing."""
    return path.resolve().parent.name if path.stem in _PLAIN_NAMES else path.stem


def write_phone_pages(given: BriefingInput, folder: Path) -> tuple[Path, Path]:
    """Write `card.html` and `calls.html` into a folder and return where they are.

    Each is one file that needs nothing beside it. Raises InputFileError as `write_briefing` does.
    """
    card, calls = folder / "card.html", folder / "calls.html"
    write_text(card, card_page(given))
    write_text(calls, calls_page(given))
    return card, calls
