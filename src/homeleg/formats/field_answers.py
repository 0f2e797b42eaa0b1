"""What was seen, measured or taken at the field, as typed; held to the rules of the file."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from homeleg.formats.findings import Findings, raise_problems
from homeleg.formats.kinds import Kind
from homeleg.formats.reader import TableOf
from homeleg.formats.sortie_fields import SORTIE
from homeleg.foundation.errors import Problem
from homeleg.foundation.stated_text import MagneticWind, StatedWind

__all__ = ["FieldAnswers", "answer_kind", "refuse_bad_answers", "wind_and_height"]

_SURFACE_WIND = ("weather", "surface_wind")
# Where in a sortie file an answer belongs; it must be what that key must be.
_KEYS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "launch": ("time", "launch"),
        "elevation": ("site", "elevation"),
        "gust": (*_SURFACE_WIND, "gust"),
        "temperature": ("weather", "temperature"),
        "pack_temperature": ("pack", "temperature"),
        "pack_charged": ("pack", "charged"),
        "pack_capacity": ("pack", "health", "capacity"),
        "pack_resistance": ("pack", "health", "resistance"),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldAnswers:
    """What was seen, measured or taken just now, as a person writes it; None keeps what was.

    `told` holds items as "walk" or "walk=bad". `another_pack` says that the pack was changed.
    `launch_here` is latitude and longitude, `elevation` the height there; where not told, terrain
    tells it.
    """

    launch: str | None = None
    launch_here: tuple[str, str] | None = None
    elevation: str | None = None
    wind: str | None = None
    gust: str | None = None
    temperature: str | None = None
    pack_temperature: str | None = None
    pack_charged: str | None = None
    pack_capacity: str | None = None
    pack_resistance: str | None = None
    told: tuple[str, ...] = field(default=())
    another_pack: bool = False

    @property
    def is_empty(self) -> bool:
        """Whether nothing was answered."""
        return self == FieldAnswers()


def answer_kind(*keys: str) -> Kind:
    """Return what the value under keys of a sortie file must be."""
    kind: Kind = SORTIE
    for key in keys:
        if not isinstance(kind, TableOf):
            raise TypeError(f"{key} lies in no table")
        kind = next(one.kind for one in kind.fields if one.key == key)
    return kind


def wind_and_height(text: str) -> tuple[str, str | None]:
    """Split "6 m/s from 250 at 2 m" into the wind and the height it was measured at."""
    wind, _, height = (part.strip() for part in text.partition(" at "))
    return wind, height or None


def refuse_bad_answers(answers: FieldAnswers) -> None:
    """Raise InputFileError with a problem for every answer that its key would not take."""
    problems: list[Problem] = []

    def read(name: str, text: str, keys: tuple[str, ...]) -> object:
        option = f"--{name.replace('_', '-')}"
        return answer_kind(*keys).read(text, Findings(option, {}, problems).top)

    wind = None
    if answers.wind is not None:
        value, at = wind_and_height(answers.wind)
        wind = read("wind", value, (*_SURFACE_WIND, "value"))
        if at is not None:
            read("wind", at, (*_SURFACE_WIND, "at"))
    given = {name: getattr(answers, name) for name in _KEYS}
    values = {name: read(name, text, _KEYS[name]) for name, text in given.items() if text}
    gust_m_s = values.get("gust")
    if isinstance(wind, StatedWind | MagneticWind) and isinstance(gust_m_s, float):
        _report_weak_gust(wind.speed_m_s, gust_m_s, problems)
    raise_problems(problems)


def _report_weak_gust(wind_m_s: float, gust_m_s: float, problems: list[Problem]) -> None:
    if gust_m_s < wind_m_s:
        Findings("--gust", {}, problems).top.report(
            f"a gust of {gust_m_s:.1f} m/s is below the mean wind of {wind_m_s:.1f} m/s",
            "Give the strongest gust as a whole speed, not what it adds.",
        )
