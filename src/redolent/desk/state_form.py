"""How the taster is and how the room is: one tap each, at set-out and whenever it changes."""

from collections import Counter
from datetime import datetime

import ipywidgets as w

from redolent.journal import Journal, Plan
from redolent.tasting.circumstances import ROOM, TASTER

OVER = ", over"
"""Ends the kind of a circumstance that was tapped off again."""


class StateForm(w.VBox):
    """The taps; those of a tasting follow what its journal holds."""

    def __init__(self) -> None:
        names = {"taster": TASTER, "room": ROOM}
        self.taps = {(kind, name): w.ToggleButton(description=name) for kind in names for name in names[kind]}
        rows = {kind: w.Box([self.taps[kind, name] for name in names[kind]]) for kind in names}
        for row in rows.values():
            row.add_class("rd-taps")
        super().__init__(
            [w.HTML("<h3>How you are</h3>"), rows["taster"], w.HTML("<h3>The room</h3>"), rows["room"]],
        )

    def tapped(self) -> list[tuple[str, str]]:
        """Give what is tapped, as (kind, value)."""
        return [key for key, tap in self.taps.items() if tap.value]

    def show(self, journal: Journal, plan: Plan) -> None:
        """Show what a tasting's journal holds."""
        kept = find_state(journal, plan)
        for key, tap in self.taps.items():
            tap.value = key in kept

    def note(self, journal: Journal, plan: Plan, now: datetime) -> None:
        """Keep what was tapped on or off since."""
        kept = find_state(journal, plan)
        for (kind, value), tap in self.taps.items():
            if tap.value != ((kind, value) in kept):
                kind = kind if tap.value else kind + OVER
                journal.note_circumstance(kind, value, tasting_id=plan.tasting_id, taster_id=plan.taster_id, at=now)


def find_state(journal: Journal, plan: Plan) -> set[tuple[str, str]]:
    """Give how the taster and the room are, as (kind, value): what was tapped on once more than off."""
    taps = Counter((one.kind, one.value) for one in journal.circumstances(plan.tasting_id))
    return {(kind, value) for kind, value in taps if taps[kind, value] > taps[kind + OVER, value]}
