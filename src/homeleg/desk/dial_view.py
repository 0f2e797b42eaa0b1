"""The wind dial as a screen shows it: where a wind lies in the window, and what closes it."""

import math
from dataclasses import dataclass, replace

from homeleg.briefing.dial import DialWinds, dial_figure
from homeleg.briefing.dial_form import DIAL_LAPTOP, DIAL_PHONE
from homeleg.briefing.palette import BUFF
from homeleg.verdict.result import Status

__all__ = ["DialView", "dial_view"]

_GO = (Status.GO,)
_FLYABLE = (Status.GO, Status.MARGINAL)


@dataclass(frozen=True, slots=True, kw_only=True)
class DialView:
    """Word and sentence on one wind, what would change them, and the dial as SVG by its form."""

    word: str
    sentence: str
    changes: tuple[tuple[str, str], ...]
    figures: tuple[tuple[str, str], ...]


def dial_view(looked_at: DialWinds, measured: tuple[float, float]) -> DialView:
    """Return what to show of the winds looked at and of one measured [m/s, rad true, from]."""
    winds = replace(looked_at, measured=measured)
    speed_m_s, from_rad = measured
    status = _status(winds, speed_m_s, from_rad)
    return DialView(
        word=status.value,
        sentence=_sentence(winds, status, speed_m_s, from_rad),
        changes=tuple(_changes(winds, status, speed_m_s, from_rad)),
        figures=(
            ("laptop", dial_figure(winds, DIAL_LAPTOP, BUFF)),
            ("phone", dial_figure(winds, DIAL_PHONE, BUFF, name="dial-phone")),
        ),
    )


def _status(winds: DialWinds, speed_m_s: float, from_rad: float) -> Status:
    """Return in which field of the dial a wind lies."""
    if speed_m_s <= winds.edge_at_m_s(_GO, from_rad):
        return Status.GO
    flyable = speed_m_s <= winds.edge_at_m_s(_FLYABLE, from_rad)
    return Status.MARGINAL if flyable else Status.NO_GO


def _sentence(winds: DialWinds, status: Status, speed_m_s: float, from_rad: float) -> str:
    if status is Status.GO:
        spare_m_s = winds.edge_at_m_s(_GO, from_rad) - speed_m_s
        return f"This wind is inside the window, with {spare_m_s:.1f} m/s to spare."
    where = "at the edge of" if status is Status.MARGINAL else "outside"
    closes = _closes(winds, from_rad)
    return f"This wind is {where} the window{f': {closes}' if closes else ''}."


def _closes(winds: DialWinds, from_rad: float) -> str:
    """Return the question that ends GO in the computed direction nearest to one."""
    apart = math.tau / len(winds.closes)
    return winds.closes[round(from_rad % math.tau / apart) % len(winds.closes)]


def _changes(
    winds: DialWinds, status: Status, speed_m_s: float, from_rad: float
) -> list[tuple[str, str]]:
    """Return what a stronger, a turned and a calmer wind would do, and where today's lie."""
    changes = [("Stronger:", _stronger(winds, from_rad))]
    if status is Status.GO:
        changes.append(_turned(winds, speed_m_s, from_rad))
    changes.append(("Calmer:", _calmer(winds)))
    if winds.likely:
        changes.append(_today(winds))
    return changes


def _stronger(winds: DialWinds, from_rad: float) -> str:
    rim_m_s = winds.speeds_m_s[-1]
    go_m_s, flyable_m_s = (winds.edge_at_m_s(one, from_rad) for one in (_GO, _FLYABLE))
    if go_m_s >= rim_m_s:
        return f"GO up to {rim_m_s:.1f} m/s, as far as was looked."
    closes = _closes(winds, from_rad)
    no_go = f", NO-GO from {flyable_m_s:.1f} m/s" if flyable_m_s < rim_m_s else ""
    edge = f"MARGINAL from {go_m_s:.1f} m/s{no_go}"
    if go_m_s == flyable_m_s:
        edge = f"NO-GO from {go_m_s:.1f} m/s"
    return f"{edge}.{f' {closes}.' if closes else ''}"


def _turned(winds: DialWinds, speed_m_s: float, from_rad: float) -> tuple[str, str]:
    """Return how far the wind may veer and back, to a degree, and what then."""
    ends = []
    for sense in (1, -1):
        for turned in range(1, 180):
            direction = from_rad + sense * math.radians(turned)
            status = _status(winds, speed_m_s, direction)
            if status is not Status.GO:
                ends.append((round(math.degrees(direction)) % 360, status, direction))
                break
    if not ends:
        return "Veers or backs:", "GO from every side at this speed."
    words = " or ".join(
        f"{'veers' if number == 0 else 'backs'} past {bearing:03d}"
        for number, (bearing, _, _) in enumerate(ends)
    )
    statuses = {status.value for _, status, _ in ends}
    closes = sorted({closes for *_, direction in ends if (closes := _closes(winds, direction))})
    return f"{words[0].upper()}{words[1:]}:", f"{' or '.join(sorted(statuses))}. " + "".join(
        f"{one}. " for one in closes
    ).strip()


def _calmer(winds: DialWinds) -> str:
    edges = winds.edges_m_s(_GO)
    least_m_s = min(edges)
    if least_m_s > 0.0:
        return f"GO from every side up to {least_m_s:.1f} m/s."
    closed = edges.index(0.0)
    bearing = math.degrees(winds.directions_rad[closed]) % 360.0
    return (
        f"a wind of {winds.speeds_m_s[0]:.1f} m/s from {bearing:03.0f} closes it still. "
        f"{winds.closes[closed]}."
    )


def _today(winds: DialWinds) -> tuple[str, str]:
    found = [_status(winds, *wind) for wind in winds.likely]
    solid, hatched = (
        round(10.0 * found.count(status) / len(found)) for status in (Status.GO, Status.MARGINAL)
    )
    rest = f", {hatched} in 10 in the hatched" if hatched else ""
    return f"{solid} in 10", f"of today's likely winds lie in the solid field{rest}."
