"""Frames of the protocol to our messages and back; nothing else here knows the protocol library.

References: MAVLink common message set; ids of plans lie in extension fields that this library does
not name (COUNT, ACK and CURRENT: payload bytes 5, 4 and 6, 10, 14; measured on the wire form).
"""

import math
import struct
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from pymavlink.dialects.v20 import common as library

from homeleg.link import messages as m
from homeleg.link.splitter import Frame

__all__ = [
    "OUR_COMPONENT",
    "OUR_SYSTEM",
    "SEEDS",
    "Codec",
    "MaySendError",
    "codec_for",
    "told_fields",
]

OUR_SYSTEM, OUR_COMPONENT = 245, 190
SEEDS = MappingProxyType({number: kind.crc_extra for number, kind in library.mavlink_map.items()})
_ARMED_BIT = 128
_COUNT_ID_AT, _ACK_ID_AT = 5, 4
_CURRENT_IDS_AT = (6, 10, 14)
_ID_BYTES = 4
_SETTING_BYTES = 4
_SMALLEST_ORDINARY = 2.0**-126  # of 32 bits (IEEE 754)
_WHOLE_SETTINGS = range(library.MAV_PARAM_TYPE_UINT8, library.MAV_PARAM_TYPE_INT32 + 1)
_REMEMBERED = (
    64  # frames: an echo comes within a second, and each has its number once in 256. Ours.
)
# Signing counts in steps of 10 microseconds since the first second of 2015.
_SIGNING_EPOCH_UNIX_S = 1_420_070_400
_SIGNING_STEPS_PER_S = 100_000

_LIVE = (
    "GLOBAL_POSITION_INT",
    "VFR_HUD",
    "SYS_STATUS",
    "BATTERY_STATUS",
    "WIND_COV",
)


class MaySendError(Exception):
    """Something was to be sent that never may be."""


@dataclass(slots=True, kw_only=True)
class Codec:
    """Reads frames and writes messages as one station; with a key it signs, and asks for signing.

    `key` is 32 bytes; `signing_time` the time since the epoch of signing in its own steps.
    """

    system: int = OUR_SYSTEM
    component: int = OUR_COMPONENT
    key: bytes | None = None
    signing_time: int = 0
    refused_signatures: int = 0
    echoes: int = 0
    _library: Any = field(init=False)
    _sequence: int = 0
    _sent: deque[bytes] = field(default_factory=lambda: deque(maxlen=_REMEMBERED))

    def __post_init__(self) -> None:
        self._library = library.MAVLink(None, self.system, self.component)
        if self.key is not None:
            self._library.signing.secret_key = self.key
            self._library.signing.timestamp = self.signing_time
            self._library.signing.sign_outgoing = True

    def speak_as(self, system: int) -> None:
        """Write from now on under another system id."""
        self.system = self._library.srcSystem = system

    def read(self, frame: Frame) -> m.Heard | None:
        """Return what a frame says; None where it was refused for its signature, or is our own.

        Radios that take turns give back what was sent: byte by byte the same, with its number.
        Another station under our id counts its frames for itself.
        """
        if frame.raw in self._sent:
            self.echoes += 1
            return None
        try:
            told = self._library.decode(bytearray(frame.raw))
        except library.MAVError:
            # The checksum was right: only a signature is left to be wrong.
            self.refused_signatures += 1
            return None
        reader = _READERS.get(told.msgname)
        return m.Heard(
            system=frame.system,
            component=frame.component,
            sequence=frame.sequence,
            version=frame.version,
            signed=frame.signed,
            message=None if reader is None else reader(told, _padded(frame.payload)),
            passed_over=frame.passed_over,
        )

    def write(self, message: m.Message) -> bytes:
        """Return the frame of a message; raise MaySendError for one that never may leave."""
        packed = self._packable(message)
        self._library.seq = self._sequence
        self._sequence = (self._sequence + 1) % 256
        raw = bytes(packed.pack(self._library))
        self._sent.append(raw)
        return raw

    def _packable(self, message: m.Message) -> Any:
        writer = _WRITERS.get(type(message))
        if writer is None:
            raise MaySendError(f"{type(message).__name__} is never sent")
        return writer(message)


