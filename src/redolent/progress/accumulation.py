"""Accumulation: how many distinct words over time, and whether they came later than tasting more explains."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import permutations as orders_of
from itertools import product
from math import factorial, prod

import numpy as np
import pandas as pd

from redolent.lexicon import Level, Lexicon
from redolent.progress import wording
from redolent.progress.comparison import LEAST_TASTINGS as LEAST_IN_WINDOW
from redolent.progress.comparison import Comparison, compare_incidence, standardise
from redolent.progress.coverage import sample_coverage
from redolent.progress.incidence import Incidence, count, locate
from redolent.progress.mentions import list_servings, only_taster
from redolent.progress.resample import thirds

ALPHA = 0.05
LEAST_ORDERS = round(1 / ALPHA)
"""With fewer orders than this no p-value comes down to `ALPHA`."""
LEAST_TASTINGS = 4
"""The least number of tastings that have as many orders."""
CONFIRM = 0.1
"""Level of the confirmation. It has not to hold the error rate, which `ALPHA` does, but to tell who learns from who
drops old words for new ones."""
CONFIRMING = 99
"""So many of the orders serve for it."""
MOST_POINTS = 400
"""Servings at which the band of a long curve is computed; between them it is a straight line."""
WINDOWS = ("the first third", "the last third")


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
    tastings, seasons : int
    orders : int
        Number of random orders, or of all orders where `exact`.
    exact : bool
        Whether all orders were gone through.
    p_value : float or None
        Share of orders whose curve lies as low as the observed one; the height of a curve is its mean over
        the servings. None where there are fewer than `LEAST_ORDERS` orders.
    below : float
        The effect: by how many words the observed curve lies below the mean of the orders, on average.
    new_last, expected_last : int, float
        How many were new in the last third of the servings, and what the random orders give on average.
    low_last, high_last : float
        2.5 % and 97.5 % of the latter.
    windows : Comparison or None
        The last third of the tastings against the first at equal coverage; None with fewer than nine tastings, or
        where new words did not come late and there is nothing to confirm.
    windows_p : float or None
        Share of orders in which the last third is as much richer than the first.
    """

    taster: str
    level: Level
    curve: pd.DataFrame
    tastings: int
    seasons: int = 0
    orders: int = 0
    exact: bool = False
    p_value: float | None = None
    below: float = 0.0
    new_last: int = 0
    expected_last: float = 0.0
    low_last: float = 0.0
    high_last: float = 0.0
    windows: Comparison | None = None
    windows_p: float | None = None

    @property
    def servings(self) -> int:
        """Number of servings."""
        return len(self.curve)

    @property
    def distinct(self) -> int:
        """Number of distinct places named."""
        return int(self.curve["observed"].iloc[-1]) if len(self.curve) else 0

    @property
    def smallest_p(self) -> float:
        """The smallest p-value that this many tastings, or orders, can give; 1 where there are none."""
        return 1 / self.orders if self.exact else 1 / (self.orders + 1)

    @property
    def late(self) -> bool:
        """Whether new words came later than chance would have it."""
        return self.p_value is not None and self.p_value <= ALPHA

    @property
    def growing(self) -> bool:
        """Whether the vocabulary grows: new words came late, and the last third is richer at equal coverage."""
        return self.late and self.windows_p is not None and self.windows_p <= CONFIRM

    @property
    def headline(self) -> str:
        """The finding in a few words, for a title."""
        if not self.servings:
            return "No notes yet"
        so_far = f"{self._distinct} in {wording.count(self.servings, 'serving')}"
        if self.p_value is None:
            return f"{so_far}; too few tastings to see growth"
        tested = f"{wording.p(self.p_value)}, tastings permuted"
        if not self.late:
            return f"{so_far}: no sign of growth beyond tasting more ({tested})"
        if self.growing:
            return f"{so_far}: the vocabulary grows ({tested})"
        return f"{so_far}: new ones came late, growth not confirmed ({tested})"

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        if not self.servings:
            return "There are no notes yet; the curve begins with the first serving."
        so_far = f"{self._distinct} in {wording.count(self.servings, 'serving')}"
        if not self.distinct:
            return f"{so_far}: nothing was named that narrowly yet."
        if self.p_value is None:
            needed = max(LEAST_TASTINGS - self.tastings, 1)
            return (
                f"{so_far}: whether the vocabulary grows cannot be told from "
                f"{wording.count(self.tastings, 'tasting')}; "
                f"{wording.count(needed, 'more tasting')} would allow a first test, a dozen a fair one."
            )
        late = (
            f"{so_far}, {self.new_last} of them new in the last third of the cups, where tasting more would "
            f"bring about {self.expected_last:.0f}"
        )
        if not self.late:
            return f"{late}: no sign that the vocabulary grows beyond that, which does not rule it out."
        if self.growing:
            return f"{late}: the vocabulary grows."
        if self.windows_p is None:
            needed = max(3 * LEAST_IN_WINDOW - self.tastings, 1)
            return (
                f"{late}: the new words came late, as with learning; {wording.count(needed, 'more tasting')} "
                "would let the first third be held against the last."
            )
        return (
            f"{late}; but equally complete, the last third is not clearly richer than the first: other coffees, or "
            "old words dropped for new ones, would look the same."
        )

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        if self.p_value is None:
            return ""
        which = f"all {self.orders:,}" if self.exact else f"{self.orders:,} random"
        within = f" within {wording.count(self.seasons, 'quarter')} of the year, and these as wholes"
        said = (
            f"Against {which} orders of {wording.count(self.tastings, 'tasting')} (whole tastings permuted"
            f"{within if self.seasons > 1 else ''}) the curve lies {abs(self.below):.1f} "
            f"{'below' if self.below >= 0 else 'above'} their mean on average ({wording.p(self.p_value)}, one test "
            f"at {ALPHA}; smallest possible {wording.small(self.smallest_p)}); new in the last third "
            f"{self.new_last}, in the orders {self.expected_last:.0f} (95 % of them {self.low_last:.0f} to "
            f"{self.high_last:.0f})."
        )
        return f"{said} {self._windows}".rstrip()

    def to_frame(self) -> pd.DataFrame:
        """Give the curve, a row a serving."""
        return self.curve.copy()

    @property
    def _windows(self) -> str:
        if self.windows is None or self.windows.coverage is None or self.windows_p is None:
            return ""
        first, last = self.windows.richness
        return (
            f"Equally complete (coverage {wording.percent(self.windows.coverage)}), the first third of the tastings "
            f"holds {first:.0f} and the last {last:.0f}: {wording.p(self.windows_p)} in the same orders (confirmed at "
            f"{CONFIRM} or below)."
        )

    @property
    def _distinct(self) -> str:
        return wording.kinds(self.distinct, self.level, "distinct")


