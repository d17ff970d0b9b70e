"""Precision: how far down the tree the words of a taster reach, and whether they come back there."""

from collections.abc import Collection
from dataclasses import dataclass, field
from math import sqrt
from statistics import NormalDist

import numpy as np
import pandas as pd

from redolent.lexicon import LEVELS, Lexicon
from redolent.progress import wording
from redolent.progress.mentions import count_mentions, list_servings, only_taster
from redolent.progress.trend import LEAST_TASTINGS, Trend, ordinal_trend

NARROW = ("group", "descriptor")
CREDITS = ("nothing", *LEVELS)
"""What of a word came back, in the order of depth."""
PERIODS = {"month": "M", "quarter": "Q", "year": "Y"}


@dataclass(frozen=True, eq=False)
class LevelShares:
    """How narrow the counted mentions are, period by period, as written and as far as they came back.

    Attributes
    ----------
    taster : str
    by : {"month", "quarter", "year"}
    shares : DataFrame
        As written. A row a period in which something was named: ``period``, ``mentions``, ``tastings``, the share
        at ``realm``, ``family``, ``group`` and ``descriptor``, and ``low`` and ``high`` of the Wilson interval
        of the last. A tasting belongs wholly to the period in which it began.
    credits : DataFrame
        Of the mentions that could come back. A row a period with one: ``period``, ``mentions``, ``tastings``, and
        the share of which ``nothing``, the ``realm``, ``family``, ``group`` or ``descriptor`` came back.
    mentions, tastings : int
    share, rest_share : float
        Share of the mentions that reach a group or a descriptor; the same with what was doubted, coached or
        inferred.
    tested, tested_tastings : int
        Mentions that could come back: on a cup with a repeat, or of a word that was met in a jar.
    returned : float
        Share of those that came back as a group or a descriptor.
    written, credited : Trend or None
        Of the level as written, and of what came back of it.
    """

    taster: str
    by: str
    shares: pd.DataFrame
    credits: pd.DataFrame = field(default_factory=pd.DataFrame)
    mentions: int = 0
    tastings: int = 0
    share: float = 0.0
    rest_share: float = 0.0
    tested: int = 0
    tested_tastings: int = 0
    returned: float = 0.0
    written: Trend | None = None
    credited: Trend | None = None

    @property
    def headline(self) -> str:
        """The finding in a few words, for a title."""
        if not self.mentions:
            return "No words counted yet"
        return f"{wording.percent(self.share)} of {self._mentions} reach a group or a descriptor"

    @property
    def credit_headline(self) -> str:
        """What came back, in a few words, for a title."""
        if not self.tested:
            return "No word had a chance to come back yet"
        return (
            f"{wording.percent(self.returned)} of {wording.count(self.tested, 'word')} with a chance to come back "
            "did so that narrowly"
        )

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        if not self.mentions:
            return "No word counts yet: precision begins with the first note that names something for sure."
        said = f"Of {self._mentions}, {wording.percent(self.share)} reach a group or a descriptor"
        if not self.tested:
            return (
                f"{said}; none of them had a chance to come back: a coffee served twice in one tasting, or a jar, "
                "would show which are more than guesses."
            )
        return (
            f"{said}; of the {self.tested:,} that had a chance to come back, {wording.percent(self.returned)} did so "
            f"that narrowly: {self._direction}."
        )

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        if not self.mentions:
            return ""
        said = [
            f"As written, {wording.count(self.tastings, 'tasting')}: {self._trend(self.written)}.",
            f"As far as it came back (on a repeat or in a jar), {wording.count(self.tested, 'word')} in "
            f"{wording.count(self.tested_tastings, 'tasting')}: {self._trend(self.credited)}.",
        ]
        if self.rest_share != self.share:
            share = wording.percent(self.rest_share)
            said.append(f"With what was doubted, coached or inferred, {share} reach a group or a descriptor.")
        return " ".join(said)

    def to_frame(self) -> pd.DataFrame:
        """Give the shares as written, a row a period."""
        return self.shares.copy()

    @property
    def _mentions(self) -> str:
        return wording.count(self.mentions, "counted word")

    @property
    def _direction(self) -> str:
        if self.credited is None or self.credited.low is None:
            if self.tested_tastings >= LEAST_TASTINGS:
                return "each tasting gave the same, so a trend cannot be told"
            needed = LEAST_TASTINGS - self.tested_tastings
            return f"a trend takes {wording.count(needed, 'more tasting')} with a repeat"
        if self.credited.direction:
            return f"what comes back became {'narrower' if self.credited.direction > 0 else 'broader'}"
        if self.written is not None and self.written.direction > 0:
            return "the words became narrower, but what comes back did not surely"
        return "no clear trend"

    @staticmethod
    def _trend(trend: Trend | None) -> str:
        if trend is None:
            return "no trend from fewer than two tastings"
        said = f"Somers' D of the level on time {wording.signed(trend.d)}"
        if trend.low is None or trend.high is None:
            return f"{said}, without an interval ({LEAST_TASTINGS} tastings that vary would give one)"
        low, high = wording.signed(trend.low), wording.signed(trend.high)
        return f"{said} (95 % interval {low} to {high}, jackknife over tastings)"


