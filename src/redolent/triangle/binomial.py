"""Exact binomial statistics of triads."""

from bisect import bisect_left
from itertools import count
from numbers import Real
from operator import index
from typing import Any

from scipy.stats import beta, binom

GUESSING = 1 / 3
"""Probability of finding the odd cup by guessing."""


def p_value(correct: int, of: int) -> float:
    """Give the probability of at least `correct` right answers in `of` triads by guessing alone.

    Exact, one-sided; it holds where the number of triads was fixed beforehand.

    Raises
    ------
    ValueError
        Where the two are no whole numbers with 0 ≤ correct ≤ of and of ≥ 1.
    """
    return _tail(*counts(correct, of))


def minimum_correct(of: int, alpha: float) -> int | None:
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
    of, alpha = whole("The number of triads", of, least=1), share("alpha", alpha)
    fewest = bisect_left(range(of + 1), True, key=lambda correct: _tail(correct, of) <= alpha)
    return fewest if fewest <= of else None


def fewest_triads(alpha: float) -> int:
    """Give the smallest number of triads that can show a difference at level `alpha`, all of them right."""
    alpha = share("alpha", alpha)
    return next(triads for triads in count(1) if _tail(triads, triads) <= alpha)


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
    correct, of = counts(correct, of)
    tail = (1 - share("level", level)) / 2
    low = 0.0 if correct == 0 else float(beta.ppf(tail, correct, of - correct + 1))
    high = 1.0 if correct == of else float(beta.isf(tail, correct + 1, of - correct))
    return low, high


def counts(correct: Any, of: Any) -> tuple[int, int]:
    """Check a number of right answers and the number of triads they came from."""
    of = whole("The number of triads", of, least=1)
    correct = whole("The number of correct answers", correct, least=0)
    if correct > of:
        raise ValueError(f"There are more correct answers ({correct}) than triads ({of}); check both.")
    return correct, of


def whole(what: str, value: Any, *, least: int) -> int:
    """Check that `value` is a whole number of at least `least`; `what` begins the sentence that says no."""
    try:
        number = None if isinstance(value, bool) else index(value)
    except TypeError:
        number = None
    if number is None or number < least:
        raise ValueError(f"{what} must be a whole number of {least} or more, not {value!r}.")
    return number


def share(what: str, value: Any) -> float:
    """Check that `value` lies between 0 and 1, both excluded."""
    if not isinstance(value, Real) or not 0 < value < 1:
        raise ValueError(f"{what} must be a number between 0 and 1, such as 0.05, not {value!r}.")
    return float(value)


def _tail(correct: int, of: int) -> float:
    return float(binom.sf(correct - 1, of, GUESSING))
