"""Settings that a release declares and no link reads: they are read aloud, typed, and compared."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from homeleg.aircraft.record import AtLaunchPoint, ReturnPath
from homeleg.foundation.heights import StatedHeight
from homeleg.release.difference import Danger, Difference, is_rounded_height, unlike
from homeleg.release.read_aloud import height_words
from homeleg.release.stored import height_of

__all__ = [
    "READ_CHOICES",
    "ReadAloud",
    "ReadChoice",
    "declared_choice",
    "is_same_height",
    "read_aloud_differences",
    "settings_to_read",
]

_CLIMBS = {True: "climbs first", False: "does not climb first"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadChoice:
    """A setting of a lost link that is one of a few words, and what another one means.

    `what` names it in a sentence, `asked` asks for it, `declared_as` is its key in a release.
    """

    what: str
    asked: str
    words: tuple[str, ...]
    declared_as: str
    danger: Danger
    then: str


# By the name of what was read: how it leaves for home, which way it comes, how that ends.
READ_CHOICES: Mapping[str, ReadChoice] = MappingProxyType(
    {
        "link_loss_climb": ReadChoice(
            what="link-loss climb",
            asked="Before it turns for home",
            words=tuple(_CLIMBS.values()),
            declared_as="climb_first",
            danger=Danger.LOWER,
            then="It would come home at heights that were not checked.",
        ),
        "link_loss_path": ReadChoice(
            what="link-loss path",
            asked="The way home",
            words=(*(one.value for one in ReturnPath), "something else"),
            declared_as="path",
            danger=Danger.LOWER,
            then="It would come home over ground that was not checked.",
        ),
        "link_loss_action": ReadChoice(
            what="link-loss action",
            asked="The link-loss action: once it has come home by itself",
            words=(*(one.value for one in AtLaunchPoint), "something else"),
            declared_as="at_launch_point",
            danger=Danger.COMMAND,
            then="It would end a lost link in a way that was not checked.",
        ),
    }
)
_TENTHS = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadAloud:
    """What a person read in the maker's own tool; None where it was not read [s].

    The last three are words of READ_CHOICES; `read_by` names the person, "" where nobody is named.
    """

    return_height: StatedHeight | None = None
    link_loss_after_s: float | None = None
    link_loss_climb: str | None = None
    link_loss_path: str | None = None
    link_loss_action: str | None = None
    read_by: str = ""


def settings_to_read(settings: Mapping[str, Any], read: ReadAloud) -> tuple[str, ...]:
    """Return the declared settings that nobody has read yet, by name."""
    loss, unread = settings["link_loss"], []
    if loss["return_height"] is not None and read.return_height is None:
        unread.append("the return height")
    if loss["after_ds"] is not None and read.link_loss_after_s is None:
        unread.append("the time from a lost link to the return")
    for key, choice in READ_CHOICES.items():
        if declared_choice(loss, key) is not None and getattr(read, key) is None:
            unread.append(f"the {choice.what}")
    return tuple(unread)


def declared_choice(loss: Mapping[str, Any], key: str) -> str | None:
    """Return the word of READ_CHOICES that a release declares, None where it declares none."""
    declared = loss[READ_CHOICES[key].declared_as]
    if isinstance(declared, bool):
        return _CLIMBS[declared]
    # Points by name are diversion points: where each lies is compared with those aboard.
    return ReturnPath.ALONG_POINTS.value if isinstance(declared, list) else declared


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
    return (*found, *_choice_differences(loss, read))


def _choice_differences(loss: Mapping[str, Any], read: ReadAloud) -> Iterator[Difference]:
    for key, choice in READ_CHOICES.items():
        got, declared = getattr(read, key), declared_choice(loss, key)
        if got is None or declared is None or got == declared:
            continue
        words = f"The {choice.what} is: {got}, instead of: {declared}."
        what = f"{choice.what[0].upper()}{choice.what[1:]}"
        yield unlike(choice.danger, words, what=what, pair=(declared, got), then=choice.then)


def is_same_height(right: StatedHeight, got: StatedHeight) -> bool:
    """Return whether two heights are the same but for the rounding of storing them."""
    return right.above is got.above and is_rounded_height(right.value_m, got.value_m)
