"""The clock of a tasting: it runs in the browser, and tells the kernel when a cup was poured."""

import anywidget
import traitlets

from redolent.desk.panel import STATIC
from redolent.tasting.cooling import Cooling
from redolent.tasting.stages import BREAK_MINUTES, HINTS_C
from redolent.tasting.units import to_fahrenheit

_LONGEST = 120  # minutes after the pour for which a temperature is told


class Clock(anywidget.AnyWidget):
    """Each cup's time since its own pour.

    Attributes
    ----------
    codes : list of str
        The cups, in the order of tasting; nothing else is known here of what is in them.
    pours : dict
        For each code ``{"at": milliseconds since 1970 or None, "set": when that was said}``; the newer `set` counts.
    store : str
        Where the browser keeps them, too.
    step : str
        The step of the stage bar.
    due : dict of str to float
        Minutes after the pour at which a cup is broken, safe to taste, and at the warmth of each stage.
    temperatures : list of int
        Expected, in `unit`, at each whole minute after the pour.
    """

    _esm = STATIC / "clock.js"

    codes: traitlets.List[str] = traitlets.List().tag(sync=True)
    pours = traitlets.Dict().tag(sync=True, echo_update=False)
    store = traitlets.Unicode("").tag(sync=True)
    step = traitlets.Unicode("dry").tag(sync=True)
    due = traitlets.Dict().tag(sync=True)
    temperatures: traitlets.List[int] = traitlets.List().tag(sync=True)
    unit = traitlets.Unicode("°C").tag(sync=True)

    def expect(self, cooling: Cooling, unit: str = "°C") -> None:
        """Show what a cup's cooling lets expect."""
        expected = [cooling.temperature(minute)[0] for minute in range(_LONGEST)]
        with self.hold_sync():
            self.due = due_minutes(cooling)
            self.unit = unit
            self.temperatures = [round(to_fahrenheit(c) if unit == "°F" else c) for c in expected]


def due_minutes(cooling: Cooling) -> dict[str, float]:
    """Give the minutes after the pour at which each thing is due: the break, safety, hot, warm, cool.

    Hot is never before it is safe.
    """
    safe = cooling.safe_minutes()
    due = {"break": BREAK_MINUTES, "safe": safe}
    for stage, celsius in HINTS_C.items():
        reached = cooling.minutes(celsius)
        due[stage] = max(safe, reached[0] if reached else safe)
    return due
