r"""Triangle runs of a class: each result drawn towards the class as far as its own triads are few.

Each taster's share of detection :math:`\pi` comes from a beta distribution with mean μ and spread γ, that is
:math:`a = \mu (1 - \gamma) / \gamma` and :math:`b = (1 - \mu) (1 - \gamma) / \gamma`. Of :math:`x` right answers in
:math:`n` some, :math:`k`, were detections and the others lucky guesses, so that with the guessing probability
:math:`g` what is known of :math:`\pi` afterwards is a mixture of beta distributions,

.. math:: \sum_k w_k \, \mathrm{Beta}(a + k,\; b + n - x), \qquad w_k \propto \binom{x}{k} (1 - g)^k g^{x - k} \,
          \mathrm{B}(a + k,\; b + n - x).

References
----------
Gelman et al. (2013), Bayesian Data Analysis, 3rd ed., 5.1, for empirical Bayes with a beta-binomial. Chung et al.
(2013), Psychometrika 78:685–709, for keeping a spread off its boundary: maximum likelihood would often say that a small
class is all alike.
"""

from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy.special import betainc, betaln, gammaln, xlogy

from redolent.progress import wording
from redolent.progress.discrimination import triangle_history
from redolent.triangle import p_value, proportion_interval
from redolent.triangle.psychometric import TRIANGLE
from redolent.triangle.several import adjust, prepare_likelihood

ALPHA = 0.05
_MEANS, _SPREADS = np.linspace(0.01, 0.99, 25), np.linspace(0.01, 1 / 3, 25)
"""A spread of 1/3 is a + b = 2, as in the even distribution: more would say that people always detect or never do, and
three lucky triads would make an expert."""


@dataclass(frozen=True, slots=True, eq=False)
class ClassTriangles:
    """The triangle results of a class.

    Attributes
    ----------
    tasters : DataFrame
        A row a taster with a counted run, by name: ``taster``, ``correct``, ``of``, ``low`` and ``high`` (exact 95 %
        interval of the proportion correct), ``p_value`` (against guessing), ``adjusted`` (Holm), ``shown``, and
        ``pooled`` with ``pooled_low`` and ``pooled_high``: share of detection after partial pooling, 95 % interval.
    mean, spread : float or None
        μ and γ of the class.
    """

    tasters: pd.DataFrame
    mean: float | None = None
    spread: float | None = None

    @property
    def finding(self) -> str:
        """For whom a difference is shown."""
        return self.tell()

    def tell(self, names: bool = True) -> str:
        """Say it in a sentence, with names or without."""
        if not len(self.tasters):
            return "Nobody has finished a blind triangle run yet."
        shown = self.tasters.loc[self.tasters["shown"], "taster"].tolist()
        whom = f": {wording.listing(shown)}" if names and shown else ""
        rest, better = len(self.tasters) - len(shown), "the odd cup is found more often than by luck"
        if not shown:
            nobody = f"For none of {rest} tasters is it" if rest > 1 else "For the one taster with a run it is not"
            return f"{nobody} shown that {better}; that does not mean guessing."
        left = "the others" if rest > 1 else "the other one"
        others = f"; for {left} it is not shown, which does not mean guessing" if rest else ""
        return (
            f"For {len(shown)} of {wording.count(len(self.tasters), 'taster')} it is shown that {better}{whom}{others}."
        )

    def tell_of(self, taster: str) -> str:
        """Say how one taster stands."""
        found = self.tasters[self.tasters["taster"] == taster]
        if not len(found):
            return f"{taster} has not finished a blind triangle run yet."
        row = found.iloc[0]
        return (
            f"{taster} found {row['correct']} of {row['of']} odd cups (exact 95 % interval "
            f"{wording.between((row['low'], row['high']))}; {wording.p(row['adjusted'])} corrected for the class): "
            f"{'more often than by luck' if row['shown'] else 'not shown to be better than luck'}. Together with what "
            f"the class tells, the odd cup is perceived in about {wording.percent(row['pooled'])} of triads "
            f"({wording.between((row['pooled_low'], row['pooled_high']))})."
        )

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        if self.mean is None:
            return "Partial pooling needs two tasters or more." if len(self.tasters) else ""
        return (
            f"Exact one-sided p-values corrected for the number of tasters (Holm). Partial pooling: chance-corrected "
            f"beta-binomial, share of detection {self.mean:.2f}, spread γ {self.spread:.2f}; the fewer triads, the "
            "nearer to the class. It takes the coffees of all runs for equally hard to tell apart."
        )

    def to_frame(self) -> pd.DataFrame:
        """Give a row a taster."""
        return self.tasters.copy()


