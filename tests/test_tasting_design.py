"""Orders, repeats, sheets, cautions: what a tasting is planned with."""

from collections import Counter
from datetime import date
from itertools import pairwise

import numpy as np
import pytest
from scipy.stats import chisquare

from redolent.blind import seal, verify
from redolent.tasting import (
    caution_caffeine,
    design_tasting,
    draw_order,
    estimate_caffeine,
    list_equipment,
    next_row,
    pourer_sheet,
    roast_note,
    solo_steps,
    table_sheet,
    williams,
)

# --- orders


@pytest.mark.parametrize("n", range(2, 9))
def test_a_williams_square_is_balanced_for_places_and_neighbours(n: int):
    rows = williams(n)
    # Williams (1949): n rows for an even number, 2 n for an odd one.
    assert len(rows) == (2 * n if n % 2 else n)
    each = len(rows) // n
    places = Counter((place, coffee) for row in rows for place, coffee in enumerate(row))
    assert set(places.values()) == {each}
    assert len(places) == n * n
    neighbours = Counter(pair for row in rows for pair in pairwise(row))
    assert len(neighbours) == n * (n - 1)
    assert set(neighbours.values()) == {each}


def test_the_square_of_four_is_the_published_one():
    # The 4 × 4 square as textbooks print it, with letters for numbers: ABDC BCAD CDBA DACB (from memory).
    assert {"".join("ABCD"[c] for c in row) for row in williams(4)} == {"ABDC", "BCAD", "CDBA", "DACB"}


