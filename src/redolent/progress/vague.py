"""Vague words: which broad words are used most, and which narrower ones the taster had for the same coffee."""

from collections import Counter
from dataclasses import dataclass

import pandas as pd

from redolent.lexicon import Lexicon
from redolent.progress import wording
from redolent.progress.mentions import count_mentions, list_servings, only_taster

MOST_NARROWER = 5


@dataclass(frozen=True, slots=True, eq=False)
class VagueWords:
    """The broad words of one taster.

    Attributes
    ----------
    taster : str
    mentions : int
        Counted mentions of any breadth.
    words : DataFrame
        A row a place above the descriptors that was named, most used first: ``node``, ``label``, ``level``,
        ``times`` (servings), ``coffees``, and ``narrower``: labels of the narrower places below it that the
        taster named on the same coffees, most used first.
    """

    taster: str
    mentions: int
    words: pd.DataFrame

    @property
    def headline(self) -> str:
        """The finding in a few words, for a title."""
        return f"{wording.count(len(self.words), 'broad word')} among {wording.count(self.mentions, 'counted word')}"

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        if not len(self.words):
            return (
                "No broad word was used yet: every word counted was a descriptor."
                if self.mentions
                else ("No word counts yet, so none is vague.")
            )
        top = self.words.iloc[0]
        said = f"The broad word used most is “{top['label']}”, in {wording.count(int(top['times']), 'serving')}"
        if not top["narrower"]:
            return f"{said}; no narrower word stood beside it on the same coffees."
        return f"{said}; on the same coffees stood also {wording.listing(top['narrower'])}."

    @property
    def numbers(self) -> str:
        """The words behind the finding."""
        told = [
            f"{row.label} {row.times}" + (f" ({', '.join(row.narrower)})" if row.narrower else "")
            for row in self.words.head(8).itertuples()
        ]
        return f"Servings by broad word, with the narrower ones of the same coffees: {'; '.join(told)}." if told else ""

    def to_frame(self) -> pd.DataFrame:
        """Give a row a word."""
        return self.words.copy()


def vague_words(mentions: pd.DataFrame, *, lexicon: Lexicon | None = None) -> VagueWords:
    """List the broad words, each with the narrower ones on the same coffees.

    Parameters
    ----------
    mentions : DataFrame
        As `mention_frame` gives them, of one taster. What counts is picked here, by `count_mentions`.
    lexicon : Lexicon, optional
    """
    taster, lexicon = only_taster(mentions), lexicon or Lexicon.load()
    counted = count_mentions(mentions)[["serving_id", "node", "level"]].merge(list_servings(mentions), on="serving_id")
    # A hidden coffee is the same coffee within its own cup only.
    counted = counted.assign(lot=counted["lot"].fillna(counted["serving_id"]))
    named: dict[str, Counter[str]] = {}
    below: dict[tuple[str, str], list[str]] = {}
    for lot, node in zip(counted["lot"].tolist(), counted["node"].tolist(), strict=True):
        seen = named.setdefault(lot, Counter())
        if node not in seen:
            for above in lexicon.ancestors(node):
                below.setdefault((lot, above.id), []).append(node)
        seen[node] += 1
    rows = []
    for node, uses in counted[counted["level"] != "descriptor"].groupby("node"):
        narrower: Counter[str] = Counter()
        for lot in uses["lot"].unique():
            for one in below.get((lot, node), ()):
                narrower[lexicon[one].label] += named[lot][one]
        ranked = sorted(narrower, key=lambda label: (-narrower[label], label))[:MOST_NARROWER]
        rows.append((node, lexicon[node].label, lexicon[node].level, len(uses), uses["lot"].nunique(), tuple(ranked)))
    words = pd.DataFrame(rows, columns=["node", "label", "level", "times", "coffees", "narrower"])
    words = words.sort_values(["times", "label"], ascending=[False, True], kind="stable").reset_index(drop=True)
    return VagueWords(taster, len(counted), words)
