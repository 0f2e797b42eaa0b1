"""Listen to a link: who is there, and a flight against the gates of its release. Sends nothing."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from homeleg.desk.link_line import Line
from homeleg.desk.route_aboard import aboard_of, keep_doubt
from homeleg.formats.release_file import read_release
from homeleg.link.live import Flight, GatePlace, home_moved_m
from homeleg.link.messages import PRESENCE
from homeleg.link.verified import Verified
from homeleg.link.watch import Station, Watch
from homeleg.release.in_flight import Margin, Now, circle_of, circle_words, margin
from homeleg.release.plain_route import PlainPlace
from homeleg.release.release import Release

__all__ = ["Glance", "listen"]

_EACH_S = 1.0
_LOOK_S = 0.1
# What the margin needs, by the protocol's names, and what it tells.
_NEEDED = {
    "GLOBAL_POSITION_INT": "position and ground speed",
    "BATTERY_STATUS": "mAh used",
    "SYS_STATUS": "volts",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Glance:
    """What is known at one moment; `age_s` is that of the oldest figure that the margin rests on.

    `missing` names what is not told, `home_off_m` how far home lies from the released one where
    that is more than 5 m of `launch`; `verified` for how long a comparison on this line holds,
    `unwatched` how it stands without one, in words.
    """

    stations: tuple[Station, ...]
    now_s: float
    aircraft: Station | None
    age_s: float | None
    flight: Now | None
    margin: Margin | None
    circle: str
    missing: tuple[str, ...]
    home_off_m: float | None
    verified: Verified | None
    launch: PlainPlace | None = None
    unwatched: str = ""


def listen(
    line: Line,
    path: Path | None,
    *,
    show: Callable[[Glance], None],
    seconds: float | None,
    verified: Verified | None = None,
) -> None:
    """Show a glance each second until stopped, or for some seconds; raises LinkError.

    With `verified`, of a comparison on this line just before, it says for how long that holds; that
    it holds no more is kept beside the release. Without, nobody has looked on since the last one.
    """
    release = None if path is None else read_release(path)
    unwatched = "" if release is None or path is None else _unwatched(release, path, line.now())
    watch = Watch(our_system=line.codec.system, our_component=line.codec.component)
    if verified is None:
        line.frames.forget()
    else:
        watch = verified.watch
    flight = Flight(gates=() if release is None else tuple(_gates(release)))
    began_s = shown_s = line.clock()
    while seconds is None or line.clock() - began_s < seconds:
        line.heed()
        for frame in line.frames.read(_LOOK_S):
            heard = line.codec.read(frame)
            if heard is not None:
                watch.hear(heard, line.clock())
        now_s = line.clock()
        if now_s - shown_s >= _EACH_S:
            shown_s = now_s
            if line.present:
                line.frames.port.write(line.codec.write(PRESENCE))
            if verified is not None and verified.ended is None:
                ended = verified.look(now_s)
                if ended is not None and path is not None:
                    keep_doubt(path, ended.why, line.now())
            glance = _glance(line, release, watch, flight, now_s)
            show(replace(glance, verified=verified, unwatched=unwatched))


def _unwatched(release: Release, path: Path, now: datetime) -> str:
    """Return how the route aboard stands for who did not look on since it was compared."""
    aboard = aboard_of(release, path, now)
    if aboard.proof is None:
        return "NOT VERIFIED: not compared yet"
    if not aboard.is_same:
        return f"NOT VERIFIED: {aboard.why_not[0].lower()}{aboard.why_not[1:].rstrip('.')}"
    return f"NOT VERIFIED since {aboard.proof.at:%H:%MZ}: nobody looked on"


def _glance(
    line: Line, release: Release | None, watch: Watch, flight: Flight, now_s: float
) -> Glance:
    found = [one for one in watch.aircraft() if line.system in (None, one.system)]
    aircraft = found[0] if len(found) == 1 else None
    now = None if aircraft is None else flight.hear(aircraft, now_s)
    told = None
    circle = None if flight.launched_s is None else circle_of(flight.samples)
    if release is not None and now is not None:
        told = margin(release.answer, now, flight.passed)
    launch = None if release is None else release.route.launch_point
    return Glance(
        stations=tuple(watch.stations.values()),
        now_s=now_s,
        aircraft=aircraft,
        age_s=None if aircraft is None else _age_s(aircraft, now_s),
        flight=now,
        margin=told,
        circle="" if circle is None or release is None else circle_words(release.answer, circle),
        missing=() if aircraft is None else tuple(_missing(aircraft, flight)),
        home_off_m=None if aircraft is None else home_moved_m(aircraft.home, launch),
        verified=None,
        launch=launch,
    )


def _age_s(aircraft: Station, now_s: float) -> float | None:
    """Return the age of the oldest figure that the margin rests on, None where there is none."""
    times = [told[0] for name, told in aircraft.live.items() if name in _NEEDED]
    return now_s - min(times) if times else None


def _missing(aircraft: Station, flight: Flight) -> Iterator[str]:
    for name, words in _NEEDED.items():
        if name not in aircraft.live:
            yield words
    if flight.launched_s is None:
        yield "the launch: listen from before it"


def _gates(release: Release) -> Iterator[GatePlace]:
    """Give where each gate of the release stands, by the name of the item it is called after."""
    places = {
        item.name: PlainPlace(
            name=item.name, latitude_deg=item.latitude_deg, longitude_deg=item.longitude_deg
        )
        for item in release.route.items
    }
    for gate in release.answer.get("gates") or ():
        yield GatePlace(places.get(gate["name"]), gate["time_s"])
