"""The frame that everything here starts from: a row a mention, and the rule which mentions count.

The unit of all statistics is the serving: all stages of one cup are merged, and a place counts once a
serving.
"""

from collections.abc import Iterable, Mapping
from functools import lru_cache

import pandas as pd

from redolent.lexicon import Lexicon
from redolent.lexicon.forms import fold
from redolent.notes import Mention, read

ABOUT_NOTE = ["note_id", "taster", "tasting_id", "serving_id", "coffee", "coffee_id", "stage", "written_at"]
COLUMNS = [*ABOUT_NOTE, "node", "level", "present", "strength", "hedged", "how", "coached", "own"]
COUNTED_HOW = ("exact", "form", "spelling")


def mention_frame(
    notes: pd.DataFrame,
    *,
    lexicon: Lexicon | None = None,
    personal: Mapping[str, str] | Iterable[tuple[str, str]] = (),
) -> pd.DataFrame:
    """Read the notes of a journal.

    Parameters
    ----------
    notes : DataFrame
        As ``Journal.notes_frame`` gives them. The first revision is what is read: what was added after
        coaching says nothing about the taster. So a note counts as coached only where its first revision is
        its latest and was.
    lexicon : Lexicon, optional
        Default: the one that ships with the package.
    personal : mapping or iterable of pairs
        The taster's own words and the nodes they stand for.

    Returns
    -------
    DataFrame
        A row a mention, with `COLUMNS`; ``own`` is the taster's own word where one was used. A note in which
        nothing was read leaves one row whose ``node`` is missing and which is not ``present``: its serving was
        tasted all the same.

    Raises
    ------
    ValueError
        Where a column is missing.
    """
    lexicon = lexicon or Lexicon.load()
    missing = [name for name in [*ABOUT_NOTE, "first_text", "coached", "revision"] if name not in notes]
    if missing:
        raise ValueError(f"The notes lack the column {missing[0]!r}; give the frame of Journal.notes_frame.")
    # A word may have been placed at a node that a later lexicon no longer holds.
    personal = {word: node for word, node in dict(personal).items() if node in lexicon}
    words = tuple(sorted(personal.items()))
    own = {_folded(word): word for word, _ in words}
    readings = {text: _mentions(text, lexicon, words) for text in set(notes["first_text"])}
    coached = notes["coached"].astype(bool) & (notes["revision"] == 1)
    rows = []
    about_notes = zip(*(notes[name].tolist() for name in ABOUT_NOTE), strict=True)
    for about, helped, text in zip(about_notes, coached.tolist(), notes["first_text"].tolist(), strict=True):
        for m in readings[text]:
            level = lexicon[m.node].level
            word = own.get(_folded(m.text)) if own else None
            rows.append((*about, m.node, level, m.present, m.strength, m.hedged, m.how, helped, word))
        if not readings[text]:
            rows.append((*about, None, None, False, None, False, None, helped, None))
    return pd.DataFrame(rows, columns=COLUMNS)


@lru_cache(maxsize=2**15)
def _mentions(text: str, lexicon: Lexicon, personal: tuple[tuple[str, str], ...]) -> tuple[Mention, ...]:
    """Read a text, once for as long as it is remembered: the same history is looked at again and again."""
    return read(text, lexicon=lexicon, personal=personal).mentions


def _folded(word: str) -> str:
    return " ".join(fold(word).replace("-", " ").split())


def count_mentions(mentions: pd.DataFrame, *, present: bool = True, strict: bool = True) -> pd.DataFrame:
    """Keep the mentions that count: asserted without a hedge, uncoached, and read as exact, form or spelling.

    With ``present=False`` the same rule for what was denied; with ``strict=False`` the doubted, coached and
    inferred ones too. Each place is kept once a serving, at its first mention; rows come in the order of time.
    """
    counts = mentions["node"].notna() & (mentions["present"].astype(bool) == present)
    if strict:
        sure = ~mentions["hedged"].astype(bool) & ~mentions["coached"].astype(bool)
        counts &= sure & mentions["how"].isin(COUNTED_HOW)
    counted = mentions[counts]
    order = moments(counted).dt.tz_convert(None).to_numpy().argsort(kind="stable")
    return counted.iloc[order].drop_duplicates(["serving_id", "node"]).reset_index(drop=True)


def list_servings(mentions: pd.DataFrame) -> pd.DataFrame:
    """List the servings in the order in which they were tasted.

    Returns
    -------
    DataFrame
        A row a serving, tastings kept together: ``serving_id``, ``tasting_id``, ``coffee``, ``lot`` (what
        tells coffees apart, missing while the coffee is hidden: the id where the frame has it, since two
        lots may share a name), ``at`` (the first note), ``day`` (of its tasting's first note) and
        ``tasting`` (0, 1, … by time).
    """
    lot = mentions["coffee_id"] if "coffee_id" in mentions else mentions["coffee"]
    notes = mentions[["serving_id", "tasting_id", "coffee"]].assign(
        at=moments(mentions), lot=lot.where(lot != "", None)
    )
    notes = notes.sort_values(["at", "serving_id"], kind="stable").drop_duplicates("serving_id")
    first = notes.drop_duplicates("tasting_id")
    order = {tasting_id: number for number, tasting_id in enumerate(first["tasting_id"])}
    days = dict(zip(first["tasting_id"], first["at"].dt.date, strict=True))
    servings = notes.assign(tasting=notes["tasting_id"].map(order), day=notes["tasting_id"].map(days))
    servings = servings.sort_values(["tasting", "at"], kind="stable").reset_index(drop=True)
    return servings[["serving_id", "tasting_id", "coffee", "lot", "at", "day", "tasting"]]


def moments(frame: pd.DataFrame, column: str = "written_at") -> pd.Series:
    """Give the times of a frame as UTC, whatever offsets they were written with."""
    return pd.to_datetime(frame[column], utc=True)


def only_taster(frame: pd.DataFrame) -> str:
    """Give the name of the one taster of a frame, or "" where the frame is empty.

    Raises
    ------
    ValueError
        Where there are several: two vocabularies in one curve would be nobody's.
    """
    names = sorted(frame["taster"].dropna().astype(str).unique())
    if len(names) > 1:
        raise ValueError(f"These rows are of {len(names)} tasters ({', '.join(names[:5])}); give those of one.")
    return names[0] if names else ""
