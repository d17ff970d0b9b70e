"""Which words come back on a repeat, a word a row."""

import plotly.graph_objects as go

from redolent.charts.style import INK, PAPER, QUIET, make_empty, make_figure, named, plain
from redolent.progress import ReturningWords
from redolent.progress.returning import LEAST_PAIRS

MOST_ROWS = 16


def draw_returning(result: ReturningWords) -> go.Figure:
    """Draw the chance-corrected agreement of each word with its interval; filled where it can be told."""
    headline = named(result.taster, result.headline)
    x = f"agreement beyond chance, 95 % interval (n = {result.pairs} pairs; dashed: chance)"
    y = "word (pairs: both cups + one cup only)"
    words = result.words
    met = words[(words["both"] + words["one"] >= LEAST_PAIRS) & words["agreement"].notna()] if len(words) else words
    if not len(met):
        return make_empty(headline, result.finding, x=x, y=y)
    # Those met most often can be told best; the strongest of them stand at the top.
    shown = met.assign(met=met["both"] + met["one"]).nlargest(MOST_ROWS, "met", keep="first")
    shown = shown.sort_values("agreement", kind="stable")
    told = "; ".join(
        f"{row.label} {row.agreement:.2f} ({row.low:.2f} to {row.high:.2f})" for row in shown[::-1].itertuples()
    )
    left = len(met) - len(shown)
    alt = f"{result.finding} Agreement by word: {told}{f'; and {left} more' if left > 0 else ''}."
    figure = make_figure(headline, alt, x=x, y=y, height=150 + 32 * len(shown), legend=False)
    rows = list(range(len(shown)))
    value = shown["agreement"].astype(float)
    figure.add_scatter(
        x=value,
        y=rows,
        mode="markers",
        marker={
            "size": 12,
            "color": [PAPER if verdict == "cannot tell" else INK for verdict in shown["verdict"]],
            "line": {"color": INK, "width": 2},
        },
        error_x={
            "type": "data",
            "symmetric": False,
            "array": shown["high"].astype(float) - value,
            "arrayminus": value - shown["low"].astype(float),
            "color": INK,
            "thickness": 2,
            "width": 6,
        },
        hovertext=[
            f"{plain(row.label)}: {row.verdict}<br>in both cups {row.both}, in one only {row.one}, "
            f"in neither {row.neither}"
            for row in shown.itertuples()
        ],
        hoverinfo="text",
    )
    line = {"color": QUIET, "width": 2, "dash": "dash"}
    figure.add_shape(type="line", x0=0, x1=0, y0=-0.6, y1=len(shown) - 0.4, line=line, layer="below")
    figure.update_xaxes(range=[-1.04, 1.04])
    labels = [f"{plain(row.label, 24)} ({row.both} + {row.one})" for row in shown.itertuples()]
    figure.update_yaxes(range=[-0.6, len(shown) - 0.4], tickvals=rows, ticktext=labels, showgrid=False)
    return figure
