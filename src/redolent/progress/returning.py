"""Returning words: which come back when the same coffee does, a word at a time."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import pandas as pd

from redolent.lexicon import Lexicon
from redolent.progress import wording
from redolent.progress.agreement import scott_interval, scott_pi
from redolent.progress.mentions import count_mentions, list_servings, only_taster

MOST_NAMED = 4
"""Words that a sentence lists."""
LEAST_PAIRS = 3
"""A word that came up on fewer pairs may have met itself by luck, whatever the interval says."""


@dataclass(frozen=True, slots=True, eq=False)
class ReturningWords:
    """How each word does on repeats.

    Attributes
    ----------
    taster : str
    pairs : int
        Pairs of cups of one coffee in one tasting.
    words : DataFrame
        A row a word that came up on one of them, most often returning first: ``node``, ``label``, ``both`` and
        ``one`` (pairs with the word in both cups, in one only), ``neither``, ``agreement`` (Scott's pi) with
        its 95 % interval ``low`` to ``high``, and ``verdict``: "comes back", "does not come back" or "cannot tell",
        and "undefined" (with no numbers in these columns) where it came up in every cup.
    unseen : tuple of str
        Labels of words that were used, but on no repeat: undefined.
    """

    taster: str
    pairs: int
    words: pd.DataFrame
    unseen: tuple[str, ...] = ()

    @property
    def headline(self) -> str:
        """The finding in a few words, for a title."""
        if not len(self.words):
            return "No word met a repeat yet"
        back = self._with("comes back")
        come = "comes" if len(back) == 1 else "come"
        return f"{len(back)} of {wording.count(len(self.words), 'word')} surely {come} back ({self._pairs})"

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        if not self.pairs:
            return (
                "No coffee was met twice in one tasting yet, so no word had a chance to come back: three tastings "
                "with a repeat would be a start."
            )
        if not len(self.words):
            return f"On {self._pairs} no word came up that counts; the next repeat may tell more."
        back, not_back = self._with("comes back"), self._with("does not come back")
        if not (back or not_back):
            return f"On {self._pairs} no single word can be told from chance yet; more repeats would show which return."
        parts = []
        if back:
            parts.append(f"{_few(back)} {'comes' if len(back) == 1 else 'come'} back with the coffee")
        if not_back:
            parts.append(f"{_few(not_back)} {'does' if len(not_back) == 1 else 'do'} not")
        text = ", ".join(parts)
        return f"On {self._pairs} {text}; of the rest it cannot be told."

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        if not len(self.words):
            return ""
        told = int((self.words["both"] + self.words["one"] >= LEAST_PAIRS).sum())
        said = (
            "Chance-corrected agreement of the two cups of a pair, of the intraclass kind (Scott's pi) with a "
            f"goodness-of-fit 95 % interval; {wording.count(told, 'word')} came up on {LEAST_PAIRS} pairs or more, of "
            f"which about {told / 40:.1f} would pass for returning by luck"
        )
        if self.unseen:
            said += f"; undefined for {wording.count(len(self.unseen), 'word')} that no repeat met"
        return f"{said}."

    def to_frame(self) -> pd.DataFrame:
        """Give a row a word."""
        return self.words.copy()

    @property
    def _pairs(self) -> str:
        return wording.count(self.pairs, "pair of cups of one coffee", "pairs of cups of one coffee")

    def _with(self, verdict: str) -> list[str]:
        return self.words.loc[self.words["verdict"] == verdict, "label"].tolist()


def returning_words(mentions: pd.DataFrame, *, lexicon: Lexicon | None = None) -> ReturningWords:
    """Say of each word whether it comes back on a repeat, more than chance would have it.

    Parameters
    ----------
    mentions : DataFrame
        As `mention_frame` gives them, of one taster. What counts is picked here, by `count_mentions`.
    lexicon : Lexicon, optional

    Notes
    -----
    The repeats of a coffee in a tasting are exchangeable, so chance is reckoned from both cups together (Scott) and
    not from each (Cohen). Three cups of a coffee give one pair, four give two: no cup stands in two pairs.

    References
    ----------
    See `scott_pi` and `scott_interval`.
    """
    taster, lexicon = only_taster(mentions), lexicon or Lexicon.load()
    counted = count_mentions(mentions)
    pairs = _pairs(mentions, set(counted["serving_id"]))
    used = counted["node"].unique()
    cups = pd.Index([serving for pair in pairs for serving in pair])
    met = counted[counted["serving_id"].isin(cups)]
    codes, nodes = pd.factorize(met["node"], sort=True)
    table = np.zeros((len(cups), len(nodes)), dtype=bool)
    table[cups.get_indexer(met["serving_id"]), codes] = True
    first, second = table[0::2], table[1::2]
    both, one = (first & second).sum(axis=0), (first ^ second).sum(axis=0)
    neither = len(pairs) - both - one
    pi = scott_pi(both, one, neither)
    low, high = scott_interval(both, one, neither)
    words = pd.DataFrame(
        {
            "node": nodes,
            "label": [lexicon[node].label for node in nodes],
            "both": both,
            "one": one,
            "neither": neither,
            # Undefined is no number: an object column holds None where a float would hold NaN.
            **{name: _optional(values) for name, values in (("agreement", pi), ("low", low), ("high", high))},
            "verdict": [_verdict(*row) for row in zip(pi, low, high, both + one, strict=True)],
        }
    )
    order = np.lexsort((words["label"].to_numpy(), one, -both, -np.nan_to_num(pi, nan=-2)))
    unseen = _labels(set(used) - set(nodes), lexicon)
    return ReturningWords(taster, len(pairs), words.iloc[order].reset_index(drop=True), unseen)


def _pairs(mentions: pd.DataFrame, told: set[str]) -> list[tuple[str, str]]:
    """Pair the cups of one coffee in one tasting in which something was named, in the order of time; no cup twice."""
    servings = list_servings(mentions).dropna(subset=["lot"])
    servings = servings[servings["serving_id"].isin(told)]
    pairs = []
    for _, cups in servings.groupby(["tasting", "lot"], sort=True)["serving_id"]:
        ids = cups.tolist()
        pairs += list(zip(ids[0::2], ids[1::2], strict=False))
    return pairs


def _verdict(pi: float, low: float, high: float, met: int) -> str:
    if np.isnan(pi):
        return "undefined"
    if met < LEAST_PAIRS:
        return "cannot tell"
    return "comes back" if low > 0 else "does not come back" if high <= 0 else "cannot tell"


def _optional(values: np.ndarray) -> pd.Series:
    return pd.Series([None if np.isnan(value) else float(value) for value in values], dtype=object)


def _labels(nodes: Iterable[str], lexicon: Lexicon) -> tuple[str, ...]:
    return tuple(sorted(lexicon[node].label for node in nodes))


def _few(labels: list[str]) -> str:
    shown = labels[:MOST_NAMED]
    return wording.listing(shown if len(labels) <= MOST_NAMED else [*shown, f"{len(labels) - MOST_NAMED} more"])
