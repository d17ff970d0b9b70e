r"""Several tasters, several triads each.

Under guessing all answers are alike, whoever gives them, so the pooled binomial is right for a difference. How much the
tasters differ is seen by the chance-corrected beta-binomial: each has a share of detection π from a beta distribution
with mean μ and, in the place of a variance, γ between 0 (all alike) and 1 (some always detect, the others never); then

.. math:: P(x) = \binom{n}{x} \int p^x (1 - p)^{n - x} \, dB(π), \qquad p = g + (1 - g) π.

References
----------
Brockhoff (2003), Food Quality and Preference 14:405–417. Self & Liang (1987), Journal of the American Statistical
Association 82:605–610, for the mixture. Holm (1979), Scandinavian Journal of Statistics 6:65–70.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import log
from typing import TYPE_CHECKING

import numpy as np
from scipy.optimize import minimize
from scipy.special import betaln, expit, gammaln, logit
from scipy.stats import chi2

from redolent.triangle.binomial import counts, p_value, share
from redolent.triangle.psychometric import TRIANGLE, Method
from redolent.triangle.verdict import Verdict, judge

if TYPE_CHECKING:
    from pandas import DataFrame


@dataclass(frozen=True, slots=True)
class Tasters:
    """The verdict on several tasters and one pair.

    Attributes
    ----------
    names : tuple of str
    correct, of : tuple of int
    p_values, adjusted : tuple of float
        Exact and one-sided for each taster, and corrected for their number (Holm).
    pooled : Verdict
        Of all answers together.
    mean_pd, overdispersion : float
        μ and γ of the chance-corrected beta-binomial, by maximum likelihood.
    overdispersion_p : float
        Of the likelihood ratio against γ = 0, whose null is an even mixture of χ² with 0 and 1 degree of freedom.
    alpha : float
    """

    names: tuple[str, ...]
    correct: tuple[int, ...]
    of: tuple[int, ...]
    p_values: tuple[float, ...]
    adjusted: tuple[float, ...]
    pooled: Verdict
    mean_pd: float
    overdispersion: float
    overdispersion_p: float
    alpha: float

    @property
    def shown(self) -> tuple[str, ...]:
        """The tasters for whom a difference is shown after the correction."""
        return tuple(name for name, p in zip(self.names, self.adjusted, strict=True) if p <= self.alpha)

    @property
    def finding(self) -> str:
        """What holds together, whether the tasters differ, and for whom it is shown."""
        if max(self.of) == 1:
            apart = "With one triad each, whether they differ cannot be seen."
        elif self.overdispersion_p <= self.alpha:
            apart = (
                f"They differ (γ = {self.overdispersion:.2f}, p = {self.overdispersion_p:.2g}): the pooled proportion "
                "is no taster's own, and its interval is too narrow for anybody else."
            )
        else:
            apart = (
                f"That they differ is not shown (γ = {self.overdispersion:.2f}, p = {self.overdispersion_p:.2g}), "
                "which does not mean that they are alike."
            )
        some = f"{len(self.shown)} of {len(self.names)} tasters"
        alone = (
            f"Each alone, corrected for their number (Holm), a difference is shown for {some} "
            f"at the level {self.alpha:g}."
        )
        return f"Together: {self.pooled.finding} {apart} {alone}"

    def to_frame(self) -> "DataFrame":
        """Give a row a taster."""
        from pandas import DataFrame

        return DataFrame(
            {
                "taster": self.names,
                "correct": self.correct,
                "of": self.of,
                "proportion": np.array(self.correct) / self.of,
                "p_value": self.p_values,
                "adjusted": self.adjusted,
                "shown": [p <= self.alpha for p in self.adjusted],
            }
        )


def judge_tasters(results: Mapping[str, tuple[int, int]], *, alpha: float = 0.05, method: Method = TRIANGLE) -> Tasters:
    """Judge several tasters on one pair, together and each alone.

    Parameters
    ----------
    results : mapping of str to (correct, of)
        By taster.
    alpha : float
    method : Method

    Raises
    ------
    ValueError
        Where there are fewer than two tasters, or counts make no sense.
    """
    if len(results) < 2:
        raise ValueError("Several tasters are two or more; judge one alone with judge.")
    alpha = share("alpha", alpha)
    checked = {name: counts(*result) for name, result in results.items()}
    correct, of = (np.array(part) for part in zip(*checked.values(), strict=True))
    values = [p_value(*result, method.guessing) for result in checked.values()]
    mean, spread, spread_p = fit_overdispersion(correct, of, method)
    return Tasters(
        names=tuple(checked),
        correct=tuple(correct.tolist()),
        of=tuple(of.tolist()),
        p_values=tuple(values),
        adjusted=tuple(adjust(values)),
        pooled=judge(int(correct.sum()), int(of.sum()), alpha=alpha, tasters=len(checked), method=method),
        mean_pd=mean,
        overdispersion=spread,
        overdispersion_p=spread_p,
        alpha=alpha,
    )


def adjust(values: list[float]) -> list[float]:
    """Correct p-values for their number, step by step from the smallest (Holm 1979)."""
    ranked = sorted(range(len(values)), key=values.__getitem__)
    adjusted, so_far = [1.0] * len(values), 0.0
    for rank, place in enumerate(ranked):
        so_far = max(so_far, min(1.0, (len(values) - rank) * values[place]))
        adjusted[place] = so_far
    return adjusted


def fit_overdispersion(correct: np.ndarray, of: np.ndarray, method: Method = TRIANGLE) -> tuple[float, float, float]:
    """Fit the chance-corrected beta-binomial.

    Parameters
    ----------
    correct, of : array of int, shape (tasters,)

    Returns
    -------
    tuple of float
        μ, γ, and the p-value against γ = 0.
    """
    pooled = max(method.guessing, correct.sum() / of.sum())
    mean = method.discriminators(pooled)
    kept = min(pooled, 1 - 1e-15)
    alike = float((_choices(correct, of) + correct * np.log(kept) + (of - correct) * np.log1p(-kept)).sum())
    if of.max() == 1 or mean in (0, 1):
        return mean, 0.0, 1.0

    likelihood = prepare_likelihood(correct, of, method.guessing)

    def lack(ends: np.ndarray) -> float:
        return -likelihood(*expit(ends))

    starts = [(m, g) for m in (0.1, 0.3, 0.6, 0.9) for g in (0.03, 0.2, 0.5, 0.8)]
    first = min((logit(np.array(start)) for start in starts), key=lack)
    found = minimize(lack, first, method="Powell", bounds=[(-8, 8), (-8, 8)], options={"ftol": 1e-8})
    ratio = 2 * (-float(found.fun) - alike)
    # A γ that improves nothing is none.
    if ratio < 1e-6:
        return mean, 0.0, 1.0
    mean, spread = (float(end) for end in expit(found.x))
    return mean, spread, float(chi2.sf(ratio, 1) / 2)


def prepare_likelihood(
    correct: np.ndarray, of: np.ndarray, guessing: float = TRIANGLE.guessing
) -> Callable[[float, float], float]:
    """Give the log likelihood of the chance-corrected beta-binomial, as a function of μ and γ, both between 0 and 1.

    Of x right answers some were detections and the others lucky guesses; the likelihood is a sum over how many, with
    positive terms only.
    """
    detected = np.arange(correct.max() + 1)
    x, n = correct[:, None], of[:, None]
    fixed = np.where(
        detected <= x,
        _choices(correct, of)[:, None]
        + _choices(detected, np.maximum(x, detected))
        + (x - detected) * log(guessing)
        + (n - x + detected) * log(1 - guessing),
        -np.inf,
    )

    def likelihood(mean: float, spread: float) -> float:
        a, b = mean * (1 - spread) / spread, (1 - mean) * (1 - spread) / spread
        return float(np.logaddexp.reduce(fixed + betaln(a + detected, b + n - x) - betaln(a, b), axis=1).sum())

    return likelihood


def _choices(k: np.ndarray, n: np.ndarray) -> np.ndarray:
    """Log of the binomial coefficient."""
    return gammaln(n + 1) - gammaln(k + 1) - gammaln(n - k + 1)
