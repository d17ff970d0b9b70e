"""Plans of triangle tests: triads needed, what so many can find, similarity, and how they fit into sittings."""

import csv
from pathlib import Path
from time import perf_counter

import numpy as np
import pytest
from scipy.stats import binom, binomtest
from statsmodels.stats.proportion import binom_test_reject_interval

from redolent.triangle import (
    DUO_TRIO,
    METHODS,
    TRIANGLE,
    TWO_AFC,
    find_power,
    maximum_correct,
    minimum_correct,
    plan,
    planning_table,
    split_sittings,
)


def published_plans():
    """As the table of ISO 4120 gives it, from memory; see the source line."""
    lines = Path(__file__).with_name("checks").joinpath("triangle-triads-needed.csv").read_text().splitlines()
    assert "As the table of ISO 4120 gives it" in lines[0]
    return list(csv.DictReader(lines[1:]))


def test_triads_needed_are_the_published_ones():
    rows = published_plans()
    assert len(rows) == 125
    for row in rows:
        planned = plan(float(row["alpha"]), float(row["beta"]), pd=float(row["pd"]))
        assert (planned.triads, planned.minimum_correct) == (int(row["triads"]), int(row["minimum_correct"])), row


def test_the_planning_table_holds_the_same_and_is_quick():
    start = perf_counter()
    table = planning_table()
    seconds = perf_counter() - start
    assert seconds < 2  # about 0.3 s on one core
    published = {(float(row["alpha"]), float(row["beta"]), float(row["pd"])): row for row in published_plans()}
    assert {(p.alpha, p.beta, p.pd): str(p.triads) for p in table.plans} == {
        risks: row["triads"] for risks, row in published.items()
    }
    frame = table.to_frame()
    assert list(frame) == ["triads", "triads_stable", "minimum_correct", "power", "alpha", "beta", "pd", "d_prime"]
    assert table.finding == "125 plans, from 7 to 1992 triads."
    assert (frame["power"] >= 1 - frame["beta"]).all()


@pytest.mark.parametrize(
    ("alpha", "beta", "pd"), [(0.05, 0.2, 0.3), (0.1, 0.05, 0.5), (0.001, 0.01, 0.4), (0.2, 0.1, 0.2)]
)
def test_first_and_stable_numbers_by_brute_force(alpha, beta, pd):
    # Critical values by statsmodels, power by scipy's binomial, for each number up to three times the first.
    planned = plan(alpha, beta, pd=pd)
    kept = []
    for n in range(1, 3 * planned.triads):
        reject = binom_test_reject_interval(1 / 3, n, alpha=alpha, alternative="larger")[1]
        least = int(reject)
        while binom.sf(least - 1, n, 1 / 3) > alpha:
            least += 1
        kept.append(binom.sf(least - 1, n, 1 / 3 + 2 / 3 * pd) >= 1 - beta)
    first = kept.index(True) + 1
    stable = max(n for n, keeps in enumerate(kept, 1) if not keeps) + 1
    assert (planned.triads, planned.triads_stable) == (first, stable)
    assert planned.power >= 1 - beta
    assert str(stable) in planned.saw


def test_power_by_scipy():
    planned = plan(0.05, 0.2, pd=0.3)
    rejects = [k for k in range(41) if binomtest(k, 40, 1 / 3, alternative="greater").pvalue <= 0.05]
    assert (planned.triads, planned.minimum_correct) == (40, min(rejects))
    assert planned.power == pytest.approx(binom.pmf(rejects, 40, 1 / 3 + 0.2).sum())
    assert find_power(40, [0.0, 0.3])[1] == pytest.approx(planned.power)
    assert find_power(40, 0.0) <= 0.05
    assert find_power(2, 0.5) == 0


def test_a_distance_plans_like_its_share():
    by_distance, by_share = plan(d_prime=2.0), plan(pd=TRIANGLE.discriminators(float(TRIANGLE.proportion(2.0))))
    assert by_distance.triads == by_share.triads
    assert by_distance.d_prime == 2.0
    assert by_share.d_prime == pytest.approx(2.0)


@pytest.mark.parametrize("triads", [5, 12, 24, 60, 200])
@pytest.mark.parametrize("similarity", [False, True])
def test_the_reverse_finds_the_smallest_difference(triads, similarity):
    found = plan(0.05, 0.1, triads=triads, similarity=similarity)
    assert found.reached
    smaller = plan(0.05, 0.1, triads=triads, similarity=similarity, pd=0.99 * found.pd)
    assert not smaller.reached
    assert "less than the wanted" in smaller.finding
    if not similarity:
        assert found.power == pytest.approx(0.9, abs=1e-6)


def test_similarity_sixty_triads():
    # ISO 4120: 60 triads, p_d = 0.3, beta = 0.05: at most 25.
    planned = plan(0.05, 0.05, pd=0.3, similarity=True, triads=60)
    assert planned.maximum_correct == maximum_correct(60, 0.05, 0.3) == 25
    proportion = 1 / 3 + 2 / 3 * 0.3
    assert binom.cdf(25, 60, proportion) <= 0.05 < binom.cdf(26, 60, proportion)
    assert planned.power == pytest.approx(binom.cdf(25, 60, 1 / 3))
    assert "less than the wanted 0.95" in planned.finding
    assert set(planned.to_dict()) == {
        *("triads", "triads_stable", "maximum_correct", "power", "alpha", "beta", "pd", "d_prime")
    }


