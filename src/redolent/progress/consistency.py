"""Consistency: do the same words come back when the same coffee does, unknown to the taster?"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from math import factorial, prod

import numpy as np
import pandas as pd

from redolent.lexicon import Lexicon
from redolent.notes.similarity import Profile, reading_similarity
from redolent.progress import wording
from redolent.progress.mentions import count_mentions, list_servings, only_taster
from redolent.progress.resample import (
    LEAST_TASTINGS,
    RESAMPLES,
    draw_ratios,
    percentile_interval,
    thirds,
)

ALPHA = 0.05
RELABELLINGS = 1000
"""A tasting with more relabellings than this is relabelled at random, this often."""


@dataclass(frozen=True, eq=False)
class Repeats:
    """Repeats of one coffee against strangers, within tastings.

    Attributes
    ----------
    taster : str
    pairs : DataFrame
        A row a pair of servings of one tasting: ``tasting_id``, ``tasting``, ``day``, ``coffee_a``,
        ``coffee_b``, ``repeat`` (the same coffee), ``similarity`` (0 to 1).
    tastings : int
        With at least one repeat and one stranger pair: these are compared.
    relabellings : float
        Ways to give the coffees of these tastings to the cups that pair them differently; may be huge.
    left_out : int
        Servings without a counted word, or without a coffee.
    auc : float or None
        Probability that a repeat is more alike than a stranger of the same tasting (ties count half).
    interval : tuple of float or None
        95 % bootstrap interval of `auc`; None with too few tastings, or where all tastings gave the same.
    p_value : float or None
        Share of relabellings whose `auc` is at least the observed one.
    first, last : float or None
        Mean similarity of the repeats in the first and the last third of the tastings with a repeat.
    change : tuple of float or None
        95 % bootstrap interval of last − first.
    """

    taster: str
    pairs: pd.DataFrame
    tastings: int
    relabellings: float = 1.0
    left_out: int = 0
    auc: float | None = None
    interval: tuple[float, float] | None = None
    p_value: float | None = None
    first: float | None = None
    last: float | None = None
    change: tuple[float, float] | None = None

    @property
    def smallest_p(self) -> float | None:
        """The smallest p-value that these tastings could give, were there no ties."""
        return 1 / self.relabellings if self.tastings else None

    @property
    def repeat_pairs(self) -> int:
        """Number of pairs of servings of the same coffee."""
        return int(self.pairs["repeat"].sum())

    @property
    def headline(self) -> str:
        """The finding in a few words, for a title."""
        if self.auc is None:
            return "No repeat to compare with a stranger yet"
        closer = f"A repeat is closer than a stranger in {wording.percent(self.auc)} of comparisons"
        if self.interval is None:
            return f"{closer} (n = {wording.count(self.tastings, 'tasting')}; chance 50 %)"
        return f"{closer} (95 % interval {wording.between(self.interval)}; chance 50 %)"

    @property
    def finding(self) -> str:
        """What was found, with its numbers and its limits."""
        if self.auc is None:
            return (
                f"{self._nothing}: three tastings of three cups, one repeat in each, would be the least "
                "that can speak (27 relabellings, so p could reach 0.04)."
            )
        compared = (
            f"In {wording.count(self.tastings, 'tasting')} with a repeat, the repeat was closer than a "
            f"stranger in {wording.percent(self.auc)} of comparisons (chance 50 %; {self._interval}); "
            f"relabelling the cups within tastings gives {wording.p(self.p_value)}, and could give "
            f"{wording.small(self.smallest_p)} at the smallest"
        )
        return f"{compared}: {self._meaning}{self._trend}."

    def to_frame(self) -> pd.DataFrame:
        """Give the pairs, a row a pair."""
        return self.pairs.copy()

    @property
    def _nothing(self) -> str:
        if self.repeat_pairs:
            return "The tastings with a repeat hold no second coffee to compare it with"
        if len(self.pairs):
            return "No tasting holds a repeat yet"
        return "No tasting holds two cups with words to compare yet"

    @property
    def _interval(self) -> str:
        if self.interval is not None:
            return f"95 % interval {wording.between(self.interval)}, tastings resampled"
        if self.tastings < LEAST_TASTINGS:
            return f"too few tastings for an interval, {LEAST_TASTINGS} would give a first one"
        return "no interval, since each tasting gave the same"

    @property
    def _meaning(self) -> str:
        if self.smallest_p > ALPHA:
            return "too few cups to tell, whatever they had said"
        if self.p_value <= ALPHA and self.auc > 0.5:
            return "the words come back with the coffee"
        return "no sign yet that the words come back with the coffee"

    @property
    def _trend(self) -> str:
        if self.first is None or self.last is None:
            return ""
        moved = (
            f"; the likeness of repeats went from {self.first:.2f} in the first third of these tastings to "
            f"{self.last:.2f} in the last"
        )
        if self.change is None:
            return f"{moved}, with no interval yet"
        low, high = self.change
        said = "more alike" if low > 0 else "less alike" if high < 0 else "no clear trend"
        return f"{moved} (change {wording.signed(low)} to {wording.signed(high)}, 95 %): {said}"


def compare_repeats(
    mentions: pd.DataFrame, *, resamples: int = RESAMPLES, seed: int = 0, lexicon: Lexicon | None = None
) -> Repeats:
    """Compare pairs of servings of one coffee with pairs of different coffees, within tastings.

    Parameters
    ----------
    mentions : DataFrame
        As `mention_frame` gives them, of one taster. What counts is picked here, by `count_mentions`.
    resamples : int
        Of the bootstrap over tastings.
    seed : int
    lexicon : Lexicon, optional

    Raises
    ------
    ValueError
        Where there are several tasters.

    Notes
    -----
    Likeness is `redolent.notes.similarity.reading_similarity`. Ranks are taken within each tasting, and the
    coffees are relabelled within each tasting: one tasting AABC has 6 relabellings, so it alone cannot give a
    p below 1/6. The permutation distribution is exact: those of the tastings are convolved. Only a tasting
    with more than `RELABELLINGS` is relabelled at random.

    References
    ----------
    Mann & Whitney (1947), Annals of Mathematical Statistics 18:50–60, for the probability that is here called
    AUC; Clarke (1993), Australian Journal of Ecology 18:117–143, for relabelling within blocks.
    """
    taster = only_taster(mentions)
    lexicon = lexicon or Lexicon.load()
    rng = np.random.default_rng(seed)
    servings = list_servings(mentions)
    profiles = _profiles(mentions)
    kept = servings[servings["serving_id"].isin(profiles) & servings["lot"].notna()]
    cups = [list(rows.itertuples()) for _, rows in kept.groupby("tasting")]
    pairs = _pair(cups, profiles, lexicon)
    left_out = len(servings) - len(kept)

    wins, comparisons, nulls, ways = [], [], [], []
    for coffees, similarity in _comparable(cups, pairs):
        designs = _relabellings(_sizes(coffees), _own(coffees), rng)
        won = _wins(designs, similarity)
        wins.append(won[0])
        nulls.append(won)
        comparisons.append(designs[0].sum() * (~designs[0]).sum())
        ways.append(_ways(_sizes(coffees)))
    if not wins:
        return Repeats(taster, pairs, 0, left_out=left_out)

    top, bottom = np.array(wins, dtype=float), np.array(comparisons, dtype=float)
    enough = len(top) >= LEAST_TASTINGS
    return Repeats(
        taster=taster,
        pairs=pairs,
        tastings=len(top),
        relabellings=prod(float(way) for way in ways),
        left_out=left_out,
        auc=float(top.sum() / bottom.sum()),
        interval=percentile_interval(draw_ratios(top, bottom, rng, resamples)) if enough else None,
        p_value=_p_above(nulls),
        **_trend(pairs, rng, resamples),
    )


def _profiles(mentions: pd.DataFrame) -> dict[str, Profile]:
    """Give what each serving asserts and denies, for servings that assert something."""
    present = count_mentions(mentions).groupby("serving_id")["node"].agg(frozenset)
    denied = count_mentions(mentions, present=False).groupby("serving_id")["node"].agg(frozenset)
    return {serving: Profile.of(nodes, denied.get(serving, ())) for serving, nodes in present.items()}


def _pair(cups: list[list], profiles: dict[str, Profile], lexicon: Lexicon) -> pd.DataFrame:
    rows = [
        (
            a.tasting_id,
            a.tasting,
            a.day,
            a.coffee,
            b.coffee,
            a.lot == b.lot,
            reading_similarity(profiles[a.serving_id], profiles[b.serving_id], lexicon),
        )
        for tasting in cups
        for a, b in combinations(tasting, 2)
    ]
    names = ["tasting_id", "tasting", "day", "coffee_a", "coffee_b", "repeat", "similarity"]
    return pd.DataFrame(rows, columns=names).astype({"repeat": bool, "similarity": float})


def _comparable(cups: list[list], pairs: pd.DataFrame) -> Iterator[tuple[tuple[str, ...], np.ndarray]]:
    """Give the coffees and the similarities of the pairs of each tasting with both repeats and strangers."""
    similarity = {tasting: rows["similarity"].to_numpy() for tasting, rows in pairs.groupby("tasting")}
    for tasting in cups:
        coffees = tuple(cup.lot for cup in tasting)
        if 1 < len(set(coffees)) < len(coffees):
            yield coffees, similarity[tasting[0].tasting]


def _sizes(coffees: tuple[str, ...]) -> tuple[int, ...]:
    """Give how many cups each coffee had, largest first: AABC is (2, 1, 1)."""
    return tuple(sorted((coffees.count(coffee) for coffee in set(coffees)), reverse=True))


def _own(coffees: tuple[str, ...]) -> np.ndarray:
    """Give, for each pair of cups, whether they hold the same coffee."""
    return np.array([a == b for a, b in combinations(coffees, 2)])


def _ways(sizes: tuple[int, ...]) -> int:
    """Count the relabellings that pair the cups differently: 6 for AABC, 3 for AAB."""
    alike = prod(factorial(sizes.count(size)) for size in set(sizes))
    return factorial(sum(sizes)) // (prod(map(factorial, sizes)) * alike)


def _relabellings(sizes: tuple[int, ...], own: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Give which pairs are repeats under each relabelling, the true one first.

    Returns
    -------
    ndarray of bool, shape (relabellings, pairs)
    """
    if _ways(sizes) <= RELABELLINGS:
        every = _every(sizes)
        return np.vstack([own, every[(every != own).any(axis=1)]])
    labels = np.repeat(np.arange(len(sizes)), sizes)
    drawn = rng.permuted(np.tile(labels, (RELABELLINGS - 1, 1)), axis=1)
    left, right = np.triu_indices(len(labels), 1)
    return np.vstack([own, drawn[:, left] == drawn[:, right]])


