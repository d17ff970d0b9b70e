r"""What can be said at any time, however often one looks and whenever one stops.

For each λ the product

.. math:: N_t(λ) = \exp\Bigl(λ S_t - \sum_{i ≤ t} \log(1 + p_i (e^λ - 1))\Bigr)

is a martingale that starts at 1, where S_t counts the right answers of t triads and p_i is the probability of the
i-th given all before it. So is any fixed mixture over λ, and by Ville's inequality it ever reaches 1/α with a
probability of at most α. As log(1 + p (e^λ − 1)) is concave in p, the running average p̄_t in place of each p_i makes
it smaller:

.. math:: M_t(p̄_t) = \sum_j w_j \exp\bigl(λ_j S_t - t \log(1 + p̄_t (e^{λ_j} - 1))\bigr) ≤ \sum_j w_j N_t(λ_j).

Hence the set of p with M_t(p) < 1/α holds the *running average* of the p_i at all times at once with confidence 1 − α,
whatever way p drifts and whatever it depends on in the past. Nothing is claimed about p today. Where p is constant, the
running average is p. The mixture is over a fixed grid of λ, so that no integral has to be approximated.

References
----------
Ville (1939), Étude critique de la notion de collectif. Robbins (1970), Annals of Mathematical Statistics 41:1397–1409.
Howard, Ramdas, McAuliffe & Sekhon (2021), Annals of Statistics 49:1055–1080. Waudby-Smith & Ramdas (2024), Journal
of the Royal Statistical Society B 86:1–27.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import exp, log
from typing import TYPE_CHECKING

import numpy as np

from redolent.triangle.binomial import GUESSING, counts, served, share
from redolent.triangle.psychometric import TRIANGLE, Method

if TYPE_CHECKING:
    from pandas import DataFrame

TILTS = np.geomspace(0.05, 6.4, 29)
"""The |λ|, of equal weight: the small ones tell in long series, the large ones in short."""

_BOTH = np.concatenate([-TILTS, TILTS])
_HALVINGS = 50


def evidence(correct: int, of: int, proportion: float = GUESSING, *, below: bool = False) -> float:
    """Give the evidence (e-value) that the average proportion correct is above `proportion`.

    Parameters
    ----------
    correct, of : int
        Right answers, and triads so far.
    proportion : float
        The chance of guessing, or another bound.
    below : bool
        Give the evidence that it is below instead.

    Returns
    -------
    float
        1/e is a p-value that holds whenever one stops and however often one looked.

    Raises
    ------
    ValueError
        Where the counts or `proportion` make no sense.
    """
    correct, of = counts(correct, of)
    tilts = -TILTS if below else TILTS
    logarithm = log_mixture(correct, of, share("The proportion", proportion, such=0.3), tilts)
    return exp(min(float(logarithm), 700.0))


def anytime_interval(correct: int, of: int, level: float = 0.95) -> tuple[float, float]:
    """Give the interval of the average proportion correct that holds whenever one stops.

    Raises
    ------
    ValueError
        As `proportion_interval`.
    """
    return _interval(*counts(correct, of), share("level", level))


def seen_p_value(correct: int, of: int, alpha: float, guessing: float = GUESSING) -> float:
    """Give the p-value of a run that was kept to its number, and each of whose answers was seen on the way.

    Who sees each answer could end the run where it looks good, and is then judged by what holds at any time. So this
    is the chance of a guesser either to reach evidence of 1/`alpha` before the last triad, or to get as many right
    in all: together, ending early and keeping to the number call no guesser a taster more often than the level says.

    Parameters
    ----------
    correct, of : int
        Right answers, and the triads that were planned and answered.
    alpha : float
        Level at which an early end would be judged.
    guessing : float

    Raises
    ------
    ValueError
        Where the counts make no sense.

    Notes
    -----
    Exact, triad by triad over the number of right answers; a group-sequential test with a look after each triad
    (Armitage, McPherson & Rowe 1969, Journal of the Royal Statistical Society A 132:235–244), whose boundaries before
    the last are those of the mixture martingale.
    """
    correct, of = counts(correct, of)
    ended, left = _spend(of, share("alpha", alpha), share("The proportion", guessing, such=0.3))
    return min(1.0, ended + float(left[correct:].sum()))


def seen_minimum(of: int, alpha: float, guessing: float = GUESSING) -> int | None:
    """Give the fewest right answers whose `seen_p_value` is at most `alpha`; None where even all are too few."""
    ended, left = _spend(served(of), share("alpha", alpha), share("The proportion", guessing, such=0.3))
    tails = ended + np.cumsum(left[::-1])[::-1]
    return int(np.argmax(tails <= alpha)) if (tails <= alpha).any() else None


@lru_cache
def _spend(of: int, alpha: float, guessing: float) -> tuple[float, np.ndarray]:
    """Give a guesser's chance to have ended early, and of each number right without having done so."""
    n = np.arange(1, of)
    low, high = np.zeros(of - 1, dtype=int), n + 1
    while (low < high).any():  # fewest right after n triads that reach the bar; n + 1 where none do
        middle = (low + high) // 2
        reached = log_mixture(middle, n, guessing, TILTS) >= -log(alpha)
        low, high = np.where(reached, low, np.minimum(middle + 1, high)), np.where(reached, middle, high)
    left, ended = np.zeros(of + 1), 0.0
    left[0] = 1.0
    for bar in (*low.tolist(), of + 1):
        left[1:] = left[1:] * (1 - guessing) + left[:-1] * guessing
        left[0] *= 1 - guessing
        ended += float(left[bar:].sum())
        left[bar:] = 0
    return ended, left