def test_similarity_keeps_both_risks_from_the_stable_number_on():
    planned = plan(0.1, 0.05, pd=0.3, similarity=True)

    def keeps(n):
        most = max((k for k in range(n) if binom.cdf(k, n, 1 / 3 + 0.2) <= 0.05), default=-1)
        return binom.cdf(most, n, 1 / 3) >= 0.9

    assert keeps(planned.triads)
    assert not any(keeps(n) for n in range(1, planned.triads))
    assert not keeps(planned.triads_stable - 1)
    assert all(keeps(n) for n in range(planned.triads_stable, 2 * planned.triads_stable))


@pytest.mark.parametrize("method", METHODS.values(), ids=list(METHODS))
def test_siblings_plan_with_their_own_guessing(method):
    planned = plan(0.05, 0.2, d_prime=1.5, method=method)
    proportion = float(method.proportion(1.5))
    assert binomtest(planned.minimum_correct, planned.triads, method.guessing, alternative="greater").pvalue <= 0.05
    assert planned.power == pytest.approx(binom.sf(planned.minimum_correct - 1, planned.triads, proportion))


def test_a_directed_question_needs_fewer():
    # Same guessing, same d′: the 2-AFC needs far fewer than the duo-trio (Ennis 1993; the factor is not published).
    assert plan(d_prime=1.0, method=TWO_AFC).triads * 5 < plan(d_prime=1.0, method=DUO_TRIO).triads


def test_minimums_of_the_table_are_those_of_one_plan():
    from redolent.triangle.plan import _least, _most

    for alpha in (0.2, 0.05, 1 / 3, 1 / 9, 0.001):
        least = _least(300, alpha, 1 / 3)
        assert [int(k) if k <= n else None for n, k in enumerate(least, 1)] == [
            minimum_correct(n, alpha) for n in range(1, 301)
        ]
        most = _most(np.arange(1, 301), alpha, 1 / 3 + 0.2)
        assert [int(k) if k >= 0 else None for k in most] == [maximum_correct(n, alpha, 0.3) for n in range(1, 301)]


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({}, "Give p_d or d′, the smallest difference that matters, or the number of triads"),
        ({"pd": 0.3, "d_prime": 1}, "Give either p_d"),
        ({"pd": 1.2}, r"p_d must be a number between 0 and 1, such as 0\.3, not 1\.2"),
        ({"pd": 0}, "p_d must be a number between 0 and 1"),
        ({"d_prime": 0}, "d′ must be a number above 0, not 0"),
        ({"d_prime": float("inf")}, "d′ must be a number above 0, not inf"),
        ({"d_prime": 50}, "too near 0 or too large"),
        ({"alpha": 0, "pd": 0.3}, "alpha must be a number between 0 and 1"),
        ({"beta": 1, "pd": 0.3}, "beta must be a number between 0 and 1"),
        ({"pd": 0.001}, "more than 20000 triads"),
        ({"triads": 12.5}, r"whole number of 1 or more, not 12\.5"),
        ({"triads": 0}, "whole number of 1 or more, not 0"),
        ({"triads": 10**9}, "more than anybody tastes"),
        ({"triads": 2}, "2 triads cannot keep these risks"),
        ({"triads": 2, "pd": 0.5}, "2 triads cannot show it, whatever the answers; plan 16"),
        ({"triads": 2, "similarity": True}, "cannot keep these risks"),
    ],
)
def test_a_plan_that_makes_no_sense_is_told_why(given, message):
    with pytest.raises(ValueError, match=message):
        plan(**given)


# --- sittings


def test_caffeine_splits_a_run_over_sittings():
    # 3 cups of 30 ml at 60 g/l and 12 mg/g: 64.8 mg a triad; EFSA 2015: 200 mg at once, 400 mg a day.
    split = split_sittings(24)
    assert (split.most, split.a_day, split.limit) == (3, 6, "caffeine")
    assert split.triads == (3,) * 8
    assert (split.cups, split.coffee, split.water) == (9, pytest.approx(16.2), 270)
    assert split.caffeine == pytest.approx(3 * 64.8)
    assert "8 sittings of 3 triads, at most 6 triads a day" in split.finding
    assert "200 mg at once and 400 mg a day" in split.finding


def test_who_spits_is_limited_by_time():
    split = split_sittings(24, swallowed=2)
    assert (split.most, split.limit) == (9, "time")
    assert split.triads == (8, 8, 8)
    assert split.minutes == 40
    assert split_sittings(12, swallowed=0).caffeine == 0


def test_pregnancy_and_other_coffee_leave_less():
    expecting = split_sittings(6, pregnant=True)
    assert expecting.a_day == 3
    assert "in pregnancy and breast-feeding up to 200 mg at once and 200 mg a day" in expecting.finding
    assert split_sittings(6, other=300).most == 1
    with pytest.raises(ValueError, match="65 mg of swallowed caffeine, and 0 mg are left; swallow less"):
        split_sittings(6, other=500)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"triads": 0}, "whole number of 1 or more"),
        ({"triads": 6, "cup": -1}, "volume of a cup must be a number above 0"),
        ({"triads": 6, "swallowed": 40}, "More is swallowed"),
        ({"triads": 6, "swallowed": float("nan")}, "must be a number of 0 or more"),
        ({"triads": 6, "minutes": 3}, "give it more time"),
    ],
)
def test_a_sitting_that_makes_no_sense_is_told_why(given, message):
    with pytest.raises(ValueError, match=message):
        split_sittings(given.pop("triads"), **given)
