"""Wald's sequential test of triads."""

from math import log

import numpy as np
import pandas as pd
import pytest

from redolent.triangle import THREE_AFC, plan, plan_sequential


def simulate(plan, proportion, runs, seed, longest=2000):
    """Give the share of runs that show a difference, and the mean number of answers."""
    right = np.random.default_rng(seed).random((runs, longest)) < proportion
    correct, n = right.cumsum(axis=1), np.arange(1, longest + 1)
    above = correct >= plan.upper(n) - 1e-9
    below = correct <= plan.lower(n) + 1e-9
    ended = above | below
    assert ended.any(axis=1).all()
    first = ended.argmax(axis=1)
    return above[np.arange(runs), first].mean(), (first + 1).mean()


def test_boundaries_are_walds():
    # Wald (1945): s = log((1-p0)/(1-p1)) / log(p1(1-p0)/(p0(1-p1))), here with p0 = 1/3, p1 = 2/3: s = 1/2,
    # and intercepts log((1-b)/a)/log 4 and log((1-a)/b)/log 4.
    plan = plan_sequential(0.05, 0.1, pd=0.5)
    assert plan.slope == pytest.approx(0.5)
    assert plan.upper(0) == pytest.approx(log(0.9 / 0.05) / log(4))
    assert plan.lower(0) == pytest.approx(-log(0.95 / 0.1) / log(4))
    assert plan.shortest == (4, 5)
    # Expected numbers there: E[Z] = ±log(2)/3 a triad.
    a, b = log(18), log(0.1 / 0.95)
    assert plan.expected == (
        pytest.approx((0.95 * b + 0.05 * a) / (-log(2) / 3)),
        pytest.approx((0.1 * b + 0.9 * a) / (log(2) / 3)),
    )


def test_states_after_each_answer():
    run = plan_sequential(0.05, 0.1, pd=0.5).run([True] * 5 + [False])
    assert run.states == ("go on",) * 4 + ("difference shown",) * 2
    assert run.ended_at == 5
    assert run.finding == (
        "Difference shown after triad 5: 5 of 5 correct (planned p_d = 0.5, α = 0.05, β = 0.1); that holds for this "
        "taster and this pair only. Answers after triad 5 do not count."
    )
    none = plan_sequential(0.05, 0.1, pd=0.5).run([False] * 4)
    assert none.state == "no such difference"
    assert "a smaller one may be there" in none.finding
    open_ = plan_sequential(0.05, 0.1, pd=0.5).run([True, False, True])
    assert open_.state == "go on"
    assert open_.finding.endswith("Serve the next triad.")
    assert list(open_.to_frame()["state"]) == ["go on"] * 3
    assert plan_sequential(pd=0.3).run([]).state == "go on"


def test_the_table_of_counts_is_the_states():
    plan = plan_sequential(0.05, 0.2, pd=0.3)
    frame = plan.to_frame(40)
    for n, lower, upper in frame.itertuples(index=False):
        states = [plan.state(k, n) for k in range(n + 1)]
        assert states.count("no such difference") == (0 if lower is pd.NA else lower + 1)
        assert states.count("difference shown") == (0 if upper is pd.NA else n + 1 - upper)


@pytest.mark.parametrize(("alpha", "beta", "pd"), [(0.05, 0.2, 0.3), (0.05, 0.05, 0.5)])
def test_risks_are_kept_and_the_expected_number_is_near(alpha, beta, pd):
    # 5,000 runs: four standard errors beyond Wald's bounds alpha/(1 - beta) and beta/(1 - alpha).
    runs, plan = 5000, plan_sequential(alpha, beta, pd=pd)
    false, without = simulate(plan, 1 / 3, runs, seed=1945)
    found, with_ = simulate(plan, 1 / 3 + 2 / 3 * pd, runs, seed=16820)
    for share, bar in ((false, alpha / (1 - beta)), (1 - found, beta / (1 - alpha))):
        assert share <= bar + 4 * np.sqrt(bar * (1 - bar) / runs)
    # Wald leaves out by how much a boundary is overshot, so the true numbers are larger, by a few triads.
    assert plan.expected[0] - 1 < without < plan.expected[0] + 6
    assert plan.expected[1] - 1 < with_ < plan.expected[1] + 6


def test_it_is_shorter_than_a_fixed_run_on_average():
    assert max(plan_sequential(0.05, 0.2, pd=0.3).expected) < plan(0.05, 0.2, pd=0.3).triads


def test_siblings():
    planned = plan_sequential(0.05, 0.1, d_prime=1.0, method=THREE_AFC)
    assert planned.d_prime == 1
    right, _ = planned.steps
    assert right == pytest.approx(log(float(THREE_AFC.proportion(1.0)) * 3))


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: plan_sequential(0.6, 0.5, pd=0.3), "add up to 1.1"),
        (lambda: plan_sequential(), "Give either p_d"),
        (lambda: plan_sequential(pd=1.2), "p_d must be a number between 0 and 1"),
        (lambda: plan_sequential(0, 0.1, pd=0.3), "alpha must be"),
        (lambda: plan_sequential(pd=0.3).run([True, "yes"]), "Each answer is right or wrong"),
    ],
)
def test_what_makes_no_sense_is_told(call, message):
    with pytest.raises(ValueError, match=message):
        call()
