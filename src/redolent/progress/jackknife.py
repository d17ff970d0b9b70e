"""Errors from whole tastings left out, or drawn again.

Leaving out suits what interpolates; for what extrapolates from the words that came up once and twice it errs far on
the large side (simulated: by half), and drawing again is near the truth (`benchmarks/intervals.py`).
"""

from collections.abc import Callable

import numpy as np
from scipy.stats import t as student

from redolent.progress.incidence import Incidence

Estimator = Callable[[np.ndarray, np.ndarray], np.ndarray]
"""From counts of shape (..., nodes) and units of shape (...) to an estimate of shape (...)."""


def standard_error(values: np.ndarray) -> np.ndarray:
    """Give the jackknife standard error from the estimates with each group left out, along the first axis.

    References
    ----------
    Efron & Stein (1981), Annals of Statistics 9:586–596.
    """
    groups = len(values)
    return np.sqrt((groups - 1) * values.var(axis=0)) if groups > 1 else np.zeros(values.shape[1:])


def bootstrap_error(
    incidence: Incidence, estimator: Estimator, rng: np.random.Generator, draws: int = 100
) -> np.ndarray:
    """Give the standard error of estimates from tastings drawn with replacement."""
    tastings = len(incidence.sizes)
    weights = rng.multinomial(tastings, np.full(tastings, 1 / tastings), size=draws)
    return np.std(estimator(weights @ incidence.table, weights @ incidence.sizes), axis=0)


def estimate_with_error(incidence: Incidence, estimator: Estimator) -> tuple[float, float]:
    """Give an estimate and its jackknife standard error, whole tastings left out."""
    counts, units = incidence.left_out()
    estimate = estimator(incidence.counts, np.asarray(incidence.units))
    return float(estimate), float(standard_error(np.asarray(estimator(counts, units))))


def t_quantile(groups: int, level: float = 0.95) -> float:
    """Give the quantile of Student's t for the interval of an estimate from `groups` tastings."""
    return float(student.ppf((1 + level) / 2, max(groups - 1, 1)))


def welch_quantile(errors: np.ndarray, groups: list[int], level: float = 0.95) -> float:
    """Give the quantile of Student's t for a difference of estimates with these standard errors.

    References
    ----------
    Welch (1947), Biometrika 34:28–35.
    """
    squares = errors**2
    spread = (squares**2 / (np.maximum(groups, 2) - 1)).sum()
    df = squares.sum() ** 2 / spread if spread > 0 else 1.0
    return float(student.ppf((1 + level) / 2, max(df, 1.0)))
