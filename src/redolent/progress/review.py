"""The whole of it: everything that progress says of one taster."""

from collections.abc import Callable, Collection
from dataclasses import dataclass
from datetime import date
from typing import Protocol

import pandas as pd

from redolent.journal import Journal
from redolent.lexicon import Lexicon
from redolent.progress import wording
from redolent.progress.accumulation import Accumulation, accumulate
from redolent.progress.advice import Advice, Evidence, suggest
from redolent.progress.comparison import Comparison, compare_vocabularies, first_and_last
from redolent.progress.consistency import Repeats, compare_repeats
from redolent.progress.discrimination import TriangleHistory, triangle_history
from redolent.progress.marks import LineMarks, analyse_marks
from redolent.progress.mentions import list_servings, mention_frame
from redolent.progress.places import Places, map_places
from redolent.progress.precision import LevelShares, level_shares
from redolent.progress.recognition import Recognition, recognise
from redolent.progress.returning import ReturningWords, returning_words
from redolent.progress.vague import VagueWords, vague_words
from redolent.progress.vocabulary import Vocabulary, estimate_vocabulary

MONTHS = 3
"""Length of the windows that are compared."""
STEPS = 6
"""How often `review` says that it got on."""

OnStep = Callable[[int, int, str], None]


class Result(Protocol):
    """What each analysis gives."""

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""

    @property
    def numbers(self) -> str:
        """The statistics behind it."""

    def to_frame(self) -> pd.DataFrame:
        """Give its table."""


@dataclass(frozen=True, slots=True, eq=False)
class Review:
    """All findings on one taster.

    Attributes
    ----------
    taster : str
    notes, servings, tastings : int
        What it rests on.
    first, last : date or None
        Days of the first and the last tasting.
    accumulation, group_accumulation, family_accumulation : Accumulation
    vocabulary : Vocabulary
        Of the last half of the tastings where the vocabulary grows, else of all.
    windows : Comparison or None
        The last `MONTHS` months against the first, where the history spans both.
    places : Places
    precision : LevelShares
    vague : VagueWords
    repeats : Repeats
    returning : ReturningWords
    recognition : Recognition
    marks : LineMarks
    triangles : TriangleHistory
    advice : Advice
    """

    taster: str
    notes: int
    servings: int
    tastings: int
    first: date | None
    last: date | None
    accumulation: Accumulation
    group_accumulation: Accumulation
    family_accumulation: Accumulation
    vocabulary: Vocabulary
    windows: Comparison | None
    places: Places
    precision: LevelShares
    vague: VagueWords
    repeats: Repeats
    returning: ReturningWords
    recognition: Recognition
    marks: LineMarks
    triangles: TriangleHistory
    advice: Advice

    @property
    def basis(self) -> str:
        """Say on what notes all this rests."""
        if not self.notes:
            return "There are no notes yet."
        days = f"on {self.first}" if self.first == self.last else f"from {self.first} to {self.last}"
        return (
            f"Rests on {wording.count(self.notes, 'note')} on {wording.count(self.servings, 'serving')} in "
            f"{wording.count(self.tastings, 'tasting')}, {days}. A word counts where it was asserted without a doubt, "
            "before any coaching, and read as written; once a serving."
        )

    @property
    def results(self) -> dict[str, Result]:
        """The single results by name."""
        named: dict[str, Result | None] = {
            "words": self.accumulation,
            "vocabulary": self.vocabulary,
            "windows": self.windows,
            "places": self.places,
            "precision": self.precision,
            "vague words": self.vague,
            "consistency": self.repeats,
            "returning words": self.returning,
            "recognition": self.recognition,
            "line marks": self.marks if len(self.marks.attributes) else None,
            "discrimination": self.triangles,
            "what next": self.advice,
        }
        return {name: result for name, result in named.items() if result is not None}


