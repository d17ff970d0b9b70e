"""Sample coverage: which share of all that is named falls to kinds that came up already."""

import numpy as np
from scipy.special import gammaln

_BISECTIONS = 20


def sample_coverage(counts: np.ndarray, units: np.ndarray | int) -> np.ndarray:
    r"""Estimate the sample coverage of incidence data.

    .. math:: 1 - \frac{Q_1}{U} \frac{(T-1) Q_1}{(T-1) Q_1 + 2 Q_2}

    With abundances and their sum for `counts` and `units` it is that of abundance data.

    Parameters
    ----------
    counts : ndarray of int, shape (..., kinds)
        In how many sampling units each kind was found; :math:`U` is their sum.
    units : int or ndarray of int, shape (...)
        Number of sampling units :math:`T`.

    Returns
    -------
    ndarray of float, shape (...)
        0 to 1; 0 where nothing was found.

    References
    ----------
    Chao & Jost (2012), Ecology 93:2533–2547, equation 4a; Chao et al. (2014), Ecological Monographs 84:45–67.
    """
    return coverage_at(counts, units, units)


def coverage_at(counts: np.ndarray, units: np.ndarray | int, size: np.ndarray | float) -> np.ndarray:
    """Estimate the coverage of a smaller or larger sample.

    Parameters
    ----------
    counts, units
        As for `sample_coverage`.
    size : float or ndarray of float, shape (...)
        Sampling units of that sample; need not be whole.

    Returns
    -------
    ndarray of float, shape (...)

    References
    ----------
    Chao & Jost (2012), equations 4b and 12 and their counterparts for incidence; Chao et al. (2014), table 2.
    """
    counts = np.asarray(counts, dtype=float)
    units, size = np.asarray(units, dtype=float), np.asarray(size, dtype=float)
    once, twice = (counts == 1).sum(-1), (counts == 2).sum(-1)
    total = np.maximum(counts.sum(-1), 1)
    # Without a kind found twice, the number of those is estimated from those found once.
    pairs = np.where(twice > 0, once, np.maximum(once - 1, 0)) * (units - 1)
    again = np.where((twice == 0) & (once <= 1), 1.0, pairs / np.maximum(pairs + 2 * np.maximum(twice, 1), 1e-300))
    larger = 1 - once / total * again ** np.maximum(size - units + 1, 0)
    if (size >= units).all():
        return np.where(counts.sum(-1) == 0, 0.0, larger)
    missed = np.exp(log_missed(counts, units[..., np.newaxis] - 1, size[..., np.newaxis], own=1))
    smaller = 1 - (counts * missed).sum(-1) / total
    return np.where(counts.sum(-1) == 0, 0.0, np.where(size < units, smaller, larger))


def size_at(counts: np.ndarray, units: np.ndarray | int, coverage: np.ndarray | float) -> np.ndarray:
    """Give the number of sampling units at which a coverage is reached, at most four times those there are."""
    counts, units = np.asarray(counts), np.asarray(units, dtype=float)
    low, high = np.zeros_like(units), 4 * units
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        below = coverage_at(counts, units, middle) < coverage
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return (low + high) / 2


def log_missed(counts: np.ndarray, units: np.ndarray, size: np.ndarray, own: int = 0) -> np.ndarray:
    """Give the log of the probability that `size` of `units` sampling units hold none of a kind's `counts`.

    The hypergeometric C(T − Y, t) / C(T, t), with the gamma function between whole sizes. With ``own=1`` one of
    the kind's units is set aside: C(T − Y, t) / C(T − 1, t), for `units` T − 1.
    """
    without = units - counts + own
    held = (counts > 0) & (size < without + 1) & (size < units + 1)
    rest = np.where(held, without - size + 1, 1.0)
    log = (
        gammaln(np.maximum(without, 0) + 1)
        - gammaln(rest)
        - gammaln(units + 1)
        + gammaln(np.where(held, units - size + 1, 1.0))
    )
    return np.where(held, log, np.where(counts > 0, -np.inf, 0.0))
