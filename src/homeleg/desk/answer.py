"""The answer of a check as JSON: as text, or in a file."""

from datetime import datetime
from pathlib import Path

from homeleg.desk.check import CheckResult
from homeleg.formats.check_json import check_document, check_json
from homeleg.formats.plane import Plane
from homeleg.formats.text_file import write_text


def check_answer_json(result: CheckResult, *, given_at: datetime) -> str:
    """Return the JSON text of a check whose answer was given at that aware time."""
    site = result.sortie.site
    document = check_document(
        result.verdict,
        plane=Plane(site.latitude_rad, site.longitude_rad),
        sources=result.sources,
        given_at=given_at,
        changes=result.changes,
    )
    return check_json(document)


def write_check_answer(result: CheckResult, path: Path, *, given_at: datetime) -> None:
    """Write the JSON text of a check, replacing an older answer in one step."""
    write_text(path, check_answer_json(result, given_at=given_at))
