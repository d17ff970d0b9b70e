"""Line marks: how repeatable, how telling, and how like others' a taster's marks from 0 to 100 are."""

from dataclasses import dataclass, field

import numpy as np
import pandas as pd
from scipy.stats import chi2, f, norm

from redolent.progress import wording
from redolent.progress.icc import Icc, icc
from redolent.progress.mentions import only_taster

ATTRIBUTES = ("sweetness", "acidity", "bitterness", "body", "length of finish", "clarity")
"""What is marked unless a taster chooses otherwise."""
COLUMNS = ("taster", "tasting_id", "serving_id", "coffee_id", "attribute", "mark")
LONGEST = 24
"""Characters of an attribute's name in a title."""
LEAST_SHARED = 5
"""Cups marked by others too that an agreement takes."""


@dataclass(frozen=True, slots=True)
class Repeatability:
    """The standard deviation of repeats.

    Attributes
    ----------
    sd, low, high : float
        In the unit of the marks, with its 95 % interval (chi-squared).
    df : int
        Repeats beyond the first of each cell.
    """

    sd: float
    low: float
    high: float
    df: int


@dataclass(frozen=True, slots=True, eq=False)
class LineMarks:
    """The line marks of one taster.

    Attributes
    ----------
    taster : str
    attributes : DataFrame
        A row an attribute: ``attribute``, ``servings``, ``repeats`` (degrees of freedom of ``sd``), ``sd`` with
        ``sd_low`` and ``sd_high``, ``f`` with ``f_df`` (a pair) and ``p_value``, ``agreement`` (correlation with
        the mean of the others) with ``agreement_low`` and ``agreement_high`` over ``shared`` cups. None where the
        marks do not give it.
    correlations : dict of str to list of Icc
        By attribute, of all tasters who marked the same cups.
    """

    taster: str
    attributes: pd.DataFrame
    correlations: dict[str, list[Icc]] = field(default_factory=dict)

    @property
    def headline(self) -> str:
        """The finding in a few words, for a title."""
        if not len(self.attributes):
            return "No line marks yet"
        steady = self._steadiest
        if steady is None:
            return "No repeat was marked yet"
        return f"Marks of one coffee lie {steady['sd']:.0f} points apart at best ({steady['attribute'][:LONGEST]})"

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        if not len(self.attributes):
            return "No line marks yet; they are optional, and begin with a cup marked for sweetness, say."
        steady = self._steadiest
        if steady is None:
            return (
                f"{wording.count(len(self.attributes), 'attribute')} marked, but no coffee twice in one tasting: a "
                "repeat would show how steady the marks are."
            )
        telling = [
            row.attribute for row in self.attributes.itertuples() if row.p_value is not None and row.p_value <= 0.05
        ]
        told = wording.listing(telling) if telling else "none yet"
        return (
            f"The steadiest marks are those of {steady['attribute']}: on one coffee they scatter by {steady['sd']:.0f} "
            f"points of 100. Coffees are told apart by {told}."
        )

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        told = []
        for row in self.attributes.itertuples():
            said = f"{row.attribute}: {wording.count(row.servings, 'serving')}"
            if row.sd is not None:
                said += f", repeatability SD {row.sd:.1f} ({row.sd_low:.1f} to {row.sd_high:.1f}, df {row.repeats})"
            if row.f is not None:
                said += f", F({row.f_df[0]}, {row.f_df[1]}) = {row.f:.1f}, {wording.p(row.p_value)}"
            if row.agreement is not None:
                said += (
                    f", agreement with the group r = {row.agreement:.2f} ({row.agreement_low:.2f} to "
                    f"{row.agreement_high:.2f}, {row.shared} cups)"
                )
            for one in self.correlations.get(row.attribute, [])[:3]:
                said += f", {one.form} {one.value:.2f} ({one.low:.2f} to {one.high:.2f})"
            told.append(said)
        return f"{'; '.join(told)}." if told else ""

    def to_frame(self) -> pd.DataFrame:
        """Give a row an attribute."""
        return self.attributes.copy()

    @property
    def _steadiest(self) -> pd.Series | None:
        measured = self.attributes[self.attributes["sd"].notna()] if len(self.attributes) else self.attributes
        return None if not len(measured) else measured.loc[measured["sd"].astype(float).idxmin()]


