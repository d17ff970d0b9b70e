"""How complete a vocabulary is: rarefied to fewer servings, extrapolated to twice as many."""

import plotly.graph_objects as go

from redolent.charts.style import INK, add_band, make_empty, make_figure, named
from redolent.progress import Vocabulary, wording


def draw_completeness(result: Vocabulary) -> go.Figure:
    """Draw expected richness against servings, to twice what was tasted, with its 95 % band."""
    headline = named(result.taster, result.headline)
    x = f"servings (n = {result.servings} in {wording.count(result.tastings, 'tasting')}; dashed: extrapolated)"
    y = f"expected {'families' if result.level == 'family' else result.level + 's'}"
    curve = result.curve
    if not len(curve):
        return make_empty(headline, result.finding, x=x, y=y)
    end = curve.iloc[-1]
    banded = "low" in curve
    alt = f"{result.finding} Expected after {end['servings']} servings: {end['richness']:.0f}"
    alt += f" ({end['low']:.0f} to {end['high']:.0f})" if banded else ""
    figure = make_figure(headline, f"{alt}.", x=x, y=y)
    if banded:
        add_band(figure, curve["servings"], curve["low"], curve["high"], "95 % band")
    within, beyond = curve[~curve["extrapolated"]], curve[curve["extrapolated"]]
    beyond = curve.loc[[*within.index[-1:], *beyond.index]]
    for part, name, dash in ((within, "fewer servings", "solid"), (beyond, "more servings", "dash")):
        if len(part) < 2 and name == "more servings":
            continue
        figure.add_scatter(
            x=part["servings"],
            y=part["richness"],
            mode="lines" if len(part) > 1 else "markers",
            name=name,
            line={"color": INK, "width": 3, "dash": dash},
            marker={"color": INK, "size": 10},
            hovertext=[f"{row.servings} servings: {row.richness:.0f} expected" for row in part.itertuples()],
            hoverinfo="text",
        )
    if len(within) > 1:
        observed = within.iloc[-1]
        figure.add_scatter(
            x=[observed["servings"]],
            y=[observed["richness"]],
            mode="markers",
            name="as tasted",
            marker={"color": INK, "size": 12},
            hoverinfo="skip",
        )
    figure.update_yaxes(rangemode="tozero")
    return figure
