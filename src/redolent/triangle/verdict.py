"""What a run of triads says, in numbers and in one sentence."""

from dataclasses import dataclass
from math import ceil, inf, isinf, log10
from typing import Any, Literal

from scipy.stats import binom

from redolent.triangle.anytime import anytime_interval, evidence, seen_minimum, seen_p_value
from redolent.triangle.binomial import (
    counts,
    fewest_triads,
    maximum_correct,
    minimum_correct,
    p_value,
    proportion_bounds,
    proportion_interval,
    share,
    whole,
)
from redolent.triangle.psychometric import TRIANGLE, Method

Outcome = Literal[
    "difference shown",
    "no difference shown",
    "similarity shown",
    "similarity not shown",
    "too few triads",
    "stopped early",
    "looked at on the way",
]


@dataclass(frozen=True, slots=True)
class Verdict:
    """The verdict on one taster and one pair of coffees.

    Attributes
    ----------
    correct, of : int
        Right answers, and triads answered.
    p_value : float
        Exact, one-sided, against guessing; of no meaning for a run that was stopped early or looked at on the way.
        Where each answer was seen, it counts that the run could have ended there (`seen_p_value`).
    proportion, low, high : float
        Proportion correct with its exact two-sided 95 % interval.
    minimum_correct : int or None
        Fewest right answers that show a difference in the planned number of triads; None where none do.
    alpha : float
        Level of the test.
    planned : int or None
        Number of triads fixed beforehand; None where it was not said.
    planned_pd, beta : float or None
        The smallest share of discriminators that matters, and the risk of missing it, where they were planned.
    maximum_correct : int or None
        Most right answers that show similarity, where that was planned; None where none do.
    similarity : bool
        Whether similarity was to be shown.
    looked : bool
        Whether the result was looked at on the way, so that the run could have ended there.
    seen : bool
        Whether each answer was seen to be right or wrong before the next, as alone at the table.
    tasters : int
        How many different people answered.
    method : Method
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
    planned_pd: float | None = None
    beta: float | None = None
    maximum_correct: int | None = None
    similarity: bool = False
    looked: bool = False
    seen: bool = False
    tasters: int = 1
    method: Method = TRIANGLE

    @property
    def stopped(self) -> bool:
        """Whether the run ended before its planned number of triads."""
        return self.planned is not None and self.of < self.planned

    @property
    def anytime(self) -> bool:
        """Whether the run has to be judged by the method that holds whenever one stops."""
        return self.stopped or self.looked

    @property
    def outcome(self) -> Outcome:
        """The verdict in a few words."""
        if self.stopped:
            return "stopped early"
        if self.looked:
            return "looked at on the way"
        if (self.maximum_correct if self.similarity else self.minimum_correct) is None:
            return "too few triads"
        if self.similarity:
            return "similarity shown" if self.shown else "similarity not shown"
        return "difference shown" if self.shown else "no difference shown"

    @property
    def shown(self) -> bool:
        """Whether what was to be shown is shown, by the method that holds for the way the run was done."""
        if self.anytime:
            return self.anytime_p <= self.risk
        if self.similarity:
            return self.maximum_correct is not None and self.correct <= self.maximum_correct
        return self.minimum_correct is not None and self.correct >= self.minimum_correct

    @property
    def risk(self) -> float:
        """The risk of a wrong claim: α of a difference, β of similarity."""
        return self.beta if self.similarity and self.beta is not None else self.alpha

    @property
    def anytime_p(self) -> float:
        """The p-value that holds whenever one stops, against guessing or, for similarity, against the planned p_d."""
        return min(1.0, 1 / evidence(self.correct, self.of, self.null_proportion, below=self.similarity))

    @property
    def null_proportion(self) -> float:
        """The proportion correct that the run is held against: by guessing or, for similarity, at the planned p_d."""
        return self.method.correct_from(self.planned_pd or 0) if self.similarity else self.method.guessing

    @property
    def limits(self) -> tuple[float, float]:
        """The 95 % interval of the proportion that holds for the way the run was done."""
        return anytime_interval(self.correct, self.of) if self.anytime else (self.low, self.high)

    @property
    def bound(self) -> float:
        """The one-sided bound of the proportion that goes with the decision.

        The lower bound at confidence 1 − α, above guessing where a difference is shown; for similarity the upper one at
        1 − β, below the planned p_d's proportion where it is shown. It holds where `limits` is exact.
        """
        return proportion_bounds(self.correct, self.of, self.risk)[self.similarity]

    @property
    def pd(self) -> float:
        """Share of discriminators; 0 at or below chance."""
        return self.method.discriminators(self.proportion)

    @property
    def pd_interval(self) -> tuple[float, float]:
        """Its 95 % interval, which follows from `limits`."""
        low, high = self.limits
        return self.method.discriminators(low), self.method.discriminators(high)

    @property
    def d_prime(self) -> float:
        """Distance of the two samples in standard deviations; infinite where all are correct."""
        return self.method.d_prime(self.proportion)

    @property
    def d_prime_interval(self) -> tuple[float, float]:
        """Its 95 % interval, which follows from `limits`."""
        low, high = self.limits
        return self.method.d_prime(low), self.method.d_prime(high)

    @property
    def level(self) -> str:
        """The level of the test as it is written: ``5 %``."""
        return f"{100 * self.alpha:.6g} %"

    @property
    def p(self) -> str:
        """The p-value as it is written: ``p = 0.028``, ``p < 0.001``."""
        return _written(self.p_value, self.alpha)

    @property
    def sentence(self) -> str:
        """What was planned, what came out, and what may be concluded from it."""
        planned, fixed = "planned " if self.planned else "", self.planned or self.of
        triads = self._triads(self.of)
        seen = ", counting that each answer was seen" if self.seen else ""
        proviso = seen if self.planned else f", if {self.of} {triads} {_were(self.of)} fixed beforehand"
        result = f"{self.correct} of {self.of} {planned}{triads} {_were(self.correct)} correct"
        bar = f"where the {self.level} level asks for at least {self.minimum_correct} ({self.p}{proviso})"
        most = (
            f"where similarity (p_d below {self.planned_pd:g}, risk {self.beta:g}{proviso}) allows at most "
            f"{self.maximum_correct}"
            if self.similarity
            else ""
        )
        match self.outcome:
            case "difference shown":
                return (
                    f"Difference shown: {result}, {bar}, so {self._who} these two coffees apart more often than "
                    f"guessing would; that holds for {self._whose} and this pair only."
                )
            case "no difference shown":
                return (
                    f"No difference shown: {result}, {bar}; that does not mean that the two coffees are the same: "
                    f"the difference may still be detected in up to {_percent(round(self.pd_interval[1], 2))} of the "
                    f"{self._triads(2)} (95 % interval of p_d){self._chance_to_find}."
                )
            case "similarity shown":
                return (
                    f"Similarity shown: {result}, {most}, so the difference is detected in fewer than "
                    f"{_percent(self.planned_pd)} of the {self._triads(2)} (upper limit of p_d "
                    f"{self.method.discriminators(self.bound):.2f}); that is not “the same”, and it holds for "
                    f"{self._whose} and this pair only."
                )
            case "similarity not shown":
                return (
                    f"Similarity not shown: {result}, {most} (upper limit of p_d "
                    f"{self.method.discriminators(self.bound):.2f}); that does not show a difference either."
                )
            case "too few triads":
                return f"Too few {self._triads(2)} for a verdict: {result}, and {self._too_few}"
            case "stopped early":
                return (
                    f"Stopped early: {fixed} {self._triads(fixed)} {_were(fixed)} planned, "
                    f"{self.of} {_were(self.of)} answered, {self.correct} {_were(self.correct)} correct; "
                    f"{self._anytime}"
                )
            case "looked at on the way":
                return f"Looked at on the way: {result}; {self._anytime}"

    @property
    def disagreement(self) -> str:
        """Where decision and two-sided interval seem to disagree, why they do not; else empty."""
        if self.anytime or self.seen or self.outcome == "too few triads":
            return ""
        bar = self.null_proportion
        name = f"p_d = {self.planned_pd:g}" if self.similarity else "guessing"
        outside = self.high < bar if self.similarity else self.low > bar
        if outside == self.shown:
            return ""
        end, one_sided = ("ends", "upper") if self.similarity else ("begins", "lower")
        edge = self.high if self.similarity else self.low
        return (
            f"The two-sided 95 % interval of the proportion {end} at {edge:.3f}, and {name} is {bar:.3f}; it allows "
            f"2.5 % of error on this side. The decision looks at this side only and allows {100 * self.risk:.6g} %: "
            f"its {one_sided} bound is {self.bound:.3f}."
        )

    @property
    def finding(self) -> str:
        """The sentence, and after it what it needs to be understood."""
        return " ".join(part for part in (self.sentence, self.disagreement) if part)

    @property
    def numbers(self) -> tuple[str, ...]:
        """What stands behind the sentence, a line each."""
        low, high = self.limits
        kind = "holds whenever one stops" if self.anytime else "exact, two-sided"
        lines = [
            f"Proportion correct {self.proportion:.3f}, 95 % interval {low:.3f} to {high:.3f} ({kind}); guessing gives "
            f"{self.method.guessing:.3f}.",
            f"p_d {self.pd:.2f}, {self.pd_interval[0]:.2f} to {self.pd_interval[1]:.2f}: the share of "
            f"{self._triads(2)} in which the difference is detected, where the others are guesses.",
            f"d′ {_distance(self.d_prime)}, {_distance(self.d_prime_interval[0])} to "
            f"{_distance(self.d_prime_interval[1])}: the distance of the two in standard deviations of perception.",
        ]
        if self.proportion <= self.method.guessing:
            lines.append("At or below chance p_d and d′ are 0.")
        if isinf(self.d_prime):
            lines.append("All are correct, so no d′ is too large; only its lower limit says something.")
        if not self.anytime and not self.seen:
            side = "upper" if self.similarity else "lower"
            lines.append(f"One-sided {side} bound of the proportion that goes with the decision: {self.bound:.3f}.")
        return (*lines, *([self.disagreement] if self.disagreement else []))

    def for_people(self) -> str:
        """Say what the result means for people in general.

        Raises
        ------
        ValueError
            Where some taster answered more than once: replicates of a palate are no sample of people.
        """
        if self.tasters < self.of:
            whose = "1 taster" if self.tasters == 1 else f"{self.tasters} tasters"
            raise ValueError(
                f"{self.of} {self._triads(self.of)} of {whose} say nothing about people in general: they are "
                "replicates, and how many people detect this pair cannot be told from how often the same palate does. "
                "ISO 4120 plans in assessors; ask as many different people as triads are planned, one triad each."
            )
        low, high = self.pd_interval
        return (
            f"Of people like these {self.tasters}, a share of {low:.2f} to {high:.2f} detects this pair (p_d, 95 % "
            "interval), as far as these were drawn at random from them."
        )

    def to_dict(self) -> dict[str, Any]:
        """Give the numbers under the names of the command line's JSON; None stands for an infinite d′."""
        proportion_low, proportion_high = self.limits
        told: dict[str, float | None] = {
            "correct": self.correct,
            "of": self.of,
            "p_value": self.p_value,
            "proportion": self.proportion,
            "proportion_low": proportion_low,
            "proportion_high": proportion_high,
            "pd": self.pd,
            "pd_low": self.pd_interval[0],
            "pd_high": self.pd_interval[1],
            "d_prime": self.d_prime,
            "d_prime_low": self.d_prime_interval[0],
            "d_prime_high": self.d_prime_interval[1],
        }
        told = {name: None if value == inf else value for name, value in told.items()}
        return told | ({"d_prime_infinite": True} if told["d_prime"] is None else {})

    @property
    def _too_few(self) -> str:
        if self.similarity:
            return f"even none correct would not show p_d below {self.planned_pd:g} at the risk {self.beta:g}."
        return (
            f"even all correct would not show a difference at the {self.level} level; "
            f"plan at least {fewest_triads(self.alpha, self.method.guessing)}."
        )

    @property
    def _anytime(self) -> str:
        p = _written(self.anytime_p, self.risk)
        goal = f"p_d below {self.planned_pd:g}" if self.similarity else "a difference"
        if self.shown:
            tail = f"; that holds for {self._whose} and this pair only."
        elif self.similarity:
            tail = "; that does not show a difference either."
        else:
            tail = "; that does not mean that the two coffees are the same."
        return (
            "a p-value holds for a number of triads fixed beforehand, so the test that holds whenever one stops is "
            f"used: {goal} is {'shown' if self.shown else 'not shown'} ({p} at the {100 * self.risk:.6g} % level){tail}"
        )

    @property
    def _chance_to_find(self) -> str:
        if self.planned_pd is None or self.minimum_correct is None:
            return ""
        power = float(binom.sf(self.minimum_correct - 1, self.of, self.method.correct_from(self.planned_pd)))
        return f", and the planned p_d = {self.planned_pd:g} would have been found with a probability of {power:.2f}"

    @property
    def _who(self) -> str:
        return "this taster tells" if self.tasters == 1 else f"these {self.tasters} tasters tell"

    @property
    def _whose(self) -> str:
        return "this taster" if self.tasters == 1 else f"these {self.tasters} tasters"

    def _triads(self, n: int) -> str:
        noun = "triad" if self.method is TRIANGLE else "trial"
        return noun if n == 1 else f"{noun}s"


