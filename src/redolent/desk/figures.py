"""Figures inside panels: live in the notebook, drawn by the browser without a network."""

import anywidget
import ipywidgets as w
import plotly.graph_objects as go
import traitlets as t
from plotly.offline import get_plotlyjs

from redolent.charts.style import CONFIG
from redolent.desk.panel import STATIC, safe


class _Library(anywidget.AnyWidget):
    """What draws figures. It is large, so it goes to the browser once, and not with each figure."""

    _esm = "export default {};"
    source = t.Unicode().tag(sync=True)


class Picture(anywidget.AnyWidget):
    """A figure in the browser.

    Parameters
    ----------
    drawn : Figure
    """

    _esm = STATIC / "figure.js"
    _library: _Library | None = None
    figure = t.Unicode().tag(sync=True)
    config = t.Dict(CONFIG).tag(sync=True)
    library = t.Instance(_Library).tag(sync=True, **w.widget_serialization)

    def __init__(self, drawn: go.Figure) -> None:
        if Picture._library is None or Picture._library.comm is None:
            Picture._library = _Library(source=get_plotlyjs())
        super().__init__(figure=drawn.to_json(), library=Picture._library)


def hold(figure: go.Figure) -> w.VBox:
    """Put a figure into a panel, with its text alternative for those who do not see it."""
    alt = str((figure.layout.meta or {}).get("alt", ""))
    words = f'<details><summary class="rd-quiet">The figure in words</summary><p>{safe(alt)}</p></details>'
    return w.VBox([Picture(figure), w.HTML(words)])
