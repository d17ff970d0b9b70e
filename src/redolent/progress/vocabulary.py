"""Vocabulary: how many distinct words, and whether they came later than tasting more explains."""

from dataclasses import dataclass
from itertools import permutations as orders_of
from math import factorial

import numpy as np
import pandas as pd

from redolent.lexicon import LEVELS, Level, Lexicon
from redolent.progress import wording
from redolent.progress.mentions import count_mentions, list_servings, only_taster

ALPHA = 0.05
LEAST_TASTINGS = 4
"""The least number of tastings whose orders (24) let a permutation p come below `ALPHA`."""


@dataclass(frozen=True, eq=False)
class Accumulation:
    """The accumulation curve of one taster, and the same curve for tastings in random order.

    Attributes
    ----------
    taster : str
    level : {"realm", "family", "group", "descriptor"}
        What is counted.
    curve : DataFrame
        A row a serving in time order: ``serving`` (1, 2, …), ``day``, ``coffee``, ``new`` (labels of what
        came for the first time), ``observed``, and of the random orders at that serving their ``mean``,
        ``low`` (2.5 %) and ``high`` (97.5 %).
    tastings : int
    orders : int
        Number of random orders, or of all orders where `exact`.
    exact : bool
        Whether all orders were gone through.
    p_value : float or None
        Share of orders whose curve lies as low as the observed one; the height of a curve is its mean over
        the servings. None below `LEAST_TASTINGS` tastings.
    new_last, expected_last : int, float
        How many were new in the last third of the servings, and what the random orders give on average.
    low_last, high_last : float
        2.5 % and 97.5 % of the latter.
    """

    taster: str
    level: Level
    curve: pd.DataFrame
    tastings: int
    orders: int = 0
    exact: bool = False
    p_value: float | None = None
    new_last: int = 0
    expected_last: float = 0.0
    low_last: float = 0.0
    high_last: float = 0.0

    @property
    def servings(self) -> int:
        """Number of servings."""
        return len(self.curve)

    @property
    def distinct(self) -> int:
        """Number of distinct places named."""
        return int(self.curve["observed"].iloc[-1]) if len(self.curve) else 0

    @property
    def smallest_p(self) -> float | None:
        """The smallest p-value that this many tastings, or orders, can give."""
        if not self.orders:
            return None
        return 1 / self.orders if self.exact else 1 / (self.orders + 1)

    @property
    def headline(self) -> str:
        """The finding in a few words, for a title."""
        if not self.servings:
            return "No notes yet"
        so_far = f"{self._distinct} in {wording.count(self.servings, 'serving')}"
        if self.p_value is None:
            return f"{so_far}; too few tastings to see growth"
        if self.p_value > ALPHA:
            return f"{so_far}: no sign of growth beyond tasting more ({self._tested})"
        return f"{so_far}: new ones came later than chance would have it ({self._tested})"

    @property
    def finding(self) -> str:
        """What was found, with its numbers and its limits."""
        if not self.servings:
            return "There are no notes yet; the curve begins with the first serving."
        so_far = (
            f"{self._distinct} in {wording.count(self.servings, 'serving')} of "
            f"{wording.count(self.tastings, 'tasting')}"
        )
        if not self.distinct:
            return f"{so_far}: nothing was named that narrowly yet."
        if self.p_value is None:
            return (
                f"{so_far}; {wording.count(self.tastings, 'tasting')} cannot tell whether the vocabulary "
                f"grows: the order of {LEAST_TASTINGS} or more can be tested against chance, and a dozen "
                "would tell more."
            )
        which = f"all {self.orders}" if self.exact else f"{self.orders} random"
        tested = (
            f"{so_far}; {self.new_last} came for the first time in the last third of the servings, where "
            f"{which} orders of the tastings give {self.expected_last:.0f} "
            f"(95 % of them {self.low_last:.0f} to {self.high_last:.0f}), and the curve"
        )
        if self.p_value > ALPHA:
            return (
                f"{tested} does not lie clearly below their mean ({self._tested} as wholes, one test at "
                f"{ALPHA}): tasting more explains the new words as well as learning would, which does not "
                "rule learning out."
            )
        return (
            f"{tested} lies below their mean ({self._tested} as wholes, one test at {ALPHA}): new words "
            "came later than tasting more explains, as with learning, but also with more words a cup, other "
            "coffees, or old words dropped for new ones."
        )

    def to_frame(self) -> pd.DataFrame:
        """Give the curve, a row a serving."""
        return self.curve.copy()

    @property
    def _tested(self) -> str:
        return f"{wording.p(self.p_value)}, tastings permuted"

    @property
    def _distinct(self) -> str:
        plural = "families" if self.level == "family" else f"{self.level}s"
        return wording.count(self.distinct, f"distinct {self.level}", f"distinct {plural}")


