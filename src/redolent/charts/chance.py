"""The picture of one verdict: what guessing alone would give, and what the taster gave."""

import plotly.graph_objects as go
from scipy.stats import binom

from redolent.charts.style import INK, LINE, PAPER, QUIET, make_figure
from redolent.triangle import GUESSING, Verdict

_WHOLE_AXIS = 24


def draw_chance(verdict: Verdict) -> go.Figure:
    """Draw the distribution of correct answers under guessing, with the result and the bar that was planned.

    The bar is the minimum correct for a difference, or the maximum correct for similarity; for similarity the
    distribution at the planned p_d is drawn too, as an outline.

    Parameters
    ----------
    verdict : Verdict

    Returns
    -------
    plotly.graph_objects.Figure
        ``layout.meta["alt"]`` holds its text alternative.
    """
    numbers = list(range(verdict.of + 1))
    chances = binom.pmf(numbers, verdict.of, GUESSING)
    minimum = _minimum(verdict)
    enough = [minimum is not None and number >= minimum for number in numbers]
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
    figure.add_bar(
        x=numbers,
        y=chances,
        marker={
            "color": [QUIET if yes else LINE for yes in enough],
            "pattern": {"shape": ["/" if yes else "" for yes in enough]},
        },
        hovertemplate="%{x} correct: %{y:.1%} by guessing<extra></extra>",
    )
    figure.update_layout(bargap=0.15)
    figure.update_xaxes(dtick=1 if verdict.of <= _WHOLE_AXIS else None, range=_range(verdict))
    figure.update_yaxes(tickformat=".0%", range=[0, 1.45 * top])
    if minimum is not None:
        _mark_minimum(figure, minimum, verdict.of, height=1.4 * top)
    _mark_result(figure, verdict.correct, float(chances[verdict.correct]), height=1.18 * top)
    return figure


def _mark_minimum(figure: go.Figure, minimum: int, of: int, height: float) -> None:
    edge, left = minimum - 0.5, minimum < 0.6 * of
    line = {"color": INK, "dash": "dash", "width": 2}
    figure.add_shape(type="line", x0=edge, x1=edge, y0=0, y1=height, line=line, opacity=1)
    figure.add_annotation(
        x=edge,
        y=height,
        text=f"enough: {minimum} or more",
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


def _minimum(verdict: Verdict) -> int | None:
    # The minimum belongs to the planned number of triads; on a stopped run's shorter axis it would mislead.
    return None if verdict.outcome == "stopped early" else verdict.minimum_correct


def _range(verdict: Verdict) -> tuple[float, float]:
    if verdict.of <= _WHOLE_AXIS:
        return -0.6, verdict.of + 0.6
    # Of a long run only the part where guessing or the taster can be found.
    low, high = binom.ppf((0.0001, 0.9999), verdict.of, GUESSING)
    marks = (verdict.correct, _minimum(verdict) or verdict.correct)
    return min(low, *marks) - 1, max(high, *marks) + 1


def _title(verdict: Verdict) -> str:
    correct = f"{verdict.correct} of {verdict.of} correct"
    match verdict.outcome:
        case "stopped early":
            finding = f"{verdict.of} of {verdict.planned} planned triads answered, no verdict"
        case "too few triads":
            finding = f"with {verdict.of}, no result could show a difference"
        case _:
            finding = f"{correct}, at least {verdict.minimum_correct} needed"
    return f"{verdict.outcome.capitalize()}: {finding}"


def _proviso(verdict: Verdict) -> str:
    if _minimum(verdict) is None:
        return f"{verdict.correct} of {verdict.of} correct; bars: guessing alone"
    return f"{verdict.p}, exact and one-sided, {verdict.level} level; bars: guessing alone"


def _alternative(verdict: Verdict) -> str:
    minimum = _minimum(verdict)
    likely = int(binom.median(verdict.of, GUESSING))
    shape = (
        f"Bar chart of the chance of each number of correct answers, 0 to {verdict.of}, by guessing alone; "
        f"the middle of it is at {likely}. The result, {verdict.correct}, is marked"
    )
    mark = "." if minimum is None else f", and so is the minimum for a difference, {minimum}."
    return f"{verdict.sentence} {shape}{mark}"
