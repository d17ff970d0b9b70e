"""Agreement beyond chance: Krippendorff's alpha of several observers, Scott's pi of exchangeable repeats."""

from typing import Literal

import numpy as np
from scipy.stats import chi2

Scale = Literal["nominal", "ordinal", "interval", "ratio"]

_STEPS = 801


def krippendorff_alpha(ratings: np.ndarray, scale: Scale = "nominal") -> float | None:
    r"""Give Krippendorff's alpha.

    .. math:: \alpha = 1 - D_o / D_e, \quad D = \sum_{ck} o_{ck}\, \delta^2_{ck}

    with the observed coincidences :math:`o` of values within units, and those expected of all values.

    Parameters
    ----------
    ratings : ndarray of float, shape (observers, units)
        NaN where an observer gave none.
    scale : {"nominal", "ordinal", "interval", "ratio"}

    Returns
    -------
    float or None
        1 for agreement, 0 for what chance gives; None where no unit has two values, or all values are the same.

    Raises
    ------
    ValueError
        Where `ratings` are not a table, or there is no such scale.

    References
    ----------
    Krippendorff (2019), Content Analysis, 4th ed., chapter 12; his "Computing Krippendorff's alpha-reliability" (2011).
    """
    ratings = np.asarray(ratings, dtype=float)
    if ratings.ndim != 2:
        raise ValueError(f"The ratings have {ratings.ndim} dimensions; give a table of observers by units.")
    paired = ratings[:, (~np.isnan(ratings)).sum(axis=0) >= 2]
    values = np.unique(paired[~np.isnan(paired)])
    if len(values) < 2:
        return None
    counts = (paired.T[:, :, np.newaxis] == values).sum(axis=1)  # units by values
    of_unit = counts.sum(axis=1)
    observed = (counts / (of_unit - 1)[:, np.newaxis]).T @ counts
    observed -= np.diag((counts / (of_unit - 1)[:, np.newaxis]).sum(axis=0))
    total = counts.sum(axis=0)
    expected = (np.outer(total, total) - np.diag(total)) / (total.sum() - 1)
    distance = _distances(values, total, scale)
    return float(1 - (observed * distance).sum() / (expected * distance).sum())


def _distances(values: np.ndarray, total: np.ndarray, scale: Scale) -> np.ndarray:
    match scale:
        case "nominal":
            return 1.0 - np.eye(len(values))
        case "ordinal":
            # Half of the outer two and all between them: the difference of mean ranks.
            ranks = total.cumsum() - total / 2
            return np.subtract.outer(ranks, ranks) ** 2
        case "interval":
            return np.subtract.outer(values, values) ** 2
        case "ratio":
            sums = np.add.outer(values, values)
            return (np.subtract.outer(values, values) / np.where(sums == 0, 1, sums)) ** 2
    raise ValueError(f"There is no scale {scale!r}; choose nominal, ordinal, interval or ratio.")


def scott_pi(both: np.ndarray, one: np.ndarray, neither: np.ndarray) -> np.ndarray:
    r"""Give Scott's pi of yes-or-no repeats that are exchangeable: the intraclass kappa.

    .. math:: 1 - \frac{b}{2 n p (1 - p)}, \quad p = \frac{2a + b}{2n}

    Parameters
    ----------
    both, one, neither : ndarray of int, shape (...)
        Of :math:`n` pairs, :math:`a` with yes in both repeats, :math:`b` in one, and the rest.

    Returns
    -------
    ndarray of float, shape (...)
        NaN where it is undefined: a word that never occurred, or always did.

    References
    ----------
    Scott (1955), Public Opinion Quarterly 19:321–325; Bloch & Kraemer (1989), Biometrics 45:269–287.
    """
    pairs = np.asarray(both + one + neither, dtype=float)
    share = (2 * both + one) / np.maximum(2 * pairs, 1)
    chance = 2 * pairs * share * (1 - share)
    return np.where(chance > 0, 1 - one / np.where(chance > 0, chance, 1), np.nan)


def scott_interval(
    both: np.ndarray, one: np.ndarray, neither: np.ndarray, level: float = 0.95
) -> tuple[np.ndarray, np.ndarray]:
    """Give the goodness-of-fit interval of `scott_pi`; it holds for a few dozen pairs, where Wald's does not.

    All values of pi are kept that a chi-squared test with one degree of freedom does not reject, at the share of
    yes that was observed.

    Parameters
    ----------
    both, one, neither : ndarray of int, shape (words,)
    level : float

    Returns
    -------
    low, high : ndarray of float, shape (words,)
        −1 to 1; NaN where pi is undefined.

    References
    ----------
    Donner & Eliasziw (1992), Statistics in Medicine 11:1511–1519.
    """
    both, one, neither = (np.asarray(part, dtype=float)[:, np.newaxis] for part in (both, one, neither))
    pairs = both + one + neither
    share = (2 * both + one) / np.maximum(2 * pairs, 1)
    odds = share * (1 - share)
    kappa = np.linspace(-1, 1, _STEPS)
    fits = np.zeros(np.broadcast_shapes(pairs.shape, kappa.shape))
    possible = np.ones_like(fits, dtype=bool)
    for seen, chance in (
        (both, share**2 + odds * kappa),
        (one, 2 * odds * (1 - kappa)),
        (neither, (1 - share) ** 2 + odds * kappa),
    ):
        expected = pairs * chance
        possible &= (expected >= -1e-12) & ((expected > 1e-12) | (seen == 0))
        fits += np.where(expected > 1e-12, (seen - expected) ** 2 / np.where(expected > 1e-12, expected, 1), 0)
    kept = possible & (fits <= chi2.ppf(level, 1))
    low, high = kappa[kept.argmax(axis=1)], kappa[_STEPS - 1 - kept[:, ::-1].argmax(axis=1)]
    # The grid is fine, but the estimate itself is never outside.
    pi = scott_pi(both[:, 0], one[:, 0], neither[:, 0])
    return np.fmin(low + 0 * pi, pi), np.fmax(high + 0 * pi, pi)
