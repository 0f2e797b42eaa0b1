"""Read the plans of an aircraft, compare them with a release, and load a release into it."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from homeleg.desk.compare import Compared, flown_where_not_the_same
from homeleg.desk.link_line import Line
from homeleg.desk.link_record import link_record
from homeleg.desk.read_aloud import read_aloud_remarks
from homeleg.desk.reading_json import reading_document
from homeleg.desk.release import sortie_of_release
from homeleg.desk.route_aboard import Fetched, keep_comparison, keep_doubt
from homeleg.desk.settings_heard import contradictions, heard_remarks, with_heard
from homeleg.formats.columns_csv import write_columns
from homeleg.formats.comparison_json import document_text
from homeleg.formats.release_file import read_release
from homeleg.formats.sortie_file import SortieFiles
from homeleg.formats.text_file import refuse_taken, write_new_text
from homeleg.foundation.errors import (
    LinkError,
    LoadFailedError,
    Problem,
    RefusedError,
)
from homeleg.link.aftermath import read_back_words, said_words
from homeleg.link.conditions import LoadTerms, launch_distance_m
from homeleg.link.fetch import Failed
from homeleg.link.items import StoredSettings, cannot_be_stored, home_item, plans_of
from homeleg.link.listening import Refused
from homeleg.link.load import Load
from homeleg.link.messages import Item, PlanType
from homeleg.link.proof import found_route, prove
from homeleg.link.session import (
    Loaded,
    Reading,
    Writing,
    read_script,
    write_script,
)
from homeleg.link.verified import Verified, verified_now
from homeleg.release.comparison import Comparison, End
from homeleg.release.declared import ReadAloud, read_aloud_differences, settings_to_read
from homeleg.release.difference import Difference
from homeleg.release.plain_route import PlainRoute
from homeleg.release.release import Release, Stage
from homeleg.release.route_aboard import Means
from homeleg.release.stored import airspeed_of, height_of

__all__ = [
    "Aboard",
    "Before",
    "LoadOrder",
    "compare_aboard",
    "fetch_aboard",
    "load_release",
]

_NO_NUMBERS = "It does not number its plans: a change made past this link is not seen."

_EXPIRED = "The time of this release is over: its verdict holds no more."


@dataclass(frozen=True, slots=True, kw_only=True)
class Aboard:
    """What an aircraft holds against a release; `to_read` are settings that nobody has read.

    `verified` tells for how long what was read holds, for who goes on listening on the same line.
    """

    compared: Compared
    reading: Reading
    to_read: tuple[str, ...]
    verified: Verified

    @property
    def is_as_released(self) -> bool:
        """Whether all that was read is as released, whatever else is still to be read."""
        return self.compared.comparison.end is End.SAME

    @property
    def to_read_words(self) -> str:
        """What nobody has read, as a sentence; "" where all was."""
        *others, last = self.to_read or ("",)
        names = f"{', '.join(others)} and {last}" if others else last
        return f"Not read: {names}." if names else ""

    @property
    def end(self) -> End:
        """How it ends: what is the same is not told as long as a setting was not read."""
        untold = self.is_as_released and self.to_read
        return End.CANNOT_TELL if untold else self.compared.comparison.end


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """What a person sees before a load: who is there, how far away, what it holds now."""

    reading: Reading
    launch_distance_m: float
    kept_in: Path


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadOrder:
    """A load that a person asks for: the system id confirmed, and whether they see it stand.

    `ask_home_first` is asked whether item 0 of what was read is the launch point, where nothing
    tells: None where the person does not know either.
    """

    system: int
    seen_on_ground: bool
    confirm: Callable[[Before], bool]
    ask_home_first: Callable[[Reading], bool | None] = lambda _: None


def fetch_aboard(line: Line, out: Path) -> tuple[Reading, PlainRoute]:
    """Read the plans of the aircraft and write its route as a new route file."""
    refuse_taken(out)
    reading, _ = _read(line)
    route = found_route(reading, home_first=_home_first(line, reading) or False)
    if not route.items:
        problem = f"system {reading.system} holds no route"
        remedy = f"{out.name} was not written."
        raise RefusedError([Problem(where="the aircraft", problem=problem, remedy=remedy)])
    named = tuple(
        replace(item, name=f"item {place}") for place, item in enumerate(route.items, start=1)
    )
    write_new_text(out, write_columns(replace(route, items=named)).text)
    return reading, route


def compare_aboard(
    line: Line, path: Path, read: ReadAloud, *, now: datetime, members: int | None
) -> Aboard:
    """Read the plans of the aircraft and compare them with a release, and keep how that ends.

    Nothing is written into the aircraft.
    """
    reading, verified = _read(line)
    aboard = _compared(line, path, reading, verified, read, members=members)
    _keep(line, aboard, path, read, now, None)
    return aboard


def load_release(
    line: Line,
    path: Path,
    order: LoadOrder,
    read: ReadAloud,
    *,
    now: datetime,
    members: int | None,
) -> Aboard:
    """Load a release into the aircraft that was confirmed, and compare what it then holds.

    The plans found aboard are kept in a file first. Raises RefusedError where a condition does not
    hold, LinkError with what is known of the aircraft where the link failed.
    """
    release = read_release(path)
    _refuse_release(release, now, path)
    launch = release.route.launch_point
    if launch is None:
        raise _refusal(path.name, ("it has no launch point",))
    terms = LoadTerms(
        system=order.system,
        launch=launch,
        seen_on_ground=order.seen_on_ground,
        has_key=line.codec.key is not None,
    )
    told, watch = line.run(lambda watch: read_script(watch, order.system, terms))
    before = _good(line, told)
    declared = _declared_first(sortie_of_release(release, path))
    home_first = _home_first(line, before, declared=declared)
    if home_first is None:
        home_first = order.ask_home_first(before)
    if home_first is None:
        words = "nothing tells whether it keeps its launch point as item 0 of the route"
        remedy = "Look it up in the maker's manual. On the command line: --home-first yes or no."
        raise RefusedError([Problem(where="the aircraft", problem=words, remedy=remedy)])
    line = replace(line, home_first=home_first)
    kept = path.parent / f"{release.code}.before-{now:%Y%m%dT%H%M%SZ}.json"
    write_new_text(kept, document_text(reading_document(before)))
    station = watch.stations[before.system, before.component]
    distance_m = launch_distance_m(station, launch) or 0.0
    if not order.confirm(Before(reading=before, launch_distance_m=distance_m, kept_in=kept)):
        raise _refusal("the load", ("the system id was not confirmed",))
    plans = plans_of(release.route, _settings(release))
    writing = Writing(plans=plans, home=home_item(launch) if home_first else None)
    keep_doubt(path, "a load was begun", now)
    reading, verified = _written(line, terms, writing, before)
    try:
        aboard = _compared(line, path, reading, verified, read, members=members)
    except KeyboardInterrupt as error:
        why = "Stopped. The aircraft took the load, and it was not compared to the end."
        held = read_back_words(writing, _items(before), reading)
        raise LoadFailedError(why, held, is_read_back=True) from error
    _keep(line, aboard, path, read, now, kept)
    return aboard


def _written(
    line: Line, terms: LoadTerms, writing: Writing, before: Reading
) -> tuple[Reading, Verified]:
    """Return what the aircraft holds after a load that was acknowledged.

    Raises LinkError with what it may hold where a load was begun and did not come to its end.
    """
    loads: list[Load] = []
    try:
        told, watch = line.run(lambda watch: write_script(watch, terms, writing, loads))
    except KeyboardInterrupt as error:
        if not loads:
            raise
        done = "" if loads[-1].accepted else " The load was cancelled."
        raise LoadFailedError(
            f"Stopped.{done}", said_words(writing, loads), is_read_back=False
        ) from error
    if not isinstance(told, Loaded):
        raise _no_answer(line, told)
    failed, after = told.failed, told.after
    if failed is None and not isinstance(after, Failed):
        return after, verified_now(watch, after, line.clock())
    why = f"The load failed: {failed.step}, {failed.reason}." if failed else ""
    if isinstance(after, Failed):
        why = why or f"The aircraft took the load, and cannot be read back: {after.reason}."
        raise LoadFailedError(why, said_words(writing, loads), is_read_back=False)
    raise LoadFailedError(why, read_back_words(writing, _items(before), after), is_read_back=True)


def _items(reading: Reading) -> dict[PlanType, tuple[Item, ...]]:
    return {plan: fetched.items for plan, fetched in reading.plans.items()}


def _read(line: Line) -> tuple[Reading, Verified]:
    told, watch = line.run(lambda watch: read_script(watch, line.system))
    reading = _good(line, told)
    return reading, verified_now(watch, reading, line.clock())


def _good(line: Line, told: Reading | Failed | Refused) -> Reading:
    if isinstance(told, Reading):
        return told
    raise _no_answer(line, told)


def _no_answer(line: Line, told: Failed | Refused) -> LinkError | RefusedError:
    if isinstance(told, Refused):
        return _refusal("the aircraft", told.reasons)
    words = f"The link failed: {told.step}, {told.reason}. Nothing was written."
    if line.codec.refused_signatures:
        words += " What came was signed with another key, or not at all: is the key file right?"
    return LinkError(words)


def _compared(
    line: Line,
    path: Path,
    reading: Reading,
    verified: Verified,
    read: ReadAloud,
    *,
    members: int | None,
) -> Aboard:
    release = read_release(path)
    files, settings = sortie_of_release(release, path), _settings(release)
    home_first = _home_first(line, reading, declared=_declared_first(files)) or False
    comparison = prove(release.route, settings, reading, home_first=home_first)
    typed = read
    if line.settings_map is not None:
        named = line.settings_map, reading.settings
        comparison = _with_settings(comparison, tuple(contradictions(read, *named)))
        read = with_heard(read, *named)
        comparison = replace(comparison, remarks=(*comparison.remarks, *heard_remarks(*named)))
    expired = release.has_expired(line.now())
    doubts = ((_NO_NUMBERS, not verified.tells_changes), (_EXPIRED, expired))
    doubt = (words for words, is_so in doubts if is_so)
    remarks = (*comparison.remarks, *read_aloud_remarks(typed), *doubt)
    comparison = replace(comparison, remarks=remarks)
    comparison = _with_settings(comparison, read_aloud_differences(release.settings, read))

    def tell(what: str, fraction: float) -> None:
        line.heed()
        line.tell(f"Flying what is aboard in computation: {what}, {100.0 * fraction:.0f} %")

    compared = flown_where_not_the_same(
        release,
        files,
        found_route(reading, home_first=home_first, speeds=settings.cruise.kind),
        comparison,
        members=members,
        progress=tell,
    )
    return Aboard(
        compared=compared,
        reading=reading,
        to_read=settings_to_read(release.settings, read),
        verified=verified,
    )


def _keep(
    line: Line, aboard: Aboard, path: Path, read: ReadAloud, now: datetime, before: Path | None
) -> None:
    """Keep a comparison beside the release, with what the aircraft held."""
    reading, compared = aboard.reading, aboard.compared
    if compared.release.stage is not Stage.RELEASE:
        return
    comparison = compared.comparison
    fetched = Fetched(
        at=now,
        means=Means.LINK,
        source=f"system {reading.system}",
        content=document_text(reading_document(reading)).encode(),
        unread=aboard.to_read,
        link=link_record(line, reading, aboard.verified, comparison, read, before),
    )
    keep_comparison(compared.release, path, aboard.end, comparison, fetched)


def _with_settings(comparison: Comparison, found: tuple[Difference, ...]) -> Comparison:
    if not found:
        return comparison
    every = sorted((*comparison.differences, *found), key=lambda one: (one.danger, one.item or 0))
    return replace(comparison, end=End.NOT_THE_SAME, differences=tuple(every))


def _home_first(line: Line, reading: Reading, *, declared: bool | None = None) -> bool | None:
    """Return whether item 0 is the launch point: as the user says, as it tells, as declared."""
    said = (line.home_first, reading.home_first, declared)
    return next((one for one in said if one is not None), None)


def _declared_first(files: SortieFiles) -> bool | None:
    return files.sortie.aircraft.guidance.launch_point_first


def _settings(release: Release) -> StoredSettings:
    """Return what items take that say nothing themselves, as it was released."""
    settings = release.settings
    cruise, pattern = airspeed_of(settings["cruise"]), height_of(settings["pattern_height"])
    if cruise is None or pattern is None:
        raise _refusal(release.code, ("it has no cruise airspeed or no pattern height",))
    return StoredSettings(cruise=cruise, pattern_height=pattern)


def _refuse_release(release: Release, now: datetime, path: Path) -> None:
    """Raise RefusedError with every reason why this may not be loaded."""
    reasons = list(cannot_be_stored(release.route, _settings(release)))
    if release.stage is not Stage.RELEASE:
        reasons.append("it is a plan, and only a release is loaded: release it at the field")
    if release.has_expired(now):
        reasons.append("its time is over: release the sortie again")
    if release.word == "NO-GO" and release.override is None:
        reasons.append("its verdict is NO-GO, and nobody has taken that on")
    if reasons:
        raise _refusal(path.name, tuple(reasons))


def _refusal(where: str, reasons: tuple[str, ...]) -> RefusedError:
    remedy = "Nothing was written into the aircraft."
    return RefusedError([Problem(where=where, problem=one, remedy=remedy) for one in reasons])
