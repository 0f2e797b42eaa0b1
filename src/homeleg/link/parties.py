"""Who talks with whom: the aircraft named, and ourselves."""

from dataclasses import dataclass

from homeleg.link.messages import Ack, Count, Heard, Item, PlanType, Request, RequestList

__all__ = ["Parties"]

_ADDRESSED = (Ack, Count, Item, Request, RequestList)


@dataclass(frozen=True, slots=True, kw_only=True)
class Parties:
    """The aircraft's system and component, and ours."""

    system: int
    component: int
    our_system: int
    our_component: int

    def are_of(self, heard: Heard) -> bool:
        """Return whether the aircraft named said this, to us or to nobody in particular."""
        if (heard.system, heard.component) != (self.system, self.component):
            return False
        message = heard.message
        if isinstance(message, _ADDRESSED):
            ours = (self.our_system, self.our_component)
            return (message.to_system, message.to_component) == ours
        return True

    def ack(self, plan: PlanType, result: int) -> Ack:
        """Return our acknowledgement of a transfer."""
        return Ack(to_system=self.system, to_component=self.component, plan=plan, result=result)
