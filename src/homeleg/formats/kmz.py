"""KMZ: the one KML file in a ZIP archive, read into memory within limits; nothing is unpacked.

References: OGC 07-147r2, annex C: the first .kml file of the archive is the document.
"""

import hashlib
import io
import zipfile
import zlib
from pathlib import Path, PurePosixPath

from homeleg.formats.toml_text import LARGEST_BYTES, TextFile, decoded_text, file_bytes
from homeleg.foundation.counted import counted
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["read_kmz"]

_MOST_ENTRIES = 1000
_LARGEST_ARCHIVE_BYTES = 20_000_000
# What the library says of an archive that is damaged, or packed in a way it does not know.
_BROKEN = (zipfile.BadZipFile, zlib.error, NotImplementedError, EOFError, OSError, ValueError)


def read_kmz(path: Path) -> TextFile:
    """Return the KML of a KMZ file; the hash is of the archive. Raises InputFileError."""
    content = file_bytes(path, _LARGEST_ARCHIVE_BYTES)
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            entry = _document_of(path.name, archive)
            with archive.open(entry) as stream:
                kml = stream.read(LARGEST_BYTES + 1)
    except _BROKEN as error:
        raise _refusal(path.name, "is not a whole KMZ file", "Copy it again.") from error
    except RuntimeError as error:  # what the library says of a password
        raise _refusal(path.name, "is locked with a password", "Save it without.") from error
    name = f"{path.name} ({entry.filename})"
    if len(kml) > LARGEST_BYTES:
        raise _refusal(name, "is larger than 1 MB once unpacked", "Keep what this flight needs.")
    text = decoded_text(name, kml, longest_line=LARGEST_BYTES)
    return TextFile(name=path.name, text=text, sha256=hashlib.sha256(content).hexdigest())


def _document_of(name: str, archive: zipfile.ZipFile) -> zipfile.ZipInfo:
    """Return the entry to read: the first .kml, which must lie inside the archive."""
    entries = archive.infolist()
    if len(entries) > _MOST_ENTRIES:
        raise _refusal(name, f"holds {counted(len(entries), 'file')}", "Is this the right file?")
    found = [entry for entry in entries if entry.filename.lower().endswith(".kml")]
    if not found:
        raise _refusal(name, "holds no .kml file", "Is this the right file?")
    parts = PurePosixPath(found[0].filename.replace("\\", "/")).parts
    if ".." in parts or parts[0] == "/" or ":" in parts[0]:
        problem = "holds a file whose name leads out of the archive"
        raise _refusal(name, problem, "Do not trust it: ask where it came from.")
    return found[0]


def _refusal(where: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
