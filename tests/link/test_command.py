"""`homeleg link` from the command line to a fake vehicle."""

import errno
import io
import json
import sys
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
import serial

from homeleg.cli.main import run
from homeleg.desk import link as desk_link
from homeleg.desk import link_extra
from homeleg.desk.reading_json import _digest
from homeleg.desk.release import write_release
from homeleg.formats.release_file import read_release
from homeleg.formats.sortie_file import SortieFiles
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.link.items import StoredSettings, plans_of
from homeleg.link.messages import HomePosition
from homeleg.release.canonical import recorded
from homeleg.release.release import Release
from homeleg.release.stored import airspeed_of, height_of
from tests.link.fake_vehicle import FakeVehicle, item
from tests.link.wire import OnTheWire, in_hand


def stored_settings(release: Release) -> StoredSettings:
    cruise = airspeed_of(release.settings["cruise"])
    pattern = height_of(release.settings["pattern_height"])
    assert cruise is not None
    assert pattern is not None
    return StoredSettings(cruise=cruise, pattern_height=pattern)


def aircraft(path: Path, *, loaded: bool) -> OnTheWire:
    """Return a vehicle on the launch point of a release, with its plans or none."""
    release = read_release(path)
    plans = plans_of(release.route, stored_settings(release))
    launch = release.route.launch_point
    assert launch is not None
    assert launch.height is not None
    vehicle = FakeVehicle()
    if loaded:
        vehicle.plans = {int(plan): list(items) for plan, items in plans.items()}
    home = HomePosition(
        latitude_e7=round(1e7 * launch.latitude_deg),
        longitude_e7=round(1e7 * launch.longitude_deg),
        height_amsl_mm=round(1000.0 * launch.height.value_m),
    )
    return OnTheWire(vehicle, home)


def read_aloud(path: Path) -> list[str]:
    """Return the options that give the settings of a release as it has them."""
    loss = read_release(path).settings["link_loss"]
    given = []
    if loss["return_height"] is not None:
        height = loss["return_height"]
        given += ["--return-height", f"{height['cm'] / 100.0} m {height['above']}"]
    if loss["after_ds"] is not None:
        given += ["--link-loss-after", f"{loss['after_ds'] / 10.0} s"]
    if loss["climb_first"] is not None:
        climbs = "climbs first" if loss["climb_first"] else "does not climb first"
        given += ["--link-loss-climb", climbs]
    if loss["path"] is not None:
        along = isinstance(loss["path"], list)
        given += ["--link-loss-path", "along the diversion points" if along else loss["path"]]
    if loss["at_launch_point"] is not None:
        given += ["--link-loss-action", loss["at_launch_point"]]
    return given


