"""Sharpen: one of the taster's own vague notes comes back with its coffee, to be written one level deeper."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from redolent.lexicon import LEVELS, Lexicon
from redolent.notes import Mention, read

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, slots=True)
class VagueNote:
    """A note with a broad word in it.

    Attributes
    ----------
    note_id, text, coffee, stage : str
        As it was first written; `coffee` is empty while it is hidden.
    node : str
        The place of its vaguest word.
    word : str
        That word as written.
    """

    note_id: str
    text: str
    coffee: str
    stage: str
    node: str
    word: str


@dataclass(frozen=True, slots=True)
class Sharpened:
    """What was written instead.

    Attributes
    ----------
    node : str
        The deepest place below the vague one that it names; the vague one itself where it names none.
    deeper : int
        Levels gained.
    """

    node: str
    deeper: int

    @property
    def correct(self) -> bool:
        """Whether it went one level deeper, or more."""
        return self.deeper > 0


def ask_vague(
    notes: "pd.DataFrame",
    lexicon: Lexicon,
    rng: np.random.Generator | int | None = None,
    *,
    done: frozenset[str] = frozenset(),
    due: Collection[str] = (),
    personal: Mapping[str, str] | None = None,
) -> VagueNote | None:
    """Draw one of a taster's notes whose vaguest word has places below it that the note does not name.

    Parameters
    ----------
    notes : DataFrame
        As ``Journal.notes_frame`` gives them, of one taster. A note whose coffee is hidden is left alone.
    lexicon : Lexicon
    rng : numpy.random.Generator or seed
    done : frozenset of str
        Texts that were sharpened already.
    due : collection of str
        Places whose question is due again, the longest due first: a note with one of these comes before others.
    personal : mapping of str to str, optional

    Returns
    -------
    VagueNote or None
        None where no note is vague.
    """
    told = notes[(notes["coffee"] != "") & ~notes["first_text"].isin(done)]
    columns = ("note_id", "first_text", "coffee", "stage")
    rows = list(zip(*(told[name].tolist() for name in columns), strict=True))
    # Notes are read only until a vague one is found: a long history has thousands.
    found: dict[str, VagueNote] = {}
    for number in np.random.default_rng(rng).permutation(len(rows)):
        note_id, text, coffee, stage = rows[number]
        mention = _vaguest(text, lexicon, personal)
        if mention is None:
            continue
        found.setdefault(mention.node, VagueNote(note_id, text, coffee, stage, mention.node, mention.text))
        if not due or mention.node == next(iter(due)):
            break
    return next((found[node] for node in (*due, *found) if node in found), None)


def judge_sharpened(
    note: VagueNote, text: str, lexicon: Lexicon, *, personal: Mapping[str, str] | None = None
) -> Sharpened:
    """Say how many levels deeper than the vague word a new wording goes, on the same branch."""
    depths = {note.node: LEVELS.index(lexicon[note.node].level)}
    for mention in read(text, lexicon=lexicon, personal=dict(personal or {})).mentions:
        if mention.present and any(above.id == note.node for above in lexicon.ancestors(mention.node)):
            depths[mention.node] = LEVELS.index(lexicon[mention.node].level)
    node = max(depths, key=depths.__getitem__)
    return Sharpened(node, depths[node] - depths[note.node])


def _vaguest(text: str, lexicon: Lexicon, personal: Mapping[str, str] | None) -> Mention | None:
    present = [m for m in read(text, lexicon=lexicon, personal=dict(personal or {})).mentions if m.present]
    above = {node.id for mention in present for node in lexicon.ancestors(mention.node)}
    vague = [m for m in present if m.node not in above and lexicon.children(m.node)]
    return min(vague, key=lambda m: LEVELS.index(lexicon[m.node].level), default=None)
