"""Settings that an aircraft told by itself, put beside those that a person read aloud.

They are listened for and never asked for: see decision 19.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from homeleg.formats.settings_map import MappedSetting, SettingsMap
from homeleg.foundation.heights import StatedHeight
from homeleg.release.declared import ReadAloud, is_same_height
from homeleg.release.difference import Danger, Difference
from homeleg.release.read_aloud import height_words

__all__ = ["contradictions", "heard_remarks", "with_heard"]

_SAME_S = 0.05  # a tenth of a second is what a release stores


def with_heard(read: ReadAloud, names: SettingsMap, told: Mapping[str, float]) -> ReadAloud:
    """Return what was read aloud, with what was heard in its place."""
    after_s = _value(names.link_loss_after, told)
    return replace(
        read,
        return_height=_height(names, told) or read.return_height,
        link_loss_after_s=read.link_loss_after_s if after_s is None else after_s,
    )


def contradictions(
    read: ReadAloud, names: SettingsMap, told: Mapping[str, float]
) -> Iterator[Difference]:
    """Give what a person read as something else than the aircraft told."""
    height, typed = _height(names, told), read.return_height
    if height is not None and typed is not None and not is_same_height(height, typed):
        words = f"{height_words(typed)}, and the aircraft told {height_words(height)}"
        yield _differs(Danger.LOWER, f"The return height was read as {words}.")
    after_s, typed_s = _value(names.link_loss_after, told), read.link_loss_after_s
    if after_s is not None and typed_s is not None and abs(typed_s - after_s) > _SAME_S:
        words = f"{typed_s:g} s, and the aircraft told {after_s:g} s"
        yield _differs(Danger.COMMAND, f"The time to the return was read as {words}.")


def heard_remarks(names: SettingsMap, told: Mapping[str, float]) -> Iterator[str]:
    """Give a sentence for each setting of the map: heard, or not."""
    height, after_s = _height(names, told), _value(names.link_loss_after, told)
    height_told = None if height is None else height_words(height)
    after_told = None if after_s is None else f"{after_s:g} s"
    for setting, what, words in (
        (names.return_height, "The return height", height_told),
        (names.link_loss_after, "The time to the return", after_told),
    ):
        if setting is None:
            continue
        if words:
            yield f"{what} was heard on the link: {words} ({setting.name})."
        else:
            yield f"{what}, {setting.name}, was not told meanwhile: it is listened for, not asked."


def _height(names: SettingsMap, told: Mapping[str, float]) -> StatedHeight | None:
    value_m, setting = _value(names.return_height, told), names.return_height
    if value_m is None or setting is None or setting.above is None:
        return None
    return StatedHeight(value_m, setting.above)


def _value(setting: MappedSetting | None, told: Mapping[str, float]) -> float | None:
    if setting is None or setting.name not in told:
        return None
    return setting.one * told[setting.name]


def _differs(danger: Danger, sentence: str) -> Difference:
    return Difference(danger=danger, aspect=None, item=None, sentence=sentence)
