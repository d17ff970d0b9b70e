"""Marks on lines, for those who like them: of one cup and stage at a time."""

from datetime import datetime

import ipywidgets as w

from redolent.desk.fold import Fold
from redolent.desk.lines import Lines
from redolent.desk.panel import safe
from redolent.journal import Journal, Plan, Serving
from redolent.tasting import GUIDE
from redolent.tasting.circumstances import LINE_SCALES


class LineMarks:
    """The lines of the chosen cup."""

    def __init__(self) -> None:
        self.cup = w.Dropdown(description="Cup")
        self.lines = Lines(attributes=list(LINE_SCALES))
        self.keep = w.Button(description="Keep the marks")
        self.kept = w.HTML()
        self.widgets = (
            Fold("Marks on lines, if you like", self.cup, self.lines, w.HBox([self.keep]), self.kept),
        )  # fmt: skip

    def serve(self, codes: list[str]) -> None:
        """Begin with the cups of a tasting."""
        self.cup.options, self.cup.value = codes, codes[0]

    def show(self, journal: Journal, serving: Serving, stage: str | None) -> None:
        """Show the marks that a cup has at a stage."""
        marks = journal.line_marks(serving.tasting_id)
        self.lines.marks = {m.attribute: m.mark for m in marks if (m.serving_id, m.stage) == (serving.id, stage)}
        self.kept.value = ""

    def note(self, journal: Journal, plan: Plan, serving: Serving, stage: str, now: datetime) -> None:
        """Keep the marks."""
        if not self.lines.marks:
            raise ValueError("Move a mark first; a line without a mark says nothing.")
        for attribute, mark in self.lines.marks.items():
            journal.mark_line(
                taster_id=plan.taster_id,
                serving_id=serving.id,
                stage=stage,
                attribute=attribute,
                mark=mark,
                at=now,
            )
        self.kept.value = f'<p role="status">Kept for {safe(serving.code)}, {safe(GUIDE[stage].label)}.</p>'
