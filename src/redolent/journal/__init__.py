"""The journal: what a taster wrote, answered and was served, kept as it was."""

from redolent.journal.journal import Journal
from redolent.journal.rows import (
    AIMS,
    BLINDINGS,
    STAGES,
    Answer,
    Coffee,
    Note,
    Run,
    RunEvent,
    RunKey,
    Serving,
    StageEvent,
    Taster,
    Tasting,
    Triad,
)
from redolent.journal.store import JournalError

__all__ = [
    "AIMS",
    "BLINDINGS",
    "STAGES",
    "Answer",
    "Coffee",
    "Journal",
    "JournalError",
    "Note",
    "Run",
    "RunEvent",
    "RunKey",
    "Serving",
    "StageEvent",
    "Taster",
    "Tasting",
    "Triad",
]
