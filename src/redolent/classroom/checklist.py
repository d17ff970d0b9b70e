"""Check-lists: after the note is locked a taster is asked, place by place, whether it was there; yes or no.

What was not said may have been perceived all the same, so mentions give `mention agreement` only. Asked about the same
places, all answer the same questions, and their answers give the agreement proper.
"""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
import pandas as pd

from redolent.journal import Circumstance, Journal, Serving
from redolent.lexicon import Lexicon
from redolent.progress import krippendorff_alpha, wording

KEPT = "check-list"
CHECKS = (
    "tongue/sweet",
    "tongue/sour",
    "tongue/bitter",
    "touch/drying",
    "citrus-grove",
    "berry-patch",
    "flower-border",
    "nut-bowl",
)
"""Asked about where an exercise names no places: few, from all over the tree."""
RESAMPLES = 500
LEAST_CUPS = 5
T = TypeVar("T")


@dataclass(frozen=True, slots=True, eq=False)
class Agreement:
    """The agreement of answers to a check-list.

    Attributes
    ----------
    tasters, cups : int
    places : DataFrame
        A row a place that was asked about: ``node``, ``label``, ``answers``, ``yes`` (share), ``alpha`` (Krippendorff,
        nominal) with its 95 % bootstrap interval over cups, ``low`` to ``high``; None where undefined.
    """

    tasters: int
    cups: int
    places: pd.DataFrame

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        if not len(self.places):
            return "No check-list was answered by two at one cup yet."
        agreed = self.places[[low is not None and low > 0 for low in self.places["low"]]]
        if not len(agreed):
            return "On no place is it shown that the class agrees whether it was there, more than chance would have it."
        return f"Asked yes or no, the class agrees beyond chance on {wording.listing(agreed['label'].tolist())}."

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        if not len(self.places):
            return ""
        return (
            f"Krippendorff's alpha of yes or no, {wording.count(self.tasters, 'taster')}, "
            f"{wording.count(self.cups, 'cup')}; 95 % bootstrap intervals that draw whole cups. A list puts words into "
            "mouths, which is why it comes after the locked note and enters nobody's progress."
        )

    def to_frame(self) -> pd.DataFrame:
        """Give a row a place."""
        return self.places.copy()


def answer_checklist(
    journal: Journal, taster_id: str, serving_id: str, answers: Mapping[str, bool], *, lexicon: Lexicon | None = None
) -> None:
    """Keep a taster's answers on a cup.

    Parameters
    ----------
    journal : Journal
    taster_id, serving_id : str
    answers : mapping of str to bool
        By the id of a place of the lexicon.

    Raises
    ------
    ValueError
        Where the taster has no note on that cup yet, or its tasting is not laid open: the list would put words into
        what is still to be written; or a place is unknown.
    """
    lexicon = lexicon or Lexicon.load()
    unknown = [node for node in answers if node not in lexicon]
    if unknown or not answers:
        raise ValueError(
            f"A check-list asks about places of the lexicon; {unknown[0] if unknown else 'none'!r} is not one."
        )
    if all(note.serving_id != serving_id for note in journal.notes(taster_id)):
        raise ValueError("Write and save the note on this cup first; the check-list comes after it.")
    if serving_id in _sealed_cups(journal, taster_id):
        raise ValueError("Lay the cups open first; the check-list would put words into the notes that are to come.")
    told = json.dumps({node: bool(answer) for node, answer in answers.items()})
    journal.note_circumstance(KEPT, told, taster_id=taster_id, serving_id=serving_id)


def list_unchecked(journal: Journal, taster_id: str, tasting_id: str) -> list[Serving]:
    """List the cups of a tasting that the taster wrote on and has not answered the check-list about.

    None as long as the tasting is not laid open, or, where it has no key, a cup of it is without a note.
    """
    cups = journal.servings(tasting_id)
    wrote = {note.serving_id for note in journal.notes(taster_id)} - _sealed_cups(journal, taster_id)
    answered = {one.serving_id for one in journal.circumstances(kind=KEPT) if one.taster_id == taster_id}
    planned = any(plan.tasting_id == tasting_id for plan in journal.plans(taster_id))
    if not planned and any(cup.id not in wrote for cup in cups):
        return []
    return [cup for cup in cups if cup.id in wrote - answered]