def analyse_marks(marks: pd.DataFrame, taster: str | None = None) -> LineMarks:
    """Analyse line marks, attribute by attribute.

    Parameters
    ----------
    marks : DataFrame
        As ``Journal.marks_frame`` gives them: ``taster``, ``tasting_id``, ``serving_id``, ``coffee_id`` (missing
        while hidden), ``attribute`` and ``mark`` (0 to 100). Marks of several stages of a cup are averaged.
    taster : str, optional
        Whose marks; the others' serve for the comparison. May be left out where there is one.

    Raises
    ------
    ValueError
        Where a column is missing, a mark is not on the line, or there are several tasters and none is named.

    Notes
    -----
    Repeatability is the pooled standard deviation of one coffee within a tasting; F is the mean square of coffees
    within tastings over its square. Agreement is the correlation with the mean of the other tasters of the same
    cups, both centred on the tasting, since where on the line a tasting lies tells no coffees apart.

    References
    ----------
    ISO 5725-2 (repeatability); ISO 11132 (repeatability, discrimination and agreement of an assessor); ISO 4121
    (line scales); Fisher (1921), Metron 1:3–32, for the interval of a correlation.
    """
    missing = [name for name in COLUMNS if name not in marks]
    if missing:
        raise ValueError(f"The marks lack the column {missing[0]!r}; give the frame of Journal.marks_frame.")
    if not marks["mark"].between(0, 100).all():
        raise ValueError("A mark lies outside the line; give numbers from 0 to 100.")
    name = only_taster(marks) if taster is None else taster
    cups = marks.assign(lot=marks["coffee_id"].where(marks["coffee_id"].notna(), marks["serving_id"]))
    keys = ["attribute", "taster", "tasting_id", "lot", "serving_id"]
    cups = cups.groupby(keys, as_index=False, sort=True)["mark"].mean()
    own = cups[cups["taster"] == name]
    attributes = sorted(own["attribute"].unique())
    rows = [_analyse(attribute, own, cups) for attribute in attributes]
    names = ["attribute", "servings", "repeats", "sd", "sd_low", "sd_high", "f", "f_df", "p_value"]
    names += ["shared", "agreement", "agreement_low", "agreement_high"]
    frame = pd.DataFrame({column: pd.Series([row[column] for row in rows], dtype=object) for column in names})
    correlations = {attribute: _correlate(cups[cups["attribute"] == attribute]) for attribute in attributes}
    return LineMarks(name, frame, {attribute: found for attribute, found in correlations.items() if found})


def repeatability(cells: list[np.ndarray], level: float = 0.95) -> Repeatability | None:
    r"""Give the repeatability standard deviation.

    .. math:: s_r = \sqrt{\sum_i \sum_j (y_{ij} - \bar y_i)^2 \Big/ \sum_i (n_i - 1)}

    Parameters
    ----------
    cells : list of ndarray
        The repeats of each cell; cells of one value say nothing.
    level : float

    Returns
    -------
    Repeatability or None
        None without a repeat.

    References
    ----------
    ISO 5725-2, 7.4.5.
    """
    df = sum(len(cell) - 1 for cell in cells)
    if not df:
        return None
    total = float(sum(((cell - cell.mean()) ** 2).sum() for cell in cells))
    tail = (1 - level) / 2
    low, high = (np.sqrt(total / chi2.ppf(bound, df)) for bound in (1 - tail, tail))
    return Repeatability(float(np.sqrt(total / df)), float(low), float(high), df)


def _analyse(attribute: str, own: pd.DataFrame, cups: pd.DataFrame) -> dict[str, object]:
    own = own[own["attribute"] == attribute]
    row: dict[str, object] = {"attribute": attribute, "servings": len(own), "repeats": 0} | dict.fromkeys(
        ("sd", "sd_low", "sd_high", "f", "f_df", "p_value", "agreement", "agreement_low", "agreement_high")
    )
    cells = [cell.to_numpy(dtype=float) for _, cell in own.groupby(["tasting_id", "lot"])["mark"]]
    if spread := repeatability(cells):
        row |= {"repeats": spread.df, "sd": spread.sd, "sd_low": spread.low, "sd_high": spread.high}
        row |= _discriminate(own, spread)
    return row | _agree(own, cups[(cups["attribute"] == attribute) & (cups["taster"] != own["taster"].iloc[0])])


def _discriminate(own: pd.DataFrame, spread: Repeatability) -> dict[str, object]:
    """Give F of coffees within tastings."""
    of_coffee = own.groupby(["tasting_id", "lot"])["mark"].agg(["mean", "size"])
    centre = own.groupby("tasting_id")["mark"].mean()
    centres = centre.reindex(of_coffee.index.get_level_values("tasting_id")).to_numpy()
    df = len(of_coffee) - len(centre)
    if not df or spread.sd <= 0:
        return {}
    between = float((of_coffee["size"] * (of_coffee["mean"] - centres) ** 2).sum()) / df
    ratio = between / spread.sd**2
    return {"f": ratio, "f_df": (df, spread.df), "p_value": float(f.sf(ratio, df, spread.df))}


def _agree(own: pd.DataFrame, others: pd.DataFrame) -> dict[str, object]:
    """Correlate with the mean of the others, centred on tastings."""
    group = others.groupby("serving_id")["mark"].mean().rename("group")
    shared = own.merge(group, left_on="serving_id", right_index=True)
    free = len(shared) - shared["tasting_id"].nunique() + 1
    if free < LEAST_SHARED:
        return {"shared": len(shared)}
    centred = shared[["mark", "group"]] - shared.groupby("tasting_id")[["mark", "group"]].transform("mean")
    size = (centred**2).sum()
    if (size <= 1e-9).any():
        return {"shared": len(shared)}
    r = float((centred["mark"] * centred["group"]).sum() / np.sqrt(size["mark"] * size["group"]))
    r = min(max(r, -1.0), 1.0)
    half = norm.ppf(0.975) / np.sqrt(free - 3)
    z = np.arctanh(min(max(r, -0.9999999), 0.9999999))
    low, high = np.tanh([z - half, z + half])
    return {"shared": len(shared), "agreement": r, "agreement_low": float(low), "agreement_high": float(high)}


def _correlate(cups: pd.DataFrame) -> list[Icc]:
    """Give the intraclass correlations of the cups that all tasters of most cups marked."""
    table = cups.pivot_table(index="serving_id", columns="taster", values="mark").dropna()
    if min(table.shape) < 2:
        return []
    try:
        return icc(table.to_numpy())
    except ValueError:  # no error left: all marked alike
        return []
