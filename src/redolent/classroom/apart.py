"""Who stands apart from a class, and on what: named more or less often than by the others at the same cups."""

from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy.stats import norm

from redolent.lexicon import Lexicon
from redolent.progress import wording
from redolent.triangle.several import adjust

ALPHA = 0.05
LEAST_EXPECTED = 5
"""Namings, own or expected, below which a group is not looked at: the normal approximation would not hold."""


@dataclass(frozen=True, slots=True, eq=False)
class Apart:
    """Which tasters differ from the others.

    Attributes
    ----------
    tasters : int
    groups : DataFrame
        A row a taster and group, surest first: ``taster``, ``group``, ``label``, ``cups``, ``named`` (cups in which it
        was), ``expected`` (from how many of the others named it there), ``p_value``, ``adjusted`` (Holm, for all
        rows) and ``apart``.
    """

    tasters: int
    groups: pd.DataFrame

    @property
    def finding(self) -> str:
        """Who stands apart, and on what."""
        return self.tell()

    def tell(self, names: bool = True) -> str:
        """Say it in a sentence, with names or without."""
        if not len(self.groups):
            return "There is not enough to tell who stands apart: more cups that several tasted would show it."
        found = self.groups[self.groups["apart"]]
        who = found["taster"].nunique()
        if not who:
            return "Nobody is shown to stand apart from the others on what is named at the same cups."
        if not names:
            return (
                f"{wording.count(who, 'taster')} of {self.tasters} stand{'s' if who == 1 else ''} apart on "
                f"{wording.listing(found['label'].drop_duplicates().tolist()[:6])}; that may be another "
                "threshold, another habit of words, or a nose that is right."
            )
        return " ".join(self.tell_of(name) for name in found["taster"].drop_duplicates())

    def tell_of(self, taster: str) -> str:
        """Say on what one taster stands apart, or that this is not shown."""
        found = self.groups[self.groups["apart"] & (self.groups["taster"] == taster)]
        if not len(found):
            return f"{taster} is not shown to stand apart from the others."
        said = wording.listing(
            [
                f"{row.label} {'more' if row.named > row.expected else 'less'} often ({row.named} of "
                f"{wording.count(row.cups, 'cup')}, {row.expected:.0f} expected)"
                for row in found.head(3).itertuples()
            ]
        )
        return f"{taster} names {said} than the others at the same cups."

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        return (
            f"{wording.count(len(self.groups), 'comparison')} of a taster and a group, each with "
            f"{LEAST_EXPECTED} namings or more; expected is the share of the others who named it, summed over the "
            "cups; p-values by the normal approximation, corrected for their number (Holm)."
        )

    def to_frame(self) -> pd.DataFrame:
        """Give a row a taster and group."""
        return self.groups.copy()


def find_apart(said: pd.DataFrame, meetings: pd.DataFrame, *, lexicon: Lexicon | None = None) -> Apart:
    r"""Compare what each taster names with the others at the same cups, group by group.

    Named in :math:`O` cups against :math:`E = \sum q_u`, where :math:`q_u` is the share of the others who named it at
    cup :math:`u` (with half a naming added on either side). Of :math:`m_u` tasters the others are few themselves, so

    .. math:: z = (O - E) \Big/ \sqrt{\sum q_u (1 - q_u) (1 + 1 / (m_u - 1))}.

    Parameters
    ----------
    said, meetings : DataFrame
        As `list_said` and `list_meetings` give them.
    lexicon : Lexicon, optional
    """
    lexicon = lexicon or Lexicon.load()
    met = meetings.drop_duplicates(["taster", "meeting"])
    tasters, cups = sorted(met["taster"].unique()), sorted(met["meeting"].unique())
    named = said.dropna(subset=["group"]).drop_duplicates(["taster", "meeting", "group"])
    there = np.zeros((len(tasters), len(cups)), dtype=bool)
    row, column = pd.Index(tasters), pd.Index(cups)
    there[row.get_indexer(met["taster"]), column.get_indexer(met["meeting"])] = True
    others = there.sum(axis=0) - 1
    rows = []
    for group, own in named.groupby("group", sort=True):
        yes = np.zeros_like(there)
        yes[row.get_indexer(own["taster"]), column.get_indexer(own["meeting"])] = True
        # The others' share at each cup, for each taster.
        share = (yes.sum(axis=0) - yes + 0.5) / (others + 1)
        expected = (share * there).sum(axis=1)
        spread = np.sqrt((share * (1 - share) * (1 + 1 / np.maximum(others, 1)) * there).sum(axis=1))
        count = yes.sum(axis=1)
        for place, name in enumerate(tasters):
            if max(count[place], expected[place]) >= LEAST_EXPECTED and spread[place] > 0:
                z = (count[place] - expected[place]) / spread[place]
                counts = int(there[place].sum()), int(count[place]), float(expected[place])
                rows.append((name, group, lexicon[group].label, *counts, float(2 * norm.sf(abs(z)))))
    groups = pd.DataFrame(rows, columns=["taster", "group", "label", "cups", "named", "expected", "p_value"])
    groups["adjusted"] = adjust(groups["p_value"].tolist())
    groups["apart"] = groups["adjusted"] <= ALPHA
    return Apart(len(tasters), groups.sort_values("p_value", kind="stable").reset_index(drop=True))
