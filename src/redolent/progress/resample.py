"""Thirds of a history, and the bootstrap over whole tastings.

Servings of one tasting are alike in more than the coffee (mood, water, roast), so what is drawn again is the
tasting.
"""

from math import sqrt

import numpy as np
from scipy.stats import norm
from scipy.stats import t as student

RESAMPLES = 2000
LEAST_TASTINGS = 3
"""Fewer than this give no interval: two tastings have only three bootstrap samples."""


def thirds(tastings: int) -> tuple[slice, slice]:
    """Give the first and the last third of tastings in time order, rounded down."""
    size = tastings // 3
    return slice(0, size), slice(tastings - size, tastings)


def draw_ratios(top: np.ndarray, bottom: np.ndarray, rng: np.random.Generator, resamples: int) -> np.ndarray:
    """Draw tastings with replacement and give the ratio of sums of each draw.

    Parameters
    ----------
    top, bottom : ndarray, shape (tastings,)
        What is summed over the tastings above and below the line; `bottom` above 0.

    Returns
    -------
    ndarray, shape (resamples,)
    """
    drawn = rng.integers(len(top), size=(resamples, len(top)))
    return top[drawn].sum(axis=1) / bottom[drawn].sum(axis=1)


def percentile_interval(draws: np.ndarray, tastings: int, level: float = 0.95) -> tuple[float, float] | None:
    """Give the middle of the draws, or None where all are the same.

    The middle is widened for few tastings, as Student's t is for few values. A bootstrap that never varies
    (each tasting gave the same) knows nothing of what the next tasting may give.

    References
    ----------
    Hesterberg (2015), The American Statistician 69:371–386, "expanded percentile interval".
    """
    if np.ptp(draws) < 1e-12:
        return None
    tail = norm.cdf(sqrt(tastings / (tastings - 1)) * student.ppf((1 - level) / 2, tastings - 1))
    low, high = np.quantile(draws, [tail, 1 - tail])
    return float(low), float(high)
