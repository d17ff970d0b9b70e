"""A–not A: one cup at a time, is it A? After ISO 8588."""

from dataclasses import dataclass
from math import sqrt

from scipy.stats import fisher_exact, norm

from redolent.triangle.binomial import counts, share


@dataclass(frozen=True, slots=True)
class ANotA:
    """How well one taster tells A from what is not A.

    Attributes
    ----------
    hits, signals : int
        Cups of A that were called A, and cups of A.
    false_alarms, noises : int
        Other cups that were called A, and other cups.
    d_prime, low, high : float
        z(hits) − z(false alarms) with its interval; negative where A is called A less often than the others.
    criterion : float
        −(z(hits) + z(false alarms))/2: above 0, "A" is said too seldom; below 0, too often.
    p_value : float
        Exact and one-sided, that hits are no more frequent than false alarms (Fisher).
    level : float
    """

    hits: int
    signals: int
    false_alarms: int
    noises: int
    d_prime: float
    low: float
    high: float
    criterion: float
    p_value: float
    level: float

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        return (
            f"A was called A in {self.hits} of {self.signals} cups, and another in "
            f"{self.false_alarms} of {self.noises}: d′ = {self.d_prime:.2f} "
            f"({100 * self.level:g} % interval {self.low:.2f} to {self.high:.2f}; "
            f"p = {self.p_value:.3f}, exact and one-sided, if the numbers of cups were fixed beforehand); "
            "that holds for this taster and this pair only."
        )


def judge_a_not_a(hits: int, signals: int, false_alarms: int, noises: int, *, level: float = 0.95) -> ANotA:
    r"""Judge a run of A–not A.

    Parameters
    ----------
    hits, signals, false_alarms, noises : int
    level : float

    Raises
    ------
    ValueError
        Where the counts make no sense.

    Notes
    -----
    Rates of 0 and 1 have no finite z. Half an answer is added to each count and one cup to each number, always, not
    only where it is needed, so that the estimate does not jump (log-linear rule: Hautus 1995, Behavior Research
    Methods, Instruments & Computers 27:46–51). The variance is that of Gourevitch & Galanter (1967),
    Psychometrika 32:25–33,

    .. math:: \frac{H (1 - H)}{n_A φ(z_H)^2} + \frac{F (1 - F)}{n_N φ(z_F)^2}.

    Its 95 % interval holds in 94.8 to 97.9 % of all outcomes for d′ up to 3 and 12 to 48 cups of either kind
    (24 and 48 are enumerated in ``tests/test_a_not_a.py``).
    """
    hits, signals = counts(hits, signals)
    false_alarms, noises = counts(false_alarms, noises)
    level = share("level", level)
    hit, alarm = (hits + 0.5) / (signals + 1), (false_alarms + 0.5) / (noises + 1)
    z_hit, z_alarm = (float(norm.ppf(rate)) for rate in (hit, alarm))
    variance = hit * (1 - hit) / (signals * norm.pdf(z_hit) ** 2) + alarm * (1 - alarm) / (
        noises * norm.pdf(z_alarm) ** 2
    )
    reach = float(norm.isf((1 - level) / 2)) * sqrt(variance)
    table = [[hits, signals - hits], [false_alarms, noises - false_alarms]]
    d_prime = z_hit - z_alarm
    return ANotA(
        hits,
        signals,
        false_alarms,
        noises,
        d_prime,
        d_prime - reach,
        d_prime + reach,
        -(z_hit + z_alarm) / 2,
        float(fisher_exact(table, alternative="greater").pvalue),
        level,
    )