def told_fields(frame: Frame) -> Iterator[tuple[str, str, str]]:
    """Give (message, field, value as text) for every field of a frame, in the protocol's words."""
    told = library.MAVLink(None, OUR_SYSTEM, OUR_COMPONENT).decode(bytearray(frame.raw))
    for name in told.fieldnames:
        value = getattr(told, name)
        text = " ".join(map(str, value)) if isinstance(value, list) else str(value)
        yield told.msgname, name, text


def codec_for(key: bytes | None, unix_s: float) -> Codec:
    """Return our codec; with a key of 32 bytes it signs, from the time given [s since 1970]."""
    steps = round(_SIGNING_STEPS_PER_S * (unix_s - _SIGNING_EPOCH_UNIX_S))
    return Codec(key=key, signing_time=steps)


def _padded(payload: bytes) -> bytes:
    """Return a payload with the trailing zeros that version 2 leaves out."""
    return payload.ljust(max(at + _ID_BYTES for at in _CURRENT_IDS_AT), b"\0")


def _id_at(payload: bytes, at: int) -> int:
    return int.from_bytes(payload[at : at + _ID_BYTES], "little")


def _heartbeat(told: Any, _payload: bytes) -> m.Heartbeat:
    return m.Heartbeat(
        vehicle_type=told.type,
        autopilot=told.autopilot,
        armed=bool(told.base_mode & _ARMED_BIT),
    )


def _landed(told: Any, _payload: bytes) -> m.LandedMessage:
    known = told.landed_state in set(m.LandedState)
    return m.LandedMessage(
        state=m.LandedState(told.landed_state) if known else m.LandedState.UNKNOWN
    )


def _home(told: Any, _payload: bytes) -> m.HomePosition:
    return m.HomePosition(
        latitude_e7=told.latitude, longitude_e7=told.longitude, height_amsl_mm=told.altitude
    )


def _system_time(told: Any, _payload: bytes) -> m.SystemTime:
    return m.SystemTime(since_boot_ms=told.time_boot_ms)


def _plan_current(told: Any, payload: bytes) -> m.PlanCurrent:
    route, boundary, diversions = (_id_at(payload, at) for at in _CURRENT_IDS_AT)
    return m.PlanCurrent(
        sequence=told.seq, total=told.total, plan_ids=(route, boundary, diversions)
    )


def _request_list(told: Any, _payload: bytes) -> m.RequestList:
    return m.RequestList(
        to_system=told.target_system, to_component=told.target_component, plan=told.mission_type
    )


def _count(told: Any, payload: bytes) -> m.Count:
    return m.Count(
        to_system=told.target_system,
        to_component=told.target_component,
        plan=told.mission_type,
        count=told.count,
        plan_id=_id_at(payload, _COUNT_ID_AT),
    )


def _request(told: Any, _payload: bytes) -> m.Request:
    return m.Request(
        to_system=told.target_system,
        to_component=told.target_component,
        plan=told.mission_type,
        sequence=told.seq,
        precise=told.msgname == "MISSION_REQUEST_INT",
    )


def _item(told: Any, _payload: bytes) -> m.Item:
    return m.Item(
        to_system=told.target_system,
        to_component=told.target_component,
        plan=told.mission_type,
        sequence=told.seq,
        frame=told.frame,
        command=told.command,
        current=told.current,
        autocontinue=told.autocontinue,
        params=(told.param1, told.param2, told.param3, told.param4),
        x=told.x,
        y=told.y,
        z=told.z,
        precise=told.msgname == "MISSION_ITEM_INT",
    )


def _ack(told: Any, payload: bytes) -> m.Ack:
    return m.Ack(
        to_system=told.target_system,
        to_component=told.target_component,
        plan=told.mission_type,
        result=told.type,
        plan_id=_id_at(payload, _ACK_ID_AT),
    )


