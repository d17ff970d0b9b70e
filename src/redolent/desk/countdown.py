"""A countdown that the browser keeps."""

import anywidget
import traitlets

from redolent.desk.panel import STATIC


class Countdown(anywidget.AnyWidget):
    """Seconds that run down.

    Attributes
    ----------
    seconds : float
        None are shown where it is 0.
    round : int
        A new round starts anew.
    over : int
        The last round whose time is over.
    """

    _esm = STATIC / "countdown.js"

    seconds = traitlets.Float(0).tag(sync=True)
    round = traitlets.Int(0).tag(sync=True)
    over = traitlets.Int(0).tag(sync=True)

    def start(self, seconds: float) -> None:
        """Begin a round."""
        with self.hold_sync():
            self.seconds, self.round = seconds, self.round + 1