def pool_triangles(runs: pd.DataFrame) -> ClassTriangles:
    """Judge each taster's counted runs together, corrected for their number and partly pooled.

    Parameters
    ----------
    runs : DataFrame
        As ``Journal.runs_frame`` gives them, of all tasters. What counts is decided by `triangle_history`.
    """
    rows = []
    for name, own in runs.groupby("taster", sort=True):
        history = triangle_history(own)
        if history.answered:
            low, high = proportion_interval(history.correct, history.answered)
            rows.append(
                (name, history.correct, history.answered, low, high, p_value(history.correct, history.answered))
            )
    tasters = pd.DataFrame(rows, columns=["taster", "correct", "of", "low", "high", "p_value"])
    tasters["adjusted"] = adjust(tasters["p_value"].tolist())
    tasters["shown"] = tasters["adjusted"] <= ALPHA
    if len(tasters) < 2:
        own = [detection for detection in map(TRIANGLE.discriminators, tasters["correct"] / tasters["of"])]
        ends = [[TRIANGLE.discriminators(value) for value in tasters[end]] for end in ("low", "high")]
        return ClassTriangles(tasters.assign(pooled=own, pooled_low=ends[0], pooled_high=ends[1]))
    correct, of = tasters["correct"].to_numpy(), tasters["of"].to_numpy()
    mean, spread = estimate_spread(correct, of)
    pooled = [pool(int(x), int(n), mean, spread) for x, n in zip(correct, of, strict=True)]
    middle, lows, highs = zip(*pooled, strict=True)
    return ClassTriangles(tasters.assign(pooled=middle, pooled_low=lows, pooled_high=highs), mean, spread)


def estimate_spread(correct: np.ndarray, of: np.ndarray, guessing: float = TRIANGLE.guessing) -> tuple[float, float]:
    """Estimate μ and γ of a class: means of their likelihood over an even grid, so that neither is 0 or 1.

    The spread goes no higher than 1/3.
    """
    likelihood = prepare_likelihood(correct, of, guessing)
    logs = np.array([[likelihood(mean, spread) for spread in _SPREADS] for mean in _MEANS])
    weights = np.exp(logs - logs.max())
    weights /= weights.sum()
    return float(weights.sum(axis=1) @ _MEANS), float(weights.sum(axis=0) @ _SPREADS)


def pool(
    correct: int, of: int, mean: float, spread: float, *, guessing: float = TRIANGLE.guessing, level: float = 0.95
) -> tuple[float, float, float]:
    """Give a share of detection and its interval, knowing the class.

    Parameters
    ----------
    correct, of : int
    mean, spread : float
        μ and γ, both between 0 and 1.
    guessing : float
        0 gives the textbook beta-binomial.

    Returns
    -------
    tuple of float
        Mean and ends.
    """
    a, b = mean * (1 - spread) / spread, (1 - mean) * (1 - spread) / spread
    k = np.arange(correct + 1)
    up, down = a + k, b + of - correct
    choices = gammaln(correct + 1) - gammaln(k + 1) - gammaln(correct - k + 1)
    logs = choices + k * np.log1p(-guessing) + xlogy(correct - k, guessing) + betaln(up, down)
    weights = np.exp(logs - logs.max())
    weights /= weights.sum()
    grid = np.linspace(0, 1, 1001)
    cumulated = weights @ betainc(up[:, None], down, grid)
    tail = (1 - level) / 2
    low, high = np.interp([tail, 1 - tail], cumulated, grid)
    return float(weights @ (up / (up + down))), float(low), float(high)
