"""A file dropped on the board: brought in, laid beside the sortie, and named in it."""

import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from homeleg.desk.bring_in import BroughtIn, HeightsAskedError, Purpose, bring_in
from homeleg.desk.edit import Edit, edit_sortie, putting
from homeleg.formats.outside_file import OUTSIDE_ENDINGS
from homeleg.formats.sortie_file import read_sortie
from homeleg.formats.text_file import write_new_text, write_whole
from homeleg.formats.toml_edit import TomlValue, with_item
from homeleg.formats.toml_text import parse_toml, read_text_file
from homeleg.formats.wording import one_of
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.world.site import KeepOutKind

__all__ = ["ASKED_KINDS", "DATUMS", "Dropped", "HeightsAskedError", "safe_name", "take_file"]

# What heights may be above, as a person is asked; the last is one height for all.
DATUMS: Mapping[str, str] = MappingProxyType(
    {
        "AMSL": "sea level (AMSL)",
        "AGL": "the ground (AGL)",
        "above launch": "the launch point",
        "ellipsoid": "the ellipsoid (WGS 84)",
    }
)
ASKED_KINDS = tuple(kind.value for kind in KeepOutKind)
_ROUTE = "route"
_LONGEST_NAME = 60
_LISTS = {
    Purpose.KEEP_OUT: "keep_out",
    Purpose.COME_DOWN: "come_down",
    Purpose.OBSTACLES: "obstacle",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Dropped:
    """What a person said of a file: what it is for, and what only they can know of it.

    `kind` is that of keep-out ground, `top` how high one may fly inside a boundary.
    """

    purpose: Purpose
    heights: str = ""
    kind: str = ""
    top: str = ""
    columns: str = ""


def take_file(path: Path, name: str, content: bytes, told: Dropped) -> BroughtIn:
    """Bring a file in beside a sortie and name it there; what was there before stays as a file.

    Raises HeightsAskedError where heights need a word, InputFileError with every other problem;
    nothing is written then.
    """
    safe = safe_name(name, OUTSIDE_ENDINGS)
    ending = ".csv" if told.purpose is Purpose.ROUTE else ".geojson"
    target = _free(path.parent / f"{Path(safe).stem}{ending}")
    with tempfile.TemporaryDirectory(prefix="homeleg-") as folder:
        source, made = Path(folder) / safe, Path(folder) / f"made{ending}"
        write_whole(source, content)
        result = bring_in(
            source,
            made,
            told.purpose,
            heights=told.heights or None,
            columns=told.columns or None,
        )
        text = made.read_text("utf-8")
    write_new_text(target, text)
    try:
        _name_it(path, target.name, told)
    except InputFileError:
        target.unlink()
        raise
    return result


def safe_name(name: str, endings: tuple[str, ...]) -> str:
    """Return a file name of ours for one from outside; raises InputFileError for another kind."""
    ending = Path(name).suffix.lower()
    if ending not in endings:
        raise _refusal(name[:80], "is no kind of file that is read here", one_of(endings))
    stem = "".join(one if one.isalnum() and one.isascii() else "-" for one in Path(name).stem)
    return f"{stem.strip('-')[:_LONGEST_NAME] or 'file'}{ending}"


def _name_it(path: Path, name: str, told: Dropped) -> None:
    """Write the file's name into the sortie, where it belongs."""
    if told.purpose is Purpose.ROUTE:
        if not isinstance(parse_toml(read_text_file(path)).get(_ROUTE), str):
            problem = "its route stands in the sortie's file"
            raise _refusal(path.name, problem, "Take it out there first.")
        edit_sortie(path, [putting([_ROUTE], name)])
    elif told.purpose is Purpose.BOUNDARY:
        edit_sortie(path, [putting(["site", "boundary"], _boundary(path, name, told))])
    else:
        item: dict[str, TomlValue] = {"file": name}
        if told.purpose is Purpose.KEEP_OUT and told.kind:
            item["kind"] = told.kind
        edit_sortie(path, [_adding(["site", _LISTS[told.purpose]], item)])


def _boundary(path: Path, name: str, told: Dropped) -> dict[str, TomlValue]:
    """Return the boundary of a file, as high as said, or as it was before."""
    before = read_sortie(path).sortie.site.boundary
    if told.top:
        return {"file": name, "top": told.top}
    if before is None:
        return {"file": name}
    return {"file": name, "top": f"{before.top.value_m:g} m {before.top.above.value}"}


def _adding(keys: list[str], item: Mapping[str, TomlValue]) -> Edit:
    return lambda text: with_item(text, keys, item)


def _free(target: Path) -> Path:
    """Return the path, with a number where a file of that name is there already."""
    number = 2
    path = target
    while path.exists():
        path = target.with_name(f"{target.stem}-{number}{target.suffix}")
        number += 1
    return path


def _refusal(where: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
