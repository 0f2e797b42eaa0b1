"""What a flight taught, written into the text of an aircraft file; everything else stays."""

import tomlkit

from homeleg.aircraft.record import FlownEnergy, Learned
from homeleg.foundation.stated_text import shown_time

__all__ = ["taught_aircraft"]

# As many digits as keep a covariance without negative eigenvalues, and no noise behind them.
_DIGITS = 12


def taught_aircraft(text: str, learned: Learned, flown: FlownEnergy, release: str) -> str:
    """Return the text of an aircraft file with a new [learned], and the flight under [[flown]].

    The number of flights grows by one. Comments and everything else are left as they are.
    """
    document = tomlkit.parse(text)
    document["flights"] = int(str(document.get("flights", 0))) + 1
    table = tomlkit.table()
    table["names"] = list(learned.names)
    table["mean"] = [_number(value) for value in learned.mean]
    rows = tomlkit.array()
    for k, row in enumerate(learned.covariance):
        rows.append([_number(value) for value in row[: k + 1]])
    table["covariance"] = rows.multiline(True)  # noqa: FBT003 (tomlkit's signature)
    table["flights"] = learned.flights
    table["valid"] = learned.valid
    table["from"] = learned.learned_from
    document["learned"] = table
    flight = tomlkit.table()
    flight["on"] = shown_time(flown.on)
    flight["minutes"] = _number(flown.duration_s / 60.0)
    flight["charged"] = f"{round(1000.0 * flown.charge_ah)} mAh"
    flight["release"] = release
    if "flown" not in document:
        document["flown"] = tomlkit.aot()
    document["flown"].append(flight)
    return tomlkit.dumps(document)


def _number(value: float) -> float:
    return float(f"{float(value):.{_DIGITS}g}")
