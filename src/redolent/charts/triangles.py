"""Triangle runs over time, with the line of chance."""

from typing import Any

import plotly.graph_objects as go

from redolent.charts.style import (
    INK,
    MOST_LABELS,
    PAPER,
    TEXT,
    add_chance,
    label_places,
    make_empty,
    make_figure,
    named,
    plain,
)
from redolent.progress import TriangleHistory, wording
from redolent.triangle import GUESSING


def draw_triangles(result: TriangleHistory) -> go.Figure:
    """Draw the proportion of odd cups found in each run, with its exact interval."""
    headline = named(result.taster, result.headline)
    x, y = "run (n = triads answered)", "odd cups found (%)"
    runs = result.runs
    if not len(runs):
        return make_empty(headline, result.finding, x=x, y=y)
    described = "; ".join(
        f"run {run.run} on {run.day}: {run.correct} of {run.answered} "
        f"(exact 95 % interval {wording.between((run.low, run.high))})"
        for run in runs.itertuples()
    )
    figure = make_figure(headline, f"{result.finding} {described[0].upper()}{described[1:]}.", x=x, y=y, legend=False)
    figure.add_scatter(
        x=list(range(len(runs))),
        y=100 * runs["proportion"],
        mode="markers+text" if len(runs) <= MOST_LABELS else "markers",
        text=[f" {run.correct}/{run.answered}" for run in runs.itertuples()],
        textposition="top right",
        textfont={"size": TEXT, "color": INK},
        marker={
            "size": 13,
            "color": [INK if counted else PAPER for counted in runs["counted"]],
            "line": {"color": INK, "width": 2},
        },
        error_y={
            "type": "data",
            "symmetric": False,
            "array": 100 * (runs["high"] - runs["proportion"]),
            "arrayminus": 100 * (runs["proportion"] - runs["low"]),
            "color": INK,
            "thickness": 2,
            "width": 8,
        },
        hovertext=[_hover(run, len(runs)) for run in runs.itertuples()],
        hoverinfo="text",
    )
    add_chance(figure, 100 * GUESSING, "chance: 33 %")
    if not runs["counted"].all():
        figure.update_xaxes(title={"text": f"{x}; open: not blind"})
    label_places(figure, [f"{run.run}: {run.day:%b %Y}<br>n = {run.answered}" for run in runs.itertuples()])
    # On the left the label of the chance line finds room, on the right that of the last run.
    figure.update_xaxes(range=[-0.5 - len(runs) / 5, len(runs) - 0.4])
    figure.update_yaxes(range=[0, 104])
    return figure


def _hover(run: Any, runs: int) -> str:
    lines = [
        f"{run.day}, {run.blinding}",
        f"{plain(run.coffee_a, 40)} against {plain(run.coffee_b, 40)}",
        f"{run.correct} of {run.answered} right, {wording.percent(run.proportion)} "
        f"(exact 95 % interval {wording.between((run.low, run.high))})",
    ]
    how = "" if run.exact else ", by a test that holds whenever one stops"
    lines.append(f"{run.planned} planned, {wording.p(run.p_value)} against guessing{how}; one of {runs} runs")
    return "<br>".join(lines)
