"""Wald's sequential test: after each triad either a verdict or one more triad. After ISO 16820."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil, floor, log
from typing import TYPE_CHECKING, Literal

from redolent.triangle.binomial import share
from redolent.triangle.psychometric import TRIANGLE, Method, chosen_pd

if TYPE_CHECKING:
    from pandas import DataFrame

State = Literal["go on", "difference shown", "no such difference"]

_SLACK = 1e-9
"""So that rounding does not keep a result that lies on a boundary from crossing it."""


@dataclass(frozen=True)
class SequentialPlan:
    r"""The boundaries of a sequential run: p_d = 0 against the planned p_d.

    With P₀ the chance of guessing and P₁ the proportion correct at p_d, each right answer adds log(P₁/P₀) to the
    log likelihood ratio and each wrong one log((1 − P₁)/(1 − P₀)). The run ends where it reaches log((1 − β)/α), a
    difference, or log(β/(1 − α)), none as large as p_d. In correct answers among n these are parallel lines,

    .. math:: \text{upper}(n) = h_1 + s n, \qquad \text{lower}(n) = -h_0 + s n.

    Attributes
    ----------
    alpha, beta : float
        Risks of a wrong verdict: of a difference where there is none, and of none where there is one of p_d.
    pd, d_prime : float
    method : Method

    Notes
    -----
    As Wald showed, the true risks are at most α/(1 − β) and β/(1 − α), and their sum is at most α + β.

    References
    ----------
    Wald (1945), Annals of Mathematical Statistics 16:117–186. ISO 16820, Sensory analysis: Methodology: Sequential
    analysis.
    """

    alpha: float
    beta: float
    pd: float
    d_prime: float
    method: Method = TRIANGLE

    @cached_property
    def steps(self) -> tuple[float, float]:
        """What a right and a wrong answer add to the log likelihood ratio."""
        chance, planned = self.method.guessing, self.method.correct_from(self.pd)
        return log(planned / chance), log((1 - planned) / (1 - chance))

    @cached_property
    def ends(self) -> tuple[float, float]:
        """The log likelihood ratios at which the run ends: no such difference, and difference."""
        return log(self.beta / (1 - self.alpha)), log((1 - self.beta) / self.alpha)

    @cached_property
    def slope(self) -> float:
        """s: the share of correct answers along which the evidence stays the same."""
        right, wrong = self.steps
        return -wrong / (right - wrong)

    def upper(self, n: float) -> float:
        """Correct answers among `n` at which a difference is shown."""
        right, wrong = self.steps
        return self.ends[1] / (right - wrong) + self.slope * n

    def lower(self, n: float) -> float:
        """Correct answers among `n` at which a difference of p_d is ruled out."""
        right, wrong = self.steps
        return self.ends[0] / (right - wrong) + self.slope * n

    def state(self, correct: int, n: int) -> State:
        """Say where a run stands after `n` answers, if it has not ended before."""
        if correct >= self.upper(n) - _SLACK:
            return "difference shown"
        return "no such difference" if correct <= self.lower(n) + _SLACK else "go on"

    @cached_property
    def shortest(self) -> tuple[int, int]:
        """Fewest answers that can end the run: all wrong, and all right."""
        right, wrong = self.steps
        return ceil(self.ends[0] / wrong - _SLACK), ceil(self.ends[1] / right - _SLACK)

    @cached_property
    def expected(self) -> tuple[float, float]:
        """Expected number of answers without a difference, and with one of p_d (Wald's approximation)."""
        low, high = self.ends
        right, wrong = self.steps
        chance, planned = self.method.guessing, self.method.correct_from(self.pd)
        none = ((1 - self.alpha) * low + self.alpha * high) / (chance * right + (1 - chance) * wrong)
        some = (self.beta * low + (1 - self.beta) * high) / (planned * right + (1 - planned) * wrong)
        return none, some

    @property
    def finding(self) -> str:
        """The plan in a sentence."""
        none, some = self.expected
        return (
            f"A sequential run for p_d = {self.pd:.2g} (d′ = {self.d_prime:.2f}) at α = {self.alpha:g} and "
            f"β = {self.beta:g} takes about {ceil(none)} triads where there is no difference and about {ceil(some)} "
            f"where there is one of that size; {self.shortest[1]} right in a row end it, and so do {self.shortest[0]} "
            "wrong."
        )

    def run(self, answers: Sequence[bool]) -> "SequentialRun":
        """Judge a run after its answers so far.

        Parameters
        ----------
        answers : sequence of bool
            Right or wrong, in the order in which they were given.

        Raises
        ------
        ValueError
            Where an answer is neither right nor wrong.
        """
        if any(answer not in (0, 1) for answer in answers):
            raise ValueError("Each answer is right or wrong: give True or False for each.")
        return SequentialRun(self, tuple(bool(answer) for answer in answers))

    def to_frame(self, upto: int = 60) -> "DataFrame":
        """Give a row a number of answers with the counts that end the run; missing where none can."""
        from pandas import DataFrame

        rows = []
        for n in range(1, upto + 1):
            most, least = floor(self.lower(n) + _SLACK), ceil(self.upper(n) - _SLACK)
            rows.append((n, most if most >= 0 else None, least if least <= n else None))
        frame = DataFrame(rows, columns=["triads", "no_such_difference", "difference"])
        return frame.astype({"no_such_difference": "Int64", "difference": "Int64"})


@dataclass(frozen=True)
class SequentialRun:
    """A sequential run and where it stands.

    Attributes
    ----------
    plan : SequentialPlan
    answers : tuple of bool
    """

    plan: SequentialPlan
    answers: tuple[bool, ...]

    @cached_property
    def states(self) -> tuple[State, ...]:
        """The state after each answer; once ended, a run stays as it ended."""
        states: list[State] = []
        correct = 0
        for n, answer in enumerate(self.answers, 1):
            correct += answer
            ended = states and states[-1] != "go on"
            states.append(states[-1] if ended else self.plan.state(correct, n))
        return tuple(states)

    @property
    def state(self) -> State:
        """Where the run stands."""
        return self.states[-1] if self.states else "go on"

    @cached_property
    def ended_at(self) -> int | None:
        """The answer that ended the run; None where it goes on."""
        return next((n for n, state in enumerate(self.states, 1) if state != "go on"), None)

    @property
    def finding(self) -> str:
        """The verdict, or what is still to be done."""
        n = self.ended_at or len(self.answers)
        correct = sum(self.answers[:n])
        so_far = f"{correct} of {n} correct"
        further = len(self.answers) - n
        later = f" Answers after triad {n} do not count." if further else ""
        goal = f"planned p_d = {self.plan.pd:.2g}, α = {self.plan.alpha:g}, β = {self.plan.beta:g}"
        match self.state:
            case "difference shown":
                said = (
                    f"Difference shown after triad {n}: {so_far} ({goal}); "
                    "that holds for this taster and this pair only."
                )
            case "no such difference":
                said = (
                    f"No difference as large as p_d = {self.plan.pd:.2g} after triad {n}: {so_far} ({goal}); a "
                    "smaller one may be there, and it holds for this taster and this pair only."
                )
            case _:
                said = f"Undecided so far: {so_far} ({goal}); neither boundary is reached. Serve the next triad."
        return said + later

    def to_frame(self) -> "DataFrame":
        """Give a row an answer."""
        from pandas import DataFrame

        numbers = range(1, len(self.answers) + 1)
        return DataFrame(
            {
                "triad": list(numbers),
                "right": list(self.answers),
                "correct": [sum(self.answers[:n]) for n in numbers],
                "lower": [self.plan.lower(n) for n in numbers],
                "upper": [self.plan.upper(n) for n in numbers],
                "state": list(self.states),
            }
        )


def plan_sequential(
    alpha: float = 0.05,
    beta: float = 0.2,
    *,
    pd: float | None = None,
    d_prime: float | None = None,
    method: Method = TRIANGLE,
) -> SequentialPlan:
    """Plan a sequential run.

    Parameters
    ----------
    alpha, beta : float
        Risks of a wrong verdict; together below 1.
    pd, d_prime : float, optional
        The smallest difference that matters, on one of the two scales.

    Raises
    ------
    ValueError
        Where a number makes no sense.
    """
    alpha, beta = share("alpha", alpha), share("beta", beta)
    if alpha + beta >= 1:
        raise ValueError(f"alpha and beta add up to {alpha + beta:g}; take risks that stay below 1 together.")
    found = chosen_pd(pd, d_prime, method)
    return SequentialPlan(alpha, beta, found, float(d_prime or method.d_prime(method.correct_from(found))), method)
