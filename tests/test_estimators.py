"""The estimators against published values, general-purpose libraries, and counting by hand."""

import csv
from itertools import combinations
from pathlib import Path

import krippendorff
import numpy as np
import pytest
from scipy.stats import f_oneway
from skbio.diversity.alpha import chao1, goods_coverage

from redolent.progress import (
    chao2,
    chao2_variance,
    coverage_at,
    icc,
    icc_frame,
    krippendorff_alpha,
    log_interval,
    rarefy,
    repeatability,
    sample_coverage,
    scott_interval,
    scott_pi,
    size_at,
)

CHECKS = Path(__file__).parent / "checks"


def rows(name):
    with (CHECKS / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


SPIDERS = {
    treatment: np.array([int(row["count"]) for row in rows("spider-abundance.csv") if row["treatment"] == treatment])
    for treatment in ("girdled", "logged")
}
JUDGES = np.array([[int(row[f"j{k}"]) for k in (1, 2, 3, 4)] for row in rows("shrout-fleiss-1979.csv")])
OBSERVERS = np.array(
    [[float(row[f"u{unit}"] or "nan") for unit in range(1, 13)] for row in rows("krippendorff-four-observers.csv")]
)

# ---- richness, coverage, rarefaction

# Sackett et al. (2011), Ecosphere 2(7):74, as worked in Chao et al. (2014), Ecological Monographs 84:45–67; counts,
# standard errors and bounds from memory. With abundances and their sum the incidence estimators are those of
# abundance data.
PUBLISHED = [
    ("girdled", 168, 26, 43.893, 14.306, 30.511, 96.971, 0.9289),
    ("logged", 252, 37, 61.403, 18.532, 43.502, 128.583, 0.9446),
]


@pytest.mark.parametrize(("treatment", "n", "observed", "richness", "error", "low", "high", "coverage"), PUBLISHED)
def test_richness_and_coverage_as_published(treatment, n, observed, richness, error, low, high, coverage):
    counts = SPIDERS[treatment]
    assert (counts.sum(), len(counts)) == (n, observed)
    assert chao2(counts, n) == pytest.approx(richness, abs=5e-4)
    assert np.sqrt(chao2_variance(counts, n)) == pytest.approx(error, abs=5e-4)
    interval = log_interval(observed, chao2(counts, n), chao2_variance(counts, n))
    assert interval == pytest.approx((low, high), abs=2e-3)
    assert sample_coverage(counts, n) == pytest.approx(coverage, abs=5e-5)


def some_counts(seed, units=12, kinds=40):
    rng = np.random.default_rng(seed)
    counts = rng.binomial(units, rng.beta(0.4, 3, kinds))
    return counts[counts > 0]


@pytest.mark.parametrize("seed", range(5))
def test_chao2_and_chao1_of_the_same_counts_are_a_factor_apart(seed):
    counts, units = some_counts(seed), 12
    assert (counts == 2).any()
    classic = chao1(counts, bias_corrected=False)
    unseen = float(chao2(counts, units)) - len(counts)
    assert unseen == pytest.approx((units - 1) / units * (classic - len(counts)))


@pytest.mark.parametrize("seed", range(5))
def test_without_a_kind_found_twice_the_bias_corrected_form_holds(seed):
    counts = some_counts(seed)
    counts = counts[counts != 2]
    unseen = float(chao2(counts, 12)) - len(counts)
    assert unseen == pytest.approx(11 / 12 * (chao1(counts, bias_corrected=True) - len(counts)))


@pytest.mark.parametrize("seed", range(5))
def test_coverage_and_goods_coverage_of_the_same_counts_are_a_factor_apart(seed):
    counts, units = some_counts(seed), 12
    once, twice = (counts == 1).sum(), (counts == 2).sum()
    again = (units - 1) * once / ((units - 1) * once + 2 * twice)
    assert 1 - sample_coverage(counts, units) == pytest.approx((1 - goods_coverage(counts)) * again)


def table_of(seed, units=7, kinds=9):
    rng = np.random.default_rng(seed)
    return rng.random((units, kinds)) < rng.uniform(0.05, 0.6, kinds)


@pytest.mark.parametrize("size", [1, 2, 4, 6, 7])
def test_rarefaction_is_the_mean_over_all_smaller_samples(size):
    table = table_of(3)
    counts = table.sum(axis=0)
    mean = np.mean([table[list(some)].any(axis=0).sum() for some in combinations(range(7), size)])
    assert rarefy(counts, 7, size) == pytest.approx(mean)


@pytest.mark.parametrize("size", [1, 3, 5, 6])
def test_coverage_of_smaller_samples_is_what_the_next_unit_brings_that_they_hold(size):
    # Of all namings in one further unit, the share that falls to kinds in a sample of `size` others.
    table = table_of(4)
    held = sum(
        (table[list(some)].any(axis=0) & table[other]).sum()
        for other in range(7)
        for some in combinations([unit for unit in range(7) if unit != other], size)
    )
    named = sum(table[other].sum() for other in range(7)) * len(list(combinations(range(6), size)))
    assert coverage_at(table.sum(axis=0), 7, size) == pytest.approx(held / named)


@pytest.mark.parametrize("treatment", SPIDERS)
def test_curves_are_smooth_at_the_sample_and_rise_to_their_limits(treatment):
    counts = SPIDERS[treatment]
    n = int(counts.sum())
    sizes = np.linspace(1, 6 * n, 400)
    richness, coverage = (np.array([f(counts, n, size) for size in sizes]) for f in (rarefy, coverage_at))
    assert (np.diff(richness) > 0).all()
    assert (np.diff(coverage) > 0).all()
    assert rarefy(counts, n, n) == len(counts)
    assert rarefy(counts, n, 1e9) == pytest.approx(chao2(counts, n))
    assert coverage_at(counts, n, 1e9) == pytest.approx(1)
    assert rarefy(counts, n, n - 1e-6) == pytest.approx(len(counts), abs=1e-4)
    # The slope of the curve is what coverage lacks, times namings a unit: here one.
    assert rarefy(counts, n, n + 1) - len(counts) == pytest.approx(1 - sample_coverage(counts, n), rel=0.02)
    for wanted in (0.5, 0.9, 0.95):
        assert coverage_at(counts, n, size_at(counts, n, wanted)) == pytest.approx(wanted, abs=1e-5)


def test_many_samples_at_once_give_what_each_gives():
    tables = np.stack([table_of(seed).sum(axis=0) for seed in range(6)])
    units = np.array([7, 7, 8, 9, 7, 12])
    for estimate in (
        chao2,
        chao2_variance,
        sample_coverage,
        lambda c, u: rarefy(c, u, 5.0),
        lambda c, u: rarefy(c, u, 11.0),
    ):
        alone = [float(estimate(counts, unit)) for counts, unit in zip(tables, units, strict=True)]
        assert estimate(tables, units).tolist() == pytest.approx(alone)


def test_nothing_and_one_thing():
    assert chao2(np.array([], dtype=int), 3) == 0
    assert sample_coverage(np.array([], dtype=int), 3) == 0
    assert (chao2(np.array([3]), 3), sample_coverage(np.array([3]), 3)) == (1, 1)
    assert log_interval(4, 4, 0) == (4, 4)


# ---- agreement


# Krippendorff, "Computing Krippendorff's alpha-reliability" (2011): four observers, twelve units.
@pytest.mark.parametrize(
    ("scale", "published"), [("nominal", 0.743), ("ordinal", 0.815), ("interval", 0.849), ("ratio", 0.797)]
)
def test_alpha_as_published(scale, published):
    assert krippendorff_alpha(OBSERVERS, scale) == pytest.approx(published, abs=5e-4)


@pytest.mark.parametrize("scale", ["nominal", "ordinal", "interval", "ratio"])
@pytest.mark.parametrize("seed", range(3))
def test_alpha_as_the_krippendorff_package_gives_it(scale, seed):
    rng = np.random.default_rng(seed)
    ratings = np.clip(rng.integers(1, 6, 20) + rng.integers(-1, 2, (5, 20)), 0, 7).astype(float)
    ratings[rng.random(ratings.shape) < 0.3] = np.nan
    expected = krippendorff.alpha(ratings, level_of_measurement=scale)
    assert krippendorff_alpha(ratings, scale) == pytest.approx(expected)


def test_alpha_where_there_is_nothing_to_agree_on():
    assert krippendorff_alpha(np.full((3, 4), 2.0)) is None
    assert krippendorff_alpha(np.array([[1.0, np.nan], [np.nan, 2.0]])) is None
    with pytest.raises(ValueError, match="no scale 'cardinal'"):
        krippendorff_alpha(OBSERVERS, "cardinal")
    with pytest.raises(ValueError, match="1 dimensions"):
        krippendorff_alpha(np.array([1.0, 2.0]))


def test_scott_pi_is_alpha_without_its_correction_for_small_samples():
    both, one, neither = 7, 4, 12
    pairs = np.array([[1, 1]] * both + [[1, 0]] * one + [[0, 0]] * neither, dtype=float).T
    n = pairs.shape[1]
    alpha = krippendorff.alpha(pairs, level_of_measurement="nominal")
    # Krippendorff (2011): alpha = 1 - (1 - pi)(1 - 1/2n).
    assert 1 - (1 - scott_pi(both, one, neither)) * (1 - 1 / (2 * n)) == pytest.approx(alpha)


def test_scott_pi_of_words_that_never_or_always_occur_is_undefined():
    assert np.isnan(scott_pi(np.array([0, 9]), np.array([0, 0]), np.array([9, 0]))).all()
    assert np.isnan(scott_interval(np.array([0, 9]), np.array([0, 0]), np.array([9, 0]))).all()


@pytest.mark.parametrize(("share", "kappa"), [(0.2, 0.0), (0.3, 0.4), (0.5, 0.7)])
def test_scott_intervals_cover(share, kappa):
    rng = np.random.default_rng(6)
    odds = share * (1 - share)
    chances = [share**2 + odds * kappa, 2 * odds * (1 - kappa), (1 - share) ** 2 + odds * kappa]
    both, one, neither = rng.multinomial(40, chances, size=1000).T
    low, high = scott_interval(both, one, neither)
    # Of 1,000 at 95 %: standard error 0.7 points; the chi-squared limit is good to another point at 40 pairs.
    assert np.mean((low <= kappa) & (kappa <= high)) == pytest.approx(0.95, abs=0.031)


# ---- intraclass correlation and repeatability


# Shrout & Fleiss (1979), Psychological Bulletin 86:420–428, table 4.
def test_icc_as_published():
    values = {one.form: one.value for one in icc(JUDGES)}
    published = {
        "ICC(1,1)": 0.17,
        "ICC(2,1)": 0.29,
        "ICC(3,1)": 0.71,
        "ICC(1,4)": 0.44,
        "ICC(2,4)": 0.62,
        "ICC(3,4)": 0.91,
    }
    assert values == pytest.approx(published, abs=0.005)


# Intervals of the same data, from memory, as they are often reprinted.
@pytest.mark.parametrize(
    ("form", "low", "high"),
    [("ICC(1,1)", -0.133, 0.723), ("ICC(2,1)", 0.019, 0.761), ("ICC(3,1)", 0.342, 0.946), ("ICC(3,4)", 0.676, 0.986)],
)
def test_icc_intervals(form, low, high):
    (one,) = (one for one in icc(JUDGES) if one.form == form)
    assert (one.low, one.high) == pytest.approx((low, high), abs=6e-4)
    assert (one.targets, one.judges) == (6, 4)


@pytest.mark.parametrize("form", [0, 2])
def test_icc_intervals_cover(form):
    rng = np.random.default_rng(9)
    inside = 0
    for _ in range(800):
        ratings = rng.normal(0, 1, (10, 1)) + rng.normal(0, 1, (10, 3))
        one = icc(ratings)[form]
        inside += one.low <= 0.5 <= one.high
    # 800 runs at 95 %: three standard errors are 2.3 points.
    assert inside / 800 == pytest.approx(0.95, abs=0.023)


def test_icc_refuses_what_it_cannot_tell():
    with pytest.raises(ValueError, match="complete table"):
        icc(np.array([[1.0, np.nan], [2.0, 3.0]]))
    with pytest.raises(ValueError, match="rated alike"):
        icc(np.array([[1.0, 1.0], [2.0, 2.0]]))
    assert list(icc_frame(icc(JUDGES))["form"])[:2] == ["ICC(1,1)", "ICC(2,1)"]


# ISO 5725-2, annex B, example 1 (sulfur content of coal, level 1), from memory: s_r = 0.015.
COAL = [
    [0.71, 0.71, 0.70, 0.71],
    [0.69, 0.67, 0.68],
    [0.66, 0.65, 0.69],
    [0.67, 0.65, 0.66, 0.67],
    [0.70, 0.69, 0.66, 0.71, 0.69],
    [0.73, 0.74, 0.73],
    [0.71, 0.71, 0.69],
    [0.70, 0.65, 0.68],
]


def test_repeatability_as_published():
    spread = repeatability([np.array(cell) for cell in COAL])
    assert spread.sd == pytest.approx(0.015, abs=5e-4)
    assert spread.df == 20


# NIST Statistical Reference Datasets, one-way analysis of variance, SiRstv (resistance of silicon, five instruments of
# five measurements), from memory: residual standard deviation 0.104076068334656, F 1.18046237440255.
RESISTANCE = [
    [196.3052, 196.1240, 196.1890, 196.2569, 196.3403],
    [196.3042, 196.3825, 196.1669, 196.3257, 196.0422],
    [196.1303, 196.2005, 196.2889, 196.0343, 196.1811],
    [196.2795, 196.1748, 196.1494, 196.1485, 195.9885],
    [196.2119, 196.1051, 196.1850, 196.0052, 196.2090],
]


def test_repeatability_as_certified():
    spread = repeatability([np.array(cell) for cell in RESISTANCE])
    assert spread.sd == pytest.approx(0.104076068334656, rel=1e-9)
    assert f_oneway(*RESISTANCE).statistic == pytest.approx(1.18046237440255)


def test_repeatability_intervals_cover_and_cells_of_one_say_nothing():
    rng = np.random.default_rng(2)
    inside = 0
    for _ in range(1000):
        spread = repeatability([rng.normal(50, 8, 2) for _ in range(6)])
        inside += spread.low <= 8 <= spread.high
    assert inside / 1000 == pytest.approx(0.95, abs=0.021)  # three standard errors
    assert repeatability([np.array([50.0]), np.array([70.0])]) is None