def _sealed_cups(journal: Journal, taster_id: str) -> set[str]:
    sealed = [plan.tasting_id for plan in journal.plans(taster_id) if plan.revealed_at is None]
    return {cup.id for tasting_id in sealed for cup in journal.servings(tasting_id)}


def agree_on_checks(
    kept: Iterable[Circumstance],
    *,
    coffees: Mapping[str, str] | None = None,
    lexicon: Lexicon | None = None,
    seed: int = 0,
) -> Agreement:
    """Give the agreement of a class on its check-lists.

    A cup that several answered about is what they share; else the coffee of that name, since a class at a distance
    rarely drinks from one pot.

    Parameters
    ----------
    kept : iterable of Circumstance
        As ``Journal.circumstances(kind="check-list")`` gives them; of two answers to one question the first counts.
    coffees : mapping of str to str, optional
        The name of the coffee in a cup, by the id of the cup.
    lexicon : Lexicon, optional
    seed : int

    References
    ----------
    See `krippendorff_alpha`.
    """
    lexicon = lexicon or Lexicon.load()
    rows = [
        (one.taster_id, one.serving_id, node, float(answer))
        for one in kept
        for node, answer in read_kept(one.value, bool).items()
        if node in lexicon and one.taster_id and one.serving_id
    ]
    told = pd.DataFrame(rows, columns=["taster", "serving", "node", "yes"])
    together = told.groupby("serving")["taster"].transform("nunique") > 1
    names = pd.Series(
        [str((coffees or {}).get(cup) or "").strip().casefold() for cup in told["serving"]], told.index, dtype=object
    )
    told["serving"] = told["serving"].where(together | (names == ""), "coffee " + names)
    told = told.drop_duplicates(["taster", "serving", "node"])
    shared = told.groupby(["serving", "node"])["taster"].transform("size") > 1
    told = told[shared]
    rng = np.random.default_rng(seed)
    places = []
    for node, own in told.groupby("node", sort=True):
        table = own.pivot(index="taster", columns="serving", values="yes").to_numpy(dtype=float)
        low, high = _interval(table, rng)
        places.append((node, lexicon[node].label, len(own), own["yes"].mean(), krippendorff_alpha(table), low, high))
    columns = ["node", "label", "answers", "yes", "alpha", "low", "high"]
    frame = pd.DataFrame({name: pd.Series([row[i] for row in places], dtype=object) for i, name in enumerate(columns)})
    return Agreement(told["taster"].nunique(), told["serving"].nunique(), frame)


def _interval(table: np.ndarray, rng: np.random.Generator) -> tuple[float | None, float | None]:
    cups = table.shape[1]
    if cups < LEAST_CUPS:
        return None, None
    # Ids are random: by what was answered, so that the same answers in another journal draw the same.
    table = table[:, np.lexsort((np.nansum(table, axis=0), np.isnan(table).sum(axis=0)))]
    drawn = (krippendorff_alpha(table[:, rng.integers(cups, size=cups)]) for _ in range(RESAMPLES))
    draws = [alpha for alpha in drawn if alpha is not None]
    if len(draws) <= RESAMPLES / 2:
        return None, None
    low, high = np.quantile(draws, [0.025, 0.975])
    return float(low), float(high)


def read_kept(value: str, of: type[T]) -> dict[str, T]:
    """Read what was kept as JSON, which may come from anybody's file; what is not a `T` is passed over."""
    try:
        told = json.loads(value)
    except ValueError:
        return {}
    return {name: said for name, said in told.items() if isinstance(said, of)} if isinstance(told, dict) else {}
