"""The accumulation curve in its band of random orders."""

from typing import Any

import plotly.graph_objects as go

from redolent.charts.style import INK, QUIET, add_band, make_empty, make_figure, named, plain, wrap
from redolent.progress import Accumulation, wording

MOST_MARKS = 200
FEW = 8
"""Up to this number every whole number has its tick: half a descriptor is none."""


def draw_accumulation(result: Accumulation) -> go.Figure:
    """Draw distinct places against servings, with what random orders of the tastings give."""
    headline = named(result.taster, result.headline)
    x = f"servings, in the order of time (n = {result.servings} in {wording.count(result.tastings, 'tasting')})"
    y = f"distinct {'families' if result.level == 'family' else result.level + 's'} so far"
    if not result.distinct:
        return make_empty(headline, result.finding, x=x, y=y)
    curve = result.curve
    alt = (
        f"{result.finding} The curve rises from {curve['observed'].iloc[0]} after the first serving to "
        f"{result.distinct} after serving {result.servings}"
    )
    if result.orders:
        middle = curve.iloc[(len(curve) - 1) // 2]
        alt += (
            f"; after serving {middle['serving']} it is at {middle['observed']}, where random orders of the "
            f"tastings give {middle['mean']:.0f} ({middle['low']:.0f} to {middle['high']:.0f})"
        )
    figure = make_figure(headline, f"{alt}.", x=x, y=y)
    if result.orders:
        add_band(figure, curve["serving"], curve["low"], curve["high"], "95 % of random orders")
        figure.add_scatter(
            x=curve["serving"],
            y=curve["mean"],
            mode="lines",
            name="their mean",
            line={"color": QUIET, "width": 2, "dash": "dash"},
            hoverinfo="skip",
        )
    figure.add_scatter(
        x=curve["serving"],
        y=curve["observed"],
        mode="lines+markers" if len(curve) <= MOST_MARKS else "lines",
        name="as tasted",
        line={"color": INK, "width": 3},
        marker={"color": INK, "size": 6},
        hovertext=[_hover(row) for row in curve.itertuples()],
        hoverinfo="text",
    )
    figure.update_xaxes(range=[0, result.servings + 1])
    figure.update_yaxes(rangemode="tozero", dtick=1 if result.distinct <= FEW else None)
    return figure


def _hover(row: Any) -> str:
    coffee = f", {plain(row.coffee, 40)}" if isinstance(row.coffee, str) and row.coffee else ""
    lines = [f"serving {row.serving}, {row.day}{coffee}", f"{row.observed} so far"]
    if row.new:
        lines.append(wrap(f"new: {row.new}", 48))
    return "<br>".join(lines)
