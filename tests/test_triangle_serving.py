"""Serving: orders balanced across a panel, and how the pair was prepared."""

import itertools
from collections import Counter

import numpy as np
import pytest
from scipy.stats import chi2

from redolent.triangle import ORDERS, Preparation, draw_panel_orders, odd_position, p_value


@pytest.mark.parametrize("tasters", [1, 5, 6, 12, 20])
def test_orders_are_balanced_across_tasters(tasters):
    panel = draw_panel_orders(tasters, 9, 4120)
    assert len(panel) == tasters
    assert {len(orders) for orders in panel} == {9}
    for triad in zip(*panel, strict=True):
        counted = Counter({order: 0 for order in ORDERS})
        counted.update(triad)
        # ISO 4120: equally often; with a number that six does not divide, as nearly so as can be.
        assert max(counted.values()) - min(counted.values()) <= 1
        assert set(counted) == set(ORDERS)


def test_the_orders_of_one_taster_stay_independent_and_uniform():
    # Bounds that a right generator crosses with one seed in 100,000.
    for taster in (0, 6):
        orders = [draw_panel_orders(7, 2, seed)[taster] for seed in range(3000)]
        pairs = Counter(map(tuple, orders))
        expected = 3000 / 36
        spread = sum((pairs[pair] - expected) ** 2 / expected for pair in itertools.product(ORDERS, repeat=2))
        assert chi2.ppf(1e-5, 35) < spread < chi2.isf(1e-5, 35)


def test_balanced_answers_keep_the_level_with_the_orders_of_a_panel():
    # In balanced blocks the nominal 0.043 becomes 0.060 (see tests/test_triangle.py for the exact figure).
    triads, minimum, runs = 18, 10, 4000
    nominal = p_value(minimum, triads)
    assert round(nominal, 3) == 0.043
    rng = np.random.default_rng(18)
    blocks = rng.permuted(np.tile(np.repeat([1, 2, 3], 2), (runs * 3, 1)), axis=1).reshape(runs, triads)
    places = {order: odd_position(order) for order in ORDERS}
    odd = np.array([[places[order] for order in draw_panel_orders(6, triads, rng)[run % 6]] for run in range(runs)])
    level = ((odd == blocks).sum(axis=1) >= minimum).mean()
    assert level == pytest.approx(nominal, abs=4 * np.sqrt(nominal * (1 - nominal) / runs))


def test_the_generator_decides():
    assert draw_panel_orders(6, 4, 3) == draw_panel_orders(6, 4, np.random.default_rng(3))
    assert draw_panel_orders(6, 4, 3) != draw_panel_orders(6, 4, 4)
    with pytest.raises(ValueError, match="number of tasters must be a whole number of 1 or more"):
        draw_panel_orders(0, 4, 3)


# --- preparation

GOOD = {
    "brewed": 1200,
    "pooled": True,
    "volume": 30,
    "temperatures": (56, 55),
    "same_cups": True,
    "hidden": "opaque cups",
}


def test_a_pair_prepared_as_it_should_be():
    prepared = Preparation(**GOOD)
    assert prepared.flaws == ()
    assert prepared.finding == "Prepared as it should be: only the coffees differ."
    assert prepared.enough(20)
    assert not prepared.enough(21)
    assert prepared.to_dict() == {**GOOD, "temperatures": [56, 55], "rinsed": True}


@pytest.mark.parametrize(
    ("answer", "told"),
    [
        ({"pooled": False}, "batches are tested, not coffees"),
        ({"temperatures": (60, 55)}, "5 °C apart"),
        ({"temperatures": (70, 70)}, "Served at 70 °C"),
        ({"same_cups": False}, "The cups did not look alike"),
        ({"hidden": "not hidden"}, "colour was not hidden"),
        ({"rinsed": False}, "Nothing to rinse with"),
    ],
)
def test_each_flaw_is_told(answer, told):
    prepared = Preparation(**GOOD | answer)
    assert len(prepared.flaws) == 1
    assert told in prepared.finding


@pytest.mark.parametrize(
    ("answer", "message"),
    [
        ({"brewed": 0}, "brewed volume must be a number above 0"),
        ({"hidden": "somehow"}, "not by 'somehow'"),
        ({"temperatures": (55,)}, "temperature of either coffee"),
        ({"temperatures": (55, 400)}, "between 0 and 100"),
    ],
)
def test_an_answer_that_makes_no_sense_is_told(answer, message):
    with pytest.raises(ValueError, match=message):
        Preparation(**GOOD | answer)
