"""Swaps: two neighbouring places that one taster takes for each other, judged by what the others say."""

from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np
import pandas as pd
from scipy.stats import hypergeom

from redolent.lexicon import Lexicon
from redolent.progress import wording
from redolent.triangle.several import adjust

ALPHA = 0.05
LEAST_CUPS = 8
"""Cups on which a taster named one of the two and the others agree on one."""


@dataclass(frozen=True, slots=True, eq=False)
class Swaps:
    """Pairs of groups that a taster swaps.

    Attributes
    ----------
    pairs : DataFrame
        A row a taster and pair of groups of one family, surest first: ``taster``, ``first``, ``second`` (labels),
        ``cups``, ``swapped`` (cups on which the taster named the one where most others named the other),
        ``others_cups`` and ``others_swapped`` (the same of the others), ``p_value`` (Fisher, one-sided), ``adjusted``
        (Holm, for all rows) and ``shown`` (of a taster's pairs with a group in common only the surest).
    """

    pairs: pd.DataFrame

    @property
    def finding(self) -> str:
        """Who swaps what."""
        return self.tell()

    def tell(self, names: bool = True) -> str:
        """Say it in a sentence, with names or without."""
        found = self.pairs[self.pairs["shown"]]
        if not len(found):
            return "Nobody is shown to take neighbouring places for each other."
        return " ".join(_tell(row, row.taster if names else "One taster") for row in found.itertuples())

    def tell_of(self, taster: str) -> str:
        """Say what one taster swaps, or that this is not shown."""
        found = self.pairs[self.pairs["shown"] & (self.pairs["taster"] == taster)]
        if not len(found):
            return f"{taster} is not shown to take neighbouring places for each other."
        return " ".join(_tell(row, taster) for row in found.itertuples())

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        if not len(self.pairs):
            return f"No taster named one of two neighbouring groups on {LEAST_CUPS} cups on which the others agree."
        return (
            f"{wording.count(len(self.pairs), 'comparison')}; on cups where more of the others named one of two groups "
            "than the other, the share that named the other, against the rest of the class (Fisher's exact test, "
            "one-sided, corrected for their number by Holm). That most say so does not make it so: reference solutions "
            "would tell."
        )

    def to_frame(self) -> pd.DataFrame:
        """Give a row a taster and pair."""
        return self.pairs.copy()


def find_swaps(said: pd.DataFrame, *, lexicon: Lexicon | None = None) -> Swaps:
    """Find the pairs of groups that a taster names in each other's place.

    Only cups count on which the taster named exactly one of the two, and the others lean to one.

    Parameters
    ----------
    said : DataFrame
        As `list_said` gives it.
    lexicon : Lexicon, optional
    """
    lexicon = lexicon or Lexicon.load()
    named = said.dropna(subset=["group"]).drop_duplicates(["taster", "meeting", "group"])
    tasters, cups = (pd.Index(sorted(named[column].unique())) for column in ("taster", "meeting"))
    tables: dict[str, dict[str, np.ndarray]] = {}
    for (family, group), own in named.groupby(["family", "group"], sort=True):
        table = np.zeros((len(tasters), len(cups)), dtype=int)
        table[tasters.get_indexer(own["taster"]), cups.get_indexer(own["meeting"])] = 1
        tables.setdefault(family, {})[group] = table
    rows = []
    for of_family in tables.values():
        for first, second in combinations(of_family, 2):
            labels = lexicon[first].label, lexicon[second].label
            rows += [
                (tasters[place], *labels, *counts) for place, *counts in _compare(of_family[first], of_family[second])
            ]
    columns = ["taster", "first", "second", "cups", "swapped", "others_cups", "others_swapped", "p_value"]
    pairs = pd.DataFrame(rows, columns=columns)
    pairs["adjusted"] = adjust(pairs["p_value"].tolist())
    pairs = pairs.sort_values("p_value", kind="stable").reset_index(drop=True)
    pairs["shown"] = _surest(pairs)
    return Swaps(pairs)


def _surest(pairs: pd.DataFrame) -> list[bool]:
    """Pick what is shown: whoever says bitter for sour says it at sweet cups too, and that is the same swap."""
    taken: set[tuple[str, str]] = set()
    shown = []
    for row in pairs.itertuples():
        both = {(row.taster, row.first), (row.taster, row.second)}
        shown.append(row.adjusted <= ALPHA and not both & taken)
        taken |= both if shown[-1] else set()
    return shown


def _compare(first: np.ndarray, second: np.ndarray) -> list[tuple[int, int, int, int, int, float]]:
    """Compare each taster (rows) with the others over all cups (columns), where 1 is named."""
    # +1 where a taster named the first alone, −1 where the second alone.
    said = first - second
    lean = np.sign(said.sum(axis=0) - said)
    counted, swapped = (said != 0) & (lean != 0), said * lean < 0
    cups, wrong = counted.sum(axis=1), (counted & swapped).sum(axis=1)
    rows = []
    for place, (mine, my_wrong) in enumerate(zip(cups.tolist(), wrong.tolist(), strict=True)):
        rest, rest_wrong = int(cups.sum()) - mine, int(wrong.sum()) - my_wrong
        if mine >= LEAST_CUPS and rest >= LEAST_CUPS:
            # Fisher's exact test, one-sided: as many swaps or more among this taster's cups.
            p_value = hypergeom.sf(my_wrong - 1, mine + rest, my_wrong + rest_wrong, mine)
            rows.append((place, mine, my_wrong, rest, rest_wrong, float(p_value)))
    return rows


def _tell(row: Any, who: str) -> str:
    return (
        f"{who} does not tell {row.first} from {row.second}: on {row.swapped} of {wording.count(row.cups, 'cup')} the "
        f"one was named where most others named the other (the others: {row.others_swapped} of {row.others_cups})."
    )
