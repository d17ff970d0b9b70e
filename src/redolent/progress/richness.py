"""Richness: how many kinds there are, those included that did not come up, from how many came up once or twice."""

import numpy as np
from scipy.stats import norm


def chao2(counts: np.ndarray, units: np.ndarray | int) -> np.ndarray:
    r"""Estimate richness from incidence counts: a lower bound of the number of kinds.

    .. math:: S + \frac{T-1}{T} \frac{Q_1^2}{2 Q_2}, \quad S + \frac{T-1}{T} \frac{Q_1 (Q_1 - 1)}{2}
              \text{ where } Q_2 = 0

    With abundances and their sum for `counts` and `units` this is the estimator Chao1.

    Parameters
    ----------
    counts : ndarray of int, shape (..., kinds)
        In how many sampling units each kind was found.
    units : int or ndarray of int, shape (...)
        Number of sampling units :math:`T`, 1 or more.

    Returns
    -------
    ndarray of float, shape (...)

    References
    ----------
    Chao (1987), Biometrics 43:783–791; Colwell et al. (2012), Journal of Plant Ecology 5:3–21, equations 15a and b.
    """
    observed, once, twice, share = _frequencies(counts, units)
    return observed + share * np.where(twice > 0, once**2 / (2 * np.maximum(twice, 1)), once * (once - 1) / 2)


def chao2_variance(counts: np.ndarray, units: np.ndarray | int) -> np.ndarray:
    """Give the variance of `chao2` where sampling units are independent; shapes as there.

    References
    ----------
    Chao (1987), equation 10, with the factor (T − 1)/T as in Colwell et al. (2012), appendix.
    """
    observed, once, twice, share = _frequencies(counts, units)
    ratio = once / np.maximum(twice, 1)
    usual = twice * (share / 2 * ratio**2 + share**2 * ratio**3 + share**2 / 4 * ratio**4)
    total = np.maximum(observed + share * once * (once - 1) / 2, 1)
    without = share * once * (once - 1) / 2 + share**2 * (once * (2 * once - 1) ** 2 / 4 - once**4 / (4 * total))
    return np.where(twice > 0, usual, np.maximum(without, 0))


def log_interval(
    observed: float, estimate: float, variance: float, quantile: float = norm.ppf(0.975)
) -> tuple[float, float]:
    r"""Give an interval of a richness that cannot lie below what was observed.

    .. math:: S + \hat f_0 / K \text{ to } S + \hat f_0 K, \quad
              K = \exp\left(z \sqrt{\log(1 + \sigma^2 / \hat f_0^2)}\right)

    Parameters
    ----------
    observed, estimate, variance : float
        :math:`S`, :math:`S + \\hat f_0` and its variance.
    quantile : float
        :math:`z`, of the standard normal or a t distribution.

    References
    ----------
    Chao (1987), equation 12.
    """
    unseen = estimate - observed
    if unseen <= 0:
        return float(observed), float(observed + quantile * np.sqrt(variance))
    spread = np.exp(quantile * np.sqrt(np.log1p(variance / unseen**2)))
    return float(observed + unseen / spread), float(observed + unseen * spread)


def _frequencies(counts: np.ndarray, units: np.ndarray | int) -> tuple[np.ndarray, ...]:
    counts = np.asarray(counts)
    observed, once, twice = ((counts > 0).sum(-1), (counts == 1).sum(-1), (counts == 2).sum(-1))
    units = np.maximum(units, 1)
    return observed.astype(float), once.astype(float), twice.astype(float), (units - 1) / units
