"""Listen until the aircraft is known: who it is, and whatever it tells of itself meanwhile."""

from dataclasses import dataclass

from homeleg.link.fetch import Failed
from homeleg.link.machine import Closed, Event, Step
from homeleg.link.watch import Station, Watch

__all__ = ["Listen", "Refused"]

# Heartbeats come each second, and what is told less often each two or so. Ours.
_SETTLE_S = 2.5
_SILENCE_S = 5.0
_NO_AIRCRAFT_S = 10.0


@dataclass(frozen=True, slots=True)
class Refused:
    """What was asked is refused, each reason in words; nothing was written."""

    reasons: tuple[str, ...]


@dataclass(slots=True, kw_only=True)
class Listen:
    """The machine that waits for the aircraft with the system id named, or for the only one."""

    watch: Watch
    system: int | None
    _begun_s: float = 0.0

    @property
    def doing(self) -> str:
        """What it does, in words."""
        return "Listening"

    def begin(self, now_s: float) -> Step[Station | Failed | Refused]:
        """Begin to wait."""
        self._begun_s = now_s
        return self._wait(now_s)

    def on(self, event: Event, now_s: float) -> Step[Station | Failed | Refused]:
        """Take what was heard, or that time has passed."""
        if isinstance(event, Closed):
            return Step(outcome=Failed(step="listened", reason=event.words))
        found = [
            station
            for station in self.watch.aircraft()
            if self.system in (None, station.system) and station.last_heard_s >= self._begun_s
        ]
        since_s = max(self._begun_s, min((one.first_heard_s for one in found), default=now_s))
        if found and now_s >= since_s + _SETTLE_S:
            return Step(outcome=self._chosen(found))
        if not found:
            return self._nobody(now_s)
        return self._wait(now_s)

    def _chosen(self, found: list[Station]) -> Station | Refused:
        if len(found) == 1:
            return found[0]
        names = " and ".join(str(one.system) for one in found)
        return Refused((f"systems {names} are heard: name one with --system",))

    def _nobody(self, now_s: float) -> Step[Station | Failed | Refused]:
        heard = [one for one in self.watch.stations.values() if one.last_heard_s >= self._begun_s]
        waited_s = now_s - self._begun_s
        if not heard and waited_s >= _SILENCE_S:
            reason = f"nothing was heard for {_SILENCE_S:.0f} s"
        elif waited_s >= _NO_AIRCRAFT_S:
            systems = ", ".join(str(system) for system in sorted({one.system for one in heard}))
            wanted = "aircraft" if self.system is None else f"aircraft of system {self.system}"
            reason = f"no {wanted} was heard, only system {systems}"
            if self.system is not None and self.watch.aircraft():  # there, and another one
                return Step(outcome=Refused((reason,)))
        else:
            return self._wait(now_s)
        return Step(outcome=Failed(step="listened", reason=reason))

    @staticmethod
    def _wait(now_s: float) -> Step[Station | Failed | Refused]:
        return Step(deadline_s=now_s + 0.25)
