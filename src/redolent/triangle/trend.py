r"""The trend of d′ over months: a binomial regression whose link is the psychometric function.

The run at month t has correct answers from a binomial with P_c(d′(t)), and d′ changes along a straight line between the
first run and the last. The line is written by its two ends, both at least 0, so that d′ is nowhere below 0:

.. math:: d'(t) = (1 - x) a + x b, \qquad x = (t - t_1)/(t_m - t_1), \qquad a, b ≥ 0.

Inside these bounds this is the generalized linear model with link P_c^{-1}; it is fitted by Fisher scoring. As d′ is
curved in P_c, intervals and tests follow from the likelihood ratio, not from standard errors.

References
----------
Brockhoff & Christensen (2010), Food Quality and Preference 21:330–338. McCullagh & Nelder (1989), Generalized Linear
Models, 2nd ed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING

import numpy as np
from scipy.optimize import brentq, minimize_scalar
from scipy.stats import chi2

from redolent.triangle.binomial import counts, share
from redolent.triangle.pairs import REFERENCE_PAIRS
from redolent.triangle.psychometric import TRIANGLE, Method

if TYPE_CHECKING:
    from pandas import DataFrame

TOP = 12.0
"""A d′ beyond what answers can tell from infinity."""

_GRID = np.concatenate([np.linspace(0, 4, 33), [4.5, 5, 6, 8, TOP]])


@dataclass(frozen=True, slots=True)
class Trend:
    """How one taster's d′ changed.

    Attributes
    ----------
    months : tuple of float
        Time of each run since the first.
    correct, of : tuple of int
    pairs : tuple of str
        The pair of each run.
    start, end : float
        d′ at the first run and the last, on the fitted line.
    slope, low, high : float
        Change of d′ a month with its profile-likelihood interval; infinite where the answers set no bound.
    p_value : float
        Two-sided, of the likelihood ratio against no change.
    level : float
    method : Method
    """

    months: tuple[float, ...]
    correct: tuple[int, ...]
    of: tuple[int, ...]
    pairs: tuple[str, ...]
    start: float
    end: float
    slope: float
    low: float
    high: float
    p_value: float
    level: float
    method: Method = TRIANGLE

    @property
    def confounded(self) -> bool:
        """Whether the runs are anything else than one reference pair made again and again."""
        return len(set(self.pairs)) > 1 or self.pairs[0] not in REFERENCE_PAIRS

    @property
    def finding(self) -> str:
        """What changed, in a sentence, and what it may be due to."""
        low, high = (
            f"{bound:+.2f}".replace("-", "−") if np.isfinite(bound) else "no bound" for bound in (self.low, self.high)
        )
        slope = f"{self.slope:+.2f}".replace("-", "−")
        proven = self.p_value <= 1 - self.level
        said = (
            f"Over {self.months[-1]:.1f} months and {len(self.months)} runs d′ went from {self.start:.2f} to "
            f"{self.end:.2f}: {slope} a month ({100 * self.level:g} % interval {low} to {high}; "
            f"p = {self.p_value:.2g} for one look)"
        )
        if self.confounded:
            return (
                f"{said}. Confounded: the runs are not of one reference pair, so the pairs, their bags and the taster "
                "may each have changed, and nothing is said about growth. Repeat one reference pair to see that."
            )
        verb = "grew" if self.slope > 0 else "shrank"
        return f"{said}; on “{self.pairs[0]}” " + (
            f"this taster's discrimination {verb}."
            if proven
            else "no change is shown, which does not mean that there is none."
        )

    def to_frame(self) -> "DataFrame":
        """Give a row a run with its fitted d′ and proportion."""
        from pandas import DataFrame

        months = np.array(self.months)
        d_prime = self.start + self.slope * months
        return DataFrame(
            {
                "month": months,
                "pair": self.pairs,
                "correct": self.correct,
                "of": self.of,
                "proportion": np.array(self.correct) / self.of,
                "fitted": self.method.proportion(d_prime),
                "d_prime": d_prime,
            }
        )


def fit_trend(
    months: Sequence[float],
    correct: Sequence[int],
    of: Sequence[int],
    pairs: Sequence[str] | str,
    *,
    level: float = 0.95,
    method: Method = TRIANGLE,
) -> Trend:
    """Fit the trend of one taster's d′.

    Parameters
    ----------
    months : sequence of float
        Time of each run, in months; in any order and from any origin.
    correct, of : sequence of int
        Right answers and triads of each run.
    pairs : sequence of str, or str
        The pair of each run, or of all; a name of `REFERENCE_PAIRS` for a reference pair.
    level : float
    method : Method

    Raises
    ------
    ValueError
        Where the sequences differ in length, counts make no sense, or all runs are of one time.
    """
    level = share("level", level)
    pairs = [pairs] * len(months) if isinstance(pairs, str) else list(pairs)
    if not len(months) == len(correct) == len(of) == len(pairs):
        raise ValueError("Give a time, the right answers, the triads and the pair for each run.")
    runs = sorted(
        (float(month), *counts(right, number), pair)
        for month, right, number, pair in zip(months, correct, of, pairs, strict=True)
    )
    if not all(np.isfinite(run[0]) for run in runs) or len({run[0] for run in runs}) < 2:
        raise ValueError("A trend needs runs at two different times or more.")
    t = np.array([run[0] - runs[0][0] for run in runs])
    fit = _Fit(t, np.array([run[1] for run in runs]), np.array([run[2] for run in runs]), method)
    start, end = fit.best()
    span = float(t[-1])
    slope, top = (end - start) / span, fit.likelihood(start, end)
    bar = chi2.ppf(level, 1) / 2

    def above(trial: float) -> float:
        return top - fit.profile(trial) - bar

    ends = []
    for side in (-1, 1):
        edge = side * TOP / span
        ends.append(float(brentq(above, slope, edge, xtol=1e-4 / span)) if above(edge) > 0 else side * inf)
    return Trend(
        months=tuple(t.tolist()),
        correct=tuple(run[1] for run in runs),
        of=tuple(run[2] for run in runs),
        pairs=tuple(run[3] for run in runs),
        start=start,
        end=end,
        slope=slope,
        low=ends[0],
        high=ends[1],
        p_value=float(chi2.sf(max(0.0, 2 * (top - fit.profile(0.0))), 1)),
        level=level,
        method=method,
    )


class _Fit:
    """The likelihood of a line between two ends, and where it is greatest."""

    def __init__(self, t: np.ndarray, correct: np.ndarray, of: np.ndarray, method: Method) -> None:
        self.x, self.span = t / t[-1], float(t[-1])
        self.correct, self.of, self.method = correct, of, method
        self.design = np.column_stack([1 - self.x, self.x])

    def likelihood(self, start: np.ndarray | float, end: np.ndarray | float) -> np.ndarray | float:
        """Log likelihood, but for a constant; the ends are numbers or arrays of one shape."""
        start, end = np.asarray(start)[..., None], np.asarray(end)[..., None]
        p = np.minimum(self.method.proportion(start * (1 - self.x) + end * self.x), 1 - 1e-15)
        return (self.correct * np.log(p) + (self.of - self.correct) * np.log1p(-p)).sum(axis=-1)

    def best(self) -> tuple[float, float]:
        """Fisher scoring from the best point of a coarse grid, within the bounds."""
        start, end = np.meshgrid(_GRID, _GRID, indexing="ij")
        found = np.unravel_index(np.argmax(self.likelihood(start, end)), start.shape)
        ends = np.array([_GRID[found[0]], _GRID[found[1]]])
        ends = np.where(ends == 0, 0.05, ends)
        for _ in range(60):
            step = self._step(ends)
            now, scale = self.likelihood(*ends), 1.0
            while scale > 1e-6 and self.likelihood(*np.clip(ends + scale * step, 0, TOP)) < now:
                scale /= 2
            new = np.clip(ends + scale * step, 0, TOP)
            if scale <= 1e-6 or np.abs(new - ends).max() < 1e-10:
                break
            ends = new
        return float(ends[0]), float(ends[1])

    def _step(self, ends: np.ndarray) -> np.ndarray:
        d = self.design @ ends
        p, slope = np.clip(self.method.proportion(d), 1e-12, 1 - 1e-12), self.method.slope(d)
        score = self.design.T @ ((self.correct - self.of * p) * slope / (p * (1 - p)))
        information = (self.design.T * (self.of * slope**2 / (p * (1 - p)))) @ self.design
        # An end that is held at a bound does not move.
        free = ~(((ends <= 0) & (score <= 0)) | ((ends >= TOP) & (score >= 0)))
        step = np.zeros(2)
        if free.any():
            inner = information[np.ix_(free, free)] + 1e-9 * np.eye(free.sum())
            step[free] = np.linalg.solve(inner, score[free])
        return step

    def profile(self, slope: float) -> float:
        """Greatest log likelihood of a line with `slope`."""
        rise = slope * self.span
        low, high = max(0.0, -rise), min(TOP, TOP - rise)
        starts = np.linspace(low, min(high, low + 5), 41)
        found = np.asarray(self.likelihood(starts, starts + rise))
        place = int(np.argmax(found))
        if high - low < 1e-9:
            return float(found[place])
        left, right = starts[max(0, place - 1)], starts[min(40, place + 1)] if place < 40 else high
        inner = minimize_scalar(
            lambda start: -self.likelihood(start, start + rise), bounds=(left, right), method="bounded"
        )
        return max(float(found[place]), -float(inner.fun))
