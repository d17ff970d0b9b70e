"""What a verdict says beyond its p: p_d and d′, the bound of the decision, similarity, and for whom it holds."""

import itertools
from math import inf
from time import perf_counter

import pytest
from scipy.stats import beta, binom, binomtest

from redolent.triangle import DUO_TRIO, METHODS, TRIANGLE, judge, judge_a_not_a, judge_tasters


def test_p_d_and_d_prime_follow_from_the_proportion():
    verdict = judge(16, 24, planned=24)
    low, high = binomtest(16, 24).proportion_ci(0.95, method="exact")
    assert verdict.pd == pytest.approx(0.5)
    assert verdict.pd_interval == pytest.approx(((low - 1 / 3) * 1.5, (high - 1 / 3) * 1.5))
    assert float(TRIANGLE.proportion(verdict.d_prime)) == pytest.approx(2 / 3)
    assert [float(TRIANGLE.proportion(d)) for d in verdict.d_prime_interval] == pytest.approx([low, high])


def test_ends_are_said_in_words():
    lowest, highest = judge(3, 24), judge(24, 24)
    assert (lowest.pd, lowest.d_prime, lowest.pd_interval[0], lowest.d_prime_interval[0]) == (0, 0, 0, 0)
    assert "At or below chance p_d and d′ are 0." in lowest.numbers
    assert (highest.pd, highest.d_prime, highest.d_prime_interval[1]) == (1, inf, inf)
    assert any("without limit" in line for line in highest.numbers)
    assert "All are correct, so no d′ is too large; only its lower limit says something." in highest.numbers
    assert not any("inf" in line or "nan" in line for line in (*lowest.numbers, *highest.numbers))


def test_the_bound_goes_with_the_decision():
    # A one-sided Clopper-Pearson bound lies above guessing exactly where the exact one-sided p is at most alpha.
    for of, alpha in itertools.product((3, 12, 24, 61), (0.1, 0.05, 0.01)):
        for correct in range(of + 1):
            verdict = judge(correct, of, alpha=alpha)
            expected = beta.ppf(alpha, correct, of - correct + 1) if correct else 0
            assert verdict.bound == pytest.approx(expected)
            assert (verdict.bound >= 1 / 3) == verdict.shown


def test_a_sentence_where_the_interval_and_the_decision_seem_to_disagree():
    assert judge(13, 24, planned=24).disagreement == (
        "The two-sided 95 % interval of the proportion begins at 0.328, and guessing is 0.333; it allows 2.5 % of "
        "error on this side. The decision looks at this side only and allows 5 %: its lower bound is 0.358."
    )
    assert "begins at 0.406" in judge(15, 24, alpha=0.001).disagreement
    assert judge(14, 24).disagreement == judge(12, 24).disagreement == ""
    for of in range(3, 41):
        for correct in range(of + 1):
            verdict = judge(correct, of)
            assert bool(verdict.disagreement) == (verdict.shown != (verdict.low > 1 / 3))
            assert verdict.finding.startswith(verdict.sentence)


def test_no_difference_shown_says_what_the_plan_would_have_found():
    power = binom.sf(12, 24, 1 / 3 + 2 / 3 * 0.3)
    sentence = judge(10, 24, planned=24, pd=0.3, beta=0.2).sentence
    assert sentence.endswith(f"and the planned p_d = 0.3 would have been found with a probability of {power:.2f}.")


def test_similarity_by_the_upper_limit():
    shown = judge(25, 60, planned=60, pd=0.3, beta=0.05, similarity=True)
    missed = judge(26, 60, planned=60, pd=0.3, beta=0.05, similarity=True)
    assert (shown.maximum_correct, shown.outcome, missed.outcome) == (25, "similarity shown", "similarity not shown")
    assert TRIANGLE.discriminators(shown.bound) < 0.3 < TRIANGLE.discriminators(missed.bound)
    assert "in fewer than 30 % of the triads" in shown.sentence
    assert "that is not “the same”, and it holds for this taster and this pair only" in shown.sentence
    assert "that does not show a difference either" in missed.sentence
    few = judge(0, 2, planned=2, pd=0.3, beta=0.05, similarity=True)
    assert few.outcome == "too few triads"
    assert "even none correct would not show p_d below 0.3" in few.sentence
    with pytest.raises(ValueError, match="give both"):
        judge(20, 60, similarity=True, pd=0.3)


