"""A sequential run between its two boundaries."""

from itertools import accumulate
from math import ceil

import plotly.graph_objects as go

from redolent.charts.style import BAND, INK, LINE, PAPER, make_figure
from redolent.triangle import SequentialRun

_LEAST = 12


def draw_sequential(run: SequentialRun) -> go.Figure:
    """Draw the correct answers of a run, answer by answer, with the boundaries at which it ends.

    Returns
    -------
    plotly.graph_objects.Figure
        ``layout.meta["alt"]`` holds its text alternative.
    """
    plan, answers = run.plan, run.answers
    last = max(_LEAST, ceil(1.3 * len(answers)), max(plan.shortest) + 2)
    figure = make_figure(
        _title(run),
        f"{run.finding} Line chart of the correct answers so far against the triads answered, between two rising "
        f"parallel boundaries: at {plan.upper(last):.1f} and {plan.lower(last):.1f} correct after {last} triads.",
        x=f"Triads answered (n = {len(answers)} so far)",
        y="Correct answers (count)",
        height=440,
        legend=False,
    )
    ends = [0, last]
    edge = {"color": LINE, "width": 2}
    upper, lower = [plan.upper(n) for n in ends], [plan.lower(n) for n in ends]
    figure.add_scatter(x=ends, y=upper, mode="lines", line=edge, hoverinfo="skip")
    figure.add_scatter(
        x=ends, y=lower, mode="lines", line=edge, fill="tonexty", fillcolor=BAND, opacity=0.5, hoverinfo="skip"
    )
    path = list(accumulate(answers, initial=0))
    figure.add_scatter(
        x=list(range(len(path))),
        y=path,
        mode="lines+markers",
        line={"color": INK, "width": 2, "shape": "linear"},
        marker={
            "size": 9,
            "color": [INK, *(INK if right else PAPER for right in answers)],
            "line": {"color": INK, "width": 2},
        },
        hovertext=["start", *(f"triad {n}: {'right' if right else 'wrong'}" for n, right in enumerate(answers, 1))],
        hoverinfo="text",
    )
    top = max(upper[1], path[-1]) + 1.5
    figure.add_annotation(
        x=0.45 * last, y=plan.upper(0.45 * last), text="difference shown", showarrow=False, xanchor="right", yshift=14
    )
    figure.add_annotation(
        x=last,
        y=plan.lower(0.55 * last),
        text=f"none as large as p_d = {plan.pd:.2g}",
        showarrow=False,
        xanchor="right",
        yshift=-8,
    )
    figure.update_xaxes(range=[-0.5, last + 0.5])
    figure.update_yaxes(range=[-1.2, top])
    return figure


def _title(run: SequentialRun) -> str:
    n = run.ended_at or len(run.answers)
    counts = f"{sum(run.answers[:n])} of {n} correct"
    match run.state:
        case "difference shown":
            return f"Difference shown after triad {n}: {counts}"
        case "no such difference":
            return f"No difference as large as p_d = {run.plan.pd:.2g} after triad {n}: {counts}"
        case _:
            return f"Undecided so far: {counts}"
