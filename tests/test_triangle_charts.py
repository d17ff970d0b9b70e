"""Figures of triangle tests: what they show, what they say, and what they say to those who do not see them."""

from datetime import date, timedelta

import pytest
from scipy.stats import binom

from redolent.charts import draw_chance, draw_months, draw_power, draw_sequential
from redolent.triangle import follow, judge, plan, plan_sequential

ANSWERS = [True, True, False, True, True, True, False, True, True, True, True, True]


def title(figure):
    return figure.layout.title.text.replace("<br>", " ")


def notes(figure):
    return [note.text for note in figure.layout.annotations]


def test_similarity_stands_beside_guessing():
    verdict = judge(20, 60, planned=60, pd=0.3, beta=0.05, similarity=True)
    figure = draw_chance(verdict)
    bars, rings = figure.data
    assert rings.y[32] == pytest.approx(binom.pmf(32, 60, 1 / 3 + 0.2))
    assert [x for x, shape in zip(bars.x, bars.marker.pattern.shape, strict=True) if shape] == list(range(26))
    assert figure.layout.shapes[0].x0 == 25.5
    assert notes(figure) == ["similar: 25 or fewer", "<b>result: 20</b>"]
    assert title(figure).startswith("Similarity shown: 20 of 60 correct, at most 25 allowed")
    assert "the maximum for similarity, 25" in figure.layout.meta["alt"]


def test_a_run_looked_at_has_no_bar_that_would_mislead():
    figure = draw_chance(judge(13, 24, planned=24, looked=True))
    assert notes(figure) == ["<b>result: 13</b>"]
    assert title(figure).startswith("Looked at on the way: 13 of 24 correct, no difference shown (p = 0.35")


def test_a_sequential_run_between_its_boundaries():
    run = plan_sequential(pd=0.4).run(ANSWERS)
    figure = draw_sequential(run)
    upper, lower, path = figure.data
    assert upper.y[0] == pytest.approx(run.plan.upper(0))
    assert lower.y[1] == pytest.approx(run.plan.lower(lower.x[1]))
    assert list(path.y) == [0, 1, 2, 2, 3, 4, 5, 5, 6, 7, 8, 9, 10]
    n = run.ended_at
    assert path.y[n] >= run.plan.upper(n)
    assert all(path.y[k] < run.plan.upper(k) for k in range(n))
    assert title(figure) == f"Difference shown after triad {n}: {sum(ANSWERS[:n])} of {n} correct"
    assert figure.layout.meta["alt"].startswith(run.finding)
    assert title(draw_sequential(plan_sequential(pd=0.4).run([]))) == "Undecided so far: 0 of 0 correct"


def test_months_have_a_band_and_the_line_of_chance():
    sequence = follow(ANSWERS)
    days = [date(2026, 1, 5) + timedelta(days=9 * n) for n in range(12)]
    figure = draw_months(sequence, days)
    high, low, average = figure.data
    assert high.y[-1] == pytest.approx(100 * sequence.high[-1])
    assert low.y[-1] == pytest.approx(100 * sequence.low[-1])
    assert average.y[-1] == pytest.approx(100 * 10 / 12)
    assert "05 Jan 2026 to 14 Apr 2026" in figure.layout.xaxis.title.text
    assert any(note.startswith("guessing ruled out: triad") for note in notes(figure))
    assert "chance: 33 %" in notes(figure)
    assert title(figure).startswith("Odd cup found in 10 of 12, more often than by luck")
    assert figure.layout.meta["alt"].startswith(sequence.finding)
    assert "luck not ruled out" in title(draw_months(follow([False, True])))
    with pytest.raises(ValueError, match="12 answers and 2 days"):
        draw_months(sequence, days[:2])


@pytest.mark.parametrize("similarity", [False, True])
def test_power_goes_through_the_plan(similarity):
    planned = plan(0.05, 0.1, pd=0.3, similarity=similarity)
    figure = draw_power(planned)
    curve, marks = figure.data
    at_planned = planned.power if not similarity else binom.cdf(planned.maximum_correct, planned.triads, 1 / 3 + 0.2)
    assert marks.y[1] == pytest.approx(100 * at_planned, abs=0.1)
    assert (curve.y[-1] > 99) == (not similarity)
    bar = f"at most {planned.maximum_correct}" if similarity else f"at least {planned.minimum_correct}"
    assert title(figure).startswith(f"{planned.triads} triads, {bar} right")
    assert set(notes(figure)) == ({"1 − α = 0.95", "β = 0.1"} if similarity else {"1 − β = 0.9", "α = 0.05"})
    assert figure.layout.meta["alt"].startswith(planned.finding)


def test_every_figure_names_its_axes_and_its_n():
    for figure in (
        draw_chance(judge(13, 24)),
        draw_sequential(plan_sequential(pd=0.4).run(ANSWERS)),
        draw_months(follow(ANSWERS)),
        draw_power(plan(pd=0.3)),
    ):
        assert "n = " in figure.layout.xaxis.title.text
        assert "%" in figure.layout.yaxis.title.text or "count" in figure.layout.yaxis.title.text
