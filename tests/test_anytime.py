"""The test and the confidence sequence that hold at any time."""

import itertools

import numpy as np
import pytest
from scipy.stats import binomtest

from redolent.triangle import TWO_AFC, anytime_interval, evidence, follow
from redolent.triangle.anytime import TILTS, log_mixture, seen_minimum, seen_p_value
from redolent.triangle.binomial import minimum_correct, p_value


def test_evidence_is_a_martingale():
    # One answer more, averaged under guessing, leaves the evidence as it is: enumerated, up to ten answers.
    for n in range(1, 10):
        for k in range(n + 1):
            ahead = evidence(k + 1, n + 1) / 3 + evidence(k, n + 1) * 2 / 3
            assert ahead == pytest.approx(evidence(k, n))
            below = evidence(k + 1, n + 1, 0.5, below=True) / 2 + evidence(k, n + 1, 0.5, below=True) / 2
            assert below == pytest.approx(evidence(k, n, 0.5, below=True))
    assert evidence(1, 1) / 3 + evidence(0, 1) * 2 / 3 == pytest.approx(1)


def test_evidence_shrinks_below_guessing_and_grows_above():
    # A true proportion below guessing makes it a supermartingale.
    assert evidence(1, 1) * 0.2 + evidence(0, 1) * 0.8 < 1
    assert evidence(20, 24) > 1000
    assert evidence(8, 24) < 1
    assert evidence(2000, 2000) > 1e300


def test_its_p_is_never_below_the_exact_one():
    for n in range(1, 40):
        for k in range(n + 1):
            exact = binomtest(k, n, 1 / 3, alternative="greater").pvalue
            assert min(1, 1 / evidence(k, n)) >= exact


@pytest.mark.parametrize(("correct", "of"), [(0, 10), (1, 1), (13, 24), (24, 24), (300, 900)])
def test_the_interval_is_where_the_mixture_stays_below_its_bar(correct, of):
    low, high = anytime_interval(correct, of)
    for p in np.linspace(0, 1, 401):
        inside = log_mixture(correct, of, p) < np.log(20)
        assert bool(inside) == (low < p < high or (p == 0 == low) or (p == 1 == high))
    exact = binomtest(correct, of).proportion_ci(0.95, method="exact")
    assert low <= exact.low <= exact.high <= high


def test_following_gives_the_same_as_each_look():
    rng = np.random.default_rng(7)
    answers = (rng.random(60) < 0.6).tolist()
    followed = follow(answers)
    for n in (1, 17, 60):
        k = sum(answers[:n])
        assert (followed.low[n - 1], followed.high[n - 1]) == pytest.approx(anytime_interval(k, n))
        assert followed.evidence[n - 1] == pytest.approx(evidence(k, n))
    frame = followed.to_frame()
    assert frame["p_value"].is_monotonic_decreasing
    assert frame["p_value"].iloc[-1] == pytest.approx(followed.p_value)
    assert followed.shown_after == int((frame["evidence"] >= 20).idxmax()) + 1
    assert "however often one looks" in followed.finding
    assert "It is the average so far that is meant, not today's." in followed.finding


def test_a_sibling_has_its_own_chance():
    assert follow([True] * 6, method=TWO_AFC).evidence[-1] == pytest.approx(evidence(6, 6, 0.5))


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: follow([]), "no answer to follow"),
        (lambda: follow([True, None]), "Each answer is right or wrong"),
        (lambda: follow([True], level=95), "level must be a number between 0 and 1"),
        (lambda: evidence(3, 2), "more correct answers"),
        (lambda: anytime_interval(1, 0), "whole number of 1 or more"),
    ],
)
def test_what_makes_no_sense_is_told(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_the_grid_reaches_from_long_series_to_short_ones():
    assert TILTS[0] == pytest.approx(0.05)
    assert (np.diff(TILTS) > 0).all()


def end_early(answers: tuple[int, ...], alpha: float) -> bool:
    return any(evidence(sum(answers[:n]), n) >= 1 / alpha for n in range(1, len(answers)))


def test_what_was_seen_on_the_way_is_counted():
    # All 2^10 runs of a guesser, each with its probability: ended early with enough evidence, or as many right in all.
    alpha, n = 0.2, 10
    chance = {run: (1 / 3) ** sum(run) * (2 / 3) ** (n - sum(run)) for run in itertools.product((0, 1), repeat=n)}
    for correct in range(n + 1):
        expected = sum(p for run, p in chance.items() if end_early(run, alpha) or sum(run) >= correct)
        assert seen_p_value(correct, n, alpha) == pytest.approx(expected)
    assert seen_p_value(5, n, alpha) > p_value(5, n)


@pytest.mark.parametrize("alpha", [0.2, 0.1, 0.05, 0.01])
def test_ending_early_or_keeping_to_the_number_keeps_the_level(alpha: float):
    dearer = 0
    for n in range(1, 101):
        least, seen = minimum_correct(n, alpha), seen_minimum(n, alpha)
        if least is None:
            assert seen is None
            continue
        # A fixed-number test would not keep it: a few numbers of triads ask for one more right.
        assert seen in (least, least + 1)
        dearer += seen > least
        assert seen_p_value(seen, n, alpha) <= alpha < seen_p_value(seen - 1, n, alpha)
    assert dearer > 10
