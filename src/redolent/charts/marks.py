"""Line marks: how far the marks of one coffee lie apart, attribute by attribute."""

import plotly.graph_objects as go

from redolent.charts.style import INK, make_empty, make_figure, named, plain
from redolent.progress import LineMarks


def draw_marks(result: LineMarks) -> go.Figure:
    """Draw the repeatability standard deviation of each attribute with its interval."""
    headline = named(result.taster, result.headline)
    x, y = "repeatability SD (points of 100, 95 % interval; n = repeats)", "attribute"
    rows = result.attributes
    rows = rows[rows["sd"].notna()] if len(rows) else rows
    if not len(rows):
        return make_empty(headline, result.finding, x=x, y=y)
    rows = rows.sort_values("sd", ascending=False, kind="stable")
    figure = make_figure(
        headline, f"{result.finding} {result.numbers}", x=x, y=y, height=170 + 40 * len(rows), legend=False
    )
    sd = rows["sd"].astype(float)
    figure.add_scatter(
        x=sd,
        y=list(range(len(rows))),
        mode="markers",
        marker={"size": 12, "color": INK},
        error_x={
            "type": "data",
            "symmetric": False,
            "array": rows["sd_high"].astype(float) - sd,
            "arrayminus": sd - rows["sd_low"].astype(float),
            "color": INK,
            "thickness": 2,
            "width": 8,
        },
        hovertext=[f"{plain(row.attribute)}: SD {row.sd:.1f}, {row.repeats} repeats" for row in rows.itertuples()],
        hoverinfo="text",
    )
    labels = [f"{plain(row.attribute, 24)} (n = {row.repeats})" for row in rows.itertuples()]
    figure.update_yaxes(range=[-0.6, len(rows) - 0.4], tickvals=list(range(len(rows))), ticktext=labels, showgrid=False)
    figure.update_xaxes(rangemode="tozero")
    return figure