def accumulate(
    mentions: pd.DataFrame,
    *,
    level: Level = "descriptor",
    permutations: int = 499,
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
    Permuting single servings would find learning where a taster only had a good day. Tastings of one quarter
    of the year stay together too: what is in season is on the table, so that every quarter brings new words
    to whoever learns nothing. Quarters change places as wholes, and tastings within their quarter.

    A low curve comes from learning, but also from old words dropped for new ones, so it is confirmed at equal
    coverage: `Accumulation.windows`.

    References
    ----------
    Accumulation in random order: Gotelli & Colwell (2001), Ecology Letters 4:379–391. The observed order
    counts as one of the random ones: Phipson & Smyth (2010), Statistical Applications in Genetics and
    Molecular Biology 9:39. Whole blocks permuted, and units within them: Winkler et al. (2015), NeuroImage
    123:253–268.
    """
    if permutations < 1:
        raise ValueError(f"{permutations} permutations say nothing; ask for 1 or more, better 499.")
    taster, lexicon = only_taster(mentions), lexicon or Lexicon.load()
    servings = list_servings(mentions)
    at_level = locate(mentions, servings, level, lexicon=lexicon)
    firsts = _first_in_tasting(at_level, lexicon)
    sizes = servings.groupby("tasting").size().to_numpy(dtype=int)
    total = int(sizes.sum())
    natural = np.arange(len(sizes))[np.newaxis, :]
    debut = _debuts(natural, sizes, firsts)
    observed = _curves(debut, np.arange(1, total + 1))[0]
    curve = servings[["day", "coffee"]].assign(
        serving=np.arange(1, total + 1), new=_new_labels(firsts, sizes), observed=observed
    )
    if not len(firsts):
        flat = curve.assign(mean=observed, low=observed, high=observed)
        return Accumulation(taster, level, flat, len(sizes))

    seasons = _seasons(servings)
    orders, exact = _orders(seasons, permutations, np.random.default_rng(seed))
    debuts = _debuts(orders, sizes, firsts)
    at = np.unique(np.linspace(1, total, min(total, MOST_POINTS)).round().astype(int))
    curves = _curves(debuts, at)
    low, high = np.quantile(curves, [0.025, 0.975], axis=0)
    band = {"mean": curves.mean(axis=0), "low": low, "high": high}
    after = total - total // 3
    news = (debuts >= after).sum(axis=1)
    low_last, high_last = np.quantile(news, [0.025, 0.975])
    # The sum of a curve over the servings is that of what remains after each debut.
    heights = (total - debuts).sum(axis=1)
    height = int((total - debut).sum())
    as_low = int((heights <= height).sum())
    share = as_low / len(orders) if exact else (as_low + 1) / (len(orders) + 1)
    table = count(at_level, servings)
    early, late = thirds(len(sizes))
    p = share if len(orders) >= LEAST_ORDERS else None
    windows = None
    if p is not None and p <= ALPHA and early.stop >= LEAST_IN_WINDOW:
        windows = compare_incidence(table.window(early), table.window(late), WINDOWS, level)
    return Accumulation(
        taster=taster,
        level=level,
        curve=curve.assign(**{name: np.interp(curve["serving"], at, values) for name, values in band.items()}),
        tastings=len(sizes),
        seasons=int(seasons[-1]) + 1,
        orders=len(orders),
        exact=exact,
        p_value=p,
        below=float((heights.mean() - height) / total),
        new_last=int((debut >= after).sum()),
        expected_last=float(news.mean()),
        low_last=float(low_last),
        high_last=float(high_last),
        windows=windows,
        windows_p=_confirm(table, orders) if windows and windows.coverage else None,
    )


def _first_in_tasting(at: pd.DataFrame, lexicon: Lexicon) -> pd.DataFrame:
    """Give, for each place and tasting that holds it, the first serving of the tasting that does.

    Returns
    -------
    DataFrame
        Sorted by place: ``node``, ``label``, ``tasting``, ``within`` (0 for the tasting's first serving).
    """
    firsts = at.groupby(["node", "tasting"], as_index=False)["within"].min()
    return firsts.assign(label=[lexicon[node].label for node in firsts["node"]])


def _seasons(servings: pd.DataFrame) -> np.ndarray:
    """Number the quarters of the year in which the tastings were, in the order of time."""
    days = pd.to_datetime(servings.drop_duplicates("tasting")["day"])
    return pd.factorize(days.dt.to_period("Q"))[0]


def _orders(seasons: np.ndarray, most: int, rng: np.random.Generator) -> tuple[np.ndarray, bool]:
    """Draw orders of the tastings, seasons kept together; all of them where there are no more than `most`.

    Returns
    -------
    orders : ndarray of int, shape (orders, tastings)
        Each row the tastings in the order in which they are laid out.
    exact : bool
    """
    sizes = np.bincount(seasons)
    if max(*sizes, len(sizes)) < 10 and factorial(len(sizes)) * prod(factorial(int(n)) for n in sizes) <= most:
        return np.array(list(_every_order(seasons))), True
    block = rng.permuted(np.tile(np.arange(len(sizes)), (most, 1)), axis=1)
    return np.argsort(block[:, seasons] + rng.random((most, len(seasons))), axis=1), False


def _every_order(seasons: np.ndarray) -> Iterator[list[int]]:
    blocks = [np.flatnonzero(seasons == season).tolist() for season in range(int(seasons[-1]) + 1)]
    for order in orders_of(blocks):
        for within in product(*(orders_of(block) for block in order)):
            yield [tasting for block in within for tasting in block]


def _debuts(orders: np.ndarray, sizes: np.ndarray, firsts: pd.DataFrame) -> np.ndarray:
    """Give the serving, from 0, at which each place comes up first, for each order of tastings.

    Parameters
    ----------
    orders : ndarray of int, shape (orders, tastings)
    sizes : ndarray of int, shape (tastings,)
        Servings in each tasting.
    firsts : DataFrame
        As `_first_in_tasting` gives it.

    Returns
    -------
    ndarray of int, shape (orders, places)
    """
    nodes = firsts["node"].to_numpy()
    first_row = np.flatnonzero(nodes[1:] != nodes[:-1]) + 1
    if not len(nodes):
        return np.zeros((len(orders), 0), dtype=int)
    tastings, within = firsts["tasting"].to_numpy(dtype=int), firsts["within"].to_numpy(dtype=int)
    debuts = []
    for some in np.array_split(orders, max(len(orders) // 100, 1)):
        laid = sizes[some]
        starts = np.empty_like(laid)
        np.put_along_axis(starts, some, laid.cumsum(axis=1) - laid, axis=1)
        debuts.append(np.minimum.reduceat(starts[:, tastings] + within, np.r_[0, first_row], axis=1))
    return np.concatenate(debuts)


def _curves(debuts: np.ndarray, at: np.ndarray) -> np.ndarray:
    """Give how many places have come up after `at` servings, shape (orders, points)."""
    rows = len(debuts)
    flat = np.searchsorted(at, debuts + 1) + len(at) * np.arange(rows)[:, np.newaxis]
    return np.bincount(flat.ravel(), minlength=rows * len(at)).reshape(rows, len(at)).cumsum(axis=1)


def _confirm(table: Incidence, orders: np.ndarray) -> float:
    """Give the share of orders in which the last third is as much richer than the first, at equal coverage."""
    size = len(table.sizes) // 3
    natural = np.arange(len(table.sizes))[np.newaxis, :]
    orders = np.concatenate([natural, orders[:CONFIRMING]])
    first, last = (
        (table.table[some].sum(axis=1), table.sizes[some].sum(axis=1)) for some in (orders[:, :size], orders[:, -size:])
    )
    coverage = np.minimum(sample_coverage(*first), sample_coverage(*last))
    gained = standardise(*last, coverage) - standardise(*first, coverage)
    return float((gained >= gained[0] - 1e-9).mean())


def _new_labels(firsts: pd.DataFrame, sizes: np.ndarray) -> list[str]:
    """Give, for each serving, what was named in it for the first time."""
    starts = sizes.cumsum() - sizes
    new: list[list[str]] = [[] for _ in range(int(sizes.sum()))]
    for row in firsts.sort_values("tasting", kind="stable").drop_duplicates("node").itertuples():
        new[starts[row.tasting] + row.within].append(row.label)
    return [", ".join(sorted(labels)) for labels in new]
