"""Exact binomial statistics of triads, and of every forced choice with a known chance of guessing right."""

from bisect import bisect_left
from itertools import count
from math import isfinite
from numbers import Real
from operator import index
from typing import Any

from scipy.stats import beta, binom

GUESSING = 1 / 3
"""Probability of finding the odd cup by guessing."""

MOST = 1_000_000
"""Answers beyond which nothing is computed: nobody gives so many."""


def p_value(correct: int, of: int, guessing: float = GUESSING) -> float:
    """Give the probability of at least `correct` right answers in `of` triads by guessing alone.

    Exact, one-sided; it holds where the number of triads was fixed beforehand.

    Raises
    ------
    ValueError
        Where the two are no whole numbers with 0 ≤ correct ≤ of and of ≥ 1.
    """
    return _tail(*counts(correct, of), guessing)


def minimum_correct(of: int, alpha: float, guessing: float = GUESSING) -> int | None:
    """Give the fewest right answers in `of` triads that show a difference at level `alpha`.

    Returns
    -------
    int or None
        None where even `of` right answers would not.

    Raises
    ------
    ValueError
        Where `of` is no whole number of 1 or more, or `alpha` does not lie between 0 and 1.
    """
    of, alpha = served(of), share("alpha", alpha)
    fewest = bisect_left(range(of + 1), True, key=lambda correct: _tail(correct, of, guessing) <= alpha)
    return fewest if fewest <= of else None


def maximum_correct(of: int, beta: float, pd: float, guessing: float = GUESSING) -> int | None:
    """Give the most right answers in `of` triads that show similarity: p_d below `pd`, at risk `beta`.

    The largest k with P(X ≤ k | p_d) ≤ β; with so few, the upper one-sided limit of p_d lies below `pd`.

    Returns
    -------
    int or None
        None where even no right answer would not.

    Raises
    ------
    ValueError
        Where `of` is no whole number of 1 or more, or `beta` or `pd` does not lie between 0 and 1.
    """
    of, beta, pd = served(of), share("beta", beta), share("p_d", pd, such=0.3)
    proportion = guessing + (1 - guessing) * pd
    fewest_too_many = bisect_left(range(of + 1), True, key=lambda k: binom.cdf(k, of, proportion) > beta)
    return fewest_too_many - 1 if fewest_too_many else None


def fewest_triads(alpha: float, guessing: float = GUESSING) -> int:
    """Give the smallest number of triads that can show a difference at level `alpha`, all of them right."""
    alpha = share("alpha", alpha)
    return next(triads for triads in count(1) if _tail(triads, triads, guessing) <= alpha)


def proportion_interval(correct: int, of: int, level: float = 0.95) -> tuple[float, float]:
    """Give the exact two-sided confidence interval of the proportion of right answers.

    Raises
    ------
    ValueError
        As `p_value`, and where `level` does not lie between 0 and 1.

    References
    ----------
    Clopper & Pearson (1934), Biometrika 26:404–413.
    """
    level = share("level", level)
    return proportion_bounds(correct, of, (1 - level) / 2)


def proportion_bounds(correct: int, of: int, tail: float) -> tuple[float, float]:
    """Give the exact one-sided lower and upper bound of the proportion, each missed with at most `tail`.

    The lower bound exceeds the chance of guessing exactly where the one-sided p is below `tail`.
    """
    correct, of = counts(correct, of)
    low = 0.0 if correct == 0 else float(beta.ppf(tail, correct, of - correct + 1))
    high = 1.0 if correct == of else float(beta.isf(tail, correct + 1, of - correct))
    return low, high


def counts(correct: Any, of: Any) -> tuple[int, int]:
    """Check a number of right answers and the number of triads they came from."""
    of = served(of)
    correct = whole("The number of correct answers", correct, least=0)
    if correct > of:
        raise ValueError(f"There are more correct answers ({correct}) than triads ({of}); check both.")
    return correct, of


def served(of: Any) -> int:
    """Check a number of triads."""
    of = whole("The number of triads", of, least=1)
    if of > MOST:
        raise ValueError(f"{of} triads are more than anybody tastes; check the number.")
    return of


def whole(what: str, value: Any, *, least: int) -> int:
    """Check that `value` is a whole number of at least `least`; `what` begins the sentence that says no."""
    try:
        number = None if isinstance(value, bool) else index(value)
    except TypeError:
        number = None
    if number is None or number < least:
        raise ValueError(f"{what} must be a whole number of {least} or more, not {value!r}.")
    return number


def share(what: str, value: Any, *, such: float = 0.05) -> float:
    """Check that `value` lies between 0 and 1, both excluded."""
    if not isinstance(value, Real) or value <= 0 or not value < 1:  # NaN is not below 1
        raise ValueError(f"{what} must be a number between 0 and 1, such as {such}, not {value!r}.")
    return float(value)


def positive(what: str, value: Any, *, zero: bool = False) -> float:
    """Check that `value` is a finite number above 0, or 0 where `zero` allows it."""
    if (
        not isinstance(value, Real)
        or isinstance(value, bool)
        or not isfinite(value)
        or value < 0
        or not (value or zero)
    ):
        raise ValueError(f"{what} must be a number {'of 0 or more' if zero else 'above 0'}, not {value!r}.")
    return float(value)


def _tail(correct: int, of: int, guessing: float) -> float:
    return float(binom.sf(correct - 1, of, guessing))
