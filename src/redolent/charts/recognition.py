"""Whether the words tell the coffee, against what relabelled coffees give."""

import numpy as np
import plotly.graph_objects as go

from redolent.charts.style import INK, LINE, PAPER, make_empty, make_figure, named
from redolent.progress import Recognition

BINS = 25


def draw_recognition(result: Recognition) -> go.Figure:
    """Draw the balanced accuracy on the distribution that coffees relabelled within tastings give."""
    headline = named(result.taster, result.headline)
    x = f"cups named right, mean over {result.coffees} coffees (%; n = {result.servings} servings)"
    y = "relabellings (count)"
    if result.accuracy is None:
        return make_empty(headline, result.finding, x=x, y=y)
    low, high = np.quantile(result.null, [0.025, 0.975])
    alt = (
        f"{result.finding} Histogram of what {len(result.null)} relabellings give, 95 % of them between "
        f"{100 * low:.0f} and {100 * high:.0f} %; the result, {100 * result.accuracy:.0f} %, is marked."
    )
    figure = make_figure(headline, alt, x=x, y=y, legend=False)
    edge = max(1.0, 100 * max(float(result.null.max()), result.accuracy) * 1.05)
    counts, edges = np.histogram(100 * result.null, bins=BINS, range=(0, edge))
    figure.add_bar(
        x=(edges[:-1] + edges[1:]) / 2,
        y=counts,
        width=np.diff(edges),
        marker={"color": LINE, "line": {"color": PAPER, "width": 1}},
        hovertemplate="%{x:.0f} %: %{y} relabellings<extra></extra>",
    )
    result_at, top = 100 * result.accuracy, float(counts.max())
    line = {"color": INK, "width": 3}
    figure.add_shape(type="line", x0=result_at, x1=result_at, y0=0, y1=1.1 * top, line=line)
    right = result_at > edge / 2
    figure.add_annotation(
        x=result_at,
        y=1.1 * top,
        text=f"the words: {result_at:.0f} %",
        showarrow=False,
        xanchor="right" if right else "left",
        xshift=-8 if right else 8,
        yanchor="top",
    )
    figure.update_xaxes(range=[0, edge])
    figure.update_yaxes(range=[0, 1.25 * top])
    return figure
