"""Figures inside panels: live in the notebook, drawn by the browser without a network."""

import ipywidgets as w
import plotly.graph_objects as go

from redolent.desk.panel import safe


def hold(figure: go.Figure) -> w.VBox:
    """Put a figure into a panel, with its text alternative for those who do not see it."""
    alt = str((figure.layout.meta or {}).get("alt", ""))
    shown = go.FigureWidget(figure)
    return w.VBox(
        [
            shown,
            w.HTML(
                f'<details><summary class="rd-quiet">The figure in words</summary><p>{safe(alt)}</p></details>'
            ),
        ]
    )