def accumulate(
    mentions: pd.DataFrame,
    *,
    level: Level = "descriptor",
    permutations: int = 200,
    seed: int = 0,
    lexicon: Lexicon | None = None,
) -> Accumulation:
    """Count distinct places serving by serving, and compare with random orders of the same tastings.

    Parameters
    ----------
    mentions : DataFrame
        As `mention_frame` gives them, of one taster. What counts is picked here, by `count_mentions`.
    level : {"realm", "family", "group", "descriptor"}
        A mention counts at its place of this level; one that is broader does not count.
    permutations : int
        Random orders of tastings; where there are no more orders than that, all are gone through.
    seed : int
    lexicon : Lexicon, optional

    Raises
    ------
    ValueError
        Where there are several tasters, no such level, or fewer than one permutation.

    Notes
    -----
    Servings of one tasting stay together and in their order, since they share a table, a day and a mood.
    Permuting single servings would find learning where a taster only had a good day.

    References
    ----------
    Accumulation in random order: Gotelli & Colwell (2001), Ecology Letters 4:379–391. The observed order
    counts as one of the random ones: Phipson & Smyth (2010), Statistical Applications in Genetics and
    Molecular Biology 9:39.
    """
    if level not in LEVELS:
        raise ValueError(f"There is no level {level!r}; choose one of {', '.join(LEVELS)}.")
    if permutations < 1:
        raise ValueError(f"{permutations} permutations say nothing; ask for 1 or more, better 200.")
    taster = only_taster(mentions)
    servings = list_servings(mentions)
    firsts = _first_in_tasting(mentions, servings, level, lexicon or Lexicon.load())
    sizes = servings.groupby("tasting").size().to_numpy(dtype=int)
    natural = np.arange(len(sizes))[np.newaxis, :]
    observed = _curves(natural, sizes, firsts)[0]
    curve = servings[["day", "coffee"]].assign(
        serving=np.arange(1, len(servings) + 1), new=_new_labels(firsts, sizes), observed=observed
    )
    if len(servings) == 0 or not len(firsts):
        flat = curve.assign(mean=observed, low=observed, high=observed)
        return Accumulation(taster, level, flat, len(sizes))

    exact = len(sizes) < 10 and factorial(len(sizes)) <= permutations
    if exact:
        orders = np.array(list(orders_of(range(len(sizes)))))
    else:
        rng = np.random.default_rng(seed)
        orders = rng.permuted(np.repeat(natural, permutations, axis=0), axis=1)
    curves = _curves(orders, sizes, firsts)
    low, high = np.quantile(curves, [0.025, 0.975], axis=0)
    last = len(observed) // 3
    news = curves[:, -1] - curves[:, -1 - last]
    low_last, high_last = np.quantile(news, [0.025, 0.975])
    return Accumulation(
        taster=taster,
        level=level,
        curve=curve.assign(mean=curves.mean(axis=0), low=low, high=high),
        tastings=len(sizes),
        orders=len(orders),
        exact=exact,
        p_value=_p_below(observed, curves, exact) if len(sizes) >= LEAST_TASTINGS else None,
        new_last=int(observed[-1] - observed[-1 - last]),
        expected_last=float(news.mean()),
        low_last=float(low_last),
        high_last=float(high_last),
    )


def _first_in_tasting(mentions: pd.DataFrame, servings: pd.DataFrame, level: Level, lexicon: Lexicon) -> pd.DataFrame:
    """Give, for each place and tasting that holds it, the first serving of the tasting that does.

    Returns
    -------
    DataFrame
        Sorted by place: ``node``, ``label``, ``tasting``, ``within`` (0 for the tasting's first serving).
    """
    within = servings.groupby("tasting").cumcount()
    place = servings[["serving_id", "tasting"]].assign(within=within)
    counted = count_mentions(mentions)[["serving_id", "node"]].merge(place, on="serving_id")
    up = {node: lexicon.up_to(node, level) for node in counted["node"].unique()}
    counted = counted.assign(node=counted["node"].map(up))
    counted = counted[np.array([lexicon[node].level == level for node in counted["node"]], dtype=bool)]
    firsts = counted.groupby(["node", "tasting"], as_index=False)["within"].min()
    return firsts.assign(label=[lexicon[node].label for node in firsts["node"]])


def _curves(orders: np.ndarray, sizes: np.ndarray, firsts: pd.DataFrame) -> np.ndarray:
    """Give the accumulation curve for each order of tastings.

    Parameters
    ----------
    orders : ndarray of int, shape (orders, tastings)
        Each row a permutation of the tastings, in the order in which they are laid out.
    sizes : ndarray of int, shape (tastings,)
        Servings in each tasting.
    firsts : DataFrame
        As `_first_in_tasting` gives it.

    Returns
    -------
    ndarray of int, shape (orders, servings)
    """
    rows, servings = len(orders), int(sizes.sum())
    if not len(firsts):
        return np.zeros((rows, servings), dtype=int)
    laid = sizes[orders]
    starts = np.empty_like(laid)
    np.put_along_axis(starts, orders, laid.cumsum(axis=1) - laid, axis=1)
    at = starts[:, firsts["tasting"].to_numpy()] + firsts["within"].to_numpy()
    nodes = firsts["node"].to_numpy()
    first_row = np.flatnonzero(np.concatenate([[True], nodes[1:] != nodes[:-1]]))
    debut = np.minimum.reduceat(at, first_row, axis=1)
    flat = debut + servings * np.arange(rows)[:, np.newaxis]
    return np.bincount(flat.ravel(), minlength=rows * servings).reshape(rows, servings).cumsum(axis=1)


def _new_labels(firsts: pd.DataFrame, sizes: np.ndarray) -> list[str]:
    """Give, for each serving, what was named in it for the first time."""
    starts = sizes.cumsum() - sizes
    new: list[list[str]] = [[] for _ in range(int(sizes.sum()))]
    for row in firsts.sort_values("tasting", kind="stable").drop_duplicates("node").itertuples():
        new[starts[row.tasting] + row.within].append(row.label)
    return [", ".join(sorted(labels)) for labels in new]


def _p_below(observed: np.ndarray, curves: np.ndarray, exact: bool) -> float:
    """Give the share of orders whose curve is on average no higher than the observed one."""
    as_low = int((curves.sum(axis=1) <= observed.sum()).sum())
    return as_low / len(curves) if exact else (as_low + 1) / (len(curves) + 1)
