"""Rarefaction and extrapolation: how many kinds a smaller or larger sample would hold."""

import numpy as np

from redolent.progress.coverage import log_missed
from redolent.progress.richness import chao2


def rarefy(counts: np.ndarray, units: np.ndarray | int, size: np.ndarray | float) -> np.ndarray:
    r"""Give the expected richness of `size` sampling units.

    Up to the :math:`T` units that there are

    .. math:: S - \sum_i \binom{T - Y_i}{t} \Big/ \binom{T}{t}

    and beyond them, with :math:`Q_0` from `chao2`,

    .. math:: S + Q_0 \left[1 - \left(1 - \frac{Q_1}{Q_1 + T Q_0}\right)^{t - T}\right].

    Parameters
    ----------
    counts : ndarray of int, shape (..., kinds)
        In how many sampling units each kind was found.
    units : int or ndarray of int, shape (...)
    size : float or ndarray of float, shape (...)
        Need not be whole. Beyond twice the units the estimate leans on `chao2` too much to be shown.

    Returns
    -------
    ndarray of float, shape (...)

    References
    ----------
    Colwell et al. (2012), Journal of Plant Ecology 5:3–21, equations 17 and 18.
    """
    counts = np.asarray(counts, dtype=float)
    units, size = np.asarray(units, dtype=float), np.asarray(size, dtype=float)
    observed, once = (counts > 0).sum(-1), (counts == 1).sum(-1)
    unseen = chao2(counts, units) - observed
    fresh = once / np.maximum(once + units * unseen, 1e-300)
    larger = observed + unseen * (1 - (1 - fresh) ** np.maximum(size - units, 0))
    if (size >= units).all():
        return larger
    missed = np.exp(log_missed(counts, units[..., np.newaxis], size[..., np.newaxis]))
    smaller = observed - np.where(counts > 0, missed, 0).sum(-1)
    return np.where(size < units, smaller, larger)
