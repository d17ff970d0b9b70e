"""The plan of a run: how many triads, and how many of them must be right."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from functools import lru_cache
from math import ceil, log, sqrt
from typing import TYPE_CHECKING, Any

import numpy as np
from scipy.stats import beta as beta_distribution
from scipy.stats import binom

from redolent.triangle.binomial import maximum_correct, minimum_correct, share, whole
from redolent.triangle.psychometric import TRIANGLE, Method, chosen_pd

if TYPE_CHECKING:
    from pandas import DataFrame

MOST_TRIADS = 20_000
"""Nobody tastes more; plans that ask for more are refused."""

USUAL_RISKS = (0.2, 0.1, 0.05, 0.01, 0.001)
USUAL_PD = (0.5, 0.4, 0.3, 0.2, 0.1)
"""The risks α and β, and the shares of discriminators, that ISO 4120 tabulates."""


@dataclass(frozen=True, slots=True)
class Plan:
    """What is fixed before the first cup.

    Attributes
    ----------
    similarity : bool
        Whether the run is to show that there is no difference worth minding; else, that there is one.
    triads : int
    triads_stable : int or None
        The number from which on every number of triads keeps both risks: power rises with the number of triads in the
        teeth of a saw. None where it is above `MOST_TRIADS`.
    minimum_correct : int or None
        Fewest right answers that show a difference; None in a plan for similarity.
    maximum_correct : int or None
        Most right answers that show similarity; None in a plan for a difference.
    power : float
        Probability of the wanted result where it is true: of a difference at p_d, of similarity at p_d = 0.
    alpha, beta : float
        The wanted risks. α: of claiming a difference, or failing to show similarity, where there is no difference to be
        told. β: of missing a difference as large as p_d, or claiming similarity in spite of it.
    pd, d_prime : float
        The smallest difference that matters, on both scales.
    method : Method
    """

    similarity: bool
    triads: int
    triads_stable: int | None
    minimum_correct: int | None
    maximum_correct: int | None
    power: float
    alpha: float
    beta: float
    pd: float
    d_prime: float
    method: Method = TRIANGLE

    @property
    def reached(self) -> bool:
        """Whether the number of triads reaches the wanted power."""
        return self.power >= 1 - (self.alpha if self.similarity else self.beta) - 1e-12

    @property
    def finding(self) -> str:
        """The plan in a sentence or two."""
        mattering = f"p_d = {self.pd:.3g}, detected in {100 * self.pd:.3g} % of triads (d′ = {self.d_prime:.2f}),"
        if self.similarity:
            rule = (
                f"That there is no difference as large as {mattering} is shown in {_triads(self.triads)} by at most "
                f"{self.maximum_correct} right: the risk of saying so in spite of such a difference is at most "
                f"{self.beta:g} (β). Two coffees that nobody could tell apart would pass with a probability "
                f"of {self.power:.2f}"
            )
            return f"{rule}{'.' if self.reached else f', less than the wanted {1 - self.alpha:g} (1 − α).'}"
        rule = (
            f"A difference is shown in {_triads(self.triads)} by at least {self.minimum_correct} right, at the level "
            f"{self.alpha:g} (α). One of {mattering} would be found with a probability of {self.power:.2f}"
        )
        return f"{rule}{'.' if self.reached else f', less than the wanted {1 - self.beta:g} (1 − β).'}"

    @property
    def saw(self) -> str:
        """What the teeth of the saw mean for this plan, in a sentence."""
        if self.triads_stable is None:
            return f"Above {MOST_TRIADS} triads no number is known from which on all keep both risks."
        if self.triads_stable <= self.triads:
            return f"From {_triads(self.triads_stable)} on every number keeps both risks."
        return (
            f"Power rises in the teeth of a saw: from {self.triads_stable} triads on every number keeps both risks, "
            f"below that some do not."
        )

    def to_dict(self) -> dict[str, Any]:
        """Give the plan as plain numbers, under the names of the command line's JSON."""
        told = asdict(self)
        told.pop("maximum_correct" if not self.similarity else "minimum_correct")
        del told["method"], told["similarity"]
        return told


