"""One taster's share of odd cups found, with an interval that holds at any time."""

from collections.abc import Sequence
from datetime import date

import plotly.graph_objects as go

from redolent.charts.style import INK, LINE, PAPER, add_band, add_chance, make_figure
from redolent.triangle import ConfidenceSequence

_MOST_MARKS = 40


def draw_months(sequence: ConfidenceSequence, days: Sequence[date] | None = None) -> go.Figure:
    """Draw the average proportion correct, answer by answer, with its confidence sequence.

    Parameters
    ----------
    sequence : ConfidenceSequence
    days : sequence of date, optional
        The day of each answer, for the first, the last and hovering.

    Returns
    -------
    plotly.graph_objects.Figure
        ``layout.meta["alt"]`` holds its text alternative.

    Raises
    ------
    ValueError
        Where there is not a day for each answer.
    """
    n = len(sequence.answers)
    if days is not None and len(days) != n:
        raise ValueError(f"There are {n} answers and {len(days)} days; give the day of each answer.")
    frame = sequence.to_frame()
    figure = make_figure(
        _title(sequence),
        f"{sequence.finding} Line chart of the average proportion correct against the triads answered, with a band "
        f"that narrows from {100 * sequence.low[0]:.0f} to {100 * sequence.high[0]:.0f} % down to "
        f"{100 * sequence.low[-1]:.0f} to {100 * sequence.high[-1]:.0f} %.",
        x=_axis(n, days),
        y="Average share of odd cups found so far (%)",
        height=440,
        legend=False,
    )
    add_band(figure, frame["triad"], 100 * frame["low"], 100 * frame["high"], "valid at any time")
    figure.add_scatter(
        x=frame["triad"],
        y=100 * frame["proportion"],
        mode="lines" if n > _MOST_MARKS else "lines+markers",
        line={"color": INK, "width": 2},
        marker={"size": 7, "color": INK},
        hovertext=[
            f"{days[row.Index] if days else f'triad {row.triad}'}: {row.correct} of {row.triad}, average between "
            f"{100 * row.low:.0f} and {100 * row.high:.0f} %"
            for row in frame.itertuples()
        ],
        hoverinfo="text",
    )
    add_chance(figure, 100 * sequence.method.guessing, f"chance: {100 * sequence.method.guessing:.0f} %")
    figure.update_shapes(layer="above")
    if sequence.shown_after:
        figure.add_shape(
            type="line",
            x0=sequence.shown_after,
            x1=sequence.shown_after,
            y0=0,
            y1=100,
            line={"color": LINE, "dash": "dot", "width": 2},
        )
        late = sequence.shown_after > n / 2
        figure.add_annotation(
            x=sequence.shown_after,
            y=3,
            text=f"guessing ruled out: triad {sequence.shown_after}",
            showarrow=False,
            bgcolor=PAPER,
            xanchor="right" if late else "left",
            xshift=-6 if late else 6,
            yanchor="bottom",
        )
    figure.update_xaxes(range=[min(0.5, 1 - n / 50), n + max(0.5, n / 50)])
    figure.update_yaxes(range=[0, 104])
    return figure


def _title(sequence: ConfidenceSequence) -> str:
    n, level = len(sequence.answers), f"{100 * sequence.level:g} %"
    interval = f"{100 * sequence.low[-1]:.0f}–{100 * sequence.high[-1]:.0f} %"
    verdict = "more often than by luck" if sequence.shown_after else "luck not ruled out so far"
    return (
        f"Odd cup found in {sequence.correct} of {n}, {verdict}: on average in {interval} ({level}, valid at any time)"
    )


def _axis(n: int, days: Sequence[date] | None) -> str:
    span = f", {days[0]:%d %b %Y} to {days[-1]:%d %b %Y}" if days else ""
    return f"Triads answered, in the order of time (n = {n}{span})"
