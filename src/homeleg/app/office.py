"""What the screens share: the base that is open, and how its owner likes to see figures."""

from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from starlette.exceptions import HTTPException
from starlette.requests import Request

from homeleg.app.checks import Checks
from homeleg.app.errands import Errands
from homeleg.app.what_ifs import AskedWhatIf
from homeleg.desk.alteration import Alteration
from homeleg.desk.base import AircraftEntry, Base, SortieEntry, aircraft_named, sortie_named
from homeleg.desk.face import Face, read_face
from homeleg.desk.logbook import open_logbook
from homeleg.desk.logbook_laptop import Laptop, laptop_of
from homeleg.desk.release import Candidate
from homeleg.desk.search import Sighting
from homeleg.foundation.errors import InputFileError

if TYPE_CHECKING:
    from homeleg.app.links import Link

__all__ = ["Office", "base_of", "entry_of", "office_of"]


@dataclass(slots=True, kw_only=True)
class Office:
    """The one object that lives as long as the program runs.

    `base` is None until the first start has made one, in the folder offered or another.
    `candidates` are the sorties that wait for their signatures, by name, and `unsigned` what was
    typed under one that had to be flown again; `now` is the clock that answers and signatures go
    by; `link` is the telemetry link that is open; `made` are the changes made to each sortie since
    the start, which can be taken back; `shown` are the texts that pages were made from, by what
    stands for them in a form; `what_ifs` are those asked for, by sortie file; `sightings` are
    where aircraft were seen last, by the page that asked.
    """

    user_folder: Path
    offered_folder: Path
    base: Base | None
    checks: Checks = field(default_factory=Checks)
    errands: Errands = field(default_factory=Errands)
    made: dict[Path, list[Alteration]] = field(default_factory=dict)
    candidates: dict[str, Candidate] = field(default_factory=dict)
    unsigned: dict[str, Mapping[str, str]] = field(default_factory=dict)
    shown: dict[str, dict[Path, str]] = field(default_factory=dict)
    what_ifs: dict[Path, AskedWhatIf] = field(default_factory=dict)
    sightings: dict[str, Sighting] = field(default_factory=dict)
    link: "Link | None" = None
    now: Callable[[], datetime] = lambda: datetime.now(UTC)

    @property
    def face(self) -> Face:
        """How figures are shown, read anew each time: the file may be changed by hand."""
        return read_face(self.base)

    @property
    def laptop(self) -> Laptop:
        """Whose book of the logbook is written here; raises InputFileError."""
        return laptop_of(self.user_folder)

    def tell_the_logbook(self) -> None:
        """Have the logbook enter what was written into the base.

        What was done is done: trouble with the logbook shows on its own page.
        """
        if self.base is not None:
            with suppress(InputFileError):
                open_logbook(self.base, self.laptop, self.now())

    def last_made(self, path: Path) -> Alteration | None:
        """Return the last change made to a sortie, while its files are as that left them."""
        made = self.made.get(path)
        return made[-1] if made and made[-1].stands else None

    def sortie(self, name: str) -> SortieEntry | None:
        """Return the sortie of that name in the base; nothing outside it has a name."""
        return None if self.base is None else sortie_named(self.base, name)

    def aircraft(self, name: str) -> AircraftEntry | None:
        """Return the aircraft of that name in the base."""
        return None if self.base is None else aircraft_named(self.base, name)


def office_of(request: Request) -> Office:
    """Return the office that a request came to."""
    office: Office = request.app.state.office
    return office


def entry_of(request: Request) -> SortieEntry:
    """Return the sortie that a request names; 404 where there is none of that name."""
    entry = office_of(request).sortie(request.path_params["name"])
    if entry is None:
        raise HTTPException(404)
    return entry


def base_of(request: Request) -> Base:
    """Return the base that is open; 404 where there is none yet."""
    base = office_of(request).base
    if base is None:
        raise HTTPException(404)
    return base
