"""What a failing row says aloud: one short sentence that a pilot hears once and knows.

`{figure}` is the figure with its unit, `{want}` what is wanted of it, `{where}` " on the way home"
where it is read there.
"""

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["SPOKEN", "SPOKEN_BELOW_ZERO"]

SPOKEN: Mapping[str, str] = MappingProxyType(
    {
        "home.charge": "comes home with {figure} if the link is lost, want {want}",
        "home.arrives": "does not always come home: {figure} of the flights",
        "reserve.charge": "lands with {figure} of its charge left, want {want}",
        "headway.ground_speed": "too slow{where}: {figure} over the ground, want {want}",
        "headway.wind_aloft": "the wind aloft is as fast as the aircraft, {figure} of the flights",
        "speed.turn": "turns at {figure} times the stall speed, want {want}",
        "speed.gust": "a gust leaves it at {figure} times the stall speed, want {want}",
        "speed.pitot": "the airspeed reads {figure} wrong, want at most {want}",
        "ground.route": "clears the ground by {figure}, want {want}",
        "ground.way_home": "clears the ground by {figure} on the way home, want {want}",
        "mass.balance": "has {figure} of room in its balance, want {want}",
        "mass.total": "weighs {figure} times what it was flown at, want at most {want}",
        "away.speed": "sinks to {figure} above the ground after release, want {want}",
        "away.obstacles": "climbs out {figure} above the obstacle, want {want}",
        "away.climb": "climbs at {figure}, want {want}",
        "away.tail_wind": "launches with {figure} of wind from behind, want at most {want}",
        "in.distance": "needs {figure} of the strip, want at most {want}",
        "in.speed": "flies its final at {figure} times the stall speed, want {want}",
        "in.tail_wind": "lands with {figure} of wind from behind, want at most {want}",
        "in.wake": "lands {figure} behind the trees, want {want}",
        "corners.capture": "has {figure} of straight flight after a corner, want {want}",
        "corners.bank": "banks {figure} in its corners, want at most {want}",
        "corners.picture_crab": "takes its pictures {figure} aslant, want at most {want}",
        "pack.volts": "the pack sags to {figure} at full power, want {want}",
        "pack.temperature": "the pack is at {figure}, want {want}",
        "pack.health": "the pack has aged to {figure}, want {want}",
        "pack.second": "the second pack lasts {figure} times the flight, want {want}",
        "motor.people": "motor stopped, it comes down on people's ground for {figure}, want {want}",
        "inside.ceiling": "flies {figure} up, want at most {want}",
        "inside.boundary": "leaves {figure} to the boundary, want {want}",
        "inside.ground_buffer": "passes people at {figure} times its height, want {want}",
        "sight.distance": "flies out to {figure} of the sight limit, want at most {want}",
        "sight.visibility": "visibility {figure}, want {want}",
        "sight.sun": "stands {figure} in the sun, want at most {want}",
        "sight.daylight": "lands {figure} before sunset, want {want}",
        "heard.margin": "the link has {figure} to spare, want {want}",
        "weather.cloud": "flies {figure} below cloud, want {want}",
        "reach.step": "goes {figure} out, and its reach is {want}",
    }
)
# Where a figure below zero is something else than a little of it.
SPOKEN_BELOW_ZERO: Mapping[str, str] = MappingProxyType(
    {
        "sight.daylight": "lands in the dark, want {want} of daylight left",
        "inside.boundary": "leaves the boundary, want {want} to it",
        "ground.route": "meets the ground, want {want} over it",
        "ground.way_home": "meets the ground on the way home, want {want} over it",
    }
)