@dataclass(frozen=True)
class ConfidenceSequence:
    """One taster's answers to one kind of pair, followed over time.

    Attributes
    ----------
    answers : tuple of bool
        Whether each answer was right, in the order of time.
    level : float
        Confidence of the interval, for all times at once.
    low, high : tuple of float
        Interval of the average proportion correct after each answer.
    evidence : tuple of float
        Against guessing, after each answer (an e-value).
    method : Method
    """

    answers: tuple[bool, ...]
    level: float
    low: tuple[float, ...]
    high: tuple[float, ...]
    evidence: tuple[float, ...]
    method: Method = TRIANGLE

    @cached_property
    def correct(self) -> int:
        """Right answers so far."""
        return sum(self.answers)

    @cached_property
    def p_value(self) -> float:
        """Against guessing; holds at any time: one over the greatest evidence so far, at most 1."""
        return min(1.0, 1 / max(self.evidence))

    @cached_property
    def shown_after(self) -> int | None:
        """Number of answers after which guessing was first ruled out at 1 − `level`; None where it is not yet."""
        bar = 1 / (1 - self.level)
        return next((n for n, found in enumerate(self.evidence, 1) if found >= bar), None)

    @property
    def finding(self) -> str:
        """What may be said now, however often one has looked."""
        n, low, high = len(self.answers), self.low[-1], self.high[-1]
        if self.shown_after:
            shown = f"guessing alone is ruled out since answer {self.shown_after}"
        else:
            shown = "guessing alone is not ruled out so far, which does not show that it is guessing"
        return (
            f"{self.correct} of {n} correct; over these {n} the average proportion correct lies between {low:.2f} and "
            f"{high:.2f} ({100 * self.level:g} % confidence, however often one looks), and {shown} "
            f"(p = {self.p_value:.2g}, valid at any time). It is the average so far that is meant, not today's."
        )

    def to_frame(self) -> "DataFrame":
        """Give a row an answer."""
        from pandas import DataFrame

        n = np.arange(1, len(self.answers) + 1)
        correct = np.cumsum(self.answers)
        return DataFrame(
            {
                "triad": n,
                "right": list(self.answers),
                "correct": correct,
                "proportion": correct / n,
                "low": self.low,
                "high": self.high,
                "evidence": self.evidence,
                "p_value": 1 / np.maximum.accumulate(np.maximum(self.evidence, 1)),
            }
        )


def follow(answers: Sequence[bool], *, level: float = 0.95, method: Method = TRIANGLE) -> ConfidenceSequence:
    """Follow one taster's answers to one kind of pair, with an interval and a test that hold at any time.

    Parameters
    ----------
    answers : sequence of bool
        Right or wrong, in the order of time, all of them.
    level : float
    method : Method

    Raises
    ------
    ValueError
        Where there is no answer, or one is neither right nor wrong.
    """
    if not len(answers):
        raise ValueError("There is no answer to follow yet.")
    if any(answer not in (0, 1) for answer in answers):
        raise ValueError("Each answer is right or wrong: give True or False for each.")
    level = share("level", level)
    n, correct = np.arange(1, len(answers) + 1), np.cumsum(np.asarray(answers, dtype=int))
    low, high = _bounds(correct, n, level)
    found = np.exp(np.minimum(log_mixture(correct, n, method.guessing, TILTS), 700))
    return ConfidenceSequence(
        tuple(bool(answer) for answer in answers),
        level,
        tuple(low.tolist()),
        tuple(high.tolist()),
        tuple(found.tolist()),
        method,
    )


def log_mixture(
    correct: np.ndarray | int, of: np.ndarray | int, proportion: np.ndarray | float, tilts: np.ndarray = _BOTH
) -> np.ndarray:
    """Give log M of the module's equation; arguments of one shape, or numbers."""
    correct, of, proportion = (np.asarray(part, dtype=float)[..., None] for part in (correct, of, proportion))
    terms = tilts * correct - of * np.log1p(proportion * np.expm1(tilts))
    top = terms.max(axis=-1)
    return top + np.log(np.exp(terms - top[..., None]).mean(axis=-1))


@lru_cache
def _interval(correct: int, of: int, level: float) -> tuple[float, float]:
    low, high = _bounds(np.array([correct]), np.array([of]), level)
    return float(low[0]), float(high[0])


def _bounds(correct: np.ndarray, of: np.ndarray, level: float) -> tuple[np.ndarray, np.ndarray]:
    """Give the interval for each count. M is convex in p and at most 1 at the observed proportion."""
    bar, observed = -log(1 - level), correct / of
    bounds = []
    for end in (0.0, 1.0):
        outside, inside = np.full(observed.shape, end), observed.astype(float)
        whole = log_mixture(correct, of, outside) < bar
        for _ in range(_HALVINGS):
            middle = (outside + inside) / 2
            out = log_mixture(correct, of, middle) >= bar
            outside, inside = np.where(out, middle, outside), np.where(out, inside, middle)
        bounds.append(np.where(whole, end, outside))
    return bounds[0], bounds[1]
