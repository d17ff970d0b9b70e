"""The picture of one verdict: what guessing alone would give, and what the taster gave."""

import plotly.graph_objects as go
from scipy.stats import binom

from redolent.charts.style import INK, LINE, PAPER, QUIET, make_figure
from redolent.triangle import Verdict

_WHOLE_AXIS = 24


def draw_chance(verdict: Verdict) -> go.Figure:
    """Draw the distribution of correct answers under guessing, with the result and the planned bar.

    The bar is the minimum correct for a difference or the maximum correct for similarity. For similarity the
    distribution at the planned p_d stands beside it, as dots.

    Parameters
    ----------
    verdict : Verdict

    Returns
    -------
    plotly.graph_objects.Figure
        ``layout.meta["alt"]`` holds its text alternative.
    """
    numbers = list(range(verdict.of + 1))
    chances = binom.pmf(numbers, verdict.of, verdict.method.guessing)
    bar = _bar(verdict)
    top = float(chances.max())
    figure = make_figure(
        f"{_title(verdict)} ({_proviso(verdict)})",
        _alternative(verdict),
        x=f"Correct answers (count out of n = {verdict.of})",
        y="Chance by guessing alone (%)",
        height=440,
        legend=False,
    )
    # Greys and a hatching: a hue stands for a sense, and here there is none.
    enough = [bar is not None and (number <= bar if verdict.similarity else number >= bar) for number in numbers]
    figure.add_bar(
        x=numbers,
        y=chances,
        marker={
            "color": [QUIET if yes else LINE for yes in enough],
            "pattern": {"shape": ["/" if yes else "" for yes in enough]},
        },
        hovertemplate="%{x} correct: %{y:.1%} by guessing<extra></extra>",
    )
    if verdict.similarity:
        figure.add_scatter(
            x=numbers,
            y=binom.pmf(numbers, verdict.of, verdict.null_proportion),
            mode="markers",
            marker={"color": INK, "size": 6, "symbol": "circle-open"},
            hovertemplate=f"%{{x}} correct: %{{y:.1%}} at p_d = {verdict.planned_pd:g}<extra></extra>",
        )
    figure.update_layout(bargap=0.15)
    figure.update_xaxes(dtick=1 if verdict.of <= _WHOLE_AXIS else None, range=_range(verdict))
    figure.update_yaxes(tickformat=".0%", range=[0, 1.45 * top])
    if bar is not None:
        _mark_bar(figure, verdict, bar, height=1.4 * top)
    _mark_result(figure, verdict.correct, float(chances[verdict.correct]), height=1.18 * top)
    return figure


def _mark_bar(figure: go.Figure, verdict: Verdict, bar: int, height: float) -> None:
    edge = bar + 0.5 if verdict.similarity else bar - 0.5
    left = edge < 0.6 * verdict.of
    line = {"color": INK, "dash": "dash", "width": 2}
    figure.add_shape(type="line", x0=edge, x1=edge, y0=0, y1=height, line=line, opacity=1)
    figure.add_annotation(
        x=edge,
        y=height,
        text=f"similar: {bar} or fewer" if verdict.similarity else f"enough: {bar} or more",
        showarrow=False,
        xanchor="left" if left else "right",
        xshift=6 if left else -6,
        yanchor="top",
    )


def _mark_result(figure: go.Figure, correct: int, chance: float, height: float) -> None:
    figure.add_annotation(
        x=correct,
        y=chance,
        text=f"<b>result: {correct}</b>",
        ax=correct,
        axref="x",
        ay=height,
        ayref="y",
        arrowhead=2,
        arrowwidth=2,
        arrowcolor=INK,
        bgcolor=PAPER,
    )


def _bar(verdict: Verdict) -> int | None:
    # The bar belongs to the planned number of triads, looked at once; where it does not decide it would mislead.
    if verdict.anytime:
        return None
    return verdict.maximum_correct if verdict.similarity else verdict.minimum_correct


def _range(verdict: Verdict) -> tuple[float, float]:
    if verdict.of <= _WHOLE_AXIS:
        return -0.6, verdict.of + 0.6
    # Of a long run only the part where guessing, the planned difference or the taster can be found.
    low, high = binom.ppf((0.0001, 0.9999), verdict.of, verdict.method.guessing)
    if verdict.similarity:
        high = binom.ppf(0.999, verdict.of, verdict.null_proportion)
    bar = _bar(verdict)
    marks = (verdict.correct, verdict.correct if bar is None else bar)
    return min(low, *marks) - 1, max(high, *marks) + 1


def _title(verdict: Verdict) -> str:
    correct = f"{verdict.correct} of {verdict.of} correct"
    shown = f"{'' if verdict.shown else 'no '}{'similarity' if verdict.similarity else 'difference'} shown"
    match verdict.outcome:
        case "stopped early":
            finding = f"{verdict.of} of {verdict.planned} planned triads answered, {shown}"
        case "looked at on the way":
            finding = f"{correct}, {shown}"
        case "too few triads":
            finding = (
                f"with {verdict.of}, no result could show {'similarity' if verdict.similarity else 'a difference'}"
            )
        case "similarity shown" | "similarity not shown":
            finding = f"{correct}, at most {verdict.maximum_correct} allowed"
        case _:
            finding = f"{correct}, at least {verdict.minimum_correct} needed"
    return f"{verdict.outcome.capitalize()}: {finding}"


def _proviso(verdict: Verdict) -> str:
    bars = "bars: guessing alone"
    if verdict.similarity:
        bars += f"; rings: p_d = {verdict.planned_pd:g}"
    if verdict.anytime:
        return f"p = {verdict.anytime_p:.2g}, valid at any time; {bars}"
    if _bar(verdict) is None:
        return f"{verdict.correct} of {verdict.of} correct; {bars}"
    if verdict.similarity:
        return f"exact and one-sided, risk {verdict.beta:g}; {bars}"
    return f"{verdict.p}, exact and one-sided, {verdict.level} level; {bars}"


def _alternative(verdict: Verdict) -> str:
    bar = _bar(verdict)
    likely = int(binom.median(verdict.of, verdict.method.guessing))
    shape = (
        f"Bar chart of the chance of each number of correct answers, 0 to {verdict.of}, by guessing alone; "
        f"the middle of it is at {likely}. The result, {verdict.correct}, is marked"
    )
    goal = "maximum for similarity" if verdict.similarity else "minimum for a difference"
    mark = "." if bar is None else f", and so is the {goal}, {bar}."
    return f"{verdict.sentence} {shape}{mark}"
