"""The journal: what a taster wrote, answered and was served, kept as it was."""

from redolent.journal.error import JournalError
from redolent.journal.journal import Journal
from redolent.journal.rows import (
    AIMS,
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
    RunEvent,
    RunKey,
    Serving,
    StageEvent,
    Taster,
    Tasting,
    Triad,
)
from redolent.journal.schema import SEALED_DRAFT

__all__ = [
    "AIMS",
    "BLINDINGS",
    "SEALED_DRAFT",
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
    "RunEvent",
    "RunKey",
    "Serving",
    "StageEvent",
    "Taster",
    "Tasting",
    "Triad",
]
