"""Line marks of a panel: what the class marked on the mean, and how steady its marks are."""

from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy.stats import t as student

from redolent.progress import wording
from redolent.progress.marks import repeatability


@dataclass(frozen=True, slots=True, eq=False)
class PanelMarks:
    """The line marks of a class.

    Attributes
    ----------
    means : DataFrame
        A row a coffee and attribute: ``coffee``, ``attribute``, ``tasters``, ``mean`` (of the tasters' means) with its
        95 % interval ``low`` to ``high``.
    attributes : DataFrame
        A row an attribute: ``attribute``, ``repeats`` (degrees of freedom), ``sd`` (repeatability) with ``sd_low`` and
        ``sd_high``.
    """

    means: pd.DataFrame
    attributes: pd.DataFrame

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        if not len(self.means):
            return "No coffee was marked on a line by two tasters yet."
        steady = self.attributes.dropna(subset=["sd"])
        apart = self.means.groupby("attribute")["mean"].agg(lambda values: values.max() - values.min())
        widest = apart.idxmax()
        rows = self.means[self.means["attribute"] == widest].sort_values("mean")
        low, high = rows.iloc[0], rows.iloc[-1]
        said = (
            f"The class marks its coffees furthest apart on {widest}: {low['coffee']} {low['mean']:.0f}, "
            f"{high['coffee']} {high['mean']:.0f} of 100"
            if len(rows) > 1
            else f"The class marked {widest} of {low['coffee']} {low['mean']:.0f} of 100"
        )
        if not len(steady):
            return f"{said}; no coffee was marked twice in one tasting, so how steady the marks are is not known."
        best = steady.loc[steady["sd"].astype(float).idxmin()]
        return f"{said}; steadiest are the marks of {best['attribute']}, {best['sd']:.0f} points apart on one coffee."

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        steady = self.attributes.dropna(subset=["sd"])
        said = [
            f"{row.attribute} {row.sd:.1f} (95 % interval {row.sd_low:.1f} to {row.sd_high:.1f}, "
            f"{wording.count(row.repeats, 'repeat')})"
            for row in steady.itertuples()
        ]
        return f"Repeatability standard deviation, all tasters together: {', '.join(said)}." if said else ""

    def to_frame(self) -> pd.DataFrame:
        """Give a row a coffee and attribute."""
        return self.means.copy()


def mark_panel(marks: pd.DataFrame, *, level: float = 0.95) -> PanelMarks:
    """Average the line marks of a class, coffee by coffee.

    Parameters
    ----------
    marks : DataFrame
        As ``Journal.marks_frame`` gives them. Marks of several stages of a cup are averaged.
    level : float

    Notes
    -----
    Tasters are the sample: each counts once with the mean of their cups, and the interval is Student's t over tasters.

    References
    ----------
    ISO 11132, for repeatability of a panel; ISO 5725-2, 7.4.5.
    """
    known = marks[marks["coffee"].fillna("") != ""]
    keys = ["attribute", "coffee", "taster", "tasting_id", "serving_id"]
    cups = known.groupby(keys, as_index=False)["mark"].mean()
    rows = []
    for (attribute, coffee), own in cups.groupby(["attribute", "coffee"], sort=True):
        means = own.groupby("taster")["mark"].mean().to_numpy(dtype=float)
        if len(means) > 1:
            half = student.ppf((1 + level) / 2, len(means) - 1) * means.std(ddof=1) / np.sqrt(len(means))
            low, high = max(0.0, means.mean() - half), min(100.0, means.mean() + half)
            rows.append((coffee, attribute, len(means), float(means.mean()), float(low), float(high)))
    steady = []
    for attribute, own in cups.groupby("attribute", sort=True):
        cells = [cell.to_numpy(dtype=float) for _, cell in own.groupby(["taster", "tasting_id", "coffee"])["mark"]]
        spread = repeatability(cells, level)
        steady.append(
            (attribute, spread.df, spread.sd, spread.low, spread.high) if spread else (attribute, 0) + (None,) * 3
        )
    return PanelMarks(
        pd.DataFrame(rows, columns=["coffee", "attribute", "tasters", "mean", "low", "high"]),
        pd.DataFrame(steady, columns=["attribute", "repeats", "sd", "sd_low", "sd_high"]),
    )
