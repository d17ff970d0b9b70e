"""One look for every figure: plain, warm, large text, and colour that means one thing.

A hue stands for a sense and for nothing else; what is no sense is drawn in ink, greys or steps of one scale.
"""

import html
import textwrap
from collections.abc import Sequence
from math import ceil

import plotly.graph_objects as go
from plotly.colors import sample_colorscale

PAPER = "#FCF9F3"
INK = "#2B2520"
QUIET = "#6B6158"
"""For words that stand behind: still 4.5 : 1 on `PAPER`."""
LINE = "#857A6F"
"""For lines and marks that stand behind: 3 : 1 on `PAPER`."""
RULE = "#E7DFD3"
"""For the grid, which carries no meaning of its own."""
BAND = "#DDD2C2"
"""For intervals that are drawn as areas, always with an edge in `LINE`."""

SENSE_COLOURS = {"nose": "#0B5E46", "tongue": "#A8470A", "touch": "#2A70C8", "whole": "#6A1763"}
"""Okabe–Ito's bluish green, vermilion, blue and reddish purple, darkened to 4.5 : 1 on `PAPER`; told apart by
lightness where hue fails. Always beside the word."""

PROGRESS_SCALE = "Cividis"
"""Sequential and perceptually uniform, with and without colour vision (Nuñez, Anderton & Renslow 2018)."""

FONT = "Georgia, 'Iowan Old Style', 'Noto Serif', 'DejaVu Serif', serif"
TEXT, TITLE = 15, 18
TITLE_COLUMNS = 56
"""Characters of a title line: 56 of 18 px stay within the 600 px that a 768 px window leaves to a figure."""

LONGEST_NAME = 40
MOST_LABELS = 6
"""Labels of two short lines that find room side by side under an axis in a 768 px window."""

MODEBAR = (
    *("sendChartToCloud", "zoom", "pan", "select", "lasso2d"),
    *("zoomIn", "zoomOut", "autoScale", "resetScale"),
)
"""Buttons that are left out: one would send the notes behind a figure to a server, and a finger on a figure
should scroll the page."""

CONFIG = {"displaylogo": False, "displayModeBar": False, "responsive": True, "plotlyServerURL": ""}
"""What goes to ``figure.show(config=…)`` and ``figure.to_html(config=…)``."""


def steps(count: int) -> list[str]:
    """Give `count` colours of the progress scale, from its dark end to its light one."""
    if count < 2:
        return sample_colorscale(PROGRESS_SCALE, [0.0] * count)
    return sample_colorscale(PROGRESS_SCALE, [0.05 + 0.9 * i / (count - 1) for i in range(count)])


def plain(text: object, longest: int = 80) -> str:
    """Make text from people safe to show in a figure: no markup, no formula, one line, not endless."""
    words = " ".join("".join(c if c.isprintable() else " " for c in str(text)).split())
    if len(words) > longest:
        words = words[: longest - 1].rstrip() + "…"
    # MathJax, where a page has it, would take what stands between two dollars as a formula.
    return html.escape(words, quote=False).replace("$", "&#36;")


def wrap(text: str, columns: int = TITLE_COLUMNS) -> str:
    """Break text into lines for a title or a hover box, escaped."""
    lines = textwrap.wrap(" ".join(text.split()), columns, break_on_hyphens=False) or [""]
    return "<br>".join(plain(line, columns) for line in lines)


def named(taster: str, headline: str) -> str:
    """Put the taster's name before a headline."""
    name = taster if len(taster) <= LONGEST_NAME else taster[: LONGEST_NAME - 1] + "…"
    return f"{name}: {headline}" if name else headline