def judge(
    correct: int,
    of: int,
    *,
    alpha: float = 0.05,
    planned: int | None = None,
    pd: float | None = None,
    beta: float | None = None,
    similarity: bool = False,
    looked: bool = False,
    seen: bool = False,
    tasters: int = 1,
    method: Method = TRIANGLE,
) -> Verdict:
    """Judge a run of triads against guessing, or against the smallest difference that matters.

    Parameters
    ----------
    correct, of : int
        Right answers, and triads answered.
    alpha : float
        Level of the one-sided exact binomial test.
    planned : int, optional
        Number of triads fixed beforehand. A run with fewer is labelled as stopped early, and judged by the test that
        holds whenever one stops.
    pd, beta : float, optional
        The planned smallest share of discriminators that matters, and the risk of missing it.
    similarity : bool
        Whether the run was planned to show similarity; needs `pd` and `beta`.
    looked : bool
        Whether the result was looked at on the way.
    seen : bool
        Whether each answer was seen to be right or wrong before the next. A run that is kept to its number all the
        same is judged by `seen_p_value`.
    tasters : int
        How many different people answered.
    method : Method

    Raises
    ------
    ValueError
        Where a number makes no sense, or more triads were answered than planned.

    References
    ----------
    ISO 4120, Sensory analysis: Methodology: Triangle test.
    """
    correct, of = counts(correct, of)
    alpha = share("alpha", alpha)
    pd = None if pd is None else share("p_d", pd, such=0.3)
    beta = None if beta is None else share("beta", beta)
    if planned is not None:
        planned = whole("The planned number of triads", planned, least=1)
        if of > planned:
            raise ValueError(
                f"{of} triads were answered and {planned} planned; "
                "give the number that was fixed before the first cup, and only the answers up to it."
            )
    fixed, guessing, most = planned or of, method.guessing, None
    if similarity:
        if pd is None or beta is None:
            raise ValueError("Similarity is judged against the planned p_d at the planned risk beta; give both.")
        most = _most_seen(fixed, beta, pd, method) if seen else maximum_correct(fixed, beta, pd, guessing)
    tasters = whole("The number of tasters", tasters, least=1)
    if tasters > of:
        raise ValueError(f"{tasters} tasters cannot have answered {of} triads; count only those who answered.")
    low, high = proportion_interval(correct, of)
    least = seen_minimum(fixed, alpha, guessing) if seen else minimum_correct(fixed, alpha, guessing)
    return Verdict(
        correct=correct,
        of=of,
        p_value=seen_p_value(correct, of, alpha, guessing) if seen else p_value(correct, of, guessing),
        proportion=correct / of,
        low=low,
        high=high,
        minimum_correct=least,
        alpha=alpha,
        planned=planned,
        planned_pd=pd,
        beta=beta,
        maximum_correct=most,
        similarity=similarity,
        looked=looked,
        seen=seen,
        tasters=tasters,
        method=method,
    )


def _most_seen(of: int, beta: float, pd: float, method: Method) -> int | None:
    """Give what `maximum_correct` gives, where each answer is seen."""
    # Similarity is evidence of wrong answers: more of them than where p_d is as great as planned.
    wrong = seen_minimum(of, beta, 1 - method.correct_from(pd))
    return None if wrong is None else of - wrong


def _written(p: float, alpha: float) -> str:
    digits = max(3, ceil(-log10(alpha)))
    least = 10**-digits
    if p < least:
        return f"p < {least:.{digits}f}"
    if 1 - least < p < 1:
        return f"p > {1 - least:.{digits}f}"
    # 0.0503 must not be written as 0.050 where the level is 0.05.
    while (p > alpha) != (round(p, digits) > alpha):
        digits += 1
    return f"p = {p:.{digits}f}"


def _distance(d: float) -> str:
    return "without limit" if isinf(d) else f"{d:.2f}"


def _percent(share: float | None) -> str:
    return f"{100 * (share or 0):.3g} %"


def _were(n: int) -> str:
    return "was" if n == 1 else "were"
