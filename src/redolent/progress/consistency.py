"""Consistency: do the same words come back when the same coffee does, unknown to the taster?"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from math import factorial, prod
from typing import Any

import numpy as np
import pandas as pd

from redolent.lexicon import Lexicon
from redolent.notes.similarity import Profile
from redolent.progress import wording
from redolent.progress.likeness import Likeness
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
MOST_COMPARISONS = 5000
"""With more comparisons than this the tastings are not convolved but relabelled together, `JOINT` times."""
JOINT = 9999
REPEATS_TO_TELL = 3
"""Tastings of three cups with a repeat that together have 27 relabellings: p could reach 0.04."""


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
    relabellings : int
        Ways to give the coffees of these tastings to the cups that pair them differently; may be huge.
    sampled : bool
        Whether only some of them were gone through.
    left_out : int
        Servings without a counted word, or without a coffee.
    auc : float or None
        Probability that a repeat is more alike than a stranger of the same tasting (ties count half).
    interval : tuple of float or None
        95 % bootstrap interval of `auc`; None with too few tastings, or where all tastings gave the same.
    p_value : float or None
        Share of relabellings whose `auc` is at least the observed one.
    rest_auc : float or None
        `auc` with what was doubted, coached or inferred.
    first, last : float or None
        Mean similarity of the repeats in the first and the last third of the tastings with a repeat.
    change : tuple of float or None
        95 % bootstrap interval of last − first.
    """

    taster: str
    pairs: pd.DataFrame
    tastings: int
    relabellings: int = 1
    sampled: bool = False
    left_out: int = 0
    auc: float | None = None
    rest_auc: float | None = None
    interval: tuple[float, float] | None = None
    p_value: float | None = None
    first: float | None = None
    last: float | None = None
    change: tuple[float, float] | None = None

    @property
    def smallest_p(self) -> float:
        """The smallest p-value that these tastings could give, were there no ties; 1 where there are none."""
        return max(1 / self.relabellings, 1 / (JOINT + 1) if self.sampled else 0.0)

    @property
    def r(self) -> float | None:
        """ANOSIM R: −1 to 1, 0 where repeats are no closer than strangers.

        From ranks within a tasting, R is 2 AUC − 1 (the difference of mean ranks over half the number of pairs);
        over tastings it is their mean, weighted by their comparisons as `auc` is.
        """
        return None if self.auc is None else 2 * self.auc - 1

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
        """What was found, in a sentence."""
        if self.auc is None:
            return (
                f"{self._nothing}: {REPEATS_TO_TELL} tastings of three cups, one coffee twice in each, would be the "
                "least that can speak."
            )
        closer = (
            f"Two cups of one coffee read more alike than cups of two in {wording.percent(self.auc)} of comparisons"
        )
        return f"{closer}, where chance gives 50 %: {self._meaning}{self._trend}."

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        if self.auc is None or self.r is None or self.p_value is None:
            return ""
        said = (
            f"{wording.count(self.repeat_pairs, 'repeat')} against strangers in "
            f"{wording.count(self.tastings, 'tasting')}, ranks within tastings: AUC {self.auc:.2f} ({self._interval}), "
            f"ANOSIM R {wording.signed(self.r)}, cups relabelled within tastings {wording.p(self.p_value)}, smallest "
            f"that this design can reach {wording.small(self.smallest_p)}"
        )
        if self.rest_auc is not None:
            said += f"; with what was doubted, coached or inferred AUC {self.rest_auc:.2f}"
        if self.left_out:
            said += f"; {wording.count(self.left_out, 'serving')} without a counted word or a coffee left out"
        if self.change is not None:
            low, high = self.change
            said += (
                f"; likeness of repeats {self.first:.2f} in the first third of the tastings, {self.last:.2f} in the "
                f"last (change {wording.signed(low)} to {wording.signed(high)}, 95 %)"
            )
        return f"{said}."

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
            needed = max(REPEATS_TO_TELL - self.tastings, 1)
            return f"too few cups to tell, {wording.count(needed, 'more tasting')} with a repeat might"
        if self.p_value is not None and self.p_value <= ALPHA and (self.r or 0) > 0:
            return "the words come back with the coffee"
        return "no sign yet that the words come back with the coffee"

    @property
    def _trend(self) -> str:
        if self.change is None:
            return ""
        low, high = self.change
        if low > 0:
            return ", and repeats have grown more alike"
        return ", and repeats have grown less alike" if high < 0 else ""


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
    Likeness is `redolent.notes.similarity.reading_similarity`: a place and its best match on the other side share a
    part of their way down the tree (Wu & Palmer 1994), averaged over the places of both sides; a place that the
    other side denies finds nothing. Ranks are taken within each tasting, and the coffees are relabelled within each
    tasting: one tasting AABC has 6 relabellings, so it alone cannot give a p below 1/6. The permutation
    distribution is exact: those of the tastings are convolved. Only a tasting with more than `RELABELLINGS` is
    relabelled at random.

    References
    ----------
    Mann & Whitney (1947), Annals of Mathematical Statistics 18:50–60, for the probability that is here called
    AUC; Clarke (1993), Australian Journal of Ecology 18:117–143, for relabelling within blocks.
    """
    taster, lexicon = only_taster(mentions), lexicon or Lexicon.load()
    rng = np.random.default_rng(seed)
    cups, profiles, left_out = _cups(mentions)
    pairs = pair_servings(cups, profiles, lexicon)
    wins, comparisons, nulls, ways = [], [], [], []
    for coffees, similarity in _comparable(cups, pairs):
        own = _own(coffees)
        designs = _relabellings(_sizes(coffees), own, rng)
        nulls.append(_wins(designs, similarity))
        wins.append(nulls[-1][0])
        comparisons.append(own.sum() * (~own).sum())
        ways.append(_ways(_sizes(coffees)))
    if not wins:
        return Repeats(taster, pairs, 0, left_out=left_out)

    top, bottom = np.array(wins, dtype=float), np.array(comparisons, dtype=float)
    draws = draw_ratios(top, bottom, rng, resamples) if len(top) >= LEAST_TASTINGS else None
    many = bottom.sum() > MOST_COMPARISONS
    p_value = _p_sampled(nulls, rng) if many else _p_above(nulls)
    first, last, change = _trend(pairs, rng, resamples)
    return Repeats(
        taster=taster,
        pairs=pairs,
        tastings=len(top),
        relabellings=prod(ways),
        sampled=bool(many),
        left_out=left_out,
        auc=float(top.sum() / bottom.sum()),
        rest_auc=_auc(mentions, lexicon),
        interval=None if draws is None else percentile_interval(draws, len(top)),
        p_value=p_value,
        first=first,
        last=last,
        change=change,
    )


def _auc(mentions: pd.DataFrame, lexicon: Lexicon) -> float | None:
    """Give the AUC with all that was asserted, where that is more than what counts."""
    if len(count_mentions(mentions, strict=False)) == len(count_mentions(mentions)):
        return None
    cups, profiles, _ = _cups(mentions, strict=False)
    won = compared = 0.0
    for coffees, similarity in _comparable(cups, pair_servings(cups, profiles, lexicon)):
        own = _own(coffees)
        won += _wins(own[np.newaxis], similarity)[0]
        compared += own.sum() * (~own).sum()
    return float(won / compared) if compared else None


def _cups(mentions: pd.DataFrame, strict: bool = True) -> tuple[list[list[Any]], dict[str, Profile], int]:
    """Give the servings that can be compared, by tasting, their profiles, and how many were left out."""
    servings = list_servings(mentions)
    profiles = _profiles(mentions, strict)
    kept = servings[servings["serving_id"].isin(profiles) & servings["lot"].notna()]
    by_tasting: dict[int, list[Any]] = {}
    for cup in kept.itertuples():
        by_tasting.setdefault(cup.tasting, []).append(cup)
    return list(by_tasting.values()), profiles, len(servings) - len(kept)


def _profiles(mentions: pd.DataFrame, strict: bool) -> dict[str, Profile]:
    """Give what each serving asserts and denies, for servings that assert something."""

    def nodes(present: bool) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        counted = count_mentions(mentions, present=present, strict=strict)
        for serving, node in zip(counted["serving_id"].tolist(), counted["node"].tolist(), strict=True):
            found.setdefault(serving, []).append(node)
        return found

    denied = nodes(present=False)
    return {serving: Profile.of(asserted, denied.get(serving, ())) for serving, asserted in nodes(True).items()}


def pair_servings(cups: list[list[Any]], profiles: dict[str, Profile], lexicon: Lexicon) -> pd.DataFrame:
    """Give a row for every two servings of a tasting, with how alike they read."""
    likeness = Likeness([profiles[cup.serving_id] for tasting in cups for cup in tasting], lexicon)
    rows = []
    for tasting in cups:
        alike = likeness.of([profiles[cup.serving_id] for cup in tasting])
        rows += [
            (a.tasting_id, a.tasting, a.day, a.coffee, b.coffee, a.lot == b.lot, alike[i, k])
            for (i, a), (k, b) in combinations(enumerate(tasting), 2)
        ]
    names = ["tasting_id", "tasting", "day", "coffee_a", "coffee_b", "repeat", "similarity"]
    return pd.DataFrame(rows, columns=names).astype({"repeat": bool, "similarity": float})


def _comparable(cups: list[list[Any]], pairs: pd.DataFrame) -> Iterator[tuple[tuple[str, ...], np.ndarray]]:
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


def _p_sampled(nulls: list[np.ndarray], rng: np.random.Generator) -> float:
    """Give the same from joint relabellings drawn at random, the observed one among them."""
    total = np.zeros(JOINT)
    for wins in nulls:
        total += wins[rng.integers(len(wins), size=JOINT)]
    observed = sum(float(wins[0]) for wins in nulls)
    return float(((total >= observed - 1e-9).sum() + 1) / (JOINT + 1))


def _trend(
    pairs: pd.DataFrame, rng: np.random.Generator, resamples: int
) -> tuple[float | None, float | None, tuple[float, float] | None]:
    """Give the mean similarity of repeats in the first and last third of the tastings with one, and its change."""
    by_tasting = pairs[pairs["repeat"]].groupby("tasting")["similarity"].agg(["sum", "size"])
    top, bottom = by_tasting["sum"].to_numpy(dtype=float), by_tasting["size"].to_numpy(dtype=float)
    if len(top) < 3:
        return None, None, None
    early, late = thirds(len(top))
    first, last = (float(top[third].sum() / bottom[third].sum()) for third in (early, late))
    if len(top) < 3 * LEAST_TASTINGS:
        return first, last, None
    before, after = (draw_ratios(top[third], bottom[third], rng, resamples) for third in (early, late))
    return first, last, percentile_interval(after - before, len(top[early]))
