"""A zip whose bytes follow from what is in it alone: same files, same zip, on every machine.

Nothing is packed smaller, no clock is read, and the names stand in order. Reference: the ZIP file
format specification (APPNOTE), method 0, "stored" (MEMORY).
"""

import hashlib
import io
import zipfile
from collections.abc import Mapping

__all__ = ["SUMS", "plain_zip", "sums_text"]

SUMS = "SHA256SUMS"
_FIRST_DAY = (1980, 1, 1, 0, 0, 0)  # the earliest that the format can tell
_UNIX, _READABLE = 3, 0o100644 << 16


def plain_zip(files: Mapping[str, bytes]) -> bytes:
    """Return a zip of these files, by name."""
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_STORED) as archive:
        for name in sorted(files):
            entry = zipfile.ZipInfo(name, _FIRST_DAY)
            entry.create_system, entry.external_attr = _UNIX, _READABLE
            archive.writestr(entry, files[name])
    return content.getvalue()


def sums_text(files: Mapping[str, bytes]) -> str:
    """Return the SHA-256 of each file, in the lines that `sha256sum --check` reads."""
    return "".join(f"{hashlib.sha256(files[name]).hexdigest()}  {name}\n" for name in sorted(files))
