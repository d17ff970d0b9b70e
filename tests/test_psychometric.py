"""Psychometric functions of forced choice, against published values, integrals and the rules themselves."""

from math import inf, sqrt

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import ncf, norm

from redolent.triangle import DUO_TRIO, METHODS, TETRAD, THREE_AFC, TRIANGLE, TWO_AFC

DISTANCES = (0.0, 0.3, 1.0, 1.47, 2.0, 3.2, 5.0)


def test_triangle_values_are_those_of_ennis_1993():
    # Ennis (1993), Journal of Sensory Studies 8:353-370.
    assert round(float(TRIANGLE.proportion(1)), 3) == 0.418
    assert round(float(TRIANGLE.proportion(2)), 3) == 0.605
    assert round(TRIANGLE.d_prime(0.5), 2) == 1.47


def test_sibling_values_at_a_distance_of_one():
    # Ennis (1993), as above; tetrad: Ennis et al. (2014), Journal of Sensory Studies 29:273-286. From memory.
    at_one = {name: round(float(method.proportion(1)), 2) for name, method in METHODS.items()}
    assert at_one == {"triangle": 0.42, "duo-trio": 0.58, "2-AFC": 0.76, "3-AFC": 0.63, "tetrad": 0.49}


@pytest.mark.parametrize("d", DISTANCES)
def test_closed_forms_are_the_integrals_and_distributions_of_the_rules(d):
    # The triangle as a non-central F (Bi & O'Mahony 2013, Journal of Sensory Studies 28:421-430; from memory).
    assert TRIANGLE.proportion(d) == pytest.approx(ncf.sf(3, 1, 1, 2 * d * d / 3) if d else 1 / 3, abs=1e-7)
    assert TWO_AFC.proportion(d) == pytest.approx(norm.cdf(d / sqrt(2)), abs=1e-12)

    def three(z):
        return norm.pdf(z - d) * norm.cdf(z) ** 2

    assert THREE_AFC.proportion(d) == pytest.approx(quad(three, -9, 9 + d, epsabs=1e-10)[0], abs=1e-8)

    def tetrad(z):
        return norm.pdf(z) * (2 * norm.cdf(z) * norm.cdf(z - d) - norm.cdf(z - d) ** 2)

    assert TETRAD.proportion(d) == pytest.approx(1 - 2 * quad(tetrad, -9, 9 + d, epsabs=1e-10)[0], abs=1e-8)
    u, v = norm.cdf(d / sqrt(2)), norm.cdf(d / sqrt(6))
    assert DUO_TRIO.proportion(d) == pytest.approx(u * v + (1 - u) * (1 - v), abs=1e-12)


@pytest.mark.parametrize("d", [0.0, 1.0, 2.5])
def test_the_rules_themselves_give_these_proportions(d):
    # Four standard errors of 400,000 draws: a right function crosses it once in 16,000.
    rng, draws = np.random.default_rng(4120), 400_000
    x, y = rng.normal(size=(2, draws))
    z, w = rng.normal(d, size=(2, draws))
    rules = {
        "triangle": (abs(x - y) < abs(x - z)) & (abs(x - y) < abs(y - z)),
        "duo-trio": abs(x - y) < abs(x - z),
        "2-AFC": z > y,
        "3-AFC": z > np.maximum(x, y),
        # Of the three ways to make two pairs, the one with the least distance within them.
        "tetrad": np.sort([abs(x - y) + abs(z - w), abs(x - z) + abs(y - w), abs(x - w) + abs(y - z)], axis=0)[0]
        == abs(x - y) + abs(z - w),
    }
    assert set(rules) == set(METHODS)
    for name, right in rules.items():
        expected = float(METHODS[name].proportion(d))
        tolerance = 4 * sqrt(expected * (1 - expected) / draws)
        assert right.mean() == pytest.approx(expected, abs=tolerance), name


@pytest.mark.parametrize("method", METHODS.values(), ids=list(METHODS))
def test_inverse_slope_and_abbott(method):
    assert method.proportion(0.0) == pytest.approx(method.guessing)
    for d in DISTANCES[1:]:
        proportion = float(method.proportion(d))
        assert method.d_prime(proportion) == pytest.approx(d, abs=1e-6)
        step = 1e-5
        slope = (method.proportion(d + step) - method.proportion(d - step)) / (2 * step)
        assert method.slope(d) == pytest.approx(slope, abs=1e-8)
        assert method.correct_from(method.discriminators(proportion)) == pytest.approx(proportion)
    assert method.d_prime(method.guessing) == method.d_prime(0.1) == 0
    assert method.d_prime(1.0) == inf
    assert method.discriminators(0.1) == 0
    assert method.discriminators(1.0) == 1
    grid = np.linspace(0, 8, 200)
    assert (np.diff(method.proportion(grid)) > 0).all()


def test_abbott_worked():
    # 13 of 24: (13/24 - 1/3) / (2/3) = 5/16.
    assert TRIANGLE.discriminators(13 / 24) == pytest.approx(5 / 16)
    assert DUO_TRIO.discriminators(0.75) == pytest.approx(0.5)


@pytest.mark.parametrize("value", [-0.1, 1.2, float("nan")])
def test_a_proportion_that_is_none_is_told(value):
    with pytest.raises(ValueError, match="must be a number from 0 to 1"):
        TRIANGLE.d_prime(value)
    with pytest.raises(ValueError, match="must be a number from 0 to 1"):
        TRIANGLE.correct_from(value)
