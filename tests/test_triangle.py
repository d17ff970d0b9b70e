"""Triangle tests, from the order of the cups to the sentence on the result."""

import csv
import html
import itertools
import re
from collections import Counter
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import binomtest, chi2

from redolent.blind import Seal, seal, verify
from redolent.blind.codes import CODES
from redolent.charts.chance import draw_chance
from redolent.tasting import GUIDE, STAGES
from redolent.triangle import (
    GUESSING,
    ORDERS,
    design_run,
    draw_orders,
    judge,
    minimum_correct,
    odd_position,
    p_value,
    pourer_sheet,
    proportion_interval,
    run_key,
    solo_instructions,
    table_sheet,
)
from redolent.triangle.binomial import fewest_triads

HOSTILE = "<img src=x onerror=alert(1)>\"'&</td><script>alert(2)</script>\x00\ud800\u202e😀"
ODD = {"AAB": 3, "ABA": 2, "BAA": 1, "ABB": 1, "BAB": 2, "BBA": 3}


def published_minimums():
    """FAO document V7180E, Appendix A; an empty cell is a level that cannot be reached."""
    lines = Path(__file__).with_name("checks").joinpath("triangle-minimum-correct.csv").read_text().splitlines()
    assert "FAO document V7180E" in lines[0]
    return list(csv.DictReader(lines[1:]))


# --- statistics


def test_minimum_correct_is_the_published_one():
    rows = published_minimums()
    assert len(rows) == 44
    levels = {"p10": 0.1, "p5": 0.05, "p1": 0.01, "p01": 0.001}
    wrong = [
        (row["triads"], column, minimum)
        for row in rows
        for column, alpha in levels.items()
        if (minimum := minimum_correct(int(row["triads"]), alpha)) != (int(row[column]) if row[column] else None)
    ]
    assert wrong == []


def test_fewest_triads_are_where_the_published_table_begins_to_hold_a_minimum():
    assert [fewest_triads(alpha) for alpha in (0.05, 0.01, 0.001)] == [3, 5, 7]
    assert [fewest_triads(alpha) for alpha in (0.5, 0.1)] == [1, 3]


def test_p_and_interval_are_those_of_scipy():
    for of in (1, 2, 3, 10, 24, 97):
        for correct in range(of + 1):
            test = binomtest(correct, of, 1 / 3, alternative="greater")
            assert p_value(correct, of) == pytest.approx(test.pvalue, rel=1e-9)
            interval = binomtest(correct, of).proportion_ci(0.95, method="exact")
            assert proportion_interval(correct, of) == pytest.approx(tuple(interval), rel=1e-9)
    wide = binomtest(13, 24).proportion_ci(0.8, method="exact")
    assert proportion_interval(13, 24, level=0.8) == pytest.approx(tuple(wide), rel=1e-9)


def test_interval_ends_at_its_bounds():
    assert proportion_interval(0, 12)[0] == 0
    assert proportion_interval(12, 12)[1] == 1


def test_minimum_is_the_first_that_passes():
    for of, alpha in itertools.product((3, 18, 24, 100_000), (0.2, 0.05, 0.001)):
        minimum = minimum_correct(of, alpha)
        if minimum is not None:
            assert p_value(minimum, of) <= alpha < p_value(minimum - 1, of)


# --- verdict


def test_thirteen_of_twenty_four():
    verdict = judge(13, 24, planned=24)
    assert round(verdict.p_value, 3) == 0.028
    assert round(verdict.low, 3) == 0.328
    assert verdict.proportion == 13 / 24
    assert verdict.minimum_correct == 13
    assert verdict.outcome == "difference shown"
    assert verdict.sentence == (
        "Difference shown: 13 of 24 planned triads were correct, where the 5 % level asks for at least 13 "
        "(p = 0.028), so this taster tells these two coffees apart more often than guessing would; "
        "that holds for this taster and this pair only."
    )


def test_no_difference_shown_is_not_the_same():
    assert judge(12, 24, planned=24).sentence == (
        "No difference shown: 12 of 24 planned triads were correct, where the 5 % level asks for at least 13 "
        "(p = 0.068); that does not mean that the two coffees are the same: "
        "the difference may still be detected in up to 56 % of the triads (95 % interval of p_d)."
    )
    assert "1 of 3 planned triads was correct" in judge(1, 3, planned=3).sentence


