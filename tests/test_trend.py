"""The trend of d′ over months, and the reference pairs that carry it."""

import warnings

import numpy as np
import pytest
import statsmodels.api as sm
from scipy.optimize import minimize
from scipy.stats import chi2

from redolent.triangle import METHODS, REFERENCE_PAIRS, TRIANGLE, dilution_pair, fit_trend, sugar_pair

MONTHS = np.arange(6.0)
CORRECT = [5, 6, 6, 8, 9, 10]
OF = [12] * 6


class Link(sm.families.links.Link):
    """The triangle's psychometric function as a link of statsmodels."""

    def __call__(self, p):
        return np.array([TRIANGLE.d_prime(one) for one in np.atleast_1d(p)])

    def inverse(self, z):
        return TRIANGLE.proportion(np.maximum(z, 1e-6))

    def deriv(self, p):
        return 1 / TRIANGLE.slope(np.maximum(self(p), 1e-3))


def by_statsmodels(correct, design):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        family = sm.families.Binomial(link=Link(), check_link=False)
        start = [1.0, *[0.1] * (design.shape[1] - 1)]
        return sm.GLM(np.column_stack([correct, OF - np.array(correct)]), design, family=family).fit(start_params=start)


@pytest.mark.parametrize("correct", [CORRECT, [11, 9, 10, 8, 7, 7], [7, 8, 7, 8, 7, 8]])
def test_the_fit_is_that_of_statsmodels(correct):
    trend = fit_trend(MONTHS, correct, OF, "water 10 %")
    full = by_statsmodels(correct, sm.add_constant(MONTHS))
    assert (trend.start, trend.slope) == pytest.approx(tuple(full.params), abs=1e-3)
    flat = by_statsmodels(correct, np.ones((6, 1)))
    assert trend.p_value == pytest.approx(chi2.sf(2 * (full.llf - flat.llf), 1), abs=1e-3)
    # Profile and standard-error intervals differ, but not by much where d' is far from 0.
    assert trend.low == pytest.approx(full.conf_int()[1][0], abs=0.15)
    assert trend.high == pytest.approx(full.conf_int()[1][1], abs=0.15)
    assert trend.to_frame()["fitted"].to_numpy() == pytest.approx(full.fittedvalues, abs=1e-3)


def test_no_other_line_fits_better():
    rng = np.random.default_rng(11)
    for _ in range(20):
        correct = rng.binomial(12, rng.uniform(0.2, 1, 6))
        trend = fit_trend(MONTHS, correct.tolist(), OF, "water 10 %")

        def lack(ends, correct=correct):
            p = np.minimum(TRIANGLE.proportion(ends[0] + (ends[1] - ends[0]) * MONTHS / 5), 1 - 1e-12)
            return -(correct * np.log(p) + (12 - correct) * np.log1p(-p)).sum()

        starts = [(a, b) for a in (0.3, 2, 4) for b in (0.3, 2, 4)]
        best = min(minimize(lack, start, bounds=[(0, 12)] * 2).fun for start in starts)
        assert lack((trend.start, trend.end)) <= best + 1e-4
        assert trend.low <= trend.slope <= trend.high


def test_chance_and_perfection_have_lines_too():
    chance = fit_trend(MONTHS, [3, 4, 2, 4, 3, 4], OF, "water 10 %")
    assert chance.p_value > 0.5
    assert chance.low < 0 < chance.high
    perfect = fit_trend(MONTHS, OF, OF, "water 10 %")
    assert np.isfinite([perfect.start, perfect.end]).all()
    assert perfect.low < 0 < perfect.high
    assert "nan" not in perfect.finding


def test_runs_may_come_in_any_order_and_from_any_origin():
    shuffled = [3, 0, 5, 1, 4, 2]
    moved = fit_trend([2026 + MONTHS[i] for i in shuffled], [CORRECT[i] for i in shuffled], OF, "water 10 %")
    assert moved.slope == pytest.approx(fit_trend(MONTHS, CORRECT, OF, "water 10 %").slope, abs=1e-6)


def test_only_a_reference_pair_shows_growth():
    grown = fit_trend(MONTHS, CORRECT, OF, "water 10 %")
    assert not grown.confounded
    assert grown.finding.endswith("on “water 10 %” this taster's discrimination grew.")
    for pairs in ("Kopal and Lomi", ["water 10 %"] * 5 + ["water 5 %"]):
        other = fit_trend(MONTHS, CORRECT, OF, pairs)
        assert other.confounded
        assert "Confounded: the runs are not of one reference pair" in other.finding
        assert "grew" not in other.finding
    flat = fit_trend(MONTHS, [7, 8, 7, 8, 7, 8], OF, "water 10 %")
    assert flat.finding.endswith("no change is shown, which does not mean that there is none.")


@pytest.mark.parametrize("method", METHODS.values(), ids=list(METHODS))
def test_siblings_have_trends(method):
    trend = fit_trend([0, 1, 2], [70, 80, 90], [100] * 3, "water 10 %", method=method)
    assert float(method.proportion(trend.start + trend.slope)) == pytest.approx(0.8, abs=0.02)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (([0, 1], [5, 6], [12], "a"), "Give a time"),
        (([1, 1], [5, 6], [12, 12], "a"), "two different times"),
        (([0, float("nan")], [5, 6], [12, 12], "a"), "two different times"),
        (([0, 1], [5, 13], [12, 12], "a"), "more correct answers"),
    ],
)
def test_what_makes_no_sense_is_told(arguments, message):
    with pytest.raises(ValueError, match=message):
        fit_trend(*arguments)


# --- reference pairs


def test_reference_pairs_are_recipes_with_amounts():
    tenth = REFERENCE_PAIRS["water 10 %"]
    assert (tenth.brew, tenth.water, tenth.sugar) == (270, 30, 0)
    assert "270 g of it and 30 g of water of the same temperature" in tenth.recipe
    assert tenth.water / (tenth.brew + tenth.water) == pytest.approx(0.1)
    sweet = REFERENCE_PAIRS["sugar 5 g/kg"]
    assert (sweet.brew, sweet.sugar) == (300, 1.5)
    assert sweet.error(0.1) == pytest.approx(1 / 15)
    assert "Who must mind their sugar" in sweet.recipe
    for pair in REFERENCE_PAIRS.values():
        assert "in one batch" in pair.recipe
        assert "Hot brew burns" in pair.recipe
        assert pair.error() < 0.12
    assert dilution_pair(0.1) == tenth
    with pytest.raises(ValueError, match="between 0 and 1"):
        dilution_pair(10)
    with pytest.raises(ValueError, match="above 0"):
        sugar_pair(0)
