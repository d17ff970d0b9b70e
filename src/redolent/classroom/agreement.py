"""Mention agreement: how far a class names the same families at the same cups."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from redolent.lexicon import Lexicon
from redolent.progress import wording

RESAMPLES = 1000
LEAST_CUPS = 5
"""Cups that a family's agreement takes: of fewer a bootstrap knows nothing."""


@dataclass(frozen=True, slots=True, eq=False)
class MentionAgreement:
    """Krippendorff's alpha of mentions, by family.

    Attributes
    ----------
    tasters, cups, coffees : int
    families : DataFrame
        A row a family that was named, best agreed first: ``family``, ``label``, ``named`` (share of the tasters'
        cups in which it was), ``alpha`` with its 95 % interval ``low`` to ``high`` (None where undefined).
    """

    tasters: int
    cups: int
    coffees: int
    families: pd.DataFrame

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        if self.cups < LEAST_CUPS or not len(self.families):
            return (
                f"There is not enough to tell whether the class agrees: {wording.count(self.cups, 'cup')} met by two "
                f"or more; {LEAST_CUPS} would be a start."
            )
        agreed = self.families[[low is not None and low > 0 for low in self.families["low"]]]
        rest = len(self.families) - len(agreed)
        if not len(agreed):
            return "Of no family is it shown that the class names it at the same cups more than chance would have it."
        few = wording.listing([_with_alpha(row) for row in agreed.head(3).itertuples()])
        left = f"; of {f'the other {rest}' if rest > 1 else 'the other one'} this is not shown" if rest else ""
        named = few if len(agreed) == 1 else f"{wording.kinds(len(agreed), 'family')}, best on {few}"
        return f"The class agrees beyond chance on when to name {named}{left}."

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        return (
            f"Mention agreement: Krippendorff's alpha of named or not, {wording.count(self.tasters, 'taster')}, "
            f"{wording.count(self.cups, 'cup')} of {wording.count(self.coffees, 'coffee')}; 95 % bootstrap intervals "
            f"that draw whole coffees. What was not said may have been perceived all the same."
        )

    def to_frame(self) -> pd.DataFrame:
        """Give a row a family."""
        return self.families.copy()


def agree_on_mentions(
    said: pd.DataFrame, meetings: pd.DataFrame, *, lexicon: Lexicon | None = None, seed: int = 0
) -> MentionAgreement:
    r"""Give the mention agreement of a class.

    Named or not is a nominal value of two kinds, for which alpha is, with :math:`a_u` of :math:`m_u` tasters naming
    the family at cup :math:`u`, :math:`N = \sum m_u` and :math:`A = \sum a_u`,

    .. math:: \alpha = 1 - \frac{(N - 1) \sum_u a_u (m_u - a_u) / (m_u - 1)}{A (N - A)}

    Parameters
    ----------
    said, meetings : DataFrame
        As `list_said` and `list_meetings` give them.
    lexicon : Lexicon, optional
    seed : int

    References
    ----------
    Krippendorff (2019), Content Analysis, 4th ed., chapter 12. The interval is a percentile bootstrap over coffees,
    since cups of one coffee are alike.
    """
    lexicon = lexicon or Lexicon.load()
    met = meetings.groupby("meeting").agg(tasters=("taster", "nunique"), coffee=("coffee", "first"))
    named = said.dropna(subset=["family"]).drop_duplicates(["taster", "meeting", "family"])
    table = named.pivot_table(index="family", columns="meeting", values="taster", aggfunc="size", fill_value=0)
    table = table.reindex(columns=met.index, fill_value=0)
    yes, of = table.to_numpy(dtype=float), met["tasters"].to_numpy(dtype=float)
    # A coffee that is hidden still is one of its own.
    codes, coffees = pd.factorize(met["coffee"].where(met["coffee"] != "", met.index.to_series()))
    # Ids are random: coffees in the order of what was said of them, so that the same notes elsewhere draw the same.
    sums = np.vstack([of, yes, yes * (of - yes) / (of - 1)]) @ np.eye(len(coffees))[codes]
    codes = np.argsort(np.lexsort(sums.round(9)))[codes]
    rng = np.random.default_rng(seed)
    enough = len(of) >= LEAST_CUPS and len(coffees) > 2
    bounds: list[np.ndarray | None] = [None] * len(table)
    if enough and len(table):
        drawn = rng.multinomial(len(coffees), np.full(len(coffees), 1 / len(coffees)), size=RESAMPLES)
        draws = binary_alpha(yes, of, drawn[:, codes])
        spread = [row[~np.isnan(row)] for row in draws.T]
        # Where a family is missing from many draws, those that hold it speak for nothing.
        bounds = [np.quantile(row, [0.025, 0.975]) if len(row) > RESAMPLES / 2 else None for row in spread]
    low, high = ([None if b is None else float(b[end]) for b in bounds] for end in (0, 1))
    alpha = binary_alpha(yes, of, np.ones((1, len(of))))[0] if len(table) else np.array([])
    families = pd.DataFrame(
        {
            "family": table.index,
            "label": [lexicon[node].label for node in table.index],
            "named": yes.sum(axis=1) / max(of.sum(), 1),
            **{
                name: pd.Series(list(values), dtype=object)
                for name, values in (
                    ("alpha", [None if np.isnan(value) else float(value) for value in alpha]),
                    ("low", low),
                    ("high", high),
                )
            },
        }
    )
    order = (
        families["low"].map(lambda value: -2.0 if value is None else value).sort_values(ascending=False, kind="stable")
    )
    return MentionAgreement(
        int(meetings["taster"].nunique()), len(met), len(coffees), families.loc[order.index].reset_index(drop=True)
    )


def binary_alpha(yes: np.ndarray, of: np.ndarray, weights: np.ndarray) -> np.ndarray:
    """Give Krippendorff's alpha of yes-or-no values from counts.

    Parameters
    ----------
    yes : ndarray, shape (families, cups)
        How many said yes.
    of : ndarray, shape (cups,)
        How many answered, two or more.
    weights : ndarray, shape (draws, cups)
        How often each cup counts.

    Returns
    -------
    ndarray, shape (draws, families)
        NaN where all said the same.
    """
    total = weights @ of
    agreed = weights @ yes.T
    differ = weights @ (yes * (of - yes) / (of - 1)).T
    chance = agreed * (total[:, None] - agreed)
    return np.where(chance > 0, 1 - (total[:, None] - 1) * differ / np.where(chance > 0, chance, 1), np.nan)


def _with_alpha(row: Any) -> str:
    return f"{row.label} (alpha {row.alpha:.2f}, {row.low:.2f} to {row.high:.2f})"