def plan(
    alpha: float = 0.05,
    beta: float = 0.2,
    *,
    pd: float | None = None,
    d_prime: float | None = None,
    triads: int | None = None,
    similarity: bool = False,
    method: Method = TRIANGLE,
) -> Plan:
    """Plan a run: from the difference that matters to the number of triads, or the other way round.

    Parameters
    ----------
    alpha, beta : float
        The two risks.
    pd, d_prime : float, optional
        The smallest difference that matters, on one of the two scales. Left out, `triads` must be given, and the
        smallest difference is found that so many triads can show.
    triads : int, optional
        Their number where it is fixed already. Left out, it is the first that keeps both risks, as in ISO 4120's table.
    similarity : bool
        Plan to show that there is no difference as large as `pd`. Here the claim to be guarded is "similar", so β is
        kept by the largest k with P(X ≤ k | p_d) ≤ β, and α decides how many triads are needed: two coffees without any
        difference shall pass with probability 1 − α.
    method : Method

    Raises
    ------
    ValueError
        Where a number makes no sense, nothing is given to plan from, or more than `MOST_TRIADS` would be needed.

    References
    ----------
    ISO 4120, Sensory analysis: Methodology: Triangle test. Exact binomials: Ennis (1993), Journal of Sensory Studies
    8:353–370.
    """
    alpha, beta = share("alpha", alpha), share("beta", beta)
    if triads is not None:
        triads = whole("The number of triads", triads, least=1)
        if triads > MOST_TRIADS:
            raise ValueError(f"{triads} triads are more than anybody tastes; plan at most {MOST_TRIADS}.")
    if pd is None and d_prime is None:
        if triads is None:
            raise ValueError("Give p_d or d′, the smallest difference that matters, or the number of triads.")
        pd = _smallest_pd(triads, alpha, beta, similarity, method)
    else:
        pd = chosen_pd(pd, d_prime, method)
    first, stable = _scan(alpha, beta, pd, similarity, method.guessing)
    n = triads or first
    if n is None:
        raise ValueError(f"A p_d of {pd:.2g} would need more than {MOST_TRIADS} triads; choose a larger one.")
    most = maximum_correct(n, beta, pd, method.guessing) if similarity else None
    least = None if similarity else minimum_correct(n, alpha, method.guessing)
    if most is not None:
        power = float(binom.cdf(most, n, method.guessing))
    elif least is not None:
        power = float(binom.sf(least - 1, n, method.correct_from(pd)))
    else:
        raise ValueError(f"{_triads(n)} cannot show it, whatever the answers; plan {first or 'many'} for these risks.")
    return Plan(
        similarity=similarity,
        triads=n,
        triads_stable=stable,
        minimum_correct=least,
        maximum_correct=most,
        power=power,
        alpha=alpha,
        beta=beta,
        pd=pd,
        d_prime=float(d_prime or method.d_prime(method.correct_from(pd))),
        method=method,
    )


@dataclass(frozen=True, slots=True)
class PlanningTable:
    """Plans for every combination of risks and differences; combinations out of reach are left out."""

    plans: tuple[Plan, ...]

    @property
    def finding(self) -> str:
        """The range of the table in a sentence."""
        numbers = [plan.triads for plan in self.plans]
        return f"{len(numbers)} plans, from {min(numbers)} to {max(numbers)} triads."

    def to_frame(self) -> "DataFrame":
        """Give a row a plan."""
        from pandas import DataFrame

        return DataFrame([plan.to_dict() for plan in self.plans])