@pytest.mark.parametrize(
    ("of", "alpha", "start", "end"),
    [
        (1, 0.05, "1 of 1 planned triad was correct", "at the 5 % level; plan at least 3."),
        (2, 0.05, "2 of 2 planned triads were correct", "at the 5 % level; plan at least 3."),
        (4, 0.01, "4 of 4 planned triads were correct", "at the 1 % level; plan at least 5."),
    ],
)
def test_too_few_triads_for_any_verdict(of, alpha, start, end):
    verdict = judge(of, of, alpha=alpha, planned=of)
    assert verdict.outcome == "too few triads"
    assert verdict.minimum_correct is None
    assert verdict.sentence.startswith(f"Too few triads for a verdict: {start}")
    assert verdict.sentence.endswith(end)


def test_a_run_stopped_early_is_judged_by_the_test_that_holds_whenever_one_stops():
    verdict = judge(4, 5, planned=24)  # four of five would be significant, had five been planned
    assert verdict.p_value < 0.05 < verdict.anytime_p
    assert verdict.outcome == "stopped early"
    assert not verdict.shown
    assert verdict.minimum_correct == 13
    assert verdict.sentence == (
        "Stopped early: 24 triads were planned, 5 were answered, 4 were correct; "
        "a p-value holds for a number of triads fixed beforehand, so the test that holds whenever one stops is used: "
        f"a difference is not shown (p = {verdict.anytime_p:.3f} at the 5 % level); "
        "that does not mean that the two coffees are the same."
    )
    assert judge(10, 10, planned=24).shown
    assert "planned, 1 was answered, 0 were correct;" in judge(0, 1, planned=2).sentence
    assert judge(2, 2, planned=3).outcome == "stopped early"


def test_an_unknown_plan_is_a_condition():
    assert "(p = 0.028, if 24 triads were fixed beforehand)" in judge(13, 24).sentence
    assert "(p = 0.333, if 1 triad was fixed beforehand)" in judge(1, 1, alpha=0.4).sentence


@pytest.mark.parametrize(
    ("correct", "of", "alpha", "written"),
    [
        (18, 18, 0.05, "p < 0.001"),
        (0, 24, 0.05, "p = 1.000"),
        (1, 24, 0.05, "p > 0.999"),
        (1, 1, 0.3333, "p = 0.33333"),  # 0.3333 would look like a difference
        (1, 1, 0.33335, "p = 0.333"),
        (9, 10, 0.0001, "p = 0.0004"),
        (10, 10, 0.0001, "p < 0.0001"),
    ],
)
def test_p_is_written_so_that_it_agrees_with_the_verdict(correct, of, alpha, written):
    assert judge(correct, of, alpha=alpha).p == written


