"""Two windows of a history, or two tasters, compared where both are equally complete."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from redolent.lexicon import Level, Lexicon
from redolent.progress import wording
from redolent.progress.coverage import sample_coverage, size_at
from redolent.progress.incidence import Incidence, tabulate
from redolent.progress.jackknife import standard_error, welch_quantile
from redolent.progress.mentions import list_servings
from redolent.progress.rarefaction import rarefy

LEAST_TASTINGS = 3
"""In each window; fewer give no interval."""


@dataclass(frozen=True, slots=True, eq=False)
class Comparison:
    """Richness of two samples at the same sample coverage.

    Attributes
    ----------
    names : tuple of str
    level : {"realm", "family", "group", "descriptor"}
    tastings, servings, observed : tuple of int
        Of each sample.
    coverage : float or None
        At which they are compared: the lower of their two; None where one named nothing, or nothing twice.
    richness : tuple of float
        Expected at that coverage.
    difference : float
        Second minus first.
    interval : tuple of float or None
        95 % interval of the difference (jackknife over tastings); None with too few tastings.
    """

    names: tuple[str, str]
    level: Level
    tastings: tuple[int, int]
    servings: tuple[int, int]
    observed: tuple[int, int]
    coverage: float | None = None
    richness: tuple[float, float] = (0.0, 0.0)
    difference: float = 0.0
    interval: tuple[float, float] | None = None

    @property
    def grew(self) -> bool:
        """Whether the second is richer beyond its uncertainty."""
        return self.interval is not None and self.interval[0] > 0

    @property
    def headline(self) -> str:
        """The finding in a few words, for a title."""
        if self.coverage is None:
            return "Nothing to compare yet"
        first, second = self.richness
        return f"Equally complete, {self.names[0]} holds {first:.0f} {self._kinds}, {self.names[1]} {second:.0f}"

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        a, b = self.names
        if self.coverage is None:
            return f"There is nothing to compare yet: {a} and {b} each need words, and some of them twice."
        first, second = self.richness
        found = f"Equally complete, {a} would hold {first:.0f} {self._kinds} and {b} {second:.0f}"
        if self.interval is None:
            return f"{found}; how sure that is takes {LEAST_TASTINGS} tastings in each."
        if self.interval[0] > 0:
            return f"{found}: {b} is richer, and not only because more was written."
        if self.interval[1] < 0:
            return f"{found}: {b} is poorer, and not only because less was written."
        return f"{found}: no more apart than chance may put them."

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        if self.coverage is None:
            return ""
        parts = [
            f"{name}: {seen} {self._kinds} observed in {wording.count(cups, 'serving')} of "
            f"{wording.count(tables, 'tasting')}"
            for name, seen, cups, tables in zip(self.names, self.observed, self.servings, self.tastings, strict=True)
        ]
        said = f"{'; '.join(parts)}; compared at a sample coverage of {wording.percent(self.coverage)}"
        if self.interval is None:
            return f"{said}."
        low, high = self.interval
        return (
            f"{said}: difference {wording.signed(self.difference, 1)} (95 % interval {wording.signed(low, 1)} to "
            f"{wording.signed(high, 1)}, jackknife over tastings)."
        )

    def to_frame(self) -> pd.DataFrame:
        """Give a row a sample."""
        return pd.DataFrame(
            {
                "sample": self.names,
                "tastings": self.tastings,
                "servings": self.servings,
                "observed": self.observed,
                "richness": self.richness,
            }
        ).assign(coverage=self.coverage)

    @property
    def _kinds(self) -> str:
        return "families" if self.level == "family" else f"{self.level}s"


def compare_vocabularies(
    first: pd.DataFrame,
    second: pd.DataFrame,
    *,
    names: tuple[str, str] = ("the first window", "the last window"),
    level: Level = "descriptor",
    lexicon: Lexicon | None = None,
) -> Comparison:
    """Compare the richness of two vocabularies at equal sample coverage.

    Parameters
    ----------
    first, second : DataFrame
        As `mention_frame` gives them: two windows of one taster (see `first_and_last`) or two tasters.
    names : tuple of str
    level : {"realm", "family", "group", "descriptor"}
    lexicon : Lexicon, optional

    Notes
    -----
    Who writes more names more kinds; at equal coverage the unwritten rest weighs the same on both sides.

    References
    ----------
    Chao & Jost (2012), Ecology 93:2533–2547; Chao et al. (2014), Ecological Monographs 84:45–67, for the common
    coverage.
    """
    return compare_incidence(
        tabulate(first, level, lexicon=lexicon), tabulate(second, level, lexicon=lexicon), names, level
    )


def first_and_last(mentions: pd.DataFrame, months: int = 3) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Give the mentions of the first and of the last months of a history; tastings stay whole.

    Raises
    ------
    ValueError
        Where `months` is below 1, or the history is too short for two windows of that length.
    """
    if months < 1:
        raise ValueError(f"A window of {months} months holds nothing; give 1 or more.")
    servings = list_servings(mentions)
    days = pd.to_datetime(servings["day"])
    span = pd.DateOffset(months=months)
    if not len(days) or days.min() + span > days.max() - span:
        raise ValueError(f"The notes do not span two windows of {wording.count(months, 'month')}; give fewer months.")
    windows = (days < days.min() + span, days > days.max() - span)
    first, last = (mentions[mentions["tasting_id"].isin(servings.loc[window, "tasting_id"])] for window in windows)
    return first, last


def compare_incidence(a: Incidence, b: Incidence, names: tuple[str, str], level: Level) -> Comparison:
    """Compare two tables of incidence; see `compare_vocabularies`."""
    sample = (
        names,
        level,
        (len(a.sizes), len(b.sizes)),
        (a.units, b.units),
        (a.observed, b.observed),
    )
    if not (a.observed and b.observed):
        return Comparison(*sample)
    coverage = min(float(sample_coverage(one.counts, one.units)) for one in (a, b))
    if min(len(a.sizes), len(b.sizes)) >= LEAST_TASTINGS:
        # No sample is extrapolated, not even with a tasting left out: that would rest on what came up twice.
        coverage = min(coverage, *(float(sample_coverage(*one.left_out()).min()) for one in (a, b)))
    if coverage <= 0:  # all that came up in one of them came up once
        return Comparison(*sample)

    def richness(counts: np.ndarray, units: np.ndarray) -> np.ndarray:
        return standardise(counts, units, coverage)

    first, last = (float(richness(one.counts, np.asarray(one.units))) for one in (a, b))
    interval = None
    difference = last - first
    if min(len(a.sizes), len(b.sizes)) >= LEAST_TASTINGS:
        errors = np.array([float(standard_error(richness(*one.left_out()))) for one in (a, b)])
        half = welch_quantile(errors, [len(a.sizes), len(b.sizes)]) * float(np.hypot(*errors))
        interval = (difference - half, difference + half) if half > 1e-9 else None
    return Comparison(*sample, coverage, (first, last), difference, interval)


def standardise(counts: np.ndarray, units: np.ndarray, coverage: np.ndarray | float) -> np.ndarray:
    """Give the expected richness at a coverage; shapes as for `rarefy`."""
    return rarefy(counts, units, size_at(counts, units, coverage))
