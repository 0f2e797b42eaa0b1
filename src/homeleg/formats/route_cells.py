"""An item of a route as cells by column of `route.csv`: the words every format of ours carries."""

from homeleg.formats.plain_shapes import PlainShape
from homeleg.release.plain_route import PlainItem
from homeleg.route.items import ItemKind

__all__ = ["cells_of", "number", "shape_cells"]


def cells_of(item: PlainItem) -> dict[str, str]:
    """Return what an item says, by column, without its place; a column with nothing is left out."""
    kind = item.kind.value if isinstance(item.kind, ItemKind) else item.kind
    cells = {"name": item.name, "kind": kind}
    if item.height is not None:
        cells |= {"height_m": number(item.height.value_m), "above": item.height.above.value}
    if item.airspeed is not None:
        cells |= {
            "airspeed_m_s": number(item.airspeed.value_m_s),
            "airspeed_kind": item.airspeed.kind.value,
        }
    if item.passing is not None:
        cells["pass"] = item.passing.value
    if item.radius_m is not None:
        cells["radius_m"] = number(item.radius_m)
    if item.side is not None:
        cells["side"] = item.side.value
    if item.turns is not None:
        cells["turns"] = number(item.turns)
    if item.duration_s is not None:
        cells["minutes"] = number(item.duration_s / 60.0)
    if item.picture is not None:
        cells["picture"] = "yes" if item.picture else "no"
    return cells


def number(value: float) -> str:
    """Return a number with all the digits that mean something in a length or a speed."""
    return f"{value:.9g}"


def shape_cells(shape: PlainShape) -> dict[str, str]:
    """Return what a shape says of itself, by column."""
    cells = {"name": shape.name, "kind": shape.about}
    if shape.height is not None:
        cells |= {"height_m": number(shape.height.value_m), "above": shape.height.above.value}
    return {column: cell for column, cell in cells.items() if cell}
