"""Write the route of a release in a format of other programs, and say what that cannot hold."""

from dataclasses import dataclass
from pathlib import Path

from homeleg.formats.plain_shapes import Written
from homeleg.formats.release_file import read_release
from homeleg.formats.route_writers import ROUTE_WRITERS
from homeleg.formats.text_file import refuse_taken, write_new_text
from homeleg.foundation.errors import Problem, RefusedError
from homeleg.release.release import Release, Stage

__all__ = ["Exported", "export_release", "exported"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Exported:
    """The release whose route was written, and in words what the format could not hold."""

    release: Release
    losses: tuple[str, ...]


def export_release(path: Path, kind: str, out: Path) -> Exported:
    """Write the route of a release as a new file; `kind` is an ending, without its dot.

    Raises InputFileError, and RefusedError for a plan: it is not released.
    """
    release = read_release(path)
    written = exported(release, path.name, kind)
    refuse_taken(out)
    write_new_text(out, written.text)
    return Exported(release=release, losses=written.losses)


def exported(release: Release, name: str, kind: str) -> Written:
    """Return the route of a release in a format; raises RefusedError for a plan, by its name."""
    if release.stage is not Stage.RELEASE:
        remedy = "Release it at the field first: homeleg release with what is told there."
        problem = "is a plan, and only a released route goes into other programs"
        raise RefusedError([Problem(where=name, problem=problem, remedy=remedy)])
    return ROUTE_WRITERS[f".{kind}"](release.route, f"Homeleg release {release.code}")
