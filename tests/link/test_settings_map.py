"""Settings that the aircraft tells by itself, under the user's names for them; nothing is asked."""

import struct
from pathlib import Path

import pytest
from pymavlink.dialects.v20 import common as library

from homeleg.cli.main import run
from homeleg.desk.settings_heard import contradictions, heard_remarks, with_heard
from homeleg.formats.settings_map import MappedSetting, SettingsMap, read_settings_map
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.link import messages as m
from homeleg.link.codec import SEEDS, Codec
from homeleg.link.splitter import frames_of
from homeleg.release.declared import ReadAloud
from tests.link.test_command import aircraft, read_aloud
from tests.link.wire import in_hand

HEIGHT = MappedSetting(name="GOING_HOME_H", one=0.01, above=Datum.ABOVE_LAUNCH)
WAIT = MappedSetting(name="WAIT_NO_LINK", one=0.1)
NAMES = SettingsMap(return_height=HEIGHT, link_loss_after=WAIT)
TEXT = """schema = "homeleg/settings-map/1"
[return_height]
name = "GOING_HOME_H"
one = "1 cm"
above = "above launch"
[link_loss_after]
name = "WAIT_NO_LINK"
one = "0.1 s"
"""


@pytest.fixture
def settings_map(tmp_path: Path) -> Path:
    path = tmp_path / "settings.toml"
    path.write_text(TEXT)
    return path


def told(name: str, raw: bytes, kind: int) -> bytes:
    """Return the frame of a setting; `raw` are the four bytes of its value."""
    (value,) = struct.unpack("<f", raw)
    message = library.MAVLink_param_value_message(name.encode(), value, kind, 1, 0)
    return bytes(message.pack(library.MAVLink(None, 7, 1)))


# By hand: IEEE 754 single 8500.0 is 0x4604D000; the whole number 8500 is 0x00002134.
# Kinds of MAV_PARAM_TYPE: 4 INT16, 6 INT32, 9 REAL32, 10 REAL64.
@pytest.mark.parametrize(
    ("raw", "kind", "value"),
    [
        ("4604d000", 9, 8500.0),
        ("4604d000", 6, 8500.0),
        ("00002134", 6, 8500.0),
        ("00002134", 4, 8500.0),
        ("00000000", 6, 0.0),
        ("4604d200", 6, None),  # 8500.5: no whole number either way
        ("7f800000", 9, None),  # infinity
        ("4604d000", 10, None),
    ],
)
def test_a_value_in_either_way_or_none(raw: str, kind: int, value: float | None) -> None:
    frame = told("GOING_HOME_H", bytes.fromhex(raw)[::-1], kind)
    heard = Codec().read(frames_of(frame, SEEDS)[0][0])
    assert heard is not None
    assert heard.message == m.SettingTold(name="GOING_HOME_H", value=value)


def test_the_file_names_settings_and_their_units(settings_map: Path) -> None:
    assert read_settings_map(settings_map) == NAMES


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("1 cm", "1 s", "one"),
        ("1 cm", "-1 cm", "one"),
        ("GOING_HOME_H", "A_NAME_OF_17_LETT", "letters long"),
        ('above = "above launch"', "", "above"),
        ("link_loss_after", "link_loss", "link_loss"),
    ],
)
def test_a_bad_file_is_told(settings_map: Path, old: str, new: str, words: str) -> None:
    settings_map.write_text(TEXT.replace(old, new))
    with pytest.raises(InputFileError, match=words):
        read_settings_map(settings_map)


def test_what_was_heard_completes_what_was_read() -> None:
    heard = {"GOING_HOME_H": 8500.0, "WAIT_NO_LINK": 100.0, "OTHER": 1.0}
    read = with_heard(ReadAloud(), NAMES, heard)
    height = StatedHeight(85.0, Datum.ABOVE_LAUNCH)
    assert read == ReadAloud(return_height=height, link_loss_after_s=10.0)
    assert with_heard(read, NAMES, heard) == read
    typed = ReadAloud(link_loss_after_s=20.0)
    assert with_heard(typed, NAMES, {}) == typed
    assert list(heard_remarks(NAMES, heard)) == [
        "The return height was heard on the link: 85 m above launch (GOING_HOME_H).",
        "The time to the return was heard on the link: 10 s (WAIT_NO_LINK).",
    ]


def test_what_was_read_otherwise_is_a_difference() -> None:
    typed = ReadAloud(return_height=StatedHeight(85.0, Datum.AMSL), link_loss_after_s=20.0)
    heard = {"GOING_HOME_H": 8500.0, "WAIT_NO_LINK": 100.0}
    assert [one.sentence for one in contradictions(typed, NAMES, heard)] == [
        "The return height was read as 85 m AMSL, and the aircraft told 85 m above launch.",
        "The time to the return was read as 20 s, and the aircraft told 10 s.",
    ]
    right = ReadAloud(return_height=StatedHeight(85.0, Datum.ABOVE_LAUNCH), link_loss_after_s=10.0)
    assert list(contradictions(right, NAMES, heard)) == []
    assert list(contradictions(typed, NAMES, {})) == []


def test_typed_right_and_heard_otherwise_is_not_the_same(
    released: Path, settings_map: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wire = aircraft(released, loaded=True)
    wire.settings = {"GOING_HOME_H": 4000.0}
    with in_hand(wire) as port:
        given = ["--port", port, "--settings-map", str(settings_map), *read_aloud(released)]
        assert run(["link", "compare", str(released), *given]) == 5
    said = " ".join(capsys.readouterr().out.split())
    assert "was read as 85 m above launch, and the aircraft told 40 m above launch." in said


@pytest.mark.parametrize(("height_cm", "status"), [(8500.0, 0), (4000.0, 5), (None, 8)])
def test_compared_as_heard(
    released: Path,
    settings_map: Path,
    capsys: pytest.CaptureFixture[str],
    height_cm: float | None,
    status: int,
) -> None:
    wire = aircraft(released, loaded=True)
    wire.settings = {"WAIT_NO_LINK": 100.0}
    if height_cm is not None:
        wire.settings["GOING_HOME_H"] = height_cm
    with in_hand(wire) as port:
        given = ["--port", port, "--settings-map", str(settings_map), *read_aloud(released)[4:]]
        assert run(["link", "compare", str(released), *given]) == status
    said = " ".join(capsys.readouterr().out.split())
    if height_cm is None:
        assert "GOING_HOME_H, was not told meanwhile: it is listened for, not asked." in said
        assert said.startswith("CANNOT TELL. Not read: the return height. No link reads that")
    else:
        assert f"heard on the link: {height_cm / 100.0:.0f} m above launch" in said
