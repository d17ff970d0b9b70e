"""What a run of triads says, in numbers and in one sentence."""

from dataclasses import dataclass
from math import ceil, log10
from typing import Literal

from redolent.triangle.binomial import (
    counts,
    fewest_triads,
    minimum_correct,
    p_value,
    proportion_interval,
    share,
    whole,
)

Outcome = Literal["difference shown", "no difference shown", "too few triads", "stopped early"]


@dataclass(frozen=True, slots=True)
class Verdict:
    """The verdict on one taster and one pair of coffees.

    Attributes
    ----------
    correct, of : int
        Right answers, and triads answered.
    p_value : float
        Exact, one-sided, against guessing; of no meaning for a run that was stopped early.
    proportion, low, high : float
        Proportion correct with its exact two-sided 95 % interval.
    minimum_correct : int or None
        Fewest right answers that show a difference in the planned number of triads; None where none do.
    alpha : float
        Level of the test.
    planned : int or None
        Number of triads fixed beforehand; None where it was not said.
    """

    correct: int
    of: int
    p_value: float
    proportion: float
    low: float
    high: float
    minimum_correct: int | None
    alpha: float
    planned: int | None

    @property
    def outcome(self) -> Outcome:
        """The verdict in a few words."""
        if self.planned is not None and self.of < self.planned:
            return "stopped early"
        if self.minimum_correct is None:
            return "too few triads"
        return "difference shown" if self.correct >= self.minimum_correct else "no difference shown"

    @property
    def level(self) -> str:
        """The level of the test as it is written: ``5 %``."""
        return f"{100 * self.alpha:.6g} %"

    @property
    def p(self) -> str:
        """The p-value as it is written: ``p = 0.028``, ``p < 0.001``."""
        digits = max(3, ceil(-log10(self.alpha)))
        least = 10**-digits
        if self.p_value < least:
            return f"p < {least:.{digits}f}"
        if 1 - least < self.p_value < 1:
            return f"p > {1 - least:.{digits}f}"
        # 0.0503 must not be written as 0.050 where the level is 0.05.
        while (self.p_value > self.alpha) != (round(self.p_value, digits) > self.alpha):
            digits += 1
        return f"p = {self.p_value:.{digits}f}"

    @property
    def sentence(self) -> str:
        """What was planned, what came out, and what may be concluded from it."""
        planned = "planned " if self.planned else ""
        triads = _triads(self.of)
        proviso = "" if self.planned else f", if {self.of} {triads} {_were(self.of)} fixed beforehand"
        result = f"{self.correct} of {self.of} {planned}{triads} {_were(self.correct)} correct"
        bar = f"where the {self.level} level asks for at least {self.minimum_correct} ({self.p}{proviso})"
        match self.outcome:
            case "difference shown":
                return (
                    f"Difference shown: {result}, {bar}, "
                    "so this taster tells these two coffees apart more often than guessing would."
                )
            case "no difference shown":
                return f"No difference shown: {result}, {bar}; that does not mean that the two coffees are the same."
            case "too few triads":
                return (
                    f"Too few triads for a verdict: {result}, and even all correct would not show "
                    f"a difference at the {self.level} level; plan at least {fewest_triads(self.alpha)}."
                )
            case "stopped early":
                return (
                    f"Stopped early: {self.planned} {_triads(self.planned)} {_were(self.planned)} planned, "
                    f"{self.of} {_were(self.of)} answered, {self.correct} {_were(self.correct)} correct; "
                    "a p-value holds for a number of triads fixed beforehand, so no verdict is given."
                )


def judge(correct: int, of: int, *, alpha: float = 0.05, planned: int | None = None) -> Verdict:
    """Judge a run of triads against guessing.

    Parameters
    ----------
    correct, of : int
        Right answers, and triads answered.
    alpha : float
        Level of the one-sided exact binomial test.
    planned : int, optional
        Number of triads fixed beforehand. A run with fewer is labelled as stopped early and gets no verdict.

    Raises
    ------
    ValueError
        Where the counts or `alpha` make no sense, or more triads were answered than planned.

    References
    ----------
    ISO 4120, Sensory analysis: Methodology: Triangle test.
    """
    correct, of = counts(correct, of)
    alpha = share("alpha", alpha)
    if planned is not None:
        planned = whole("The planned number of triads", planned, least=1)
        if of > planned:
            raise ValueError(
                f"{of} triads were answered and {planned} planned; "
                "give the number that was fixed before the first cup, and only the answers up to it."
            )
    low, high = proportion_interval(correct, of)
    return Verdict(
        correct=correct,
        of=of,
        p_value=p_value(correct, of),
        proportion=correct / of,
        low=low,
        high=high,
        minimum_correct=minimum_correct(planned or of, alpha),
        alpha=alpha,
        planned=planned,
    )


def _triads(n: int) -> str:
    return "triad" if n == 1 else "triads"


def _were(n: int) -> str:
    return "was" if n == 1 else "were"
