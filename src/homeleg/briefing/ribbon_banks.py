"""The banks of the ribbon: charge left from above, charge needed from below, what is short."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from homeleg.briefing.drawing import Drawing
from homeleg.briefing.palette import Palette
from homeleg.briefing.ribbon_plot import RibbonPlot
from homeleg.verdict.result import Percentiles

__all__ = ["adverse_need", "draw_banks", "series", "top_of_banks"]

Array = NDArray[np.float64]


def series(band: tuple[Percentiles, ...], share: str) -> list[float]:
    """Return one line of a band: p10, p50 or p90."""
    return [getattr(one, share) for one in band]


def adverse_need(plot: RibbonPlot) -> list[float]:
    """Return what 9 in 10 flights need at most, with the wanted share kept."""
    return [one.p90 + plot.ribbon.want_fraction for one in plot.ribbon.needed_fraction]


def top_of_banks(plot: RibbonPlot) -> list[float]:
    """Return the line above which only charge already used lies."""
    ribbon = plot.ribbon
    return [
        max(*pair)
        for pair in zip(
            series(ribbon.left_fraction, "p90"), series(ribbon.needed_fraction, "p90"), strict=True
        )
    ]


def draw_banks(drawing: Drawing, plot: RibbonPlot, palette: Palette) -> None:
    """Draw channel, banks, what is short of the wanted share, and the middle flight."""
    form, ribbon = plot.form, plot.ribbon
    left, need = ribbon.left_fraction, ribbon.needed_fraction
    ceiling = [(plot.left, plot.top), (plot.right, plot.top)]
    floor = [(plot.left, plot.bottom), (plot.right, plot.bottom)]
    drawing.polygon([*ceiling, *reversed(floor)], fill=palette.channel)
    least_left, most_left = plot.edge(series(left, "p10")), plot.edge(series(left, "p90"))
    least_need, most_need = plot.edge(series(need, "p10")), plot.edge(series(need, "p90"))
    drawing.polygon([*ceiling, *reversed(most_left)], fill=palette.has_pale)
    drawing.polygon([*floor, *reversed(least_need)], fill=palette.needs_pale)
    hatch = drawing.hatch(
        palette.needs, palette.needs_pale, spacing=form.hatch, line=0.4 * form.hatch
    )
    drawing.polygon([*least_need, *reversed(most_need)], fill=hatch)
    drawing.line(most_need, stroke=palette.needs, line=2.0)
    drawing.polygon([*least_left, *reversed(most_left)], fill=palette.has)
    _draw_short(drawing, plot, palette)
    _draw_wanted(drawing, plot, palette)
    drawing.line(plot.edge(series(left, "p50")), stroke=palette.channel, line=2.0)
    drawing.line(floor, stroke=palette.ink, line=2.6)


def _draw_wanted(drawing: Drawing, plot: RibbonPlot, palette: Palette) -> None:
    """Dash the need with the wanted share kept, where a full pack holds it."""
    times, wanted = _refined(np.array(plot.ribbon.times_s), np.array(adverse_need(plot)), (1.0,))
    for run in _runs(wanted <= 1.0 + 1e-9):
        points = plot.edge(wanted[run], times[run])
        drawing.line(points, stroke=palette.ink, line=1.6, dash="7 5", halo=palette.channel)


def _draw_short(drawing: Drawing, plot: RibbonPlot, palette: Palette) -> None:
    """Fill the channel where less than the wanted share is left, and darker where none is."""
    spacing = 0.9 * plot.form.hatch
    short = drawing.cross_hatch(palette.ink, palette.channel, spacing=spacing, line=0.3 * spacing)
    none = drawing.cross_hatch(palette.channel, palette.ink, spacing=spacing, line=0.14 * spacing)
    want = plot.ribbon.want_fraction
    left = np.array(series(plot.ribbon.left_fraction, "p10"))
    need = np.array(series(plot.ribbon.needed_fraction, "p90"))
    given = np.array(plot.ribbon.times_s)
    times, margin = _refined(given, left - need, (0.0, want))
    left, need = np.interp(times, given, left), np.interp(times, given, need)
    for fill, inside in (
        (short, (margin >= 0.0) & (margin <= want + 1e-9)),
        (none, margin <= 1e-9),
    ):
        for run in _runs(inside):
            upper = plot.edge(np.maximum(left, need)[run], times[run])
            lower = plot.edge(np.minimum(left, need)[run], times[run])
            drawing.polygon([*upper, *reversed(lower)], fill=fill, stroke=palette.ink, line=1.1)


def _refined(times: Array, values: Array, levels: tuple[float, ...]) -> tuple[Array, Array]:
    """Return times and values with those added where the line between them crosses a level."""
    whole = times
    for level in levels:
        off = values - level
        crossed = np.flatnonzero(off[:-1] * off[1:] < 0.0)
        share = off[crossed] / (off[crossed] - off[crossed + 1])
        whole = np.append(whole, times[crossed] + share * np.diff(times)[crossed])
    whole = np.unique(whole)
    return whole, np.interp(whole, times, values)


def _runs(inside: NDArray[np.bool_]) -> Iterator[slice]:
    """Yield the stretches of at least two neighbours that are inside."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], inside.astype(np.int8), [0]))))
    for start, end in edges.reshape(-1, 2):
        if end - start >= 2:
            yield slice(int(start), int(end))