@pytest.mark.parametrize("n", range(2, 9))
def test_orders_served_over_many_tastings_are_balanced_exactly_in_every_round(n: int):
    rng, served, orders = np.random.default_rng(n), [], []
    rounds = 3
    for _ in range(rounds * len(williams(n))):
        served.append(next_row(n, served, rng))
        orders.append(draw_order(n, 0, rng, row=served[-1]))
    places = Counter((place, coffee) for order in orders for place, coffee in enumerate(order))
    neighbours = Counter(pair for order in orders for pair in pairwise(order))
    assert set(places.values()) == {len(orders) // n}
    assert set(neighbours.values()) == {len(orders) // n}
    assert (len(places), len(neighbours)) == (n * n, n * (n - 1))


@pytest.mark.parametrize("repeats", [1, 2])
@pytest.mark.parametrize("n", range(2, 9))
def test_orders_with_repeats_are_balanced_over_many_tastings(n: int, repeats: int):
    rng, served = np.random.default_rng(10 * n + repeats), []
    tastings = 200 * len(williams(n)) // (2 if n % 2 else 1)
    orders = []
    for _ in range(tastings):
        served.append(next_row(n, served[len(served) // len(williams(n)) * len(williams(n)) :], rng))
        orders.append(draw_order(n, repeats, rng, row=served[-1]))
    # Every coffee is repeated equally often and each ordered pair of different coffees is neighbours equally
    # often, up to chance: a chi-square test at 1 in 10,000 for each. Rounds of rows only make the counts evener.
    repeated = Counter(c for order in orders for c, count in Counter(order).items() for _ in range(count - 1))
    assert chisquare([repeated[c] for c in range(n)]).pvalue > 1e-4
    neighbours = Counter(pair for order in orders for pair in pairwise(order) if pair[0] != pair[1])
    assert chisquare([neighbours[a, b] for a in range(n) for b in range(n) if a != b]).pvalue > 1e-4
    for place in range(n + repeats):
        there = Counter(order[place] for order in orders)
        assert chisquare([there[c] for c in range(n)]).pvalue > 1e-4


@pytest.mark.parametrize(("n", "repeats", "cups"), [(3, 1, 1), (3, 2, 1), (4, 2, 2), (8, 2, 1), (5, 2, 2), (3, 2, 3)])
def test_repeats_stand_apart(n: int, repeats: int, cups: int):
    rng = np.random.default_rng(3)
    for _ in range(300):
        order = draw_order(n, repeats, rng, cups=cups)
        assert all(a != b for a, b in pairwise(order))
        assert sorted(Counter(order).values())[0] == cups
        assert len(order) == n * cups + repeats


def test_with_two_coffees_no_order_gives_a_repeat_away():
    orders = Counter(draw_order(2, 1, seed) for seed in range(3000))
    # Six orders of AAB and ABB, each with probability 1/6.
    assert len(orders) == 6
    assert chisquare(list(orders.values())).pvalue > 1e-4


@pytest.mark.parametrize(("arguments", "says"), [((1, 0), "2 to 8"), ((9, 0), "2 to 8"), ((3, 3), "0 to 2")])
def test_a_table_that_cannot_be_is_refused(arguments, says):
    with pytest.raises(ValueError, match=says):
        draw_order(*arguments, rng=1)
    with pytest.raises(ValueError, match="tire the palate"):
        draw_order(8, 2, 1, cups=2)


# --- the design


def test_the_number_of_hidden_repeats_is_drawn():
    drawn = Counter(len(design_tasting(3, seed).order) - 3 for seed in range(900))
    assert set(drawn) == {0, 1, 2}
    assert chisquare(list(drawn.values())).pvalue > 1e-4


def test_a_design_is_sealed_and_names_what_stands_twice():
    design = design_tasting(4, 5, repeats=2)
    assert len(set(design.codes)) == len(design.order) == 6
    assert len(design.repeated) == 2
    sealed = seal(design.key)
    assert verify(design.key, sealed)
    assert not verify(design.key | {"order": design.order[::-1]}, sealed)


# --- sheets


def test_the_table_sheet_has_codes_only_and_the_pourers_key_has_all():
    design = design_tasting(3, 5, repeats=1)
    sealed = seal(design.key)
    names = {"A": "Upper <b>Field</b>", "B": "Lot 4", "C": "Lot 5"}
    sheet = table_sheet(design.codes, sealed.commitment, taster="<i>Ilse</i>", day="14 March 2026")
    key = pourer_sheet(design.codes, design.order, sealed, names, dose="11.0 g and 200 ml")
    assert all(code in sheet and code in key for code in design.codes)
    assert sealed.commitment in sheet
    assert sealed.nonce not in sheet
    assert "Lot 4" not in sheet
    assert "&lt;i&gt;Ilse&lt;/i&gt;" in sheet
    assert "Upper &lt;b&gt;Field&lt;/b&gt;" in key
    assert sealed.nonce in key
    for text in (sheet, key):
        assert "default-src 'none'" in text
        assert "http:" not in text
    with pytest.raises(ValueError, match="do not belong together"):
        pourer_sheet(design.codes, design.order[1:], sealed, names, dose="")


def test_who_is_alone_is_told_how_many_cups_of_each_to_dose():
    steps = solo_steps({"A": "Lot 3", "B": "Lot 4"}, "ABB", "11 g of coffee and 200 ml of water")
    assert "Dose 3 cups that look alike: 1 × Lot 3, 2 × Lot 4. Each takes 11 g of coffee" in steps[0]
    assert "under the cups, and others" not in " ".join(list_equipment(3))
    assert any("under the cups" in line for line in list_equipment(3, alone=True))


# --- cautions and notes


@pytest.mark.parametrize(
    ("roasted", "says"),
    [
        (date(2026, 3, 13), "less than two days"),
        (date(2026, 3, 12), ""),
        (date(2026, 2, 28), ""),
        (date(2026, 2, 27), "15 days ago"),
        (date(2026, 3, 15), "lies ahead"),
        (None, ""),
    ],
)
def test_the_age_of_a_roast_is_noted(roasted, says):
    note = roast_note(roasted, date(2026, 3, 14))
    assert says in note
    assert bool(says) == bool(note)


def test_caffeine_figures_go_to_whom_they_are_for():
    caffeine = estimate_caffeine(11, 200, 5)
    # By hand: 110 mg a cup; 72 of 200 ml of five cups.
    assert caffeine.cup == pytest.approx(110)
    assert caffeine.swallowed == pytest.approx(5 * 110 * 0.36)
    assert caffeine.spat < caffeine.swallowed / 5
    # EFSA (2015), EFSA Journal 13(5): 4102, abstract.
    adult = caution_caffeine(caffeine, "a healthy adult")
    assert "200 mg in one sitting and 400 mg a day" in adult
    pregnant = caution_caffeine(caffeine, "pregnant or breast-feeding")
    assert "200 mg a day" in pregnant
    assert "400" not in pregnant
    for who in ("under age", ""):
        assert not any(figure in caution_caffeine(caffeine, who) for figure in ("200", "400", "mg"))
