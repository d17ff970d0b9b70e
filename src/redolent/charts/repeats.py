"""Repeats of one coffee against strangers, tasting by tasting."""

from typing import Any

import pandas as pd
import plotly.graph_objects as go

from redolent.charts.style import INK, LINE, add_level, make_empty, make_figure, named, plain
from redolent.progress import Repeats

MOST_HOVERS = 2000
"""Of more pairs than this nobody finds one with a pointer."""


def draw_repeats(result: Repeats) -> go.Figure:
    """Draw how alike the words of two cups are, for pairs of one coffee and of different coffees."""
    headline = named(result.taster, result.headline)
    pairs = result.pairs
    repeats, strangers = pairs[pairs["repeat"]], pairs[~pairs["repeat"]]
    x = f"date of the tasting (n = {len(repeats)} pairs of one coffee, {len(strangers)} of two)"
    y = "likeness of the words (0 to 1)"
    if result.auc is None:
        return make_empty(headline, result.finding, x=x, y=y)
    alt = (
        f"{result.finding} Mean likeness of {len(repeats)} pairs of one coffee "
        f"{repeats['similarity'].mean():.2f}, of {len(strangers)} pairs of two "
        f"{strangers['similarity'].mean():.2f}."
    )
    figure = make_figure(headline, alt, x=x, y=y)
    _add_pairs(figure, strangers, "two coffees", {"symbol": "circle-open", "size": 9, "color": LINE})
    _add_pairs(figure, repeats, "one coffee twice", {"symbol": "diamond", "size": 12, "color": INK})
    figure.update_yaxes(range=[-0.04, 1.04])
    return figure


def _add_pairs(figure: go.Figure, pairs: pd.DataFrame, name: str, marker: dict[str, Any]) -> None:
    mean = pairs["similarity"].mean()
    add_level(figure, mean, marker["color"], "dot")
    marker = {**marker, "line": {"width": 2, "color": marker["color"]}}
    figure.add_scatter(
        x=[day.isoformat() for day in pairs["day"]],
        y=pairs["similarity"],
        mode="markers",
        name=f"{name} (mean {mean:.2f})",
        marker=marker,
        hovertext=[_hover(pair) for pair in pairs.itertuples()] if len(pairs) <= MOST_HOVERS else None,
        hoverinfo="text" if len(pairs) <= MOST_HOVERS else "skip",
    )


def _hover(pair: Any) -> str:
    coffees = [plain(pair.coffee_a, 40), "served twice" if pair.repeat else plain(pair.coffee_b, 40)]
    return "<br>".join([str(pair.day), *coffees, f"likeness {pair.similarity:.2f}"])
