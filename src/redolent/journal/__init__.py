"""The journal: what a taster wrote, answered and was served, kept as it was."""

from redolent.journal.error import JournalError
from redolent.journal.journal import Journal
from redolent.journal.rows import (
    BLINDINGS,
    STAGES,
    Answer,
    Coffee,
    Note,
    Run,
    RunKey,
    Serving,
    StageEvent,
    Taster,
    Tasting,
    Triad,
)

__all__ = [
    "BLINDINGS",
    "STAGES",
    "Answer",
    "Coffee",
    "Journal",
    "JournalError",
    "Note",
    "Run",
    "RunKey",
    "Serving",
    "StageEvent",
    "Taster",
    "Tasting",
    "Triad",
]
