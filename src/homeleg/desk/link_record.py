"""What is kept of a comparison over the link, beside how it ended: who, where, which numbers."""

from pathlib import Path
from typing import Any

from homeleg.desk.link_line import Line
from homeleg.desk.reading_json import reading_document
from homeleg.link.session import Reading
from homeleg.link.verified import Verified
from homeleg.release.comparison import Comparison
from homeleg.release.declared import READ_CHOICES, ReadAloud

__all__ = ["link_record"]


def link_record(
    line: Line,
    reading: Reading,
    verified: Verified,
    comparison: Comparison,
    read: ReadAloud,
    before: Path | None,
) -> dict[str, Any]:
    """Return what is kept, for JSON; `before` is the file with what a load found aboard."""
    station = verified.station
    height = read.return_height
    return {
        "port": line.port,
        "aircraft": reading_document(reading),
        "armed": station.armed,
        "landed": station.landed.name.lower(),
        "numbers_its_plans": verified.tells_changes,
        "largest_rounding_m": float(comparison.rounding_m),
        "remarks": list(comparison.remarks),
        "read_aloud": {
            "by": read.read_by,
            "return_height": height and f"{height.value_m:g} m {height.above.value}",
            "link_loss_after_s": read.link_loss_after_s,
            **{key: getattr(read, key) for key in READ_CHOICES},
        },
        "found_before": before and before.name,
        "frames": station.frames,
        "lost_frames": station.lost,
        "doubled_frames": station.doubled,
        "skipped_bytes": line.frames.skipped_bytes,
    }
