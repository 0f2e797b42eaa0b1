"""What if: a sortie flown in full as it stands and with something turned, on the same flights."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from homeleg.desk.alteration import Alteration, FileChange, alter
from homeleg.desk.check import DEFAULT_MEMBERS, CheckResult, Progress, check_read_sortie
from homeleg.desk.face import Face
from homeleg.desk.what_if_inputs import Turned, turned_files
from homeleg.formats.sortie_file import SortieFiles, read_sortie
from homeleg.formats.toml_text import LARGEST_BYTES, file_bytes
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["WhatIf", "fly_what_if", "still_stands", "take_what_if"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """Both answers, from the same computed flights, and what was turned between them."""

    before: CheckResult
    after: CheckResult
    turned: Turned

    @property
    def words(self) -> str:
        """What was turned."""
        return ", ".join(self.turned.words)


def fly_what_if(
    path: Path,
    typed: Mapping[str, str],
    face: Face,
    before: CheckResult | None = None,
    *,
    members: int = DEFAULT_MEMBERS,
    progress: Progress | None = None,
) -> WhatIf:
    """Return both verdicts in full, with the same seed and as many computed flights; no file moves.

    `before` is the answer on the sortie as it stands, flown anew where it rests on other files.
    Raises FieldsError, and as the check does.
    """
    files = read_sortie(path)
    turned = turned_files(files, path.parent, typed, face)
    if before is None or before.sources != files.sources:
        before = _flown(files, members, "as it stands", progress)
    after = _flown(turned.files, before.verdict.members, "what if", progress)
    while before.verdict.members != after.verdict.members:
        most = max(before.verdict.members, after.verdict.members)
        if before.verdict.members < most:
            before = _flown(files, most, "as it stands", progress)
        else:
            after = _flown(turned.files, most, "what if", progress)
    return WhatIf(before=before, after=replace(after, sources=files.sources), turned=turned)


def still_stands(path: Path, flown: WhatIf) -> bool:
    """Tell whether the files are still those that it was flown on."""
    try:
        return read_sortie(path).sources == flown.before.sources
    except InputFileError:
        return False


def take_what_if(path: Path, flown: WhatIf) -> Alteration:
    """Write what was turned into the files, and return what takes it back.

    Raises InputFileError, and nothing is changed, where any of them was changed since.
    """
    if not still_stands(path, flown):
        problem = "was changed after this was flown, or a file that it names was"
        remedy = "Nothing was written. Fly it again on the files as they are now."
        raise InputFileError([Problem(where=path.name, problem=problem, remedy=remedy)])
    changes = []
    for name, text in flown.turned.edited:
        file = path if name == path.name else path.parent / name
        changes.append(FileChange(file, file_bytes(file, LARGEST_BYTES), text.text.encode()))
    alter(changes)
    return Alteration(flown.words, tuple(changes))


def _flown(files: SortieFiles, members: int, which: str, progress: Progress | None) -> CheckResult:
    def tell(what: str, share: float) -> None:
        if progress is not None:
            progress(f"{which}: {what}", share)

    return check_read_sortie(files, members=members, progress=tell)