def _live(told: Any, _payload: bytes) -> m.Live:
    fields = ((name, getattr(told, name)) for name in told.fieldnames)
    numbers = ((name, float(v)) for name, v in fields if isinstance(v, int | float))
    return m.Live(name=told.msgname, fields=tuple(numbers))


def _setting(told: Any, payload: bytes) -> m.SettingTold:
    raw = payload[:_SETTING_BYTES]
    return m.SettingTold(name=told.param_id, value=_setting_value(raw, told.param_type))


def _setting_value(raw: bytes, kind: int) -> float | None:
    """Return the value of a setting, None where it cannot be told.

    Whole numbers come in either of two ways: as a number like others, or byte by byte. The bytes of
    a small whole number are no ordinary number, so that the two can be told apart.
    """
    (number,) = struct.unpack("<f", raw)
    if kind == library.MAV_PARAM_TYPE_REAL32:
        return float(number) if math.isfinite(number) else None
    if kind not in _WHOLE_SETTINGS:
        return None
    if number == 0.0 or (abs(number) >= 1.0 and float(number).is_integer()):
        return float(number)
    if math.isfinite(number) and abs(number) >= _SMALLEST_ORDINARY:
        return None
    return float(int.from_bytes(raw, "little", signed=True))


_READERS: dict[str, Callable[[Any, bytes], m.Message]] = {
    "HEARTBEAT": _heartbeat,
    "EXTENDED_SYS_STATE": _landed,
    "HOME_POSITION": _home,
    "SYSTEM_TIME": _system_time,
    "MISSION_CURRENT": _plan_current,
    "MISSION_REQUEST_LIST": _request_list,
    "MISSION_COUNT": _count,
    "MISSION_REQUEST": _request,
    "MISSION_REQUEST_INT": _request,
    "MISSION_ITEM": _item,
    "MISSION_ITEM_INT": _item,
    "MISSION_ACK": _ack,
    "PARAM_VALUE": _setting,
    **dict.fromkeys(_LIVE, _live),
}


def _write_heartbeat(_message: m.Heartbeat) -> Any:
    """Present ourselves as a ground station that steers nothing, whatever the message says."""
    return library.MAVLink_heartbeat_message(
        library.MAV_TYPE_GCS, library.MAV_AUTOPILOT_INVALID, 0, 0, library.MAV_STATE_ACTIVE, 3
    )


def _write_request_list(message: m.RequestList) -> Any:
    return library.MAVLink_mission_request_list_message(
        message.to_system, message.to_component, message.plan
    )


def _write_request(message: m.Request) -> Any:
    kind = (
        library.MAVLink_mission_request_int_message
        if message.precise
        else library.MAVLink_mission_request_message
    )
    return kind(message.to_system, message.to_component, message.sequence, message.plan)


def _write_ack(message: m.Ack) -> Any:
    return library.MAVLink_mission_ack_message(
        message.to_system, message.to_component, message.result, message.plan
    )


def _write_count(message: m.Count) -> Any:
    return library.MAVLink_mission_count_message(
        message.to_system, message.to_component, message.count, message.plan
    )


def _write_item(message: m.Item) -> Any:
    kind = (
        library.MAVLink_mission_item_int_message
        if message.precise
        else library.MAVLink_mission_item_message
    )
    return kind(
        message.to_system,
        message.to_component,
        message.sequence,
        message.frame,
        message.command,
        message.current,
        message.autocontinue,
        *message.params,
        int(message.x) if message.precise else message.x,
        int(message.y) if message.precise else message.y,
        message.z,
        message.plan,
    )


# All that ever leaves. Whoever adds to this list lets the program do more than read and load.
_WRITERS: dict[type, Callable[[Any], Any]] = {
    m.Heartbeat: _write_heartbeat,
    m.RequestList: _write_request_list,
    m.Request: _write_request,
    m.Ack: _write_ack,
    m.Count: _write_count,
    m.Item: _write_item,
}