def test_a_run_whose_answers_were_seen_asks_for_what_counts_that():
    # At 23 triads 12 right are enough where nobody looks (p = 0.0475); seen one by one, 13 are.
    seen = judge(12, 23, planned=23, seen=True)
    assert judge(12, 23, planned=23).shown
    assert not seen.shown
    assert seen.minimum_correct == 13
    assert seen.p_value > 0.05 > judge(12, 23, planned=23).p_value
    assert "asks for at least 13" in seen.sentence
    assert "counting that each answer was seen" in seen.sentence
    assert judge(13, 23, planned=23, seen=True).outcome == "difference shown"
    assert judge(5, 23, planned=24, seen=True).outcome == "stopped early"
    similar = judge(24, 60, planned=60, pd=0.3, beta=0.05, similarity=True, seen=True)
    assert similar.maximum_correct == 24 < judge(24, 60, pd=0.3, beta=0.05, similarity=True).maximum_correct
    assert similar.outcome == "similarity shown"


def test_a_run_looked_at_on_the_way_is_labelled_and_judged_at_any_time():
    looked = judge(13, 24, planned=24, looked=True)
    assert looked.outcome == "looked at on the way"
    assert looked.p_value <= 0.05 < looked.anytime_p
    assert not looked.shown
    assert looked.sentence.startswith("Looked at on the way: 13 of 24 planned triads were correct")
    assert "the test that holds whenever one stops is used: a difference is not shown" in looked.sentence
    low, high = looked.limits
    assert low < looked.low < looked.high < high
    assert "holds whenever one stops" in looked.numbers[0]
    assert judge(19, 24, planned=24, looked=True).shown


def test_similarity_stopped_early():
    stopped = judge(8, 50, planned=80, pd=0.3, beta=0.05, similarity=True)
    assert stopped.shown
    assert "p_d below 0.3 is shown" in stopped.sentence
    assert not judge(15, 40, planned=80, pd=0.3, beta=0.05, similarity=True).shown


@pytest.mark.parametrize("tasters", [1, 3])
def test_a_claim_about_people_from_replicates_is_refused_with_the_reason(tasters):
    with pytest.raises(ValueError, match="say nothing about people in general: they are replicates") as refusal:
        judge(20, 24, tasters=tasters).for_people()
    assert "ISO 4120 plans in assessors" in str(refusal.value)


def test_as_many_people_as_triads_may_stand_for_people():
    low, high = judge(20, 24, tasters=24).pd_interval
    assert (
        judge(20, 24, tasters=24)
        .for_people()
        .startswith(f"Of people like these 24, a share of {low:.2f} to {high:.2f} detects this pair")
    )


def test_a_verdict_holds_for_this_taster_and_pair_only():
    for verdict in (judge(15, 24), judge(20, 60, pd=0.3, beta=0.05, similarity=True), judge(10, 10, planned=24)):
        assert "for this taster and this pair only" in verdict.sentence
    assert "these 4 tasters tell" in judge(15, 24, tasters=4).sentence


@pytest.mark.parametrize("method", METHODS.values(), ids=list(METHODS))
def test_siblings_are_judged_against_their_own_guessing(method):
    verdict = judge(20, 24, planned=24, method=method)
    assert verdict.p_value == pytest.approx(binomtest(20, 24, method.guessing, alternative="greater").pvalue)
    assert verdict.pd == pytest.approx((20 / 24 - method.guessing) / (1 - method.guessing))
    assert float(method.proportion(verdict.d_prime)) == pytest.approx(20 / 24)
    assert f"guessing gives {method.guessing:.3f}" in verdict.numbers[0]
    assert ("trials" in verdict.sentence) == (method is not TRIANGLE)


@pytest.mark.parametrize(
    "judged",
    [
        lambda: judge(13, 24, planned=24),
        lambda: judge(13, 24, planned=40),
        lambda: judge(300, 700, planned=700, pd=0.2, beta=0.05, similarity=True),
        lambda: judge(13, 24, method=DUO_TRIO, looked=True),
        lambda: judge_a_not_a(15, 20, 4, 20),
        lambda: judge_tasters({str(n): (4 + n % 5, 12) for n in range(8)}),
    ],
)
def test_a_verdict_is_quick(judged):
    def seconds():
        start = perf_counter()
        verdict = judged()
        assert verdict.finding
        _ = getattr(verdict, "numbers", None)
        return perf_counter() - start

    # The best of five: the bar is 20 ms, and other work on the machine is not to fail it.
    assert min(seconds() for _ in range(5)) < 0.02


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"pd": 1.2}, r"p_d must be a number between 0 and 1, such as 0\.3, not 1\.2"),
        ({"beta": 0}, "beta must be a number between 0 and 1"),
        ({"tasters": 0}, "number of tasters must be a whole number of 1 or more"),
        ({"tasters": 25}, "25 tasters cannot have answered 24 triads"),
    ],
)
def test_a_judgement_that_makes_no_sense_is_told_why(given, message):
    with pytest.raises(ValueError, match=message):
        judge(13, 24, **given)
