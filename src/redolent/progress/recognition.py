"""Recognition: can the words alone tell which coffee was in the cup?"""

from collections.abc import Callable
from dataclasses import dataclass, field
from math import factorial, prod
from typing import TYPE_CHECKING

import numpy as np
import pandas as pd

from redolent.lexicon import Lexicon
from redolent.progress import wording
from redolent.progress.mentions import count_mentions, list_servings, only_taster

if TYPE_CHECKING:
    from sklearn.pipeline import Pipeline

ALPHA = 0.05
LEAST_TASTINGS = 3
"""A coffee met in fewer tastings leaves too little to learn from when one of them is held out."""
MOST_TASTINGS = 100
"""Of a long history the newest tastings are tried: a taster of ten years ago was another."""
PENALTY = 1.0
PERMUTATIONS = 199


@dataclass(frozen=True, slots=True, eq=False)
class Recognition:
    """How well a classifier names the coffee from the words, each tasting held out in turn.

    Attributes
    ----------
    taster : str
    recalls : DataFrame
        A row a coffee that was met in enough tastings: ``coffee``, ``tastings``, ``servings``, ``named`` (right).
    servings, tastings : int
    reason : str
        Why it could not be tried; empty where it was.
    accuracy : float or None
        Balanced accuracy: mean over coffees of the share of their servings that were named right.
    null : ndarray of float
        Balanced accuracy with coffees relabelled within tastings; empty where it was not tried.
    p_value : float or None
    smallest_p : float
        The smallest p-value that these tastings, or this many permutations, can give; 1 where it was not tried.
    """

    taster: str
    recalls: pd.DataFrame
    servings: int = 0
    tastings: int = 0
    reason: str = ""
    accuracy: float | None = None
    null: np.ndarray = field(default_factory=lambda: np.empty(0))
    p_value: float | None = None
    smallest_p: float = 1.0

    @property
    def coffees(self) -> int:
        """Number of coffees to choose from."""
        return len(self.recalls)

    @property
    def headline(self) -> str:
        """The finding in a few words, for a title."""
        if self.accuracy is None:
            return "Whether the words tell the coffee cannot be tried yet"
        return f"The words name the coffee in {wording.percent(self.accuracy)} of cups (chance {self._chance})"

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        if self.accuracy is None:
            return f"Whether the words alone tell the coffee cannot be tried yet: {self.reason}."
        told = (
            f"From the words alone, one of {self.coffees} coffees is named right in "
            f"{wording.percent(self.accuracy)} of cups, where guessing gives {self._chance}"
        )
        if self.smallest_p > ALPHA:
            return f"{told}; too few cups of different coffees met in one tasting to hold that against chance."
        if self.p_value is not None and self.p_value <= ALPHA:
            return f"{told}: the words tell the coffees apart."
        return f"{told}: no sign yet that the words tell the coffees apart."

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        if self.accuracy is None or self.p_value is None:
            return ""
        low, high = np.quantile(self.null, [0.025, 0.975])
        return (
            f"Ridge classifier on the places named and those above them, {wording.count(self.servings, 'serving')} of "
            f"coffees met in {LEAST_TASTINGS} tastings or more, each of {wording.count(self.tastings, 'tasting')} held "
            f"out in turn; balanced accuracy {wording.percent(self.accuracy)}, with coffees relabelled within tastings "
            f"95 % between {wording.between((low, high))} ({len(self.null)} times, {wording.p(self.p_value)}, smallest "
            f"possible {wording.small(self.smallest_p)})."
        )

    def to_frame(self) -> pd.DataFrame:
        """Give a row a coffee."""
        return self.recalls.copy()

    @property
    def _chance(self) -> str:
        return wording.percent(float(self.null.mean()))


def coffee_pipeline(lexicon: Lexicon | None = None) -> "Pipeline":
    """Give the scikit-learn pipeline, from the texts of servings to their coffees, that `recognise` computes."""
    from sklearn.linear_model import RidgeClassifier
    from sklearn.pipeline import make_pipeline
    from sklearn.preprocessing import Binarizer

    from redolent.notes.vectorizer import LexiconVectorizer

    words = LexiconVectorizer(ancestors=True, hedged=False, lexicon=lexicon)
    return make_pipeline(words, Binarizer(), RidgeClassifier(alpha=PENALTY))


