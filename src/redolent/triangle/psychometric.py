"""Psychometric functions: how often an answer is right, given how far the two samples lie apart.

Each method serves samples from N(0, 1) and N(d′, 1) and has a rule by which the taster decides; the proportion
correct follows from both. Each of the functions here has a closed form in Φ and Owen's T.

| method | decides by | P_c(d′) |
|---|---|---|
| triangle | the odd one is farthest from the other two | 1 − 4 T(d′/√6, √3) |
| duo-trio | the match is nearer to the reference | 1 − Φ(u) − Φ(v) + 2 Φ(u) Φ(v), u = d′/√2, v = d′/√6 |
| 2-AFC | the stronger | Φ(d′/√2) |
| 3-AFC | the strongest | Φ(d′/√2) − 2 T(d′/√2, 1/√3) |
| tetrad | the two pairs that lie closest together | 1 − 8 T(d′/√2, 1/√3) |

The integrals are those of Ennis (1993), Journal of Sensory Studies 8:353–370, and for the tetrad of Ennis, Ennis, Palen
& O'Mahony (2014), Journal of Sensory Studies 29:273–286. The probability that two correlated normals of equal mean
both exceed 0 is Φ(h) − 2 T(h, √((1 − ρ)/(1 + ρ))) (Owen 1956, Annals of Mathematical Statistics 27:1075–1090),
which turns each into the form above.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from math import inf, sqrt

import numpy as np
from scipy.optimize import brentq
from scipy.special import ndtr, owens_t
from scipy.stats import norm

from redolent.triangle.binomial import GUESSING, positive, share

Curve = Callable[[np.ndarray | float], np.ndarray | float]
"""Takes and gives numbers or arrays of one shape."""

FARTHEST = 40.0
"""A d′ beyond which every proportion is 1 in double precision."""


@dataclass(frozen=True, slots=True)
class Method:
    """A method of forced choice.

    Attributes
    ----------
    name : str
    standard : str
        Where it is laid down.
    guessing : float
        Proportion correct where the samples cannot be told apart.
    proportion : callable
        P_c of d′ ≥ 0; takes numbers or arrays.
    slope : callable
        dP_c/dd′.
    """

    name: str
    standard: str
    guessing: float
    proportion: Curve = field(repr=False)
    slope: Curve = field(repr=False)

    def d_prime(self, proportion: float) -> float:
        """Give the d′ at which `proportion` is right: 0 at or below guessing, infinite at 1.

        Raises
        ------
        ValueError
            Where `proportion` is no number from 0 to 1.
        """
        proportion = _fraction("The proportion correct", proportion)
        if proportion <= self.guessing:
            return 0.0
        if proportion >= self.proportion(FARTHEST):
            return inf
        return float(brentq(lambda d: self.proportion(d) - proportion, 0, FARTHEST, xtol=1e-12))

    def discriminators(self, proportion: float) -> float:
        """Give the share p_d that detects, where the rest guesses: (P_c − g)/(1 − g), 0 at or below guessing.

        References
        ----------
        Abbott (1925), Journal of Economic Entomology 18:265–267.
        """
        return max(0.0, (_fraction("The proportion correct", proportion) - self.guessing) / (1 - self.guessing))

    def correct_from(self, pd: float) -> float:
        """Give the proportion correct where a share `pd` detects and the rest guesses."""
        return self.guessing + (1 - self.guessing) * _fraction("p_d", pd)


def chosen_pd(pd: float | None, d_prime: float | None, method: Method) -> float:
    """Give p_d from either p_d or d′.

    Raises
    ------
    ValueError
        Where neither or both are given, p_d does not lie between 0 and 1, or d′ is not above 0.
    """
    if (pd is None) == (d_prime is None):
        raise ValueError("Give either p_d, the share of triads in which the difference is detected, or d′, not both.")
    if pd is not None:
        return share("p_d", pd, such=0.3)
    found = method.discriminators(float(method.proportion(positive("d′", d_prime))))
    if not 0 < found < 1:
        raise ValueError(
            f"A d′ of {d_prime} is too near 0 or too large to plan with; 1 is a small difference, 3 large."
        )
    return found


def _fraction(what: str, value: float) -> float:
    if not 0 <= value <= 1:
        raise ValueError(f"{what} must be a number from 0 to 1, not {value!r}.")
    return float(value)


_R2, _R3, _R6 = sqrt(2), sqrt(3), sqrt(6)


def _owen_slope(h: np.ndarray | float, a: float) -> np.ndarray | float:
    """∂T(h, a)/∂h."""
    return -norm.pdf(h) * (ndtr(a * h) - 0.5)


def _duo_trio(d: np.ndarray | float) -> np.ndarray | float:
    u, v = ndtr(d / _R2), ndtr(d / _R6)
    return 1 - u - v + 2 * u * v


def _duo_trio_slope(d: np.ndarray | float) -> np.ndarray | float:
    u, v = d / _R2, d / _R6
    return norm.pdf(u) / _R2 * (2 * ndtr(v) - 1) + norm.pdf(v) / _R6 * (2 * ndtr(u) - 1)


TRIANGLE = Method(
    "triangle",
    "ISO 4120",
    GUESSING,
    lambda d: 1 - 4 * owens_t(d / _R6, _R3),
    lambda d: -4 / _R6 * _owen_slope(d / _R6, _R3),
)
DUO_TRIO = Method("duo-trio", "ISO 10399", 1 / 2, _duo_trio, _duo_trio_slope)
TWO_AFC = Method("2-AFC", "ISO 5495", 1 / 2, lambda d: ndtr(d / _R2), lambda d: norm.pdf(d / _R2) / _R2)
THREE_AFC = Method(
    "3-AFC",
    "ISO 13301",
    1 / 3,
    lambda d: ndtr(d / _R2) - 2 * owens_t(d / _R2, 1 / _R3),
    lambda d: norm.pdf(d / _R2) / _R2 - 2 / _R2 * _owen_slope(d / _R2, 1 / _R3),
)
TETRAD = Method(
    "tetrad",
    "no ISO standard of its own",
    1 / 3,
    lambda d: 1 - 8 * owens_t(d / _R2, 1 / _R3),
    lambda d: -8 / _R2 * _owen_slope(d / _R2, 1 / _R3),
)
METHODS = {method.name: method for method in (TRIANGLE, DUO_TRIO, TWO_AFC, THREE_AFC, TETRAD)}
