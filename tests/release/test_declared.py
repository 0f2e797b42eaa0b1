"""What is declared of a lost link, read aloud and held against it. No outside source: our words."""

from collections.abc import Callable
from typing import Any

import pytest

from homeleg.release.declared import (
    READ_CHOICES,
    ReadAloud,
    declared_choice,
    read_aloud_differences,
    settings_to_read,
)
from homeleg.release.difference import Danger
from homeleg.release.release import Release


@pytest.fixture
def settings(make_release: Callable[..., Release]) -> Any:
    """Return the settings of a release: climbs first, straight home, orbits, then lands."""
    return make_release().settings


def test_each_is_to_be_read_until_it_was(settings: Any) -> None:
    assert settings_to_read(settings, ReadAloud())[-3:] == (
        "the link-loss climb",
        "the link-loss path",
        "the link-loss action",
    )
    right = {key: declared_choice(settings["link_loss"], key) for key in READ_CHOICES}
    assert right["link_loss_climb"] == "climbs first"
    assert right["link_loss_path"] == "straight"
    read = ReadAloud(**right)  # type: ignore[arg-type]
    assert not any("link-loss" in unread for unread in settings_to_read(settings, read))
    assert read_aloud_differences(settings, read) == ()


@pytest.mark.parametrize(
    ("key", "got", "danger"),
    [
        ("link_loss_climb", "does not climb first", Danger.LOWER),
        ("link_loss_path", "over the nearest diversion point", Danger.LOWER),
        ("link_loss_action", "something else", Danger.COMMAND),
    ],
)
def test_another_than_declared_is_a_difference(
    settings: Any, key: str, got: str, danger: Danger
) -> None:
    (found,) = read_aloud_differences(settings, ReadAloud(**{key: got}))  # type: ignore[arg-type]
    assert found.danger is danger
    assert f"is: {got}, instead of: " in found.sentence


def test_what_is_not_declared_is_not_asked(settings: Any) -> None:
    loss = {**settings["link_loss"], "climb_first": None, "path": None}
    unread = settings_to_read({"link_loss": loss}, ReadAloud())
    assert "the link-loss climb" not in unread
    assert "the link-loss path" not in unread


def test_points_by_name_are_the_diversion_points(settings: Any) -> None:
    loss = {**settings["link_loss"], "path": ["Ford", "Barn"]}
    assert declared_choice(loss, "link_loss_path") == "along the diversion points"
