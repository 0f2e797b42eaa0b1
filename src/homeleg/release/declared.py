"""Settings that a release declares and no link reads: they are read aloud, typed, and compared."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from homeleg.aircraft.record import AtLaunchPoint
from homeleg.foundation.heights import StatedHeight
from homeleg.release.difference import Danger, Difference, is_rounded_height, unlike
from homeleg.release.read_aloud import height_words
from homeleg.release.stored import height_of

__all__ = [
    "LINK_LOSS_ACTIONS",
    "ReadAloud",
    "is_same_height",
    "read_aloud_differences",
    "settings_to_read",
]

# What may be read of what it does once it has come home by itself, or instead of coming home.
LINK_LOSS_ACTIONS = (*(one.value for one in AtLaunchPoint), "something else")

_TENTHS = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadAloud:
    """What a person read in the maker's own tool; None where it was not read [s].

    `link_loss_action` is one of LINK_LOSS_ACTIONS; `read_by` names the person, "" where nobody is
    named.
    """

    return_height: StatedHeight | None = None
    link_loss_after_s: float | None = None
    link_loss_action: str | None = None
    read_by: str = ""


def settings_to_read(settings: Mapping[str, Any], read: ReadAloud) -> tuple[str, ...]:
    """Return the declared settings that nobody has read yet, by name."""
    loss, unread = settings["link_loss"], []
    if loss["return_height"] is not None and read.return_height is None:
        unread.append("the return height")
    if loss["after_ds"] is not None and read.link_loss_after_s is None:
        unread.append("the time from a lost link to the return")
    if loss["at_launch_point"] is not None and read.link_loss_action is None:
        unread.append("the link-loss action")
    return tuple(unread)


def read_aloud_differences(settings: Mapping[str, Any], read: ReadAloud) -> tuple[Difference, ...]:
    """Return what was read and is another setting than the one released."""
    loss, found = settings["link_loss"], []
    right, got = height_of(loss["return_height"]), read.return_height
    if got is not None and right is not None and not is_same_height(right, got):
        lower = got.above is not right.above or got.value_m < right.value_m
        then = "It would come home at a height that was not checked."
        if got.above is right.above:
            off_m = abs(got.value_m - right.value_m)
            then = f"It would come home {off_m:g} m {'lower' if lower else 'higher'}."
        pair = height_words(right), height_words(got)
        words = f"The return height is {pair[1]} instead of {pair[0]}."
        danger = Danger.LOWER if lower else Danger.POSITION_OR_HIGHER
        found.append(unlike(danger, words, what="Return height", pair=pair, then=then))
    after_s, released_ds = read.link_loss_after_s, loss["after_ds"]
    if after_s is not None and released_ds is not None and round(_TENTHS * after_s) != released_ds:
        right_s = released_ds / _TENTHS
        words = f"A lost link sends it home after {after_s:g} s instead of {right_s:g} s."
        side = "longer" if after_s > right_s else "shorter"
        then = f"It would fly on for {abs(after_s - right_s):g} s {side} before it turns home."
        pair = f"{right_s:g} s", f"{after_s:g} s"
        found.append(unlike(Danger.COMMAND, words, what="Link-loss timer", pair=pair, then=then))
    action, declared = read.link_loss_action, loss["at_launch_point"]
    if action is not None and declared is not None and action != declared:
        words = f"A lost link ends with: {action}, instead of: {declared}."
        then = "It would end a lost link in a way that was not checked."
        pair = declared, action
        found.append(unlike(Danger.COMMAND, words, what="Link-loss action", pair=pair, then=then))
    return tuple(found)


def is_same_height(right: StatedHeight, got: StatedHeight) -> bool:
    """Return whether two heights are the same but for the rounding of storing them."""
    return right.above is got.above and is_rounded_height(right.value_m, got.value_m)