@lru_cache(maxsize=256)
def _every(sizes: tuple[int, ...]) -> np.ndarray:
    """Give which pairs are repeats under every relabelling, each pairing once."""
    left, right = np.triu_indices(sum(sizes), 1)
    return np.array([labels[left] == labels[right] for labels in _labellings(sizes)])


def _labellings(sizes: tuple[int, ...]) -> Iterator[np.ndarray]:
    """Give the coffees of the cups under every relabelling.

    Coffees with one cup are all the same here. Of two coffees with equally many cups the first has the first
    cup, so that no pairing comes twice.
    """
    several = [size for size in sizes if size > 1]

    def place(coffee: int, labels: np.ndarray, after: int) -> Iterator[np.ndarray]:
        if coffee == len(several):
            yield labels
            return
        alike = coffee > 0 and several[coffee] == several[coffee - 1]
        for cups in combinations(np.flatnonzero(labels < 0).tolist(), several[coffee]):
            if not alike or cups[0] > after:
                served = labels.copy()
                served[list(cups)] = coffee
                yield from place(coffee + 1, served, cups[0])

    yield from place(0, -1 - np.arange(sum(sizes)), -1)


def _wins(designs: np.ndarray, similarity: np.ndarray) -> np.ndarray:
    """Give, for each relabelling, in how many comparisons the repeat is closer than the stranger (ties half).

    The Mann–Whitney count, from ranks taken within the tasting.
    """
    _, place, sizes = np.unique(similarity.round(12), return_inverse=True, return_counts=True)
    ranks = (sizes.cumsum() - (sizes - 1) / 2)[place]
    repeats = int(designs[0].sum())
    return designs @ ranks - repeats * (repeats + 1) / 2