def recognise(
    mentions: pd.DataFrame, *, permutations: int = PERMUTATIONS, seed: int = 0, lexicon: Lexicon | None = None
) -> Recognition:
    """Let a classifier name the coffee from the words, holding out each tasting in turn.

    Parameters
    ----------
    mentions : DataFrame
        As `mention_frame` gives them, of one taster. What counts is picked here, by `count_mentions`.
    permutations : int
        Of the coffees within tastings.
    seed : int
    lexicon : Lexicon, optional

    Raises
    ------
    ValueError
        Where there are several tasters.

    Notes
    -----
    The answer is that of `coffee_pipeline` under leave-one-tasting-out, without fitting it again for each
    tasting and each permutation: of a penalised least-squares fit with hat matrix :math:`H`, the prediction for a
    held-out group :math:`g` is :math:`y_g - (I - H_{gg})^{-1} (y_g - \\hat y_g)`, and :math:`H` knows no labels.

    References
    ----------
    Permutation of a classifier's labels: Ojala & Garriga (2010), Journal of Machine Learning Research 11:1833–1863.
    Predictions with a group left out: Cook & Weisberg (1982), Residuals and Influence in Regression, chapter 3.
    """
    taster, lexicon = only_taster(mentions), lexicon or Lexicon.load()
    servings = list_servings(mentions)
    newest = servings["tasting"] > servings["tasting"].max() - MOST_TASTINGS
    known = servings[servings["lot"].notna() & newest]
    met = known.groupby("lot")["tasting"].nunique()
    kept = known[known["lot"].isin(met.index[met >= LEAST_TASTINGS])]
    tried = kept.groupby("lot", sort=True).agg(
        coffee=("coffee", "first"), tastings=("tasting", "nunique"), servings=("serving_id", "size")
    )
    if reason := _refuse(kept, met):
        return Recognition(taster, tried.assign(named=0).iloc[:0].reset_index(drop=True), reason=reason)

    features = _features(mentions, kept["serving_id"], lexicon)
    coffees, _ = pd.factorize(kept["lot"], sort=True)
    tastings, _ = pd.factorize(kept["tasting"])
    predict = _predictor(features, tastings)
    rng = np.random.default_rng(seed)
    within = np.argsort(tastings + rng.random((permutations, len(tastings))), axis=1)
    home = np.argsort(tastings, kind="stable")
    shuffled = np.empty((permutations, len(coffees)), dtype=int)
    shuffled[:, home] = coffees[within]
    named = predict(coffees[np.newaxis])[0] == coffees
    null = [_balanced(guess == labels, labels) for guess, labels in zip(predict(shuffled), shuffled, strict=True)]
    accuracy = _balanced(named, coffees)
    as_high = sum(value >= accuracy - 1e-12 for value in null)
    return Recognition(
        taster,
        tried.assign(named=np.bincount(coffees, weights=named).astype(int)).reset_index(drop=True),
        servings=len(kept),
        tastings=int(tastings.max()) + 1,
        accuracy=accuracy,
        null=np.array(null),
        p_value=(as_high + 1) / (permutations + 1),
        smallest_p=max(1 / _arrangements(coffees, tastings), 1 / (permutations + 1)),
    )


def _refuse(kept: pd.DataFrame, met: pd.Series) -> str:
    if kept["lot"].nunique() < 2:
        enough = int((met >= LEAST_TASTINGS).sum())
        return (
            f"it takes two coffees met in {LEAST_TASTINGS} tastings each, and "
            f"{wording.count(enough, 'coffee was', 'coffees were')} met so often"
        )
    if (kept.groupby("tasting")["lot"].nunique() < 2).all():
        return "the coffees that were met in three tastings never stood side by side; serve two of them in one tasting"
    return ""


def _features(mentions: pd.DataFrame, servings: pd.Series, lexicon: Lexicon) -> np.ndarray:
    """Give which places, and places above them, each serving names: shape (servings, places), those that vary."""
    counted = count_mentions(mentions)
    counted = counted[counted["serving_id"].isin(set(servings))]
    row = pd.Index(servings).get_indexer(counted["serving_id"])
    chains = {node: [*(above.id for above in lexicon.ancestors(node)), node] for node in counted["node"].unique()}
    columns = {place: i for i, place in enumerate(sorted({place for chain in chains.values() for place in chain}))}
    features = np.zeros((len(servings), len(columns)))
    for serving, node in zip(row, counted["node"].tolist(), strict=True):
        features[serving, [columns[place] for place in chains[node]]] = 1
    return features


def _predictor(features: np.ndarray, tastings: np.ndarray) -> Callable[[np.ndarray], np.ndarray]:
    """Give a function from labels to those predicted with their tasting held out."""
    rows = len(features)
    # The kernel form: servings may be fewer than places. An intercept that is not penalised centres it.
    if features.shape[1] <= rows:
        design = np.hstack([features, np.ones((rows, 1))])
        penalty = PENALTY * np.eye(design.shape[1])
        penalty[-1, -1] = 0
        back = np.linalg.solve(design.T @ design + penalty, design.T)
    else:
        mean = features.mean(axis=0)
        centred = features - mean
        inverse = np.linalg.inv(centred @ centred.T + PENALTY * np.eye(rows))
        design = np.hstack([centred @ centred.T, np.ones((rows, 1))])
        centring = np.eye(rows) - 1 / rows
        back = np.vstack([inverse @ centring, np.full((1, rows), 1 / rows)])
    rest = np.eye(rows) - design @ back
    scores = np.eye(rows)
    for group in (np.flatnonzero(tastings == number) for number in range(int(tastings.max()) + 1)):
        scores[group] -= np.linalg.solve(rest[np.ix_(group, group)], rest[group])

    def predict(labels: np.ndarray) -> np.ndarray:
        # All labellings in one product: shape (labellings, servings) in and out.
        targets = 2.0 * np.eye(int(labels.max()) + 1)[labels] - 1
        stacked = np.moveaxis(targets, 1, 0).reshape(rows, -1)
        return (scores @ stacked).reshape(rows, len(labels), -1).argmax(axis=2).T

    return predict


def _balanced(right: np.ndarray, labels: np.ndarray) -> float:
    return float((np.bincount(labels, weights=right) / np.bincount(labels)).mean())


def _arrangements(coffees: np.ndarray, tastings: np.ndarray) -> int:
    """Count the ways to lay the coffees of each tasting out differently."""
    ways = 1
    for tasting in range(int(tastings.max()) + 1):
        sizes = np.bincount(coffees[tastings == tasting])
        ways *= factorial(int(sizes.sum())) // prod(factorial(int(size)) for size in sizes)
    return ways
