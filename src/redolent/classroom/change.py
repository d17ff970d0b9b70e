"""Change: each taster against their own past, beside the spread of the class."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from redolent.progress import wording
from redolent.progress.resample import LEAST_TASTINGS, RESAMPLES, draw_ratios, percentile_interval, thirds

MEASURES = ("words", "fitting")


@dataclass(frozen=True, slots=True, eq=False)
class Changes:
    """How much each taster says, and how much of it fits the cup, in the first and the last third of their tastings.

    Attributes
    ----------
    tasters : DataFrame
        A row a taster, by name: ``taster``, ``tastings``, ``words_first``, ``words_last`` (places said a cup),
        ``words_low`` and ``words_high`` (95 % interval of the difference), the same for ``fitting`` (see
        `find_changes`), and ``pattern``: "learns", "says more", "steady", "other" or
        "too few".
    """

    tasters: pd.DataFrame

    @property
    def finding(self) -> str:
        """How many learn, and who only writes more."""
        return self.tell()

    def tell(self, names: bool = True) -> str:
        """Say it in sentences, with names or without."""
        told = self.tasters[self.tasters["pattern"] != "too few"]
        if not len(told):
            return f"Nobody has enough tastings with others yet; {3 * LEAST_TASTINGS} each would show a change."
        counts = told["pattern"].value_counts()
        sentences = []
        for pattern, meaning in (
            ("learns", "learns: says more, and more of it fits the cup by what the others say there"),
            (
                "says more",
                "writes more without more of it fitting the cup: more words are not shown to be learned ones",
            ),
        ):
            who = told.loc[told["pattern"] == pattern, "taster"].tolist()
            if who:
                subject = wording.listing(who) if names else wording.count(len(who), "taster")
                several = len(who) > 1
                sentences.append(f"{subject} {_plural(meaning) if several else meaning}.")
        rest = int(counts.get("steady", 0) + counts.get("other", 0))
        if rest == len(told):
            whom = f"none of the {rest} tasters" if rest > 1 else "the one taster"
            shown = "is it" if rest > 1 else "it is not"
            sentences.append(f"Of {whom} with enough tastings {shown} shown that they learn or only write more.")
        elif rest:
            whom = f"the other {rest}" if rest > 1 else "the other taster"
            sentences.append(f"Of {whom} neither is shown, which does not mean that they stand still.")
        return " ".join(sentences)

    def tell_of(self, taster: str) -> str:
        """Say how one taster changed, beside the class's spread and without anybody else's name."""
        found = self.tasters[self.tasters["taster"] == taster]
        if not len(found) or found.iloc[0]["pattern"] == "too few":
            return f"{taster} has too few tastings with others to show a change; {3 * LEAST_TASTINGS} would."
        row = found.iloc[0]
        meaning = {
            "learns": "learns: more is said, and more of it fits the cup by what the others say there",
            "says more": "writes more without more of it fitting the cup: more words are not shown to be learned ones",
            "steady": "is not shown to have changed",
            "other": "has changed, though not by saying more that fits",
        }[row["pattern"]]
        return (
            f"{taster} {meaning}. Words a cup went from {row['words_first']:.1f} to {row['words_last']:.1f} "
            f"(change {_change(row, 'words', 1)}; the middle half of the class now {self._middle('words', 1)}); "
            f"words that fit from {row['fitting_first']:.1f} to {row['fitting_last']:.1f} "
            f"(change {_change(row, 'fitting', 1)}; the middle half of the class now {self._middle('fitting', 1)})."
        )

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        told = self.tasters[self.tasters["pattern"] != "too few"]
        if not len(told):
            return ""
        return (
            f"{wording.count(len(told), 'taster')}, the first third of each one's tastings against the last. The class "
            f"now: words a cup, middle half {self._middle('words', 1)}; words that fit, middle half "
            f"{self._middle('fitting', 1)}. A word fits as far as more of the others named its group at this cup than "
            "at cups of other coffees. 95 % bootstrap intervals that draw whole tastings, each at its own level, not "
            "corrected for the number of tasters. To fit is to say what others say, which is no measure of being right."
        )

    def to_frame(self) -> pd.DataFrame:
        """Give a row a taster."""
        return self.tasters.copy()

    def _middle(self, measure: str, decimals: int) -> str:
        values = self.tasters[f"{measure}_last"].dropna().astype(float)
        low, high = np.quantile(values, [0.25, 0.75])
        return f"{low:.{decimals}f} to {high:.{decimals}f}"


def find_changes(said: pd.DataFrame, meetings: pd.DataFrame, *, seed: int = 0) -> Changes:
    r"""Compare the first and the last third of each taster's tastings.

    Somebody learns where both the words a cup and those that fit rise, says more where only the words do. Saying more
    alone brings no more that fits: at cup :math:`u` a taster's groups :math:`G` add up to

    .. math:: \sum_{g \in G} (q_{gu} - \bar q_{gu}),

    where :math:`q_{gu}` is the share of the others there who named :math:`g`, and :math:`\bar q_{gu}` its mean over the
    taster's cups of other coffees. Words said at random add nothing on the mean.

    Parameters
    ----------
    said, meetings : DataFrame
        As `list_said` and `list_meetings` give them.
    seed : int
    """
    met = meetings.drop_duplicates(["taster", "meeting"])
    rng = np.random.default_rng(seed)
    cups = met.groupby(["taster", "tasting"]).size()
    words = said.groupby(["taster", "tasting"]).size().reindex(cups.index, fill_value=0)
    fitting = _fit(said, met).groupby(["taster", "tasting"])["fit"].sum().reindex(cups.index, fill_value=0.0)
    rows = []
    for taster, own in cups.groupby(level="taster"):
        told: dict[str, float | None] = {}
        for measure, tops in zip(MEASURES, (words, fitting), strict=True):
            told |= _compare(measure, tops[own.index].to_numpy(float), own.to_numpy(float), rng)
        rows.append({"taster": taster, "tastings": len(own), **told, "pattern": _pattern(told)})
    columns = ["taster", "tastings"]
    columns += [f"{measure}_{part}" for measure in MEASURES for part in ("first", "last", "low", "high")] + ["pattern"]
    return Changes(pd.DataFrame(rows, columns=columns, dtype=object))


def _fit(said: pd.DataFrame, met: pd.DataFrame) -> pd.DataFrame:
    """Give each meeting the sum of what its words fit, by taster and tasting."""
    tasters, cups = pd.Index(sorted(met["taster"].unique())), pd.Index(sorted(met["meeting"].unique()))
    at = tasters.get_indexer(met["taster"]), cups.get_indexer(met["meeting"])
    there = np.zeros((len(tasters), len(cups)))
    there[at] = 1
    others = np.maximum(there.sum(axis=0) - 1, 1)
    coffee = met.drop_duplicates("meeting").set_index("meeting")["coffee"].reindex(cups)
    codes, names = pd.factorize(coffee.where(coffee != "", cups.to_series()))
    same = np.eye(len(names))[codes]
    number = there @ same
    elsewhere = np.maximum(number.sum(axis=1, keepdims=True) - number, 1)
    fit = np.zeros_like(there)
    named = said.dropna(subset=["group"]).drop_duplicates(["taster", "meeting", "group"])
    for _, own in named.groupby("group"):
        yes = np.zeros_like(there)
        yes[tasters.get_indexer(own["taster"]), cups.get_indexer(own["meeting"])] = 1
        share = (yes.sum(axis=0) - yes) / others * there
        of_coffee = share @ same
        base = (of_coffee.sum(axis=1, keepdims=True) - of_coffee) / elsewhere
        fit += yes * (share - base[:, codes])
    return met.assign(fit=fit[at])


def _compare(measure: str, top: np.ndarray, bottom: np.ndarray, rng: np.random.Generator) -> dict[str, float | None]:
    parts, draws = [], []
    for third in thirds(len(top)):
        if len(top[third]) < LEAST_TASTINGS:
            return {f"{measure}_{part}": None for part in ("first", "last", "low", "high")}
        parts.append(float(top[third].sum() / bottom[third].sum()))
        draws.append(draw_ratios(top[third], bottom[third], rng, RESAMPLES))
    bounds = percentile_interval(draws[1] - draws[0], len(top[thirds(len(top))[0]]))
    low, high = bounds or (None, None)
    return {f"{measure}_first": parts[0], f"{measure}_last": parts[1], f"{measure}_low": low, f"{measure}_high": high}


def _pattern(told: dict[str, float | None]) -> str:
    if told["words_first"] is None:
        return "too few"
    more, better = ((told[f"{measure}_low"] or 0) > 0 for measure in MEASURES)
    fewer, worse = ((told[f"{measure}_high"] or 0) < 0 for measure in MEASURES)
    if more:
        return "learns" if better else "says more"
    return "other" if better or fewer or worse else "steady"


def _change(row: pd.Series, measure: str, decimals: int) -> str:
    change = wording.signed(row[f"{measure}_last"] - row[f"{measure}_first"], decimals)
    if row[f"{measure}_low"] is None:
        return change
    low, high = (wording.signed(row[f"{measure}_{end}"], decimals) for end in ("low", "high"))
    return f"{change}, 95 % interval {low} to {high}"


def _plural(meaning: str) -> str:
    return meaning.replace("learns: says", "learn: say", 1).replace("writes more", "write more", 1)
