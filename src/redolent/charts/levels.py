"""How narrow the words are, period by period: as written, and as far as they came back."""

import pandas as pd
import plotly.graph_objects as go

from redolent.charts.style import INK, PAPER, TEXT, label_places, make_empty, make_figure, named, steps
from redolent.lexicon import LEVELS
from redolent.progress import LevelShares
from redolent.progress.precision import CREDITS

# A share below this has no room for its number.
ROOM = 0.07


def draw_levels(result: LevelShares) -> go.Figure:
    """Draw the share of mentions at each level as written: stacked bars, the narrowest at the foot."""
    headline = named(result.taster, result.headline)
    x = f"{result.by} (n = counted words; whisker: 95 % interval of descriptor)"
    y = "share of counted words (%)"
    if not result.mentions:
        return make_empty(headline, result.finding, x=x, y=y)
    return _stack(result.shares, LEVELS, headline, f"{result.finding} Share at a descriptor by {result.by}", x, y)


def draw_credits(result: LevelShares) -> go.Figure:
    """Draw how deep words came back on a repeat or from a jar: stacked bars, the narrowest at the foot."""
    headline = named(result.taster, result.credit_headline)
    x = f"{result.by} (n = words with a chance to come back; whisker: 95 % interval of descriptor)"
    y = "share of those words (%)"
    if not result.tested:
        return make_empty(headline, result.finding, x=x, y=y)
    return _stack(result.credits, CREDITS, headline, f"{result.finding} Share that came back as a descriptor", x, y)


def _stack(shares: pd.DataFrame, levels: tuple[str, ...], headline: str, alt: str, x: str, y: str) -> go.Figure:
    described = "; ".join(
        f"{_name(row.period)}: {100 * row.descriptor:.0f} % of {row.mentions} "
        f"(95 % interval {100 * row.low:.0f} to {100 * row.high:.0f})"
        for row in shares.itertuples()
    )
    figure = make_figure(headline, f"{alt}: {described}.", x=x, y=y)
    where = list(range(len(shares)))
    colours = [*steps(len(LEVELS)), PAPER]  # what did not come back stays blank
    for number, (level, colour) in enumerate(zip(reversed(levels), colours, strict=False)):
        values = shares[level]
        figure.add_bar(
            x=where,
            y=100 * values,
            width=0.6,
            name=level,
            marker={"color": colour, "line": {"color": INK, "width": 1}},
            text=[f"{100 * value:.0f} %" if value >= ROOM else "" for value in values],
            textposition="inside",
            insidetextanchor="middle",
            textangle=0,
            textfont={"color": PAPER if number < 2 else INK, "size": TEXT - 1},
            constraintext="none",
            hovertext=[
                f"{_name(row.period)}: {100 * getattr(row, level):.0f} % of {row.mentions}: {level}"
                for row in shares.itertuples()
            ],
            hoverinfo="text",
        )
    figure.add_scatter(
        x=[place + 0.38 for place in where],
        y=100 * shares["descriptor"],
        mode="markers",
        marker={"color": INK, "size": 6},
        error_y={
            "type": "data",
            "symmetric": False,
            "array": 100 * (shares["high"] - shares["descriptor"]),
            "arrayminus": 100 * (shares["descriptor"] - shares["low"]),
            "color": INK,
            "thickness": 2,
            "width": 6,
        },
        showlegend=False,
        hoverinfo="skip",
    )
    label_places(figure, [f"{_name(row.period)}<br>n = {row.mentions}" for row in shares.itertuples()])
    figure.update_layout(barmode="stack")
    figure.update_xaxes(range=[-0.6, len(where) - 0.4])
    figure.update_yaxes(range=[0, 100])
    return figure


def _name(period: str) -> str:
    """Give a month as ``Mar 2026``; quarters and years as they are."""
    parts = period.split("-")
    return pd.Timestamp(period).strftime("%b %Y") if len(parts) == 2 and parts[1].isdigit() else period
