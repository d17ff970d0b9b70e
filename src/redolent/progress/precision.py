"""Precision: how far down the tree the words of a taster reach."""

from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist

import numpy as np
import pandas as pd

from redolent.lexicon import LEVELS
from redolent.progress import wording
from redolent.progress.mentions import count_mentions, list_servings, only_taster
from redolent.progress.resample import (
    LEAST_TASTINGS,
    RESAMPLES,
    draw_ratios,
    percentile_interval,
    thirds,
)

NARROW = ("group", "descriptor")
PERIODS = {"month": "M", "quarter": "Q", "year": "Y"}


@dataclass(frozen=True, eq=False)
class LevelShares:
    """How narrow the counted mentions are, period by period and from the first third of the tastings to the
    last.

    Attributes
    ----------
    taster : str
    by : {"month", "quarter", "year"}
    shares : DataFrame
        A row a period in which something was named: ``period``, ``mentions``, ``tastings``, the share at
        ``realm``, ``family``, ``group`` and ``descriptor``, and ``low`` and ``high`` of the Wilson interval
        of the last. A tasting belongs wholly to the period in which it began.
    mentions, tastings : int
    share : float
        Share of all mentions that reach a group or a descriptor.
    first, last : float or None
        The same in the first and the last third of the tastings; None with fewer than three tastings.
    change : tuple of float or None
        95 % bootstrap interval of last − first; None with too few tastings to resample.
    """

    taster: str
    by: str
    shares: pd.DataFrame
    mentions: int
    tastings: int
    share: float = 0.0
    first: float | None = None
    last: float | None = None
    change: tuple[float, float] | None = None

    @property
    def headline(self) -> str:
        """The finding in a few words, for a title."""
        if not self.mentions:
            return "No words counted yet"
        if self.first is None or self.last is None:
            return f"{wording.percent(self.share)} of {self._mentions} reach a group or a descriptor"
        moved = f"from {wording.percent(self.first)} to {wording.percent(self.last)}"
        if self.change is None:
            return f"Group or descriptor: {moved} of mentions; no telling yet how sure that is"
        return f"Group or descriptor: {moved} of mentions, {self._direction}"

    @property
    def finding(self) -> str:
        """What was found, with its numbers and its limits."""
        if not self.mentions:
            return "No word counts yet: precision begins with the first note that names something for sure."
        so_far = (
            f"Of {self._mentions} in {wording.count(self.tastings, 'tasting')}, "
            f"{wording.percent(self.share)} reach a group or a descriptor"
        )
        needed = 3 * LEAST_TASTINGS
        wanting = f"a trend needs {LEAST_TASTINGS} tastings in each of the two thirds that it compares, {needed} in all"
        if self.first is None or self.last is None:
            return f"{so_far}; {wanting}."
        moved = (
            f"{so_far}: {wording.percent(self.first)} in the first third of the tastings, "
            f"{wording.percent(self.last)} in the last"
        )
        if self.tastings < needed:
            return f"{moved}; {wanting}."
        if self.change is None:
            return f"{moved}; each tasting gave the same share, so how sure that is cannot be told."
        low, high = self.change
        caution = ", which does not say that they are right" if low > 0 else ""
        return (
            f"{moved}, a change of {wording.points(self.last - self.first)} points (95 % interval "
            f"{wording.points(low)} to {wording.points(high)}, tastings resampled): "
            f"{self._direction}{caution}."
        )

    def to_frame(self) -> pd.DataFrame:
        """Give the shares, a row a period."""
        return self.shares.copy()

    @property
    def _mentions(self) -> str:
        return wording.count(self.mentions, "counted mention")

    @property
    def _direction(self) -> str:
        low, high = self.change or (-1.0, 1.0)
        if low > 0:
            return "the words became narrower"
        return "the words became broader" if high < 0 else "no clear trend"


def level_shares(
    mentions: pd.DataFrame, *, by: str = "month", resamples: int = RESAMPLES, seed: int = 0
) -> LevelShares:
    """Give the share of mentions that reach each level, over time.

    Parameters
    ----------
    mentions : DataFrame
        As `mention_frame` gives them, of one taster. What counts is picked here, by `count_mentions`.
    by : {"month", "quarter", "year"}
    resamples : int
        Of the bootstrap over tastings.
    seed : int

    Raises
    ------
    ValueError
        Where there are several tasters or no such period.

    Notes
    -----
    The Wilson intervals take mentions as independent. Those of one tasting are not, so these intervals are,
    if anything, too short; the trend rests on the bootstrap over whole tastings instead.

    References
    ----------
    Wilson (1927), Journal of the American Statistical Association 22:209–212.
    """
    if by not in PERIODS:
        raise ValueError(f"There is no period {by!r}; choose one of {', '.join(PERIODS)}.")
    taster = only_taster(mentions)
    servings = list_servings(mentions)
    counted = count_mentions(mentions)[["serving_id", "level"]].merge(servings, on="serving_id")
    if not len(counted):
        columns = ["period", "mentions", "tastings", *LEVELS, "low", "high"]
        return LevelShares(taster, by, pd.DataFrame(columns=columns), 0, 0)

    narrow = counted.assign(narrow=counted["level"].isin(NARROW)).groupby("tasting")["narrow"].agg(["sum", "size"])
    top, bottom = narrow["sum"].to_numpy(dtype=float), narrow["size"].to_numpy(dtype=float)
    early, late = thirds(len(top))
    result = {"mentions": len(counted), "tastings": len(top), "share": float(top.sum() / bottom.sum())}
    if len(top) >= 3:
        result["first"] = float(top[early].sum() / bottom[early].sum())
        result["last"] = float(top[late].sum() / bottom[late].sum())
    if len(top) >= 3 * LEAST_TASTINGS:
        rng = np.random.default_rng(seed)
        before = draw_ratios(top[early], bottom[early], rng, resamples)
        after = draw_ratios(top[late], bottom[late], rng, resamples)
        result["change"] = percentile_interval(after - before)
    return LevelShares(taster, by, _by_period(counted, by), **result)


def wilson_interval(count: int, of: int, level: float = 0.95) -> tuple[float, float]:
    """Give Wilson's score interval of a proportion.

    Raises
    ------
    ValueError
        Where `of` is below 1 or `count` not between 0 and `of`.
    """
    if of < 1 or not 0 <= count <= of:
        raise ValueError(f"{count} of {of} is no proportion; the second must be 1 or more and the first no larger.")
    z = NormalDist().inv_cdf((1 + level) / 2)
    share, weight = count / of, 1 + z**2 / of
    middle = (share + z**2 / (2 * of)) / weight
    half = z / weight * sqrt(share * (1 - share) / of + z**2 / (4 * of**2))
    return max(0.0, middle - half), min(1.0, middle + half)


def _by_period(counted: pd.DataFrame, by: str) -> pd.DataFrame:
    first_day = counted.groupby("tasting")["day"].transform("min")
    period = pd.to_datetime(first_day).dt.to_period(PERIODS[by]).astype(str).rename("period")
    counts = pd.crosstab(period, counted["level"]).reindex(columns=list(LEVELS), fill_value=0)
    total = counts.sum(axis=1)
    bounds = [wilson_interval(int(k), int(n)) for k, n in zip(counts["descriptor"], total, strict=True)]
    frame = counts.div(total, axis=0).assign(
        mentions=total,
        tastings=counted.groupby(period)["tasting"].nunique(),
        low=[low for low, _ in bounds],
        high=[high for _, high in bounds],
    )
    return frame.reset_index()[["period", "mentions", "tastings", *LEVELS, "low", "high"]].rename_axis(columns=None)
