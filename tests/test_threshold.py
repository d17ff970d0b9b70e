"""The threshold exercise: series of solutions, and what an ascent says."""

from math import inf, sqrt

import numpy as np
import pytest
from scipy.stats import gmean

from redolent.triangle import TASTES, dilution_series, estimate_threshold, group_threshold

# ISO 3972:2011, grams a litre, from the strongest to the weakest; from memory, not checked against the standard.
ISO_3972 = {
    "sweet": (12.00, 7.20, 4.32, 2.59, 1.56, 0.94, 0.56, 0.34),
    "sour": (0.60, 0.48, 0.38, 0.31, 0.25, 0.20, 0.16, 0.13),
    "salty": (2.00, 1.40, 0.98, 0.69, 0.48, 0.34, 0.24, 0.16),
}


@pytest.mark.parametrize("taste", TASTES)
def test_levels_are_those_of_iso_3972(taste):
    levels = [step.concentration for step in reversed(dilution_series(taste).steps)]
    assert np.round(levels, 2).tolist() == pytest.approx(list(ISO_3972[taste]), abs=0.011)


@pytest.mark.parametrize("taste", TASTES)
@pytest.mark.parametrize("scale", [0.01, 0.1])
def test_the_scale_errs_no_further_than_told(taste, scale):
    series = dilution_series(taste, scale=scale)
    rng = np.random.default_rng(3972)
    for step in series.steps:
        solute, water, stock, rest = (
            grams + rng.uniform(-scale, scale, 20_000)
            for grams in (series.stock_solute, series.stock_water, step.stock, step.water)
        )
        made = 1000 * solute / (solute + water) * stock / (stock + rest)
        assert step.low <= made.min() <= made.max() <= step.high
        # The bounds are reached, not only safe.
        assert made.max() > step.high - 0.35 * (step.high - step.low)
        assert step.low < step.concentration < step.high
    assert series.distinct


def test_amounts_add_up_and_are_what_the_scale_shows():
    series = dilution_series("sweet")
    assert (series.stock_solute, series.stock_water) == (25, 475)
    top = series.steps[-1]
    assert (top.stock, top.water, top.concentration) == (120, 380, 12)
    assert "Stock: 25 g of white sugar in 475 g of drinking water" in series.finding
    assert "from memory" in series.finding
    frame = series.to_frame()
    assert (frame["stock_g"] + frame["water_g"] == 500).all()
    assert (frame["error"].diff().dropna() <= 1e-12).all()


def test_a_coarse_scale_is_told():
    coarse = dilution_series("sour", scale=1)
    assert not coarse.distinct
    assert "may swap: take a finer scale" in coarse.finding
    with pytest.raises(ValueError, match="too little for a scale with steps of 1 g"):
        dilution_series("sour", scale=1, amount=100)


def test_there_is_no_bitter_series():
    with pytest.raises(ValueError, match="dangerous on a kitchen scale") as refusal:
        dilution_series("bitter")
    assert "Never weigh out their powders" in str(refusal.value)
    assert set(TASTES) == {"sweet", "sour", "salty"}
    assert not any("caffeine" in taste.substance or "quinine" in taste.substance for taste in TASTES.values())
    with pytest.raises(ValueError, match="no series for 'umami'"):
        dilution_series("umami")


def test_the_threshold_is_the_geometric_mean_of_missed_and_found():
    # ASTM E679's rule, worked by hand: missed at 4, found from 8 on: sqrt(4 * 8).
    threshold = estimate_threshold([True, False, False, True, True], [1, 2, 4, 8, 16])
    assert (threshold.low, threshold.high) == (4, 8)
    assert threshold.value == pytest.approx(gmean([4, 8]))
    assert "found by luck in 1 of 3" in threshold.finding


def test_beyond_the_ends_the_series_is_thought_one_step_longer():
    below = estimate_threshold([True] * 4, [1, 2, 4, 8])
    above = estimate_threshold([True, True, True, False], [1, 2, 4, 8])
    assert (below.value, below.low) == (pytest.approx(gmean([0.5, 1])), 0)
    assert (above.value, above.high) == (pytest.approx(gmean([8, 16])), inf)
    assert below.finding.startswith("Every level was found")
    assert above.finding.startswith("The strongest level was missed")


def test_a_group_has_the_geometric_mean():
    thresholds = [estimate_threshold([False, *[True] * 3], [1, 2, 4, 8]), estimate_threshold([False] * 4, [1, 2, 4, 8])]
    assert group_threshold(thresholds) == pytest.approx(gmean([sqrt(2), sqrt(128)]))


@pytest.mark.parametrize(
    ("found", "levels", "message"),
    [
        ([True], [1], "two levels or more"),
        ([True, False], [1, 2, 3], "Give an answer for each concentration"),
        ([True, False], [2, 1], "must ascend"),
        ([True, False], [0, 1], "above 0"),
        ([True, "no"], [1, 2], "right or wrong"),
    ],
)
def test_what_makes_no_sense_is_told(found, levels, message):
    with pytest.raises(ValueError, match=message):
        estimate_threshold(found, levels)