def review(
    mentions: pd.DataFrame,
    *,
    others: pd.DataFrame | None = None,
    runs: pd.DataFrame,
    taster: str = "",
    marks: pd.DataFrame | None = None,
    drills: pd.DataFrame | None = None,
    seen: Collection[str] = (),
    seed: int = 0,
    lexicon: Lexicon | None = None,
    on_step: OnStep | None = None,
) -> Review:
    """Compute everything for one taster.

    Parameters
    ----------
    mentions : DataFrame
        As `mention_frame` gives them, of one taster.
    others : DataFrame, optional
        The same of other tasters.
    runs : DataFrame
        As ``Journal.runs_frame`` gives them, of the same taster.
    taster : str
        Whose it is, where no note and no run says so.
    marks : DataFrame, optional
        As ``Journal.marks_frame`` gives them, of all tasters.
    drills : DataFrame, optional
        As ``Journal.drills_frame`` gives them, of the same taster.
    seen : collection of str
        Tastings in which the taster knew which cup held what: they say nothing of consistency.
    seed : int
        Of every random draw.
    lexicon : Lexicon, optional
    on_step : callable, optional
        Called before each part with its number, their count, and what it is about.

    Raises
    ------
    ValueError
        Where a frame lacks a column or holds several tasters.
    """
    lexicon = lexicon or Lexicon.load()
    parts = iter(range(STEPS))

    def about(what: str) -> None:
        if on_step:
            on_step(next(parts), STEPS, what)

    about("words")
    servings = list_servings(mentions)
    grown = {
        level: accumulate(mentions, level=level, seed=seed, lexicon=lexicon)
        for level in ("descriptor", "group", "family")
    }
    window, recent = "", mentions
    if grown["descriptor"].growing:
        # A vocabulary that grows is no closed one: what is ready now shows in the last tastings.
        ids = servings["tasting_id"].drop_duplicates()
        window, recent = "the last half of the tastings", mentions[mentions["tasting_id"].isin(ids[len(ids) // 2 :])]
    vocabulary = estimate_vocabulary(recent, window=window, drills=drills, lexicon=lexicon)
    places = map_places(mentions, others, lexicon=lexicon)
    about("precision")
    jars = _jars(drills)
    precision = level_shares(mentions, by=_period(servings), jars=jars, lexicon=lexicon)
    vague = vague_words(mentions, lexicon=lexicon)
    about("consistency")
    blind = mentions[~mentions["tasting_id"].isin(list(seen))]
    repeats = compare_repeats(blind, seed=seed, lexicon=lexicon)
    returning = returning_words(blind, lexicon=lexicon)
    about("telling the coffee from the words")
    recognition = recognise(blind, seed=seed, lexicon=lexicon)
    about("discrimination")
    triangles = triangle_history(runs)
    taster = grown["descriptor"].taster or triangles.taster or taster
    lines = LineMarks(taster, pd.DataFrame()) if marks is None or not len(marks) else analyse_marks(marks, taster)
    about("what next")
    return Review(
        taster=taster,
        notes=int(mentions["note_id"].nunique()),
        servings=len(servings),
        tastings=int(servings["tasting"].nunique()),
        first=servings["day"].iloc[0] if len(servings) else None,
        last=servings["day"].iloc[-1] if len(servings) else None,
        accumulation=grown["descriptor"],
        group_accumulation=grown["group"],
        family_accumulation=grown["family"],
        vocabulary=vocabulary,
        windows=_windows(mentions, lexicon),
        places=places,
        precision=precision,
        vague=vague,
        repeats=repeats,
        returning=returning,
        recognition=recognition,
        marks=lines,
        triangles=triangles,
        advice=suggest(Evidence(places, vague, returning, repeats, triangles, lexicon)),
    )


def review_journal(
    journal: Journal,
    taster_id: str,
    *,
    notes: pd.DataFrame | None = None,
    lexicon: Lexicon | None = None,
    on_step: OnStep | None = None,
) -> Review:
    """Review a taster of a journal.

    Parameters
    ----------
    journal : Journal
    taster_id : str
    notes : DataFrame, optional
        Of everybody, as ``Journal.notes_frame`` gives them, where they are at hand.
    lexicon : Lexicon, optional
    on_step : callable, optional
        As for `review`; reading the notes is a part of its own.
    """
    lexicon = lexicon or Lexicon.load()
    if on_step:
        on_step(0, STEPS, "reading the notes")
    taster = next(one.name for one in journal.tasters() if one.id == taster_id)
    notes = journal.notes_frame() if notes is None else notes
    mine = notes["taster_id"] == taster_id
    own = notes[mine]
    others = notes[~mine & notes["tasting_id"].isin(own["tasting_id"])]
    return review(
        mention_frame(own, lexicon=lexicon, personal=journal.personal_words(taster_id)),
        others=mention_frame(others, lexicon=lexicon),
        runs=journal.runs_frame(taster_id),
        taster=taster,
        marks=journal.marks_frame(),
        drills=journal.drills_frame(taster_id),
        seen={plan.tasting_id for plan in journal.plans(taster_id) if plan.blinding == "not blind"},
        lexicon=lexicon,
        on_step=on_step,
    )


def _windows(mentions: pd.DataFrame, lexicon: Lexicon) -> Comparison | None:
    try:
        first, last = first_and_last(mentions, MONTHS)
    except ValueError:  # a history too short for two windows is no fault
        return None
    names = (f"the first {MONTHS} months", f"the last {MONTHS} months")
    return compare_vocabularies(first, last, names=names, lexicon=lexicon)


def _period(servings: pd.DataFrame) -> str:
    """Choose how finely time is cut, so that the bars stay readable."""
    if not len(servings):
        return "month"
    months = pd.to_datetime(servings["day"]).dt.to_period("M").nunique()
    return "month" if months <= 18 else "quarter" if months <= 54 else "year"


def _jars(drills: pd.DataFrame | None) -> frozenset[str]:
    """Give the nodes that were named right from a jar."""
    if drills is None or not len(drills):
        return frozenset()
    right = drills["correct"].fillna(False).astype(bool) & drills["drill"].astype(str).str.startswith("jar")
    return frozenset(drills.loc[right, "node"])
