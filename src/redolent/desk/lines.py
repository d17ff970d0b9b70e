"""Line scales: a mark somewhere between "not at all" and "very"."""

import anywidget
import traitlets

from redolent.desk.panel import STATIC


class Lines(anywidget.AnyWidget):
    """One line an attribute.

    Attributes
    ----------
    attributes : list of str
    marks : dict of str to float
        0 to 100, of the lines that were marked.
    """

    _esm = STATIC / "lines.js"

    attributes: traitlets.List[str] = traitlets.List().tag(sync=True)
    marks = traitlets.Dict().tag(sync=True)