def test_the_same_in_hand(released: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with in_hand(aircraft(released, loaded=True)) as port:
        status = run(["link", "compare", str(released), "--port", port, *read_aloud(released)])
    out = capsys.readouterr().out
    assert out.startswith(f"SAME as release {read_release(released).code}")
    assert "not how it will be flown" in out
    assert status == 0


def test_settings_that_nobody_read_are_a_call(
    released: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with in_hand(aircraft(released, loaded=True)) as port:
        status = run(["link", "compare", str(released), "--port", port, "--json", "-"])
    told = json.loads(capsys.readouterr().out)
    assert status == 8
    assert told["end"] == "CANNOT TELL"
    assert told["settings_to_read"]
    assert told["aircraft"]["system"] == 7


def test_an_item_changed_in_the_aircraft(
    released: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wire = aircraft(released, loaded=True)
    items = wire.vehicle.plans[0]
    place = next(k for k, item in enumerate(items) if item.command == 16)
    items[place] = replace(items[place], z=items[place].z - 30.0)
    with in_hand(wire) as port:
        status = run(["link", "compare", str(released), "--port", port])
    assert status == 5
    assert "30 m lower than released" in capsys.readouterr().out


def test_a_load(released: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wire = aircraft(released, loaded=False)
    with in_hand(wire) as port:
        given = ["--port", port, "--confirm-system", "7", "--home-first", "no"]
        status = run(["link", "load", str(released), *given, *read_aloud(released)])
    said = capsys.readouterr()
    assert status == 0, said.err
    assert said.out.startswith("SAME as release")
    assert "0 m from the released launch point" in said.err
    assert wire.vehicle.plans[0]
    code = read_release(released).code
    assert len(list(released.parent.glob(f"{code}.before-*.json"))) == 1


def test_a_load_into_another_aircraft_than_is_heard_is_refused(
    released: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wire = aircraft(released, loaded=False)
    with in_hand(wire) as port:
        given = ["--port", port, "--confirm-system", "8", "--home-first", "no"]
        status = run(["link", "load", str(released), *given, *read_aloud(released)])
    assert status == 7
    assert "no aircraft of system 8 was heard, only system 7" in capsys.readouterr().err
    assert not wire.vehicle.plans[0]


def test_a_load_over_a_link_that_echoes_what_we_send(
    released: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wire = aircraft(released, loaded=False)
    wire.echoes = True
    given = ["--confirm-system", "7", "--home-first", "no", "--present", *read_aloud(released)]
    with in_hand(wire) as port:
        assert run(["link", "load", str(released), "--port", port, *given]) == 0
    assert capsys.readouterr().out.startswith("SAME as release")


@pytest.mark.parametrize("declared", [True, False])
def test_item_0_is_as_the_aircraft_record_says_where_nothing_tells(
    released: Path, monkeypatch: pytest.MonkeyPatch, *, declared: bool
) -> None:
    def first(files: SortieFiles) -> bool:
        assert files.sortie.aircraft.guidance.launch_point_first is None
        return declared

    monkeypatch.setattr(desk_link, "_declared_first", first)
    wire = aircraft(released, loaded=False)
    with in_hand(wire) as port:
        given = ["--port", port, "--confirm-system", "7", *read_aloud(released)]
        assert run(["link", "load", str(released), *given]) == 0
    items = wire.vehicle.plans[0]
    whole = aircraft(released, loaded=True).vehicle.plans[0]
    assert len(items) == len(whole) + declared
    assert (items[0].x == wire.home.latitude_e7 and items[0].command == 16) is declared


def test_nothing_is_loaded_where_nobody_knows_of_item_0(
    released: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wire = aircraft(released, loaded=False)
    with in_hand(wire) as port:
        given = ["--port", port, "--confirm-system", "7", *read_aloud(released)]
        assert run(["link", "load", str(released), *given]) == 7
    assert "nothing tells whether it keeps its launch point as item 0" in capsys.readouterr().err
    assert wire.vehicle.plans[0] == []


def test_another_id_is_ours_where_that_one_is_heard(released: Path) -> None:
    wire = aircraft(released, loaded=True)
    wire.others = [(245, 190), (246, 190)]
    with in_hand(wire) as port:
        assert run(["link", "compare", str(released), "--port", port, *read_aloud(released)]) == 0
    assert wire.askers == {(247, 190)}


def test_whoever_is_armed_is_not_loaded(released: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wire = aircraft(released, loaded=False)
    wire.armed = True
    with in_hand(wire) as port:
        given = ["--port", port, "--confirm-system", "7", "--home-first", "no"]
        status = run(["link", "load", str(released), *given])
    assert status == 7
    assert capsys.readouterr().err == (
        "the aircraft: the aircraft is armed\n  Nothing was written into the aircraft.\n"
    )
    assert wire.vehicle.plans[0] == []


def test_a_fetched_route_is_read_by_compare(
    released: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "aboard.csv"
    with in_hand(aircraft(released, loaded=True)) as port:
        assert run(["link", "fetch", "--port", port, "--out", str(out)]) == 0
    assert "System 7 holds" in capsys.readouterr().out
    assert run(["compare", str(released), str(out)]) == 5
    told = capsys.readouterr().out
    assert "30 m" not in told
    assert " off" not in told


def test_nobody_on_the_link(released: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wire = aircraft(released, loaded=True)
    wire.deaf_after = 0
    with in_hand(wire) as port:
        assert run(["link", "compare", str(released), "--port", port]) == 6
    assert "nothing was heard for 5 s. Nothing was written." in capsys.readouterr().err


@pytest.mark.parametrize(
    ("port", "words"),
    [
        ("com3", "is not a port of a link"),
        ("tcp:127.0.0.1:99999", "is not a port of a link"),
        ("tcp:127.0.0.1:0", "is not a port of a link"),
        ("serial:/dev/none", "names no device with its speed"),
        ("serial:/dev/none@0", "names no device with its speed"),
        ("serial:/dev/none@99999999", "names no device with its speed"),
    ],
)
def test_a_port_that_is_none(
    released: Path, capsys: pytest.CaptureFixture[str], port: str, words: str
) -> None:
    assert run(["link", "compare", str(released), "--port", port]) == 2
    assert words in capsys.readouterr().err


def test_a_device_that_is_not_there(released: Path, capsys: pytest.CaptureFixture[str]) -> None:
    port = "serial:/dev/none-such@57600"
    assert run(["link", "compare", str(released), "--port", port]) == 6
    said = capsys.readouterr().err
    assert said.startswith("Cannot open /dev/none-such at 57600 baud: no such file or directory. ")
    assert "erial port" in said  # those there are, or that there is none


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.EACCES, "you may not. Add yourself to the group that owns it (often dialout)"),
        (errno.EAGAIN, "Another program holds it: close that program."),  # locked
        (errno.EBUSY, "Another program holds it: close that program."),
    ],
)
def test_a_device_that_is_not_ours(
    released: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    number: int,
    words: str,
) -> None:
    def refused(*_: object, **__: object) -> None:
        raise serial.SerialException(number, f"could not open port: {number}")

    monkeypatch.setattr(serial, "Serial", refused)
    assert run(["link", "compare", str(released), "--port", "serial:/dev/ttyS0@57600"]) == 6
    assert words in capsys.readouterr().err


def test_an_aircraft_without_a_route_gives_no_file(
    released: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "aboard.csv"
    with in_hand(aircraft(released, loaded=False)) as port:
        assert run(["link", "fetch", "--port", port, "--out", str(out)]) == 7
        assert "system 7 holds no route" in capsys.readouterr().err
        assert run(["link", "compare", str(released), "--port", port]) == 5
    said = capsys.readouterr().out
    assert "cannot be flown in computation. There is no route." in said
    assert not out.exists()


def test_a_release_whose_time_is_over_is_compared_and_says_so(
    released: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    release = read_release(released)
    path = released.with_name("old.json")
    until = recorded(datetime(2026, 6, 9, 18, tzinfo=UTC))
    folder = str(released.parent / release.folder)
    old = replace(release, frozen={**release.frozen, "valid_until": until}, folder=folder)
    write_release(old, path)
    with in_hand(aircraft(path, loaded=True)) as port:
        assert run(["link", "compare", str(path), "--port", port, *read_aloud(path)]) == 0
        assert "The time of this release is over" in capsys.readouterr().out
        given = ["--port", port, "--confirm-system", "7"]
        assert run(["link", "load", str(path), *given]) == 7
        assert "its time is over: release the sortie again" in capsys.readouterr().err


def test_without_the_extra(
    released: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(link_extra, "_LIBRARIES", ("no_such_library",))
    assert run(["link", "compare", str(released), "--port", "tcp:127.0.0.1:1"]) == 2
    assert capsys.readouterr().err == (
        "The link needs no_such_library, not installed: pip install 'homeleg[link]', or in the "
        "folder of its sources pip install '.[link]'.\n"
    )


def test_a_return_height_read_otherwise_is_not_the_same(
    released: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    height = height_of(read_release(released).settings["link_loss"]["return_height"])
    assert height == StatedHeight(85.0, Datum.ABOVE_LAUNCH)
    given = ["--return-height", "40 m above launch"]
    with in_hand(aircraft(released, loaded=True)) as port:
        assert run(["link", "compare", str(released), "--port", port, *given]) == 5
    words = "The return height is 40 m above launch instead of 85 m above launch."
    assert words in capsys.readouterr().out


class Terminal(io.StringIO):
    """Lines that a person types."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("typed", "status"), [("7", 0), ("8", 7), ("", 7)])
def test_a_terminal_asks_for_the_system_id(
    released: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    typed: str,
    status: int,
) -> None:
    wire = aircraft(released, loaded=False)
    monkeypatch.setattr(sys, "stdin", Terminal(f"{typed}\n"))
    given = ["--confirm-system", "7", "--home-first", "no", "--read-by", "Kim"]
    with in_hand(wire) as port:
        load_it = ["link", "load", str(released), "--port", port, *read_aloud(released), *given]
        assert run(load_it) == status
    said = capsys.readouterr().err
    assert ("the system id was not confirmed" in said) == bool(status)
    assert bool(wire.vehicle.plans[0]) == (status == 0)


def test_a_terminal_asks_for_what_no_link_reads(
    released: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    read = read_aloud(released)[1::2]
    monkeypatch.setattr(sys, "stdin", Terminal("\n".join([*read, "Kim", ""])))
    with in_hand(aircraft(released, loaded=True)) as port:
        assert run(["link", "compare", str(released), "--port", port]) == 0
    told = capsys.readouterr()
    assert "No link reads what follows" in told.err
    assert "Kim" in told.out


def test_what_a_comparison_rests_on_is_kept_beside_the_release(released: Path) -> None:
    wire, release = aircraft(released, loaded=False), read_release(released)
    wire.total = 0  # it numbers no plans
    wire.vehicle.plans[0] = [item(0), item(1)]
    given = ["--confirm-system", "7", "--home-first", "no", "--read-by", "Kim"]
    with in_hand(wire) as port:
        load_it = ["link", "load", str(released), "--port", port, *read_aloud(released), *given]
        assert run(load_it) == 0
    path = released.with_name(f"{release.code}.aboard.jsonl")
    begun, kept = (json.loads(line) for line in path.read_text("utf-8").splitlines())
    assert begun["untold"] == ["a load was begun"]
    assert (kept["end"], kept["release"], kept["source"]) == ("SAME", release.digest, "system 7")
    link = kept["link"]
    assert (link["port"], link["armed"], link["landed"]) == ("tcp:127.0.0.1:1", False, "on_ground")
    assert link["read_aloud"]["by"] == "Kim"
    assert link["read_aloud"]["return_height"] == "85 m above launch"
    assert (link["lost_frames"], link["skipped_bytes"]) == (0, 0)
    assert link["frames"] > 20
    route = link["aircraft"]["plans"]["route"]
    assert len(route["items"]) == len(wire.vehicle.plans[0])
    before = json.loads(released.with_name(link["found_before"]).read_text("utf-8"))
    assert len(before["plans"]["route"]["items"]) == 2


def test_twins_of_a_frame_have_one_digest() -> None:
    # Frames 0 and 5, 3 and 6, 10 and 11 of MAV_FRAME are the same height references.
    digests = [_digest([item(0, frame=frame)]) for frame in (0, 5, 3, 6, 10, 11, 2)]
    assert digests[0] == digests[1]
    assert digests[2] == digests[3]
    assert digests[4] == digests[5]
    assert len(set(digests)) == 4