def planning_table(
    alphas: Iterable[float] = USUAL_RISKS,
    betas: Iterable[float] = USUAL_RISKS,
    pds: Iterable[float] = USUAL_PD,
    *,
    similarity: bool = False,
    method: Method = TRIANGLE,
) -> PlanningTable:
    """Plan for every combination of `alphas`, `betas` and `pds`.

    Raises
    ------
    ValueError
        As `plan`.
    """
    return PlanningTable(
        tuple(
            plan(alpha, beta, pd=pd, similarity=similarity, method=method)
            for alpha in alphas
            for beta in betas
            for pd in pds
        )
    )


def find_power(triads: int, pd: float | np.ndarray, *, alpha: float = 0.05, method: Method = TRIANGLE) -> np.ndarray:
    """Give the probability that `triads` show a difference, for each `pd`.

    Parameters
    ----------
    triads : int
    pd : float or array
        True shares of discriminators, from 0 to 1.
    alpha : float
    """
    least = minimum_correct(triads, alpha, method.guessing)
    proportion = method.guessing + (1 - method.guessing) * np.asarray(pd, dtype=float)
    return np.zeros_like(proportion) if least is None else binom.sf(least - 1, triads, proportion)


def _smallest_pd(triads: int, alpha: float, beta: float, similarity: bool, method: Method) -> float:
    """Give the smallest p_d with which `triads` keep both risks."""
    if similarity:
        # The fewest that two coffees without a difference do not exceed with probability 1 − α ...
        most = int(binom.ppf(1 - alpha, triads, method.guessing))
        # ... and the p_d with which they do not exceed it with probability β.
        proportion = float(beta_distribution.isf(beta, most + 1, triads - most)) if most < triads else 1.0
    else:
        least = minimum_correct(triads, alpha, method.guessing)
        proportion = float(beta_distribution.isf(beta, least, triads - least + 1)) if least else 1.0
    pd = method.discriminators(proportion)
    if not 0 < pd < 1:
        raise ValueError(f"{_triads(triads)} cannot keep these risks (alpha {alpha:g}, beta {beta:g}); plan more.")
    # Rounding must not take the power below what is asked for.
    return min(pd * (1 + 1e-9), 1 - 1e-9)


def _scan(alpha: float, beta: float, pd: float, similarity: bool, guessing: float) -> tuple[int | None, int | None]:
    """Give the first number of triads that keeps both risks, and the one from which on all do."""
    # By Hoeffding's inequality every n from here on keeps both.
    root = (sqrt(-log(alpha)) + sqrt(-log(beta))) / ((1 - guessing) * pd)
    enough = root * root / 2
    n = np.arange(1, ceil(min(enough, MOST_TRIADS)) + 1)
    proportion = guessing + (1 - guessing) * pd
    if similarity:
        kept = binom.cdf(_most(n, beta, proportion), n, guessing) >= 1 - alpha
    else:
        # Rounded up, so that cells of a table share them.
        upto = 1 << int(n[-1]).bit_length()
        kept = binom.sf(_least(upto, alpha, guessing)[: len(n)] - 1, n, proportion) >= 1 - beta
    if not kept.any():
        return None, None
    stable = int(n[~kept][-1]) + 1 if not kept.all() else 1
    return int(n[kept][0]), stable if enough <= MOST_TRIADS else None


@lru_cache(maxsize=32)
def _least(upto: int, alpha: float, guessing: float) -> np.ndarray:
    """Give the fewest right answers for each number of triads; more than there are where none are enough."""
    n = np.arange(1, upto + 1)
    least = binom.isf(alpha, n, guessing) + 1
    least += binom.sf(least - 1, n, guessing) > alpha
    return least - (binom.sf(least - 2, n, guessing) <= alpha)


def _most(n: np.ndarray, beta: float, proportion: float) -> np.ndarray:
    """Give the most right answers for each number of triads that show similarity; −1 where none do."""
    most = binom.ppf(beta, n, proportion)
    return most - (binom.cdf(most, n, proportion) > beta)


def _triads(n: int) -> str:
    return "1 triad" if n == 1 else f"{n} triads"