def make_figure(headline: str, alt: str, *, x: str, y: str, height: int = 460, legend: bool = True) -> go.Figure:
    """Give an empty figure in the house style.

    Parameters
    ----------
    headline : str
        The finding, short; wrapped here and not cut.
    alt : str
        What the figure shows, for those who do not see it; kept in ``figure.layout.meta["alt"]``.
    x, y : str
        Axis titles with their units.
    height : int
        Pixels, with a title of one line.
    legend : bool
        Whether to leave room for a legend of one row between title and axes.
    """
    title = wrap(headline)
    lines = title.count("<br>") + 1
    axis = {
        "gridcolor": RULE,
        "linecolor": LINE,
        "zeroline": False,
        "ticks": "outside",
        "tickcolor": LINE,
        "tickfont": {"size": TEXT - 1, "color": INK},
        "automargin": True,
    }
    figure = go.Figure()
    figure.update_layout(
        template="none",
        paper_bgcolor=PAPER,
        plot_bgcolor=PAPER,
        font={"family": FONT, "size": TEXT, "color": INK},
        title={
            "text": title,
            "font": {"size": TITLE, "color": INK},
            "x": 0,
            "xref": "container",
            "xanchor": "left",
            "pad": {"l": 18, "t": 32},
            "y": 1,
            "yref": "container",
            "yanchor": "top",
        },
        margin={"l": 64, "r": 24, "t": 48 + 24 * lines + 32 * legend, "b": 64},
        showlegend=legend,
        dragmode=False,
        modebar={"remove": list(MODEBAR), "bgcolor": "rgba(0,0,0,0)", "color": QUIET, "activecolor": INK},
        height=height + 24 * (lines - 1),
        hoverlabel={
            "bgcolor": PAPER,
            "bordercolor": LINE,
            "align": "left",
            "font": {"family": FONT, "size": TEXT, "color": INK},
        },
        legend={
            "orientation": "h",
            "x": 0,
            "xanchor": "left",
            "y": 1.02,
            "yanchor": "bottom",
            "font": {"size": TEXT - 1, "color": INK},
            "traceorder": "normal",
            "itemclick": False,
            "itemdoubleclick": False,
        },
        xaxis={
            **axis,
            "title": {"text": plain(x, 200), "font": {"size": TEXT}, "standoff": 12},
            "showgrid": False,
        },
        yaxis={**axis, "title": {"text": plain(y, 200), "font": {"size": TEXT}, "standoff": 8}},
        meta={"alt": alt},
    )
    return figure


def make_empty(headline: str, finding: str, *, x: str, y: str) -> go.Figure:
    """Give a figure without data that says, where the marks would be, what is missing."""
    figure = make_figure(headline, finding, x=x, y=y, height=380, legend=False)
    figure.update_xaxes(showticklabels=False, ticks="", range=[0, 1])
    figure.update_yaxes(showticklabels=False, ticks="", range=[0, 1], showgrid=False)
    figure.add_annotation(
        text=wrap(finding, 50),
        x=0.5,
        y=0.5,
        showarrow=False,
        align="left",
        font={"size": TEXT, "color": QUIET},
    )
    return figure


def add_band(
    figure: go.Figure,
    x: Sequence[float],
    low: Sequence[float],
    high: Sequence[float],
    name: str,
    **line: object,
) -> None:
    """Draw an interval as an area with visible edges.

    Parameters
    ----------
    x, low, high : sequence of float
        Same length.
    name : str
        What it is, for the legend.
    **line
        Passed to the edge's ``line``.
    """
    edge = {"color": LINE, "width": 1, **line}
    figure.add_scatter(x=x, y=high, mode="lines", line=edge, hoverinfo="skip", showlegend=False)
    figure.add_scatter(x=x, y=low, mode="lines", line=edge, fill="tonexty", fillcolor=BAND, name=name, hoverinfo="skip")


def label_places(figure: go.Figure, names: Sequence[str]) -> None:
    """Write names under the places 0, 1, … of the x axis: all of a few, of many every second, third, …"""
    every = ceil(len(names) / MOST_LABELS) or 1
    places = list(range(0, len(names), every))
    figure.update_xaxes(tickvals=places, ticktext=[names[place] for place in places], tickangle=0)


def add_level(figure: go.Figure, y: float, colour: str, dash: str) -> None:
    """Draw a level over the whole width, behind the marks."""
    figure.add_shape(
        type="line",
        xref="x domain",
        yref="y",
        x0=0,
        x1=1,
        y0=y,
        y1=y,
        line={"color": colour, "width": 2, "dash": dash},
        layer="below",
    )


def add_chance(figure: go.Figure, y: float, label: str) -> None:
    """Draw what chance alone would give: a dashed line with its label under its left end."""
    add_level(figure, y, QUIET, "dash")
    figure.add_annotation(
        text=plain(label),
        xref="x domain",
        yref="y",
        x=0.005,
        y=y,
        xanchor="left",
        yanchor="top",
        showarrow=False,
        font={"size": TEXT - 1, "color": INK},
    )
