"""What must hold before and while a plan is written into an aircraft: each refusal in words."""

from collections.abc import Iterator
from dataclasses import dataclass

from homeleg.link.messages import LandedState
from homeleg.link.watch import Station, Watch
from homeleg.release.difference import distance_m
from homeleg.release.plain_route import PlainPlace

__all__ = ["LoadTerms", "broken_off", "launch_distance_m", "refusals"]

# Ours: a heartbeat comes each second; near enough to be the aircraft at hand; home as in the
# comparison; a plan being written goes on for as long.
_HEARTBEAT_S = 2.0
# While it is being loaded a slow radio may lose some. Ours.
_SILENT_S = 5.0
_NEAR_M = 500.0
_HOME_M, _HOME_HEIGHT_M = 10.0, 5.0
_WRITING_S = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadTerms:
    """What a person named and stated for a load: the system id, where it starts, what was seen."""

    system: int
    launch: PlainPlace
    seen_on_ground: bool = False
    has_key: bool = False


def refusals(watch: Watch, station: Station, terms: LoadTerms, now_s: float) -> tuple[str, ...]:
    """Return every reason why nothing may be written now, in words; nothing where all holds."""
    return (
        *_who(watch, station, terms),
        *_state(station, terms, now_s),
        *_place(station, terms),
        *_others(watch, now_s),
    )


def broken_off(
    watch: Watch, station: Station, terms: LoadTerms, begun_s: float, boots: int, now_s: float
) -> str | None:
    """Return why a load that began then may not go on; None where it may."""
    if station.heartbeat_s is None or now_s - station.heartbeat_s > _SILENT_S:
        return f"no heartbeat came for {_SILENT_S:.0f} s: whether it is armed is not known"
    if station.signed and not terms.has_key:
        return "the aircraft began to sign what it sends, and no key of its was given"
    if station.armed:
        return "the aircraft was armed"
    if station.boots != boots:
        return "the aircraft was started again"
    if watch.other_writer_s is not None and watch.other_writer_s > begun_s:
        return "another station is writing a plan"
    return None


def launch_distance_m(station: Station, launch: PlainPlace) -> float | None:
    """Return how far the aircraft is from the released launch point; None where it is not told."""
    told = station.live.get("GLOBAL_POSITION_INT")
    if told is None:
        return None
    fields = dict(told[1].fields)
    here = PlainPlace(
        name="", latitude_deg=1e-7 * fields["lat"], longitude_deg=1e-7 * fields["lon"]
    )
    return distance_m(launch, here)


def _who(watch: Watch, station: Station, terms: LoadTerms) -> Iterator[str]:
    if station.system != terms.system:
        yield f"system {terms.system} was confirmed, and system {station.system} is heard"
    named = [one for one in watch.aircraft() if one.system == terms.system]
    if len(named) > 1:
        yield f"{len(named)} autopilots call themselves system {terms.system}"
    if station.version < 2:
        yield "the aircraft speaks version 1 of the protocol alone"
    if station.signed and not terms.has_key:
        yield "the aircraft signs what it sends: give its key with --signing-key-file"


def _state(station: Station, terms: LoadTerms, now_s: float) -> Iterator[str]:
    age_s = None if station.heartbeat_s is None else now_s - station.heartbeat_s
    if age_s is None or age_s > _HEARTBEAT_S:
        yield f"no heartbeat came for {_HEARTBEAT_S:.0f} s: whether it is armed is not known"
    elif station.armed:
        yield "the aircraft is armed"
    if station.landed is LandedState.UNKNOWN and not terms.seen_on_ground:
        yield (
            "the aircraft does not say that it is on the ground: who looks at it and sees it "
            "stand there gives --on-ground"
        )
    elif station.landed not in (LandedState.UNKNOWN, LandedState.ON_GROUND):
        yield f"the aircraft says that it is {station.landed.name.lower().replace('_', ' ')}"


def _place(station: Station, terms: LoadTerms) -> Iterator[str]:
    away_m = launch_distance_m(station, terms.launch)
    if away_m is None:
        yield "the aircraft does not tell where it is"
    elif away_m > _NEAR_M:
        yield f"the aircraft is {away_m:.0f} m from the released launch point"
    home = station.home
    if home is None:
        return
    off_m = distance_m(terms.launch, home.place())
    if off_m > _HOME_M:
        yield f"its home lies {off_m:.0f} m from the released launch point"
    height = terms.launch.height
    if height is not None:
        off_m = 0.001 * home.height_amsl_mm - height.value_m
        if abs(off_m) > _HOME_HEIGHT_M:
            side = "above" if off_m > 0.0 else "below"
            yield f"its home lies {abs(off_m):.0f} m {side} the released launch point"


def _others(watch: Watch, now_s: float) -> Iterator[str]:
    if watch.other_writer_s is not None and now_s - watch.other_writer_s < _WRITING_S:
        yield "another station is writing a plan"
