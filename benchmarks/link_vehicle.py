"""A vehicle for the study of faulted links that shares no code with the program under study.

It speaks the protocol through the protocol's own library alone: bytes in, bytes out, whole frames.
What it does wrong is told by its `Habits`.
"""

import math
import random
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from pymavlink.dialects.v20 import common as mav

Stored = tuple[Any, ...]  # frame, command, autocontinue, four parameters, x, y, z


@dataclass
class Habits:
    """How a vehicle deviates: numbers of the old form alone, home kept first, what it damages."""

    old_form: bool = False
    float_degrees: bool = False
    home_first: bool = False
    mute_at_the_end: bool = False
    damage: str = ""
    edit_at_s: float = math.inf
    restart_at_s: float = math.inf
    home_off_e7: int = 0


@dataclass
class Vehicle:
    """Holds three plans; `home` is latitude and longitude [1e-7 deg] and height [mm AMSL]."""

    home: tuple[int, int, int]
    habits: Habits
    rng: random.Random
    plans: dict[int, list[Stored]] = field(default_factory=lambda: {0: [], 1: [], 2: []})
    last_list_s: float = -1.0
    edited_s: float = -1.0
    before_edit: list[Stored] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._mav = mav.MAVLink(None, 1, 1)
        self._taking: tuple[int, int, int, int] | None = None
        self._taken: list[Stored] = []
        self._booted_s = -60.0
        if self.habits.home_first and not self.plans[0]:
            self.plans[0] = [self._home_item()]

    def second(self, now_s: float) -> bytes:
        """Return what it tells each second, and its question for an item that did not come."""
        self._happen(now_s)
        lat, lon, alt = self.home[0] + self.habits.home_off_e7, self.home[1], self.home[2]
        boot_ms = round(1000.0 * (now_s - self._booted_s))
        told = [
            mav.MAVLink_heartbeat_message(1, 3, 0, 0, 3, 3),
            mav.MAVLink_extended_sys_state_message(0, 1),
            mav.MAVLink_global_position_int_message(boot_ms, lat, lon, alt, 0, 0, 0, 0, 0),
            mav.MAVLink_home_position_message(lat, lon, alt, 0, 0, 0, [1, 0, 0, 0], 0, 0, 0),
        ]
        if self.habits.home_first or self.plans[0]:
            total = len(self.plans[0]) - self.habits.home_first
            told.append(mav.MAVLink_mission_current_message(0, total or 65_535))
        if self._taking is not None:
            told.append(self._question())
        return self._packed(told)

    def hear(self, frame: bytes, now_s: float) -> bytes:
        """Return the answer to a frame; one that does not add up has none."""
        self._happen(now_s)
        try:
            return self._answer(self._mav.decode(bytearray(frame)), now_s)
        except mav.MAVError:
            return b""

    def _answer(self, told: Any, now_s: float) -> bytes:
        kind = told.get_type()
        who = told.get_srcSystem(), told.get_srcComponent()
        if kind == "MISSION_REQUEST_LIST":
            if told.mission_type == 0:
                self.last_list_s = now_s
            count = len(self.plans[told.mission_type])
            return self._packed([mav.MAVLink_mission_count_message(*who, count, told.mission_type)])
        if kind in ("MISSION_REQUEST", "MISSION_REQUEST_INT"):
            return self._item(told, who, precise=kind == "MISSION_REQUEST_INT")
        if kind == "MISSION_COUNT":
            self._taking, self._taken = (told.mission_type, told.count, *who), []
            return self._packed([self._question()])
        if kind in ("MISSION_ITEM", "MISSION_ITEM_INT") and self._taking is not None:
            return self._take(told, precise=kind == "MISSION_ITEM_INT")
        if kind == "MISSION_ACK" and told.type == mav.MAV_MISSION_OPERATION_CANCELLED:
            self._taking = None
        return b""

    def _item(self, told: Any, who: tuple[int, int], *, precise: bool) -> bytes:
        plan = self.plans[told.mission_type]
        if told.seq >= len(plan) or (precise and self.habits.old_form):
            return b""
        frame, command, auto, p1, p2, p3, p4, x, y, z = plan[told.seq]
        kind = mav.MAVLink_mission_item_int_message
        if not precise:
            kind, x, y = mav.MAVLink_mission_item_message, x * 1e-7, y * 1e-7
        head = (*who, told.seq, frame, command, 0, auto, p1, p2, p3, p4)
        return self._packed([kind(*head, x, y, z, told.mission_type)])

    def _take(self, told: Any, *, precise: bool) -> bytes:
        plan, count, *who = self._taking or (0, 0, 0, 0)
        if told.mission_type != plan or told.seq != len(self._taken):
            return b""
        scale = 1 if precise else 1e7
        x, y = round(scale * told.x), round(scale * told.y)
        if self.habits.float_degrees and told.command != 178:
            x, y = (round(1e7 * float(np.float32(1e-7 * value))) for value in (x, y))
        params = (told.param1, told.param2, told.param3, told.param4)
        self._taken.append((told.frame, told.command, told.autocontinue, *params, x, y, told.z))
        if len(self._taken) < count:
            return self._packed([self._question()])
        self.plans[plan] = self.damaged(plan, self._taken)
        self._taking = None
        if self.habits.home_first and plan == 0:
            self.plans[0][0] = self._home_item()
        ack = mav.MAVLink_mission_ack_message(*who, 0, plan)
        return b"" if self.habits.mute_at_the_end else self._packed([ack])

    def damaged(self, plan: int, items: list[Stored]) -> list[Stored]:
        """Return what it keeps of a plan that it took: all of it, or not."""
        kept = list(items)
        if plan != 0 or len(kept) < 4:
            return kept
        place = self.rng.randrange(2, len(kept) - 1)
        match self.habits.damage:
            case "cut":
                kept.pop()
            case "swapped":
                kept[place], kept[place + 1] = kept[place + 1], kept[place]
            case "height":
                kept[place] = (*kept[place][:-1], kept[place][-1] - 30.0)
            case "no number":
                kept[place] = (*kept[place][:-1], math.nan)
            case "nowhere":
                kept[place] = (*kept[place][:7], 2_147_483_647, *kept[place][8:])
            case "reference":
                kept[place] = (0, *kept[place][1:])
            case "doubled":
                kept.insert(place, kept[place])
        return kept

    def _happen(self, now_s: float) -> None:
        if now_s >= self.habits.edit_at_s and len(self.plans[0]) > 2:
            self.habits.edit_at_s, self.edited_s = math.inf, now_s
            self.before_edit = list(self.plans[0])
            kept = self.plans[0][-1]
            self.plans[0][-1] = (*kept[:-1], kept[-1] + 25.0)
        if now_s >= self.habits.restart_at_s:
            self.habits.restart_at_s, self._booted_s, self._taking = math.inf, now_s, None

    def _question(self) -> Any:
        plan, _, *who = self._taking or (0, 0, 0, 0)
        kind = (
            mav.MAVLink_mission_request_message
            if self.habits.old_form
            else mav.MAVLink_mission_request_int_message
        )
        return kind(*who, len(self._taken), plan)

    def _home_item(self) -> Stored:
        return (0, 16, 1, 0.0, 0.0, 0.0, 0.0, self.home[0], self.home[1], 0.001 * self.home[2])

    def _packed(self, messages: list[Any]) -> bytes:
        packed = b""
        for message in messages:
            packed += bytes(message.pack(self._mav))
            self._mav.seq = (self._mav.seq + 1) % 256
        return packed
