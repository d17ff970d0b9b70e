"""Figures inside panels: live in the notebook, drawn by the browser without a network."""

import anywidget
import ipywidgets as w
import plotly.graph_objects as go

from redolent.charts.style import CONFIG
from redolent.desk.panel import STATIC, safe


class _Fit(anywidget.AnyWidget):
    """Makes the figures beside it fit the width of the page."""

    _esm = STATIC / "fit.js"


def hold(figure: go.Figure) -> w.VBox:
    """Put a figure into a panel, with its text alternative for those who do not see it."""
    alt = str((figure.layout.meta or {}).get("alt", ""))
    shown = go.FigureWidget(figure)
    shown._config = {**shown._config, **CONFIG}
    return w.VBox(
        [
            shown,
            _Fit(),
            w.HTML(f'<details><summary class="rd-quiet">The figure in words</summary><p>{safe(alt)}</p></details>'),
        ]
    )
