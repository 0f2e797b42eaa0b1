import random

import pytest
from fastcrc import crc16
from hypothesis import given
from hypothesis import strategies as st

from homeleg.link import messages as m
from homeleg.link.codec import SEEDS, Codec, MaySendError
from homeleg.link.splitter import Splitter, frames_of

REQUEST = m.RequestList(to_system=7, to_component=1, plan=0)


def frames(count: int) -> list[bytes]:
    codec = Codec()
    return [codec.write(REQUEST) for _ in range(count)]


def test_checksum_is_the_catalogued_one() -> None:
    # Catalogue of parametrised CRC algorithms, CRC-16/MCRF4XX, check value of "123456789" (MEMORY).
    assert crc16.mcrf4xx(b"123456789") == 0x6F91


@given(st.lists(st.integers(1, 40), max_size=12))
def test_frames_do_not_depend_on_how_the_bytes_arrive(cuts: list[int]) -> None:
    stream = b"".join(frames(9))
    splitter = Splitter(seeds=SEEDS)
    found = []
    at = 0
    for cut in cuts:
        found += splitter.feed(stream[at : at + cut])
        at += cut
    found += splitter.feed(stream[at:])
    assert [frame.raw for frame in found] == frames(9)
    assert splitter.skipped_bytes == 0


def test_noise_costs_no_whole_frame() -> None:
    rng = random.Random(1)  # noqa: S311 - noise, not a secret
    sent = frames(200)
    noisy = b""
    for frame in sent:
        noisy += rng.randbytes(rng.randrange(0, 12)) + frame
    splitter = Splitter(seeds=SEEDS)
    found = splitter.feed(noisy) + splitter.feed(bytes(300))
    assert [frame.raw for frame in found] == sent


@given(st.integers(0, 10_000), st.integers(1, 255))
def test_a_changed_byte_is_never_a_frame(at: int, change: int) -> None:
    good = frames(1)[0]
    at %= len(good)
    bad = bytearray(good)
    bad[at] ^= change
    found, skipped = frames_of(bytes(bad), SEEDS)
    assert found == []
    assert skipped == len(good)


@given(st.binary(max_size=600))
def test_any_bytes_are_read_or_skipped(data: bytes) -> None:
    found, skipped = frames_of(data, SEEDS)
    assert sum(len(frame.raw) for frame in found) + skipped == len(data)


def test_half_a_frame_does_not_join_the_next_datagram() -> None:
    first, second = frames(2)
    assert frames_of(first[:9], SEEDS) == ([], 9)
    assert [frame.raw for frame in frames_of(second, SEEDS)[0]] == [second]


def test_a_frame_of_another_dialect_is_passed_over_and_told() -> None:
    stranger = bytes([0xFD, 3, 0, 0, 41, 7, 1, 0xFE, 0xFF, 0x3F, 1, 2, 3, 9, 9])
    assert int.from_bytes(stranger[7:10], "little") not in SEEDS
    found, _ = frames_of(stranger + frames(1)[0], SEEDS)
    assert [frame.passed_over for frame in found] == [((7, 1, 41),)]


def test_only_messages_of_the_list_are_written() -> None:
    with pytest.raises(MaySendError, match="HomePosition is never sent"):
        Codec().write(m.HomePosition(latitude_e7=1, longitude_e7=2, height_amsl_mm=3))


def test_heartbeat_never_says_that_we_are_an_autopilot() -> None:
    sent = Codec().write(m.Heartbeat(vehicle_type=1, autopilot=3, armed=True))
    heard = Codec().read(frames_of(sent, SEEDS)[0][0])
    assert heard is not None
    assert heard.message == m.Heartbeat(vehicle_type=6, autopilot=8, armed=False)


def test_what_is_written_reads_back() -> None:
    item = m.Item(
        to_system=7,
        to_component=1,
        plan=1,
        sequence=5,
        frame=6,
        command=16,
        current=0,
        autocontinue=1,
        params=(0.0, 25.0, 0.0, 2.5),
        x=-549_876_543,
        y=1_234_567_891,
        z=85.25,
        precise=True,
    )
    sent: list[m.Message] = [
        REQUEST,
        m.Count(to_system=7, to_component=1, plan=2, count=9),
        m.Request(to_system=7, to_component=1, plan=0, sequence=3, precise=True),
        m.Request(to_system=7, to_component=1, plan=0, sequence=3, precise=False),
        item,
        m.Ack(to_system=7, to_component=1, plan=0, result=m.AckResult.CANCELLED),
    ]
    codec = Codec()
    found, _ = frames_of(b"".join(codec.write(one) for one in sent), SEEDS)
    other = Codec()
    heard = [other.read(frame) for frame in found]
    assert [one and one.message for one in heard] == sent
    assert [one and one.sequence for one in heard] == list(range(6))


def test_ids_of_plans_are_read_where_the_library_has_no_name() -> None:
    # Wire form by hand: MISSION_ACK (47) with target 245/190, accepted, route, id 0x01020304.
    payload = bytes([245, 190, 0, 0, 4, 3, 2, 1])
    header = bytes([len(payload), 0, 0, 0, 7, 1, 47, 0, 0])
    check = crc16.mcrf4xx(header + payload + bytes([153]))  # seed of MISSION_ACK, common set
    frame = bytes([0xFD]) + header + payload + check.to_bytes(2, "little")
    heard = Codec().read(frames_of(frame, SEEDS)[0][0])
    assert heard is not None
    assert heard.message == m.Ack(
        to_system=245, to_component=190, plan=0, result=0, plan_id=0x01020304
    )


def test_a_wrong_key_is_refused_and_counted() -> None:
    signed = Codec(key=bytes(32), signing_time=1_000).write(REQUEST)
    frame = frames_of(signed, SEEDS)[0][0]
    assert frame.signed
    ours = Codec(key=bytes(32), signing_time=1_000)
    assert ours.read(frame) is not None
    other = Codec(key=b"\1" * 32, signing_time=1_000)
    assert other.read(frame) is None
    assert other.refused_signatures == 1


def test_what_we_sent_and_hear_again_is_told_from_another_under_our_id() -> None:
    ours, count = Codec(), m.Count(to_system=7, to_component=1, plan=0, count=4)
    ours.write(REQUEST)
    sent = ours.write(count)
    assert [ours.read(frame) for frame in frames_of(sent + sent, SEEDS)[0]] == [None, None]
    assert ours.echoes == 2
    # The same words of a station that took our id and counts its own frames: it writes.
    other = Codec().write(count)
    heard = ours.read(frames_of(other, SEEDS)[0][0])
    assert heard is not None
    assert (heard.system, heard.component, heard.message) == (245, 190, count)


def test_an_echo_is_known_for_a_while_only() -> None:
    ours = Codec()
    first = ours.write(REQUEST)
    for _ in range(64):
        ours.write(REQUEST)
    assert ours.read(frames_of(first, SEEDS)[0][0]) is not None
