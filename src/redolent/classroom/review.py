"""The whole of it: everything that is said of a class."""

from collections.abc import Iterable
from dataclasses import dataclass

import pandas as pd

from redolent.classroom.agreement import MentionAgreement, agree_on_mentions
from redolent.classroom.apart import Apart, find_apart
from redolent.classroom.attendance import Attendance, take_attendance
from redolent.classroom.change import Changes, find_changes
from redolent.classroom.checklist import KEPT, Agreement, agree_on_checks
from redolent.classroom.coffee import CoffeeSaid, hear_coffee, shared_coffees
from redolent.classroom.marks import PanelMarks, mark_panel
from redolent.classroom.said import list_meetings, list_said, read_class
from redolent.classroom.swaps import Swaps, find_swaps
from redolent.classroom.triangles import ClassTriangles, pool_triangles
from redolent.journal import Circumstance, Journal
from redolent.lexicon import Lexicon
from redolent.progress import Result


@dataclass(frozen=True, slots=True, eq=False)
class ClassReview:
    """All findings on a class.

    Attributes
    ----------
    names : tuple of str
        Of the tasters.
    attendance : Attendance
    coffees : tuple of CoffeeSaid
        The coffees that two or more met, the one that most met first.
    agreement : MentionAgreement
    checks : Agreement
        Of the check-lists.
    changes : Changes
    apart : Apart
    swaps : Swaps
    triangles : ClassTriangles
    marks : PanelMarks
    """

    names: tuple[str, ...]
    attendance: Attendance
    coffees: tuple[CoffeeSaid, ...]
    agreement: MentionAgreement
    checks: Agreement
    changes: Changes
    apart: Apart
    swaps: Swaps
    triangles: ClassTriangles
    marks: PanelMarks

    @property
    def results(self) -> dict[str, Result]:
        """The single results by name."""
        coffees = {f"coffee: {one.coffee}": one for one in self.coffees}
        return {
            "attendance": self.attendance,
            **coffees,
            "mention agreement": self.agreement,
            "agreement on check-lists": self.checks,
            "changes": self.changes,
            "standing apart": self.apart,
            "swaps": self.swaps,
            "discrimination": self.triangles,
            "line marks": self.marks,
        }

    def about(self, taster: str) -> dict[str, str]:
        """Say of one taster what the class shows; nobody else is named.

        Raises
        ------
        ValueError
            Where nobody of that name is in the class.
        """
        if taster not in self.names:
            raise ValueError(f"Nobody in this class is called {taster!r}; it knows {', '.join(self.names[:8])}.")
        return {
            "change": self.changes.tell_of(taster),
            "apart": self.apart.tell_of(taster),
            "swaps": self.swaps.tell_of(taster),
            "triangles": self.triangles.tell_of(taster),
        }


def review_class(journal: Journal, *, lexicon: Lexicon | None = None, seed: int = 0) -> ClassReview:
    """Review everybody in a journal as one class.

    Parameters
    ----------
    journal : Journal
        The educator's, into which the students' were collected.
    lexicon : Lexicon, optional
    seed : int
        Of every random draw.
    """
    tasters = journal.tasters()
    words = journal.all_personal_words()
    personal = {taster.name: words.get(taster.id, {}) for taster in tasters}
    return review_frames(
        [taster.name for taster in tasters],
        journal.notes_frame(),
        runs=journal.runs_frame(),
        marks=journal.marks_frame(),
        personal=personal,
        checks=journal.circumstances(kind=KEPT),
        lexicon=lexicon,
        seed=seed,
    )


def review_frames(
    names: list[str],
    notes: pd.DataFrame,
    *,
    runs: pd.DataFrame,
    marks: pd.DataFrame,
    personal: dict[str, dict[str, str]] | None = None,
    checks: Iterable[Circumstance] = (),
    lexicon: Lexicon | None = None,
    seed: int = 0,
) -> ClassReview:
    """Compute everything for one class from the frames of its journal."""
    lexicon = lexicon or Lexicon.load()
    mentions = read_class(notes, personal=personal, lexicon=lexicon)
    meetings = list_meetings(mentions)
    said = list_said(mentions, meetings, lexicon)
    return ClassReview(
        names=tuple(sorted(names)),
        attendance=take_attendance(names, notes, runs, marks),
        coffees=tuple(hear_coffee(said, meetings, name, lexicon=lexicon) for name in shared_coffees(meetings)),
        agreement=agree_on_mentions(said, meetings, lexicon=lexicon, seed=seed),
        checks=agree_on_checks(
            checks, coffees=dict(zip(notes["serving_id"], notes["coffee"], strict=True)), lexicon=lexicon, seed=seed
        ),
        changes=find_changes(said, meetings, seed=seed),
        apart=find_apart(said, meetings, lexicon=lexicon),
        swaps=find_swaps(said, lexicon=lexicon),
        triangles=pool_triangles(runs),
        marks=mark_panel(marks),
    )
