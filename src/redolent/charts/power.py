"""What a plan can find: the probability of a verdict for each size of the difference."""

import numpy as np
import plotly.graph_objects as go
from scipy.stats import binom

from redolent.charts.style import INK, LINE, PAPER, QUIET, add_level, make_figure
from redolent.triangle import Plan, find_power


def draw_power(plan: Plan) -> go.Figure:
    """Draw the probability that a run as planned shows what it is to show, against the true p_d.

    Returns
    -------
    plotly.graph_objects.Figure
        ``layout.meta["alt"]`` holds its text alternative.
    """
    pds = np.linspace(0, 1, 201)
    if plan.similarity:
        proportions = plan.method.guessing + (1 - plan.method.guessing) * pds
        chances = binom.cdf(plan.maximum_correct, plan.triads, proportions)
        goal, bar = "similarity", f"at most {plan.maximum_correct} right"
    else:
        chances = find_power(plan.triads, pds, alpha=plan.alpha, method=plan.method)
        goal, bar = "a difference", f"at least {plan.minimum_correct} right"
    at_none, at_planned = (float(np.interp(pd, pds, chances)) for pd in (0, plan.pd))
    figure = make_figure(
        f"{plan.triads} triads, {bar}: {goal} shown with probability {at_planned:.2f} at p_d = {plan.pd:.2g}, "
        f"{at_none:.2f} at p_d = 0",
        f"{plan.finding} Line chart of the probability of showing {goal} against the true share of discriminators, "
        f"{'falling' if plan.similarity else 'rising'} from {at_none:.2f} at 0 to {chances[-1]:.2f} at 100 %.",
        x=f"True share of triads in which the difference is detected, p_d (%); n = {plan.triads} triads",
        y=f"Probability of showing {goal} (%)",
        height=440,
        legend=False,
    )
    figure.add_scatter(
        x=100 * pds,
        y=100 * chances,
        mode="lines",
        line={"color": INK, "width": 3},
        hovertemplate="p_d = %{x:.0f} %: %{y:.0f} %<extra></extra>",
    )
    figure.add_scatter(
        x=[0, 100 * plan.pd],
        y=[100 * at_none, 100 * at_planned],
        mode="markers",
        marker={"size": 12, "color": PAPER, "line": {"color": INK, "width": 2}},
        hoverinfo="skip",
    )
    high, low = ("1 − β", 1 - plan.beta), ("α", plan.alpha)
    if plan.similarity:
        high, low = ("1 − α", 1 - plan.alpha), ("β", plan.beta)
    for (name, y), anchor, dash in ((high, "top", "dash"), (low, "bottom", "dot")):
        add_level(figure, 100 * y, QUIET, dash)
        figure.add_annotation(
            x=1, xref="x domain", y=100 * y, text=f"{name} = {y:g}", showarrow=False, xanchor="right", yanchor=anchor
        )
    figure.add_shape(
        type="line", x0=100 * plan.pd, x1=100 * plan.pd, y0=0, y1=100 * at_planned, line={"color": LINE, "dash": "dot"}
    )
    figure.update_xaxes(range=[-2, 102])
    figure.update_yaxes(range=[0, 104])
    return figure
