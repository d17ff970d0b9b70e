"""A–not A: d′ and its interval."""

from functools import cache

import numpy as np
import pytest
from scipy.stats import binom, chi2, hypergeom, norm

from redolent.triangle import judge_a_not_a

judge = cache(judge_a_not_a)


def test_many_cups_give_the_textbook_value():
    # z(0.8413) - z(0.5) = 1 (any table of the normal distribution).
    assert judge_a_not_a(84_134, 100_000, 50_000, 100_000).d_prime == pytest.approx(1, abs=0.001)
    assert judge_a_not_a(69_146, 100_000, 30_854, 100_000).criterion == pytest.approx(0, abs=1e-9)


def test_rates_of_0_and_1_are_corrected_log_linearly():
    # Hautus (1995): (20 + 0.5)/21 and 0.5/21.
    perfect = judge_a_not_a(20, 20, 0, 20)
    assert perfect.d_prime == pytest.approx(norm.ppf(20.5 / 21) - norm.ppf(0.5 / 21))
    assert np.isfinite([perfect.low, perfect.high]).all()
    assert judge_a_not_a(4, 20, 15, 20).d_prime == pytest.approx(-judge_a_not_a(15, 20, 4, 20).d_prime)


def test_p_is_exact():
    # Hypergeometric: at least 15 hits of 20 where 19 of 40 cups were called A.
    judged = judge_a_not_a(15, 20, 4, 20)
    assert judged.p_value == pytest.approx(hypergeom.sf(14, 40, 19, 20))
    assert "d′ = 1.43" in judged.finding


@pytest.mark.parametrize("cups", [12, 24, 48])
@pytest.mark.parametrize("d", [0.0, 1.0, 2.0, 3.0])
def test_the_interval_holds_within_two_points_of_its_level(cups, d):
    # Enumerated, not simulated: every pair of counts with its probability; an unbiased taster and one who says no.
    for criterion in (0.0, 0.4):
        hits = binom.pmf(np.arange(cups + 1), cups, norm.cdf(d / 2 - criterion))
        alarms = binom.pmf(np.arange(cups + 1), cups, norm.cdf(-d / 2 - criterion))
        held = 0.0
        for hit in np.flatnonzero(hits > 1e-6):
            for alarm in np.flatnonzero(alarms > 1e-6):
                judged = judge(int(hit), cups, int(alarm), cups)
                held += hits[hit] * alarms[alarm] * (judged.low <= d <= judged.high)
        assert 0.93 <= held <= 0.97


@pytest.mark.filterwarnings("ignore:divide by zero")  # two counts, two parameters: nothing is left to scale
@pytest.mark.filterwarnings("ignore::statsmodels.tools.sm_exceptions.PerfectSeparationWarning")
def test_the_interval_is_the_profile_likelihood_of_a_probit_regression():
    # statsmodels fits P(A called A) = Φ(cell mean); the profile's ends must lie where its deviance is χ²'s quantile.
    import statsmodels.api as sm

    judged = judge_a_not_a(15, 20, 4, 20)
    answers = np.array([[15.5, 5.5], [4.5, 16.5]])
    family = sm.families.Binomial(link=sm.families.links.Probit())
    best = sm.GLM(answers, np.array([[1, 0.5], [1, -0.5]]), family=family).fit()
    assert judged.d_prime == pytest.approx(best.params[1], abs=1e-6)
    for end in (judged.low, judged.high):
        held = sm.GLM(answers, np.ones((2, 1)), family=family, offset=np.array([end / 2, -end / 2])).fit()
        assert 2 * (best.llf - held.llf) == pytest.approx(chi2.ppf(0.95, 1), abs=1e-4)


def test_bad_counts_are_told():
    with pytest.raises(ValueError, match="more correct answers"):
        judge_a_not_a(21, 20, 4, 20)