def _p_above(nulls: list[np.ndarray]) -> float:
    """Give the share of all joint relabellings whose wins, summed over tastings, reach the observed ones.

    Each array holds the wins of one tasting, the observed one first. Wins are whole halves, so the
    distribution of the sum is a convolution of histograms over half wins.
    """
    total = np.ones(1)
    for wins in nulls:
        histogram = np.bincount(np.rint(2 * wins).astype(int)) / len(wins)
        total = np.convolve(total, histogram)
    observed = round(2 * sum(float(wins[0]) for wins in nulls))
    return float(min(1.0, total[observed:].sum()))


def _trend(pairs: pd.DataFrame, rng: np.random.Generator, resamples: int) -> dict:
    """Give the mean similarity of repeats in the first and last third of the tastings with one."""
    by_tasting = pairs[pairs["repeat"]].groupby("tasting")["similarity"].agg(["sum", "size"])
    top, bottom = by_tasting["sum"].to_numpy(dtype=float), by_tasting["size"].to_numpy(dtype=float)
    if len(top) < 3:
        return {}
    early, late = thirds(len(top))
    result = {
        "first": float(top[early].sum() / bottom[early].sum()),
        "last": float(top[late].sum() / bottom[late].sum()),
    }
    if len(top) >= 3 * LEAST_TASTINGS:
        before = draw_ratios(top[early], bottom[early], rng, resamples)
        after = draw_ratios(top[late], bottom[late], rng, resamples)
        result["change"] = percentile_interval(after - before)
    return result
