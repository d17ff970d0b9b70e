"""Ordinal trend: whether what comes later ranks higher than what came earlier."""

from dataclasses import dataclass

import numpy as np

from redolent.progress.jackknife import standard_error, t_quantile

LEAST_TASTINGS = 6
"""Fewer give no interval that holds."""


@dataclass(frozen=True, slots=True)
class Trend:
    """Somers' D of a rank on time.

    Attributes
    ----------
    d : float
        −1 to 1: of two values from different tastings, the probability that the later one ranks higher minus
        that it ranks lower.
    low, high : float or None
        95 % interval (jackknife over tastings); None with too few tastings, or where it does not vary.
    tastings : int
    """

    d: float
    low: float | None
    high: float | None
    tastings: int

    @property
    def direction(self) -> int:
        """1 or −1 where the interval leaves 0 out, else 0."""
        if self.low is None or self.high is None:
            return 0
        return int(self.low > 0) - int(self.high < 0)


def ordinal_trend(tastings: np.ndarray, ranks: np.ndarray) -> Trend | None:
    r"""Give Somers' D of ranks on the order of their tastings.

    .. math:: D = (P - Q) / N

    with :math:`P` pairs of values from two tastings of which the later ranks higher, :math:`Q` lower, and
    :math:`N` all pairs from two tastings.

    Parameters
    ----------
    tastings, ranks : ndarray of int, shape (values,)

    Returns
    -------
    Trend or None
        None where there are not two tastings.

    References
    ----------
    Somers (1962), American Sociological Review 27:799–811.
    """
    _, tasting = np.unique(tastings, return_inverse=True)
    _, rank = np.unique(ranks, return_inverse=True)
    if not len(tasting) or tasting.max() < 1:
        return None
    table = np.zeros((tasting.max() + 1, rank.max() + 1))
    np.add.at(table, (tasting, rank), 1)
    before = table.cumsum(axis=0) - table
    after = table.sum(axis=0) - before - table
    # Of each tasting with all others: what ranks lower before it or higher after it speaks for a rise.
    rises = (table * (_below(before) + _above(after) - _above(before) - _below(after))).sum(axis=1)
    sizes = table.sum(axis=1)
    pairs = sizes * (sizes.sum() - sizes)
    d = rises.sum() / pairs.sum()
    count = len(sizes)
    if count < LEAST_TASTINGS:
        return Trend(float(d), None, None, count)
    left_out = (rises.sum() / 2 - rises) / np.maximum(pairs.sum() / 2 - pairs, 1)
    half = t_quantile(count) * float(standard_error(left_out))
    if half < 1e-9:
        return Trend(float(d), None, None, count)
    return Trend(float(d), max(float(d) - half, -1.0), min(float(d) + half, 1.0), count)


def _below(table: np.ndarray) -> np.ndarray:
    return table.cumsum(axis=1) - table


def _above(table: np.ndarray) -> np.ndarray:
    return table.sum(axis=1, keepdims=True) - table.cumsum(axis=1)