def level_shares(
    mentions: pd.DataFrame, *, by: str = "month", jars: Collection[str] = (), lexicon: Lexicon | None = None
) -> LevelShares:
    """Give the share of mentions that reach each level, over time, and how much of that came back.

    Parameters
    ----------
    mentions : DataFrame
        As `mention_frame` gives them, of one taster. What counts is picked here, by `count_mentions`.
    by : {"month", "quarter", "year"}
    jars : collection of str
        Ids of nodes that the taster named right from a jar: these words came back there.
    lexicon : Lexicon, optional

    Raises
    ------
    ValueError
        Where there are several tasters or no such period.

    Notes
    -----
    A precise word that never returns is a guess. A mention is credited with the deepest of its places that another
    cup of the same coffee in the same tasting shares, be it by the same word or by one beside it: of "quince" and
    "pear" the group came back.

    The Wilson intervals take mentions as independent. Those of one tasting are not, so these intervals are,
    if anything, too short; the trends rest on a jackknife over whole tastings instead.

    References
    ----------
    Wilson (1927), Journal of the American Statistical Association 22:209–212. See `ordinal_trend`.
    """
    if by not in PERIODS:
        raise ValueError(f"There is no period {by!r}; choose one of {', '.join(PERIODS)}.")
    taster, lexicon = only_taster(mentions), lexicon or Lexicon.load()
    servings = list_servings(mentions)
    counted = count_mentions(mentions)[["serving_id", "node", "level"]].merge(servings, on="serving_id")
    if not len(counted):
        columns = ["period", "mentions", "tastings", *LEVELS, "low", "high"]
        return LevelShares(taster, by, pd.DataFrame(columns=columns))
    day = counted.groupby("tasting")["day"].transform("min")
    counted = counted.assign(
        period=pd.to_datetime(day).dt.to_period(PERIODS[by]).astype(str),
        rank=counted["level"].map(CREDITS.index),
        credit=_credit(counted, servings, frozenset(jars), lexicon),
    )
    tested = counted[counted["credit"].notna()]
    tested = tested.assign(credit=tested["credit"].astype(int))
    rest = count_mentions(mentions, strict=False)["level"].isin(NARROW)
    return LevelShares(
        taster,
        by,
        shares=_by_period(counted, "level", LEVELS),
        credits=_by_period(tested.assign(level=tested["credit"].map(CREDITS.__getitem__)), "level", CREDITS),
        mentions=len(counted),
        tastings=counted["tasting"].nunique(),
        share=float(counted["level"].isin(NARROW).mean()),
        rest_share=float(rest.mean()),
        tested=len(tested),
        tested_tastings=tested["tasting"].nunique(),
        returned=float((tested["credit"] >= CREDITS.index(NARROW[0])).mean()) if len(tested) else 0.0,
        written=ordinal_trend(counted["tasting"].to_numpy(), counted["rank"].to_numpy()),
        credited=ordinal_trend(tested["tasting"].to_numpy(), tested["credit"].to_numpy()),
    )


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


def _credit(counted: pd.DataFrame, servings: pd.DataFrame, jars: frozenset[str], lexicon: Lexicon) -> list[int | None]:
    """Give how deep each mention came back, as an index of `CREDITS`; None where it had no chance to."""
    paths = {node: (*(above.id for above in lexicon.ancestors(node)), node) for node in counted["node"].unique()}
    places: dict[str, set[str]] = {}
    ids, nodes = counted["serving_id"].tolist(), counted["node"].tolist()
    for serving, node in zip(ids, nodes, strict=True):
        places.setdefault(serving, set()).update(paths[node])
    # A cup in which nothing was named says nothing, here as in the comparison of repeats.
    cups: dict[tuple[int, str], list[str]] = {}
    known = servings.dropna(subset=["lot"])
    for tasting, lot, serving in zip(*(known[name].tolist() for name in ("tasting", "lot", "serving_id")), strict=True):
        if serving in places:
            cups.setdefault((tasting, lot), []).append(serving)
    credits: list[int | None] = []
    for serving, node, tasting, lot in zip(
        ids, nodes, counted["tasting"].tolist(), counted["lot"].tolist(), strict=True
    ):
        others = [cup for cup in cups.get((tasting, lot), ()) if cup != serving]
        path = paths[node]
        if node in jars:
            credits.append(len(path))
        elif others:
            credits.append(max(sum(place in places[cup] for place in path) for cup in others))
        else:
            credits.append(None)
    return credits


def _by_period(counted: pd.DataFrame, column: str, levels: Collection[str]) -> pd.DataFrame:
    period = counted["period"]
    counts = pd.crosstab(period, counted[column]).reindex(columns=list(levels), fill_value=0)
    total = counts.sum(axis=1)
    bounds = [wilson_interval(int(k), int(n)) for k, n in zip(counts["descriptor"], total, strict=True)]
    frame = counts.div(np.maximum(total, 1), axis=0).assign(
        mentions=total,
        tastings=counted.groupby(period)["tasting"].nunique(),
        low=[low for low, _ in bounds],
        high=[high for _, high in bounds],
    )
    return frame.reset_index(names="period")[["period", "mentions", "tastings", *levels, "low", "high"]].rename_axis(
        columns=None
    )