def test_the_written_p_always_falls_on_the_side_of_the_verdict():
    for of in range(3, 61):
        for correct, alpha in itertools.product(range(of + 1), (0.1, 0.05, 0.01)):
            verdict = judge(correct, of, alpha=alpha)
            shown = verdict.outcome == "difference shown"
            assert shown == (verdict.p_value <= alpha)
            if verdict.p.startswith("p ="):
                assert shown == (float(verdict.p[4:]) <= alpha)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: judge(25, 24), r"more correct answers \(25\) than triads \(24\)"),
        (lambda: judge(0, 0), r"number of triads must be a whole number of 1 or more, not 0"),
        (lambda: judge(-1, 24), r"correct answers must be a whole number of 0 or more, not -1"),
        (lambda: judge(1, -3), r"number of triads must be a whole number of 1 or more, not -3"),
        (lambda: judge(1.5, 24), r"correct answers must be a whole number of 0 or more, not 1\.5"),
        (lambda: judge(1, 24.0), r"number of triads must be a whole number of 1 or more, not 24\.0"),
        (lambda: judge(True, 24), r"whole number of 0 or more, not True"),
        (lambda: judge("13", 24), r"whole number of 0 or more, not '13'"),
        (lambda: judge(13, None), r"whole number of 1 or more, not None"),
        (lambda: judge(13, 24, alpha=0), r"alpha must be a number between 0 and 1, such as 0\.05, not 0"),
        (lambda: judge(13, 24, alpha=1), r"alpha must be a number between 0 and 1"),
        (lambda: judge(13, 24, alpha=5), r"alpha must be a number between 0 and 1"),
        (lambda: judge(13, 24, alpha=float("nan")), r"alpha must be a number between 0 and 1"),
        (lambda: judge(13, 24, alpha="5 %"), r"alpha must be a number between 0 and 1"),
        (lambda: judge(13, 24, planned=18), r"24 triads were answered and 18 planned"),
        (lambda: judge(13, 24, planned=0), r"planned number of triads must be a whole number of 1 or more"),
        (lambda: minimum_correct(0, 0.05), r"number of triads must be a whole number of 1 or more"),
        (lambda: minimum_correct(24, -0.1), r"alpha must be"),
        (lambda: proportion_interval(1, 2, level=95), r"level must be a number between 0 and 1"),
        (lambda: draw_orders(0, 1), r"number of triads must be a whole number of 1 or more"),
        (lambda: design_run(2.5, 1), r"number of triads must be a whole number of 1 or more"),
        (lambda: odd_position("AAA"), r"'AAA' is not an order of a triad"),
        (lambda: solo_instructions(0), r"number of triads must be a whole number of 1 or more"),
    ],
)
def test_bad_input_is_told_what_is_wrong(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_numpy_numbers_are_numbers():
    verdict = judge(np.int64(13), np.int32(24), alpha=np.float64(0.05), planned=np.int64(24))
    assert verdict == judge(13, 24, planned=24)
    assert {type(getattr(verdict, name)) for name in ("correct", "of", "planned")} == {int}
    assert {type(getattr(verdict, name)) for name in ("p_value", "proportion", "low", "alpha")} == {float}


# --- orders


def test_odd_position():
    assert {order: odd_position(order) for order in ORDERS} == ODD


def test_orders_are_uniform_and_independent():
    # A right generator crosses each of these bounds with one seed in 100,000.
    orders = draw_orders(6000, 4120)
    counted = Counter(orders)
    assert set(counted) == set(ORDERS)
    uneven = sum((n - 1000) ** 2 / 1000 for n in counted.values())
    assert chi2.ppf(1e-5, df=5) < uneven < chi2.isf(1e-5, df=5)
    pairs = Counter(zip(orders[::2], orders[1::2], strict=True))
    expected = 3000 / 36
    spread = sum((pairs[pair] - expected) ** 2 / expected for pair in itertools.product(ORDERS, repeat=2))
    assert spread < chi2.isf(1e-5, df=35)


def test_orders_repeat_within_a_short_run_as_often_as_chance_has_it():
    # Each of the 15 pairs in a run of six is alike with probability 1/6, pairwise independently;
    # in a balanced block none is.
    rng, runs = np.random.default_rng(6), 1000
    alike = sum(a == b for _ in range(runs) for a, b in itertools.combinations(draw_orders(6, rng), 2))
    assert abs(alike - runs * 15 / 6) < 5 * np.sqrt(runs * 15 * (1 / 6) * (5 / 6))


def test_the_generator_decides():
    assert draw_orders(24, 3) == draw_orders(24, np.random.default_rng(3))
    assert draw_orders(24, 3) != draw_orders(24, 4)


def test_balanced_answers_keep_the_level_with_independent_orders_and_break_it_with_balanced_blocks():
    triads, minimum, runs = 18, 10, 20_000
    nominal = p_value(minimum, triads)
    assert round(nominal, 3) == 0.043
    tolerance = 4 * np.sqrt(nominal * (1 - nominal) / runs)

    rng = np.random.default_rng(1820)
    block = np.repeat([1, 2, 3], 2)

    def in_blocks():
        return rng.permuted(np.tile(block, (runs * triads // 6, 1)), axis=1).reshape(runs, triads)

    def level(odd):
        return float(((odd == in_blocks()).sum(axis=1) >= minimum).mean())

    drawn = np.array([[ODD[order] for order in draw_orders(triads, rng)] for _ in range(runs)])
    assert abs(level(drawn) - nominal) < tolerance

    # Exact for balanced blocks: right answers in one block over all its arrangements, three blocks added up.
    hits = Counter(sum(a == b for a, b in zip(p, block, strict=True)) for p in itertools.permutations(block))
    one = np.array([hits[n] for n in range(7)]) / hits.total()
    exact = np.convolve(np.convolve(one, one), one)[minimum:].sum()
    assert round(exact, 3) == 0.060
    balanced = level(in_blocks())
    assert abs(balanced - exact) < 4 * np.sqrt(exact * (1 - exact) / runs)
    assert balanced > nominal + 2 * tolerance


# --- design


def test_a_design_has_its_triads_codes_and_key():
    design = design_run(24, 9, taken=["507", "238"])
    codes = list(itertools.chain.from_iterable(design.codes))
    assert len(design.orders) == len(design.codes) == 24
    assert {len(triad) for triad in design.codes} == {3}
    assert len(set(codes)) == 72
    assert not {"507", "238"} & set(codes)
    assert set(design.orders) <= set(ORDERS)
    assert design == design_run(24, 9, taken=["507", "238"])
    assert design != design_run(24, 10, taken=["507", "238"])


def test_codes_tell_nothing_about_the_orders():
    # Rank of the odd cup's code within its triad: each of three with probability 1/3.
    ranks = Counter()
    designs = [design_run(50, seed) for seed in range(60)]
    assert len({design.orders for design in designs}) == 60
    for design in designs:
        for order, triad in zip(design.orders, design.codes, strict=True):
            ranks[sorted(triad).index(triad[ODD[order] - 1])] += 1
    assert sum((n - 1000) ** 2 / 1000 for n in ranks.values()) < chi2.isf(1e-5, df=2)


def test_the_key_is_the_same_fresh_and_stored():
    design = design_run(6, 2)
    sealed = seal(design.key)
    assert verify(run_key(list(design.orders), [list(triad) for triad in design.codes]), sealed)
    swapped = [*design.orders[:-1], "AAB" if design.orders[-1] != "AAB" else "BBA"]
    assert not verify(run_key(swapped, design.codes), sealed)


def test_more_triads_than_codes():
    assert len(design_run(len(CODES) // 3, 1).codes) == len(CODES) // 3
    with pytest.raises(ValueError, match=r"codes are wanted and \d+ are left; split"):
        design_run(400, 1)


# --- sheets


class Page(HTMLParser):
    def __init__(self, text):
        super().__init__()
        self.tags, self.attributes, self.words = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += [name for name, _ in attrs]

    def handle_data(self, data):
        self.words.append(data)


def sheets(text, orders=("ABA", "BBA")):
    codes = [("507", "238", "862"), ("941", "120", "285")]
    sealed = seal(run_key(orders, codes))
    table = table_sheet(codes, sealed.commitment, taster=text, day=text)
    pourer = pourer_sheet(codes, orders, sealed, coffee_a=text, coffee_b=text, taster=text, day=text)
    return table, pourer, sealed


def test_hostile_names_are_text():
    for plain, hostile in zip(sheets("name")[:2], sheets(HOSTILE)[:2], strict=True):
        assert Page(hostile).tags == Page(plain).tags
        assert Page(hostile).attributes == Page(plain).attributes
        assert html.escape("<img src=x onerror=alert(1)>\"'&</td>") in hostile
        assert "\x00" not in hostile
        assert hostile.encode().decode() == hostile
    assert "<img" not in table_sheet([(HOSTILE,) * 3], HOSTILE)
    assert "<img" not in pourer_sheet([(HOSTILE,) * 3], ["AAB"], Seal(HOSTILE, HOSTILE), coffee_a="", coffee_b="")


def test_sheets_need_no_other_file():
    for sheet in sheets("name")[:2]:
        assert sheet.startswith("<!doctype html>")
        assert not re.search(r"https?:|//|src=|href=|url\(|@import|<script", sheet)
        assert {"Boiling", "Caffeine"} <= set(re.findall(r"\w+", sheet))


def test_the_table_sheet_shows_codes_and_commitment_and_no_key():
    table, _, sealed = sheets("Mira")
    words = " ".join(Page(table).words)
    assert re.findall(r"☐ +(\d{3})", words) == ["507", "238", "862", "941", "120", "285"]
    assert sealed.commitment in words
    assert sealed.nonce not in table
    assert "left to right" in words
    assert "Rinse" in words
    assert "Choose one even if you guess" in words


def test_the_pourer_sheet_says_which_coffee_goes_where():
    _, pourer, sealed = sheets("Mira")
    words = "".join(Page(pourer).words)
    assert re.findall(r"(\d{3}): ([AB])", words) == [
        *(("507", "A"), ("238", "B"), ("862", "A")),
        *(("941", "B"), ("120", "B"), ("285", "A")),
    ]
    assert re.findall(r"<td><bdi>(\d{3})</bdi></td></tr>", pourer) == ["238", "285"]
    assert sealed.nonce in words
    assert sealed.commitment in words
    assert "Keep it from the taster" in words


def test_the_pourer_needs_an_order_a_triad():
    with pytest.raises(ValueError, match=r"There are 1 triads and 2 orders"):
        pourer_sheet([("507", "238", "862")], ["AAB", "ABA"], Seal("", ""), coffee_a="a", coffee_b="b")


def test_alone_the_answer_is_locked_before_the_look():
    text = solo_instructions(6)
    told = [text.index(words) for words in ("label them underneath", "slide the cups", "Lock the answer", "look under")]
    assert told == sorted(told)
    assert "Do this 6 times" in text
    assert "Do this once" in solo_instructions(1)
    assert "<" not in text


# --- stages


def test_stages():
    assert STAGES == ("dry", "crust", "break", "hot", "warm", "cool")
    assert tuple(GUIDE) == STAGES
    assert all(GUIDE[name].name == name and GUIDE[name].label and GUIDE[name].task for name in STAGES)
    assert all(re.fullmatch(r"[^.]+\.", stage.task) for stage in GUIDE.values())
    assert GUIDE["break"].task.startswith("Break the crust at four minutes")
    assert [name for name in STAGES if GUIDE[name].caution] == ["crust", "break", "hot"]
    assert "Above 65 °C wait" in GUIDE["hot"].caution


# --- picture


def title_of(figure) -> str:
    return figure.layout.title.text.replace("<br>", " ")


def test_the_picture_shows_chance_result_and_minimum():
    figure = draw_chance(judge(14, 24, planned=24))
    bars = figure.data[0]
    hatched = [x for x, shape in zip(bars.x, bars.marker.pattern.shape, strict=True) if shape]
    assert hatched == list(range(13, 25))
    assert sum(bars.y) == pytest.approx(1)
    assert sum(bars.y[13:]) == pytest.approx(binomtest(13, 24, GUESSING, alternative="greater").pvalue)
    assert title_of(figure).startswith("Difference shown: 14 of 24 correct, at least 13 needed (p = ")
    assert figure.layout.shapes[0].x0 == 12.5
    assert [note.text for note in figure.layout.annotations] == ["enough: 13 or more", "<b>result: 14</b>"]
    assert figure.layout.annotations[1].x == 14
    assert "n = 24" in figure.layout.xaxis.title.text
    assert "%" in figure.layout.yaxis.title.text


@pytest.mark.parametrize(
    ("correct", "of", "planned", "title", "marks"),
    [
        (9, 24, 24, "No difference shown: 9 of 24 correct, at least 13 needed", 2),
        (2, 2, 2, "Too few triads: with 2, no result could show a difference", 1),
        (10, 10, 24, "Stopped early: 10 of 24 planned triads answered, difference shown", 1),
        (70, 150, None, "Difference shown: 70 of 150 correct, at least 61 needed", 2),
    ],
)
def test_the_title_is_the_finding(correct, of, planned, title, marks):
    verdict = judge(correct, of, planned=planned)
    figure = draw_chance(verdict)
    assert title_of(figure).startswith(f"{title} (")
    assert len(figure.layout.annotations) == marks
    assert figure.layout.xaxis.range[0] < correct < figure.layout.xaxis.range[1]
    assert figure.layout.meta["alt"].startswith(verdict.sentence)
    assert f"The result, {correct}, is marked" in figure.layout.meta["alt"]
    if verdict.outcome == "stopped early":
        assert "valid at any time" in title_of(figure)
