"""A change written into the texts of a sortie: what a person wrote around it stays."""

import hashlib
import math
from collections.abc import Callable
from dataclasses import dataclass

from homeleg.aircraft.loading import StationMove
from homeleg.amend.change import Change, ItemChange, airspeed_words
from homeleg.formats.plane import Plane
from homeleg.formats.route_edit import RouteEdit, with_edit, with_order
from homeleg.formats.sortie_file import SortieFiles
from homeleg.formats.toml_edit import TomlValue, with_value, without_value
from homeleg.formats.toml_text import TextFile
from homeleg.foundation.stated_text import shown_time
from homeleg.sortie.sortie import Sortie

__all__ = ["EditedFile", "edited_files"]

Setting = tuple[tuple[str, str], TomlValue]


@dataclass(frozen=True, slots=True, kw_only=True)
class EditedFile:
    """A file by the name that the sortie gives it: as it was, as changed, and what changed."""

    name: str
    before: TextFile
    after: TextFile
    edits: tuple[str, ...]


def edited_files(files: SortieFiles, change: Change) -> tuple[EditedFile, ...]:
    """Return the files that a change alters; raises ValueError where one cannot hold it."""
    (own_name, own), (aircraft_name, aircraft), *route = files.texts
    edited = [
        _edited(own_name, own, lambda text: _with_sortie(text, change, files.sortie)),
        _edited(aircraft_name, aircraft, lambda text: _with_aircraft(text, change)),
    ]
    if change.is_of_route:
        if not route:
            raise ValueError("the route stands in the sortie's file")
        site = files.sortie.site
        launch = Plane(site.latitude_rad, site.longitude_rad)
        edited.append(_edited(*route[0], lambda text: _with_route(text, change, launch)))
    return tuple(one for one in edited if one.edits)


def _edited(
    name: str, before: TextFile, edit: Callable[[str], tuple[str, tuple[str, ...]]]
) -> EditedFile:
    text, edits = edit(before.text)
    after = TextFile(before.name, text, hashlib.sha256(text.encode()).hexdigest())
    return EditedFile(name=name, before=before, after=after, edits=edits)


def _with_sortie(text: str, change: Change, sortie: Sortie) -> tuple[str, tuple[str, ...]]:
    """Return the sortie's text with its settings, without the answers that the change voids."""
    settings: list[Setting] = []
    if change.launch_heading_rad is not None:
        heading = f"{math.degrees(change.launch_heading_rad):.0f} deg"
        settings.append((("site", "launch_heading"), heading))
    if change.moved is not None:
        settings.append((("loading", "move"), _moves(sortie, change.moved)))
    if change.launch_time is not None:
        settings.append((("time", "launch"), shown_time(change.launch_time)))
    text, edits = _with_settings(text, settings)
    told = {answer.item for answer in sortie.told}
    for item in change.voided:
        if item in told:
            text = without_value(text, ("told", item))
            edits = (*edits, f"[told] {item}: taken out, to be told again")
    return text, edits


def _moves(sortie: Sortie, moved: StationMove) -> list[TomlValue]:
    kept = [move for move in sortie.loading.moves if move.station != moved.station]
    return [
        {"station": move.station, "by": f"{1000.0 * move.by_m:.0f} mm"} for move in (*kept, moved)
    ]


def _with_aircraft(text: str, change: Change) -> tuple[str, tuple[str, ...]]:
    settings: list[Setting] = []
    if change.bank_rad is not None:
        settings.append((("guidance", "bank"), f"{math.degrees(change.bank_rad):.0f} deg"))
    if change.home_airspeed is not None:
        settings.append((("link_loss", "airspeed"), airspeed_words(change.home_airspeed)))
    if change.return_height_m is not None:
        height = f"{change.return_height_m:.0f} m above launch"
        settings.append((("link_loss", "return_height"), height))
    if change.home_over is not None:
        settings.append((("link_loss", "path"), list(change.home_over)))
    if change.launch_heading_rad is not None:
        settings.append((("takeoff", "along"), "release heading"))
    return _with_settings(text, settings)


def _with_settings(text: str, settings: list[Setting]) -> tuple[str, tuple[str, ...]]:
    for keys, value in settings:
        text = with_value(text, keys, value)
    return text, tuple(f"[{table}] {key} = {_shown(value)}" for (table, key), value in settings)


def _shown(value: TomlValue) -> str:
    if isinstance(value, list):
        return ", ".join(_shown(one) for one in value)
    if isinstance(value, dict):
        return " ".join(str(one) for one in value.values())
    return str(value)


def _with_route(text: str, change: Change, launch: Plane) -> tuple[str, tuple[str, ...]]:
    edits = []
    for item in change.items:
        text = with_edit(text, _route_edit(item), launch)
        edits.append(f"{item.name}: {_item_words(item)}")
    if change.order is not None:
        dropped = {item.name for item in change.items if item.drop}
        order = [name for name in change.order if name not in dropped]
        text = with_order(text, order)
        edits.append(f"order: {', '.join(order)}")
    return text, tuple(edits)


def _route_edit(item: ItemChange) -> RouteEdit:
    east_m, north_m = item.place_m or (None, None)
    return RouteEdit(
        name=item.name,
        east_m=east_m,
        north_m=north_m,
        height_m=item.height_m,
        airspeed=item.airspeed,
        duration_s=item.duration_s,
        drop=item.drop,
    )


def _item_words(item: ItemChange) -> str:
    if item.drop:
        return "taken out"
    words = []
    if item.place_m is not None:
        words.append("{:.0f} m east, {:.0f} m north".format(*item.place_m))
    if item.height_m is not None:
        words.append(f"{item.height_m:.0f} m above launch")
    if item.airspeed is not None:
        words.append(airspeed_words(item.airspeed))
    if item.duration_s is not None:
        words.append(f"{item.duration_s / 60.0:g} min")
    return ", ".join(words)
