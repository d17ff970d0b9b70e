"""Intraclass correlation: how much of the variance of ratings lies between what is rated."""

from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy.stats import f


@dataclass(frozen=True, slots=True)
class Icc:
    """One intraclass correlation.

    Attributes
    ----------
    form : str
        "ICC(1,1)", …, "ICC(3,k)" after Shrout & Fleiss, with the number of judges for k.
    value, low, high : float
        With its 95 % interval.
    targets, judges : int
    """

    form: str
    value: float
    low: float
    high: float
    targets: int
    judges: int


def icc(ratings: np.ndarray, level: float = 0.95) -> list[Icc]:
    r"""Give the six intraclass correlations of Shrout & Fleiss, with their intervals.

    With the mean squares between targets :math:`B`, within targets :math:`W`, between judges :math:`J` and of the
    residual :math:`E`, for :math:`n` targets and :math:`k` judges: one-way

    .. math:: ICC(1,1) = \frac{B - W}{B + (k - 1) W}

    two-way with judges at random, and with judges fixed:

    .. math:: ICC(2,1) = \frac{B - E}{B + (k - 1) E + k (J - E) / n}, \quad ICC(3,1) = \frac{B - E}{B + (k - 1) E}

    Parameters
    ----------
    ratings : ndarray of float, shape (targets, judges)
        Complete.
    level : float
        Of the intervals.

    Raises
    ------
    ValueError
        Where a rating is missing, there are fewer than two targets or judges, or the ratings do not vary.

    References
    ----------
    Shrout & Fleiss (1979), Psychological Bulletin 86:420–428.
    """
    ratings = np.asarray(ratings, dtype=float)
    if ratings.ndim != 2 or min(ratings.shape) < 2 or np.isnan(ratings).any():
        raise ValueError("Intraclass correlation takes a complete table of two or more targets by two or more judges.")
    n, k = ratings.shape
    grand, of_target, of_judge = ratings.mean(), ratings.mean(axis=1), ratings.mean(axis=0)
    between = k * ((of_target - grand) ** 2).sum() / (n - 1)
    judges = n * ((of_judge - grand) ** 2).sum() / (k - 1)
    within = ((ratings - of_target[:, np.newaxis]) ** 2).sum() / (n * (k - 1))
    residual = (n * (k - 1) * within - (k - 1) * judges) / ((n - 1) * (k - 1))
    if within <= 0 or residual <= 1e-12 * max(between, within):
        raise ValueError("The judges rated alike in every target, so that no error is left to compare with.")
    tail = (1 + level) / 2
    one = _single(between, within, k), *_bounds(between / within, n - 1, n * (k - 1), k, tail)
    three = _single(between, residual, k), *_bounds(between / residual, n - 1, (n - 1) * (k - 1), k, tail)
    two = _random_judges(between, judges, residual, n, k, tail)
    forms = [(f"ICC({number},1)", values) for number, values in enumerate((one, two, three), 1)]
    # Spearman–Brown carries a single judge to the mean of k.
    forms += [
        (f"ICC({number},{k})", tuple(k * value / (1 + (k - 1) * value) for value in values))
        for number, values in enumerate((one, two, three), 1)
    ]
    return [Icc(form, float(value), float(low), float(high), n, k) for form, (value, low, high) in forms]


def _single(between: float, error: float, k: int) -> float:
    return (between - error) / (between + (k - 1) * error)


def _bounds(ratio: float, df1: int, df2: int, k: int, tail: float) -> tuple[float, float]:
    low, high = ratio / f.ppf(tail, df1, df2), ratio * f.ppf(tail, df2, df1)
    return (low - 1) / (low + k - 1), (high - 1) / (high + k - 1)


def _random_judges(between: float, judges: float, residual: float, n: int, k: int, tail: float) -> tuple[float, ...]:
    value = (between - residual) / (between + (k - 1) * residual + k * (judges - residual) / n)
    ratio = judges / residual
    rest = n * (1 + (k - 1) * value) - k * value
    df = (k - 1) * (n - 1) * (k * value * ratio + rest) ** 2 / ((n - 1) * (k * value * ratio) ** 2 + rest**2)
    lower, upper = f.ppf(tail, n - 1, df), f.ppf(tail, df, n - 1)
    spread = k * judges + (k * n - k - n) * residual
    low = n * (between - lower * residual) / (lower * spread + n * between)
    high = n * (upper * between - residual) / (spread + n * upper * between)
    return value, low, high


def icc_frame(correlations: list[Icc]) -> pd.DataFrame:
    """Give a row a correlation."""
    return pd.DataFrame([{name: getattr(one, name) for name in Icc.__slots__} for one in correlations])
