"""What many tasters said of the same cups: the frame that the statistics of a class start from."""

from collections.abc import Mapping

import pandas as pd

from redolent.lexicon import Lexicon
from redolent.progress import count_mentions, mention_frame
from redolent.progress.mentions import moments

LEVELS = ("family", "group")


def read_class(
    notes: pd.DataFrame, *, personal: Mapping[str, Mapping[str, str]] | None = None, lexicon: Lexicon | None = None
) -> pd.DataFrame:
    """Read the notes of a class, each taster's with that taster's own words.

    Parameters
    ----------
    notes : DataFrame
        As ``Journal.notes_frame`` gives them, of all tasters.
    personal : mapping of str to mapping, optional
        By the taster's name, the own words and the nodes they stand for.
    lexicon : Lexicon, optional

    Returns
    -------
    DataFrame
        As `mention_frame` gives it.
    """
    lexicon, personal = lexicon or Lexicon.load(), personal or {}
    own = [
        mention_frame(rows, lexicon=lexicon, personal=personal.get(name, {}))
        for name, rows in notes.groupby("taster", sort=True)
    ]
    return pd.concat(own, ignore_index=True) if own else mention_frame(notes, lexicon=lexicon)


def list_meetings(mentions: pd.DataFrame) -> pd.DataFrame:
    """List which taster met which cup, and which of these meetings can be laid side by side.

    A class at a distance rarely drinks from one pot. Where several wrote on one serving, that is the meeting; else
    it is a coffee of that name, met for the same time: the first with everybody's first. What only one
    taster met is left out.

    Returns
    -------
    DataFrame
        A row a taster and meeting, by time: ``taster``, ``serving_id``, ``tasting_id``, ``coffee``, ``at``, ``tasting``
        (0, 1, … of this taster) and ``meeting``.
    """
    met = mentions[["taster", "serving_id", "tasting_id", "coffee"]].assign(at=moments(mentions))
    met = met.sort_values(["taster", "at", "serving_id"], kind="stable").drop_duplicates(["taster", "serving_id"])
    met = met.reset_index(drop=True)
    first = met.drop_duplicates(["taster", "tasting_id"])
    order = first.set_index(["taster", "tasting_id"]).assign(tasting=first.groupby("taster").cumcount().to_numpy())
    met = met.join(order["tasting"], on=["taster", "tasting_id"])
    met["coffee"] = met["coffee"].fillna("").astype(str)
    together = met.groupby("serving_id")["taster"].transform("size") > 1
    name = met["coffee"].str.strip().str.casefold()
    times = met[~together].groupby(["taster", name[~together]]).cumcount()
    apart = name + "\n" + times.reindex(met.index).fillna(0).astype(int).astype(str)
    met["meeting"] = met["serving_id"].where(together, apart)
    known = together | (name != "")
    shared = met[known].groupby("meeting")["taster"].transform("size") > 1
    columns = ["taster", "serving_id", "tasting_id", "coffee", "at", "tasting", "meeting"]
    return met[known][shared][columns].reset_index(drop=True)


def list_said(mentions: pd.DataFrame, meetings: pd.DataFrame, lexicon: Lexicon) -> pd.DataFrame:
    """Give a row a taster, meeting and place that was said, by the rule of `count_mentions`.

    Returns
    -------
    DataFrame
        ``taster``, ``meeting``, ``coffee``, ``tasting``, ``node``, ``level``, ``family`` and ``group`` (None where
        the word lies above).
    """
    counted = [count_mentions(rows) for _, rows in mentions.groupby("taster", sort=True)]
    said = pd.concat(counted, ignore_index=True) if counted else mentions
    keys = ["taster", "serving_id"]
    said = said[[*keys, "node", "level"]].merge(meetings[[*keys, "meeting", "coffee", "tasting"]], on=keys)
    above = {node: place_above(node, lexicon) for node in said["node"].unique()}
    return said.assign(**{level: [above[node][level] for node in said["node"]] for level in LEVELS})


def place_above(node: str, lexicon: Lexicon) -> dict[str, str | None]:
    """Give the family and the group of a node, None where it lies above them."""
    line = [*lexicon.ancestors(node), lexicon[node]]
    return {level: next((one.id for one in line if one.level == level), None) for level in LEVELS}
