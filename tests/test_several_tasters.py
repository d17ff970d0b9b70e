"""Several tasters: pooled, apart, and each alone."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import minimize
from scipy.stats import beta, betabinom, binom, binomtest, chi2
from statsmodels.stats.multitest import multipletests

from redolent.triangle import DUO_TRIO, TRIANGLE, judge_tasters
from redolent.triangle.several import adjust, fit_overdispersion, prepare_likelihood

APART = {"Ada": (12, 12), "Bela": (4, 12), "Cleo": (11, 12), "Dov": (5, 12), "Edo": (3, 12)}


def test_pooled_is_the_binomial_of_all():
    judged = judge_tasters(APART)
    assert (judged.pooled.correct, judged.pooled.of) == (35, 60)
    assert judged.pooled.p_value == pytest.approx(binomtest(35, 60, 1 / 3, alternative="greater").pvalue)
    assert "these 5 tasters" in judged.pooled.sentence


def test_each_alone_is_corrected_as_by_statsmodels():
    judged = judge_tasters(APART)
    alone = [binomtest(*result, 1 / 3, alternative="greater").pvalue for result in APART.values()]
    assert judged.p_values == pytest.approx(alone)
    assert judged.adjusted == pytest.approx(multipletests(alone, method="holm")[1])
    assert judged.shown == ("Ada", "Cleo")
    assert "a difference is shown for 2 of 5 tasters" in judged.finding
    assert list(judged.to_frame()["shown"]) == [True, False, True, False, False]
    for seed in range(20):
        values = np.random.default_rng(seed).random(7) ** 3
        assert adjust(values.tolist()) == pytest.approx(multipletests(values, method="holm")[1])


@pytest.mark.parametrize(("mean", "spread"), [(0.3, 0.2), (0.7, 0.6), (0.05, 0.05)])
def test_the_likelihood_is_the_integral(mean, spread):
    a, b = mean * (1 - spread) / spread, (1 - mean) * (1 - spread) / spread
    for x, n in ((0, 6), (4, 12), (12, 12), (17, 30)):

        def joint(share, x=x, n=n):
            return binom.pmf(x, n, 1 / 3 + 2 / 3 * share) * beta.pdf(share, a, b)

        # Split, because the density may rise without bound at either end.
        expected = sum(quad(joint, *ends, limit=400)[0] for ends in ((0, 0.01), (0.01, 0.99), (0.99, 1)))
        found = np.exp(prepare_likelihood(np.array([x]), np.array([n]))(mean, spread))
        assert found == pytest.approx(expected, rel=1e-4)


def test_without_guessing_it_is_the_beta_binomial_of_scipy():
    x, n = np.array([3, 7, 0, 12]), np.array([12, 12, 9, 12])
    a, b = 0.4 * 0.7 / 0.3, 0.6 * 0.7 / 0.3
    assert prepare_likelihood(x, n, 1e-12)(0.4, 0.3) == pytest.approx(betabinom.logpmf(x, n, a, b).sum(), rel=1e-6)


def test_the_fit_is_the_maximum():
    x, n = np.array([12, 4, 11, 5, 3, 8]), np.full(6, 12)
    mean, spread, p = fit_overdispersion(x, n)
    likelihood = prepare_likelihood(x, n)
    starts = [(m, g) for m in (0.2, 0.5, 0.8) for g in (0.1, 0.5, 0.9)]
    best = max(
        -minimize(lambda at: -likelihood(*np.clip(at, 1e-6, 1 - 1e-6)), start, method="Nelder-Mead").fun
        for start in starts
    )
    assert likelihood(mean, spread) == pytest.approx(best, abs=1e-4)
    pooled = x.sum() / n.sum()
    ratio = 2 * (best - binom.logpmf(x, n, pooled).sum())
    assert p == pytest.approx(chi2.sf(ratio, 1) / 2, rel=1e-2)


def test_tasters_who_are_alike_or_answer_once_show_no_overdispersion():
    assert fit_overdispersion(np.array([5, 6, 5, 6]), np.full(4, 12))[1:] == (0, 1)
    assert fit_overdispersion(np.array([3, 4, 3]), np.full(3, 12))[1:] == (0, 1)
    assert fit_overdispersion(np.array([12, 12]), np.full(2, 12))[1:] == (0, 1)
    once = judge_tasters({str(n): (n % 2, 1) for n in range(10)})
    assert "With one triad each, whether they differ cannot be seen." in once.finding
    assert "That they differ is not shown" in judge_tasters({"a": (5, 12), "b": (6, 12)}).finding


def test_tasters_who_differ_are_seen():
    judged = judge_tasters(APART)
    assert judged.overdispersion_p < 0.001
    assert 0.5 < judged.overdispersion < 1
    assert "the pooled proportion is no taster's own" in judged.finding


@pytest.mark.parametrize("method", [TRIANGLE, DUO_TRIO])
def test_the_ratio_test_keeps_its_level(method):
    # 400 runs of 12 alike tasters with 12 triads: four standard errors above 5 %; the mixture is of large numbers and
    # errs to the cautious side here. The full count is in benchmarks/triangle_coverage.py.
    rng, runs = np.random.default_rng(1987), 400
    counts = rng.binomial(12, method.correct_from(0.3), (runs, 12))
    false = np.mean([fit_overdispersion(row, np.full(12, 12), method)[2] <= 0.05 for row in counts])
    assert false <= 0.05 + 4 * np.sqrt(0.05 * 0.95 / runs)


def test_one_taster_is_not_several():
    with pytest.raises(ValueError, match="two or more"):
        judge_tasters({"Ada": (3, 6)})
    with pytest.raises(ValueError, match="more correct answers"):
        judge_tasters({"Ada": (3, 6), "Bela": (7, 6)})
