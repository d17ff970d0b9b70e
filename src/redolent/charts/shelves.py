"""The coverage map: the lexicon as shelves, a family a row, a group a box, darker where it was named more often."""

from typing import Any

import plotly.graph_objects as go

from redolent.charts.style import INK, PAPER, TEXT, make_empty, make_figure, named, plain, steps, wrap
from redolent.progress import Places, wording

STEPS = (1, 2, 4, 8)
"""A box takes the next darker colour from so many servings on."""
ROW = 64
BOX = 12
"""Characters of a label that a box holds in one line, on a narrow page too."""


def draw_shelves(result: Places) -> go.Figure:
    """Draw a shelf for each family and a box for each of its groups; what was never named stays blank."""
    headline = named(result.taster, result.headline)
    x = f"groups (number: servings that named it, n = {result.servings}; blank: never)"
    y = "family"
    places = result.places
    if not result.servings:
        return make_empty(headline, result.finding, x=x, y=y)
    families = result.families
    groups = {family: rows for family, rows in places[places["level"] == "group"].groupby("parent")}
    longest = max(len(rows) for rows in groups.values())
    never = ", ".join(families.loc[families["times"] == 0, "label"]) or "none"
    alt = f"{result.finding} Families never visited: {never}. {result.numbers}"
    figure = make_figure(headline, alt, x=x, y=y, height=120 + ROW * len(families), legend=False)
    colours = [PAPER, *reversed(steps(len(STEPS)))]
    shapes, marks = [], []
    for row, family in enumerate(families.itertuples()):
        for column, group in enumerate(groups[family.node].itertuples()):
            shade = sum(group.times >= step for step in STEPS)
            box = {"x0": column + 0.02, "x1": column + 0.98, "y0": row + 0.06, "y1": row + 0.94}
            line = {"color": INK, "width": 1, "dash": "solid" if group.times else "dot"}
            shapes.append({"type": "rect", **box, "fillcolor": colours[shade], "line": line, "layer": "below"})
            marks.append((column + 0.5, row + 0.5, _label(group), shade > 2, _hover(group, family.label)))
    for dark in (False, True):
        some = [mark for mark in marks if mark[3] == dark]
        if some:
            figure.add_scatter(
                x=[mark[0] for mark in some],
                y=[mark[1] for mark in some],
                mode="text",
                text=[mark[2] for mark in some],
                textfont={"size": TEXT - 1, "color": PAPER if dark else INK},
                hovertext=[mark[4] for mark in some],
                hoverinfo="text",
            )
    figure.update_layout(shapes=shapes)
    figure.update_xaxes(range=[0, longest], showticklabels=False, ticks="")
    labels = [f"{plain(family.label, 22)} {family.times or '–'}" for family in families.itertuples()]
    figure.update_yaxes(
        range=[len(families), 0], tickvals=[row + 0.5 for row in range(len(families))], ticktext=labels, showgrid=False
    )
    return figure


def _label(group: Any) -> str:
    return wrap(f"{group.label} {group.times}" if group.times else group.label, BOX)


def _hover(group: Any, family: str) -> str:
    lines = [
        plain(f"{family} › {group.label}"),
        f"named in {wording.count(group.times, 'serving')}" if group.times else "never named",
    ]
    if group.last_used is not None and group.times:
        lines.append(f"last on {group.last_used}")
    if group.others:
        lines.append(wrap(f"others at the same tables named it in {', '.join(group.others[:4])}", 48))
        lines.append("(which does not say that it was there)")
    return "<br>".join(lines)
