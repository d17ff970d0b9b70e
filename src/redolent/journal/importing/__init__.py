"""Bring in the notes that people keep already: read the file, guess, ask, and let every row land or be listed."""

from redolent.journal.importing.landing import Landing, land
from redolent.journal.importing.plan import Choices, Entry, Plan, make_plan
from redolent.journal.importing.refused import write_refused
from redolent.journal.importing.unclear import Unclear

__all__ = ["Choices", "Entry", "Landing", "Plan", "Unclear", "land", "make_plan", "write_refused"]
