"""How warm the cups are: what a thermometer showed, and what it lets expect."""

from datetime import datetime

import ipywidgets as w

from redolent.desk.clock import Clock
from redolent.desk.fold import Fold
from redolent.desk.panel import safe
from redolent.journal import Journal, Serving
from redolent.tasting import fit_cooling
from redolent.tasting.units import to_celsius, write_celsius

_ROOM_C = 21.0
_AT_FIRST = {"°C": (65.0, 21.0), "°F": (150.0, 70.0)}


class Warmth:
    """The readings of one tasting; the clock shows what they let expect."""

    def __init__(self, clock: Clock) -> None:
        self.clock = clock
        self.cup = w.Dropdown(description="Cup")
        self.reading = w.FloatText()
        self.room = w.FloatText()
        self.keep = w.Button(description="Keep the reading")
        self.sureness = w.HTML()
        boxes = (self.cup, self.reading, self.room, w.HBox([self.keep]))
        self.widgets = (Fold("A thermometer reading", *boxes), self.sureness)

    def serve(self, journal: Journal, tasting_id: str, codes: list[str], unit: str) -> None:
        """Begin with the cups of a tasting, and with the readings that it has."""
        self._journal, self._tasting_id, self._unit = journal, tasting_id, unit
        self.cup.options, self.cup.value = codes, codes[0]
        self.reading.description, self.room.description = f"It shows, {unit}", f"The room, {unit}"
        self.reading.value, self.room.value = _AT_FIRST[unit]
        self._expect()

    def note(self, serving: Serving, now: datetime) -> None:
        """Keep what the thermometer shows in a cup, and expect the cups' warmth by it."""
        celsius, room = (to_celsius(b.value) if self._unit == "°F" else b.value for b in (self.reading, self.room))
        poured = self.clock.pours.get(serving.code, {}).get("at")
        if not poured:
            raise ValueError("Press this cup's pour first: a reading counts from there.")
        minutes = now.timestamp() / 60 - poured / 60_000
        fit_cooling([*self._readings(), (minutes, celsius)], room)
        for kind, value in (("room °C", f"{room:.1f}"), ("reading", f"{minutes:.2f} min {celsius:.1f} °C")):
            self._journal.note_circumstance(kind, value, tasting_id=self._tasting_id, serving_id=serving.id, at=now)
        self._expect()

    def _readings(self) -> list[tuple[float, float]]:
        kept = self._journal.circumstances(self._tasting_id, "reading")
        return [(float(one.value.split()[0]), float(one.value.split()[2])) for one in kept]

    def _expect(self) -> None:
        rooms = self._journal.circumstances(self._tasting_id, "room °C")
        cooling = fit_cooling(self._readings(), float(rooms[-1].value) if rooms else _ROOM_C)
        self.clock.expect(cooling, self._unit)
        self.sureness.value = f'<p class="rd-quiet">{safe(write_celsius(cooling.sureness, self._unit))}</p>'
