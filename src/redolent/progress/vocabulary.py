"""Vocabulary: how many words a taster has, those included that have not come up, and how complete that is."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from redolent.lexicon import LEVELS, Level, Lexicon
from redolent.progress import wording
from redolent.progress.coverage import sample_coverage
from redolent.progress.incidence import Incidence, tabulate_levels
from redolent.progress.jackknife import bootstrap_error, estimate_with_error, standard_error, t_quantile
from redolent.progress.mentions import count_mentions, only_taster
from redolent.progress.rarefaction import rarefy
from redolent.progress.richness import chao2, log_interval

LEAST_TASTINGS = 3
"""Fewer give no estimate: whether a word comes back in another tasting is all that it rests on."""
LEAST_COVERAGE = 0.5
"""Below this most of what will be named is unknown, and so is how much that is."""
POINTS = 20
"""Sizes of the curve up to what was tasted, and as many beyond."""


@dataclass(frozen=True, slots=True, eq=False)
class Vocabulary:
    """The vocabulary of one taster in one window.

    Attributes
    ----------
    taster : str
    level : {"realm", "family", "group", "descriptor"}
        Of the curve and the finding.
    window : str
        What the notes are of, for the sentence ("the last third of the tastings"); empty for all.
    servings, tastings : int
    levels : DataFrame
        A row a level, broadest first: ``level``, ``observed``, ``with_rest`` (with what was doubted, coached or
        inferred), and where it can be estimated ``richness`` (Chao2), ``low`` and ``high`` of its log-transformed
        95 % interval, ``coverage`` and its ``coverage_low`` and ``coverage_high``.
    curve : DataFrame
        Expected richness by number of servings, to twice what was tasted: ``servings``, ``richness``,
        ``extrapolated``, and ``low`` and ``high`` of the 95 % band where there are tastings enough.
    own_words : tuple of str
        The taster's own words that were used, which are in the counts at the places where they were put.
    recognised, recognised_only : int or None
        Descriptors named right in drills, and how many of these never came up in a note; None without drills.
    """

    taster: str
    level: Level
    window: str
    servings: int
    tastings: int
    levels: pd.DataFrame
    curve: pd.DataFrame
    own_words: tuple[str, ...] = ()
    recognised: int | None = None
    recognised_only: int | None = None

    @property
    def observed(self) -> int:
        """Number of distinct places of `level` that were named."""
        return int(self._row["observed"])

    @property
    def estimated(self) -> bool:
        """Whether richness and coverage could be estimated."""
        return "richness" in self.levels

    @property
    def headline(self) -> str:
        """The finding in a few words, for a title."""
        if not self.observed:
            return "No words counted yet"
        named = wording.kinds(self.observed, self.level)
        if not self.estimated:
            return f"{named} so far; too early to say how many are ready"
        return f"{named} came up{self._window}; at least about {self._row['richness']:.0f} are ready"

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        if not self.observed:
            return "No word counts yet: the vocabulary begins with the first note that names something for sure."
        named = f"{wording.kinds(self.observed, self.level)} came up{self._window}"
        if not self.estimated:
            missing = max(LEAST_TASTINGS - self.tastings, 1)
            return (
                f"{named}; how many more are ready cannot be told yet: "
                f"{wording.count(missing, 'more tasting')} in which words come back would allow a first estimate."
            )
        row = self._row
        return (
            f"{named}, and at least about {row['richness']:.0f} seem ready ({row['low']:.0f} to {row['high']:.0f}); of "
            f"what the next cup brings, some {wording.percent(row['coverage'])} will have come up before."
        )

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        if not self.observed:
            return ""
        told = "; ".join(self._told(row) for row in self.levels.itertuples() if row.observed)
        said = [
            f"In {wording.count(self.servings, 'serving')} of {wording.count(self.tastings, 'tasting')}, a place "
            f"counted once a serving: {told}."
        ]
        if self.estimated:
            said.append(
                "Chao2 is a lower bound, with its log-transformed 95 % interval; coverage after Chao & Jost; errors "
                "from whole tastings, drawn again or left out."
            )
        if self.own_words:
            quoted = wording.listing([f"“{word}”" for word in self.own_words])
            said.append(f"Own words among them: {quoted}.")
        if self.recognised is not None:
            said.append(
                f"In drills {wording.kinds(self.recognised, 'descriptor')} were named right, {self.recognised_only} of "
                "them not yet used in a note."
            )
        return " ".join(said)

    def to_frame(self) -> pd.DataFrame:
        """Give the curve, a row a size."""
        return self.curve.copy()

    @property
    def _row(self) -> pd.Series:
        return self.levels[self.levels["level"] == self.level].iloc[0]

    @property
    def _window(self) -> str:
        return f" in {self.window}" if self.window else ""

    def _told(self, row: Any) -> str:
        said = wording.kinds(row.observed, row.level)
        if row.with_rest > row.observed:
            said += f" ({row.with_rest} with what was doubted, coached or inferred)"
        if not self.estimated:
            return said
        return (
            f"{said}, Chao2 {row.richness:.0f} ({row.low:.0f} to {row.high:.0f}), sample coverage "
            f"{wording.percent(row.coverage)} ({wording.between((row.coverage_low, row.coverage_high))})"
        )


def estimate_vocabulary(
    mentions: pd.DataFrame,
    *,
    level: Level = "descriptor",
    window: str = "",
    drills: pd.DataFrame | None = None,
    lexicon: Lexicon | None = None,
) -> Vocabulary:
    """Estimate richness, sample coverage, and the rarefaction and extrapolation curve.

    Parameters
    ----------
    mentions : DataFrame
        As `mention_frame` gives them, of one taster. What counts is picked here, by `count_mentions`. Of a taster
        who learns give a window in which that weighs little: the estimators take the vocabulary as closed.
    level : {"realm", "family", "group", "descriptor"}
        Of the curve.
    window : str
        What the notes are of, for the sentences.
    drills : DataFrame, optional
        Answers of the same taster: ``node`` (what was asked) and ``correct``.
    lexicon : Lexicon, optional

    Raises
    ------
    ValueError
        Where there are several tasters or no such level.

    Notes
    -----
    See `chao2`, `sample_coverage` and `rarefy`. Their published variances take servings as independent; those of
    one tasting are not, so errors come from leaving whole tastings out, and intervals from Student's t.
    """
    taster, lexicon = only_taster(mentions), lexicon or Lexicon.load()
    tables = tabulate_levels(mentions, strict=True, lexicon=lexicon)
    rests = {name: one.observed for name, one in tabulate_levels(mentions, strict=False, lexicon=lexicon).items()}
    if level not in tables:
        raise ValueError(f"There is no level {level!r}; choose one of {', '.join(LEVELS)}.")
    table = tables[level]
    enough = len(table.sizes) >= LEAST_TASTINGS and sample_coverage(table.counts, table.units) >= LEAST_COVERAGE
    rows = [
        {"level": name, "observed": one.observed, "with_rest": rests[name], **(_estimates(one) if enough else {})}
        for name, one in tables.items()
    ]
    counted = count_mentions(mentions)
    own = counted["own"].dropna() if "own" in counted else ()
    return Vocabulary(
        taster,
        level,
        window,
        table.units,
        len(table.sizes),
        pd.DataFrame(rows),
        _curve(table),
        tuple(sorted({str(word) for word in own})),
        *_recognised(counted, drills, lexicon),
    )


def _estimates(table: Incidence) -> dict[str, float]:
    richness = float(chao2(table.counts, table.units))
    error = float(bootstrap_error(table, chao2, np.random.default_rng(0)))
    quantile = t_quantile(len(table.sizes))
    low, high = log_interval(table.observed, richness, error**2, quantile)
    coverage, error = estimate_with_error(table, sample_coverage)
    half = quantile * error
    return {
        "richness": richness,
        "low": low,
        "high": high,
        "coverage": coverage,
        "coverage_low": max(coverage - half, 0.0),
        "coverage_high": min(coverage + half, 1.0),
    }


def _curve(table: Incidence) -> pd.DataFrame:
    units = table.units
    if not table.observed:
        return pd.DataFrame(columns=["servings", "richness", "extrapolated"])
    inside = np.unique(np.linspace(1, units, POINTS).round())
    sizes = np.unique(np.concatenate([inside, np.linspace(units, 2 * units, POINTS).round()]))
    # Two tastings say nothing about the words to come, nor does one.
    several = len(table.sizes) >= LEAST_TASTINGS
    sizes = sizes if several else inside
    richness = np.array([rarefy(table.counts, units, size) for size in sizes])
    curve = pd.DataFrame({"servings": sizes.astype(int), "richness": richness, "extrapolated": sizes > units})
    if not several:
        return curve
    counts, left = table.left_out()
    errors = standard_error(np.stack([rarefy(counts, left, size) for size in sizes], axis=1))
    beyond = sizes > units

    def extrapolate(counts: np.ndarray, left: np.ndarray) -> np.ndarray:
        return np.stack([rarefy(counts, left, size) for size in sizes[beyond]], axis=1)

    drawn = bootstrap_error(table, extrapolate, np.random.default_rng(0))
    # What is farther is never surer.
    errors[beyond] = np.maximum.accumulate(np.maximum(drawn, errors[~beyond][-1]))
    half = t_quantile(len(table.sizes)) * errors
    return curve.assign(low=np.maximum(richness - half, 0), high=richness + half)


def _recognised(counted: pd.DataFrame, drills: pd.DataFrame | None, lexicon: Lexicon) -> tuple[int | None, int | None]:
    if drills is None or not len(drills):
        return None, None
    # To know where a word is filed is no palate: the drill of places stays out.
    told = drills[drills["drill"] != "place"] if "drill" in drills else drills
    right = told.loc[told["correct"].fillna(False).astype(bool), "node"]
    nodes = {node for node in right if node in lexicon and lexicon[node].level == "descriptor"}
    return len(nodes), len(nodes - set(counted["node"]))
