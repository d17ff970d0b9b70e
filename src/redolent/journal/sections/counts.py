"""Answers to drills, and the tables from which progress is counted."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import delete

from redolent.journal import entries, frames, schema
from redolent.journal.sections.section import Section

if TYPE_CHECKING:
    import pandas as pd


class Counts(Section):
    """What is counted."""

    def record_drills(
        self, taster_id: str, answers: Iterable[Mapping[str, Any]], *, at: datetime | None = None, drop_draft: str = ""
    ) -> None:
        """Keep the answers to questions of drills; they are on the disk when this returns, all or none.

        Parameters
        ----------
        taster_id : str
        answers : iterable of mapping
            ``drill``, ``node`` (what was right), ``asked``, ``answered`` (as it was given), ``correct`` (None where it
            is not judged) and, where it was taken, ``seconds``.
        at : datetime, optional
            Now where it is None.
        drop_draft : str, optional
            The key of a draft that goes in the same step.

        Raises
        ------
        ValueError
            Where the taster is not in the journal, or an answer took less than no time.
        """
        answers = [dict(answer) for answer in answers]
        if any((answer.get("seconds") or 0) < 0 for answer in answers):
            raise ValueError("An answer took less than no time; set the clock right and answer again.")
        with self._write() as session:
            entries.get(session, schema.Taster, taster_id)
            session.add_all(schema.DrillEvent(taster_id=taster_id, **answer, **entries.timed(at)) for answer in answers)
            if drop_draft:
                session.execute(delete(schema.Draft).where(schema.Draft.key == self._mine + drop_draft))

    def notes_frame(self, taster_id: str | None = None) -> "pd.DataFrame":
        """Give a row a note, in its latest revision, oldest first.

        Parameters
        ----------
        taster_id : str, optional
            All tasters where it is None.

        Returns
        -------
        DataFrame
            note_id, taster, taster_id, tasting_id, tasting, serving_id, code, coffee (empty while
            hidden), coffee_id (None while hidden), stage, written_at (of the first revision, UTC), text,
            coached, revision, first_text (of the first revision).
        """
        with self._read() as session:
            return frames.notes(session, taster_id)

    def runs_frame(self, taster_id: str | None = None) -> "pd.DataFrame":
        """Give a row a triangle run that is over, oldest first.

        Parameters
        ----------
        taster_id : str, optional
            All tasters where it is None.

        Returns
        -------
        DataFrame
            run_id, taster, coffee_a, coffee_b, started_at (UTC), alpha, blinding, planned, aim, beta, pd
            (missing where they were not planned), pair (None where it is no reference pair), looked,
            answered, correct; planned, answered and correct count triads.
        """
        with self._read() as session:
            return frames.runs(session, taster_id)

    def marks_frame(self) -> "pd.DataFrame":
        """Give a row a line mark of any taster, oldest first.

        Returns
        -------
        DataFrame
            taster, tasting_id, serving_id, coffee (empty while hidden), coffee_id (None while hidden), stage,
            attribute, mark (0 to 100), marked_at (UTC).
        """
        with self._read() as session:
            return frames.marks(session)

    def drills_frame(self, taster_id: str) -> "pd.DataFrame":
        """Give a row an answer to a drill, oldest first.

        Returns
        -------
        DataFrame
            drill, node (what was right), asked, answered (as it was given), correct (None where it was not judged),
            seconds (None where no time was taken), answered_at (UTC).
        """
        with self._read() as session:
            return frames.drills(session, taster_id)
