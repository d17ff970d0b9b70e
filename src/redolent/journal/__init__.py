"""The journal: what a taster wrote, answered and was served, kept as it was."""

from redolent.journal.error import JournalError
from redolent.journal.journal import Journal
from redolent.journal.rows import (
    BLINDINGS,
    STAGES,
    Answer,
    Circumstance,
    Coffee,
    LineMark,
    Note,
    Plan,
    PlanKey,
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
    "Circumstance",
    "Coffee",
    "Journal",
    "JournalError",
    "LineMark",
    "Note",
    "Plan",
    "PlanKey",
    "Run",
    "RunKey",
    "Serving",
    "StageEvent",
    "Taster",
    "Tasting",
    "Triad",
]
