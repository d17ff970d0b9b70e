"""Vocabulary, precision, consistency and discrimination on frames made by hand.

Values are worked by hand or come from scikit-learn and SciPy; published ones name their source.
"""

import warnings
from datetime import timedelta, timezone
from itertools import combinations, permutations, product

import numpy as np
import pandas as pd
import pytest
from scipy.stats import binomtest, somersd
from scipy.stats import t as student
from sklearn.metrics import roc_auc_score

from redolent.lexicon import Lexicon
from redolent.progress import (
    accumulate,
    compare_repeats,
    count_mentions,
    level_shares,
    list_servings,
    mention_frame,
    ordinal_trend,
    triangle_history,
    wilson_interval,
)
from redolent.progress.accumulation import _curves, _debuts
from redolent.progress.consistency import _every, _ways, _wins
from redolent.progress.mentions import COLUMNS

LEXICON = Lexicon.load()
DESCRIPTORS = [node.id for node in LEXICON.at("descriptor")]
A, B = DESCRIPTORS[:2]
QUINCE, PEAR, PEACH, JASMINE = (
    "orchard/pome/quince",
    "orchard/pome/pear",
    "orchard/stone/peach",
    "flower-border/blossom/jasmine",
)
START = pd.Timestamp("2026-01-10T09:00Z")
RUN_COLUMNS = [
    *("run_id", "taster", "coffee_a", "coffee_b", "started_at"),
    *("alpha", "blinding", "planned", "answered", "correct"),
]


def mention(node, tasting=0, cup=0, coffee="K", **other):
    """One row: a place named in a cup of a tasting; tastings are ten days apart, cups ten minutes."""
    at = START + pd.Timedelta(days=10 * tasting, minutes=10 * cup)
    row = {
        "note_id": f"note {tasting} {cup}",
        "taster": "Ada",
        "tasting_id": f"tasting {tasting}",
        "serving_id": f"serving {tasting} {cup}",
        "coffee": coffee,
        "coffee_id": coffee,
        "stage": "warm",
        "written_at": at,
        "node": node,
        "level": LEXICON[node].level if node else None,
        "present": node is not None,
        "strength": None,
        "hedged": False,
        "how": "exact" if node else None,
        "coached": False,
        "own": None,
    }
    return row | other


def frame(*rows):
    return pd.DataFrame(list(rows), columns=COLUMNS)


def tastings(*tables):
    """Make a frame of nested lists: tastings of cups of nodes; a cup may be (coffee, nodes)."""
    rows = []
    for t, table in enumerate(tables):
        for c, cup in enumerate(table):
            coffee, nodes = cup if isinstance(cup, tuple) else (f"coffee {c}", cup)
            rows += [mention(node, t, c, coffee) for node in nodes or [None]]
    return frame(*rows)


def run(number, correct, answered=12, planned=12, blinding="helper", alpha=0.05):
    at = START + pd.Timedelta(days=30 * number)
    return (f"run {number}", "Ada", "K", "L", at, alpha, blinding, planned, answered, correct)


def runs(*rows):
    return pd.DataFrame(list(rows), columns=RUN_COLUMNS)


# ---- what counts


@pytest.mark.parametrize(
    "change",
    [{"present": False}, {"hedged": True}, {"coached": True}, {"how": "inferred"}, {"node": None}],
)
def test_what_does_not_count(change):
    assert len(count_mentions(frame(mention(QUINCE) | change))) == 0


@pytest.mark.parametrize("how", ["exact", "form", "spelling"])
def test_what_counts(how):
    assert len(count_mentions(frame(mention(QUINCE, how=how)))) == 1


def test_a_place_counts_once_a_serving_and_what_is_denied_counts_apart():
    later = {"note_id": "later", "written_at": START + pd.Timedelta(minutes=5)}
    mentions = frame(mention(QUINCE) | later, mention(QUINCE), mention(QUINCE, cup=1), mention(PEAR, present=False))
    assert count_mentions(mentions)["note_id"].tolist() == ["note 0 0", "note 0 1"]
    assert count_mentions(mentions, present=False)["node"].tolist() == [PEAR]


def notes(*texts, **columns):
    rows = [mention(None, 0, cup) | {"first_text": text, "revision": 1} for cup, text in enumerate(texts)]
    return pd.DataFrame(rows).assign(**columns)


def test_a_mention_frame_has_a_row_a_mention_and_one_for_a_note_without():
    mentions = mention_frame(notes("Quince, no jasmine.", "Nothing to say."))
    assert list(mentions.columns) == COLUMNS
    assert mentions["node"].iloc[:2].tolist() == [QUINCE, JASMINE]
    assert mentions["present"].tolist() == [True, False, False]
    assert mentions["node"].isna().tolist() == [False, False, True]
    assert len(list_servings(mentions)) == 2


def test_what_was_written_after_coaching_is_not_read():
    coached_later = notes("quince", text="quince, pear", coached=True, revision=2)
    assert mention_frame(coached_later)["node"].tolist() == [QUINCE]
    assert not mention_frame(coached_later)["coached"].any()
    assert mention_frame(notes("quince", coached=True))["coached"].all()


def test_personal_words_are_read_unless_their_place_is_gone():
    own = {"florp": QUINCE, "blarg": "orchard/pome/gone"}
    assert mention_frame(notes("florp and blarg"), personal=own)["node"].tolist() == [QUINCE]


def test_a_frame_of_something_else():
    with pytest.raises(ValueError, match="lack the column 'first_text'"):
        mention_frame(notes("quince").drop(columns="first_text"))
    with pytest.raises(ValueError, match="lack the column 'planned'"):
        triangle_history(runs().drop(columns="planned"))


@pytest.mark.parametrize("analyse", [accumulate, level_shares, compare_repeats])
def test_two_tasters_are_not_mixed(analyse):
    with pytest.raises(ValueError, match="2 tasters"):
        analyse(frame(mention(QUINCE), mention(PEAR, cup=1, taster="Bo")))


# ---- vocabulary


def test_the_curve_and_the_mean_of_all_orders():
    # Two orders: {A}, {} then {B} gives 1 1 2; {B} then {A}, {} gives 1 2 2. Single servings in random
    # order would give a mean of 2/3 after the first.
    result = accumulate(tastings([[A], []], [[B]]))
    assert result.curve["observed"].tolist() == [1, 1, 2]
    assert result.curve["mean"].tolist() == [1, 1.5, 2]
    assert result.curve["new"].tolist() == [LEXICON[A].label, "", LEXICON[B].label]
    assert (result.orders, result.exact) == (2, True)


def test_curves_agree_with_counting_one_by_one():
    rng = np.random.default_rng(3)
    sizes = np.array([3, 1, 4, 2, 2])
    tables = [[set(rng.choice(8, 3)) for _ in range(size)] for size in sizes]
    rows = [
        (node, tasting, min(c for c, cup in enumerate(table) if node in cup))
        for node in range(8)
        for tasting, table in enumerate(tables)
        if any(node in cup for cup in table)
    ]
    orders = np.array(list(permutations(range(5))))[::7]
    firsts = pd.DataFrame(rows, columns=["node", "tasting", "within"])
    curves = _curves(_debuts(orders, sizes, firsts), np.arange(1, sizes.sum() + 1))
    for order, curve in zip(orders, curves, strict=True):
        cups = [cup for tasting in order for cup in tables[tasting]]
        assert curve.tolist() == [len(set().union(*cups[: n + 1])) for n in range(len(cups))]


def test_the_p_of_a_taster_whose_every_tasting_brings_more_than_the_last():
    # 1, 2, 3 and 4 new words: of the 24 orders only the observed one lies that low.
    words = iter(DESCRIPTORS)
    result = accumulate(tastings(*[[[next(words) for _ in range(n)]] for n in (1, 2, 3, 4)]))
    assert result.exact
    assert result.p_value == pytest.approx(1 / 24)
    assert result.smallest_p == pytest.approx(1 / 24)
    assert "(p = 0.042, one test at 0.05; smallest possible 0.042)" in result.numbers
    assert "5 more tastings would let the first third be held against the last" in result.finding


def test_the_p_of_a_taster_who_says_all_at_once():
    result = accumulate(tastings([DESCRIPTORS[:9]], *[[[A, B]]] * 7))
    assert result.p_value == 1
    assert result.finding.startswith("9 distinct descriptors in 8 servings, 0 of them new in the last third")
    assert "which does not rule it out" in result.finding


def test_the_test_keeps_its_level_where_tastings_have_moods():
    rng = np.random.default_rng(5)
    hits = 0
    for seed in range(100):
        moods = rng.gamma(1.0, 2.0, size=10)
        tables = [[list(rng.choice(DESCRIPTORS[:80], 1 + rng.poisson(m))) for _ in range(3)] for m in moods]
        hits += accumulate(tastings(*tables), permutations=99, seed=seed).p_value <= 0.05
    # 100 tests at 5 %: 12 or more hits have a probability of 0.4 %.
    assert hits < 12


def test_broader_levels_are_counted_too():
    mentions = tastings([[QUINCE, PEAR, "orchard"]], [[PEACH, "fruit"]])
    distinct = {level: accumulate(mentions, level=level).distinct for level in ("descriptor", "group", "family")}
    assert distinct == {"descriptor": 3, "group": 2, "family": 1}
    assert accumulate(mentions, level="realm").distinct == 1
    with pytest.raises(ValueError, match="no level 'sense'"):
        accumulate(mentions, level="sense")


# ---- precision


def test_shares_by_month():
    mentions = frame(
        mention(QUINCE),
        mention("orchard"),
        mention("fruit", cup=1),
        mention("orchard/pome", cup=1),
        mention(PEAR, tasting=3),  # 9 February
    )
    shares = level_shares(mentions).shares
    assert shares["period"].tolist() == ["2026-01", "2026-02"]
    assert shares[["mentions", "tastings"]].to_numpy().tolist() == [[4, 1], [1, 1]]
    assert shares[["realm", "family", "group", "descriptor"]].iloc[0].tolist() == [0.25] * 4
    assert shares[["low", "high"]].iloc[0].tolist() == pytest.approx(wilson_interval(1, 4))


def test_a_tasting_over_midnight_belongs_to_the_month_in_which_it_began():
    late = pd.Timestamp("2026-01-31T23:55Z")
    mentions = frame(mention(QUINCE, written_at=late), mention(PEAR, cup=1, written_at=late + pd.Timedelta(minutes=10)))
    assert level_shares(mentions).shares["period"].tolist() == ["2026-01"]


# Newcombe (1998), Statistics in Medicine 17:857–872, Table I, method 3; from memory.
@pytest.mark.parametrize(
    ("count", "of", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_wilson_intervals_as_published(count, of, low, high):
    assert wilson_interval(count, of) == pytest.approx((low, high), abs=5e-5)


@pytest.mark.parametrize(("count", "of"), [(0, 1), (1, 1), (3, 7), (40, 41)])
def test_wilson_intervals_as_scipy_gives_them(count, of):
    interval = binomtest(count, of).proportion_ci(0.9, method="wilson")
    assert wilson_interval(count, of, 0.9) == pytest.approx((interval.low, interval.high))


def test_no_proportion():
    with pytest.raises(ValueError, match="no proportion"):
        wilson_interval(3, 2)


def test_a_mention_is_credited_with_what_came_back_of_it():
    table = [("K", [QUINCE, JASMINE, "orchard"]), ("K", [PEAR, PEACH]), ("L", [QUINCE])]
    result = level_shares(tastings(table))
    # First cup: quince finds its group, jasmine nothing, orchard itself; second: pear the group, peach the family.
    # The third cup had no repeat.
    assert (result.mentions, result.tested) == (6, 5)
    shares = result.credits[["nothing", "realm", "family", "group", "descriptor"]].iloc[0].tolist()
    assert shares == pytest.approx([0.2, 0, 0.4, 0.4, 0])
    assert result.returned == pytest.approx(0.4)
    assert level_shares(tastings(table), jars={JASMINE}).credits["descriptor"].tolist() == pytest.approx([0.2])


def test_words_without_a_repeat_are_no_credit():
    result = level_shares(tastings([("K", [QUINCE]), ("L", [QUINCE])]))
    assert (result.tested, result.returned, len(result.credits)) == (0, 0, 0)
    assert "none of them had a chance to come back" in result.finding


def test_the_trend_as_scipy_gives_it():
    rng = np.random.default_rng(4)
    tasting, rank = rng.integers(0, 9, 150), rng.integers(0, 4, 150)
    trend = ordinal_trend(tasting, rank)
    assert trend.d == pytest.approx(somersd(tasting, rank).statistic)
    # The jackknife, tasting by tasting.
    left = [ordinal_trend(tasting[tasting != t], rank[tasting != t]).d for t in range(9)]
    error = np.sqrt(8 / 9 * ((np.array(left) - np.mean(left)) ** 2).sum())
    assert trend.high - trend.d == pytest.approx(student.ppf(0.975, 8) * error)


def test_the_trend_from_broad_to_narrow():
    broad, mixed, narrow = ["fruit", "orchard", QUINCE], [QUINCE, "garden"], [QUINCE, PEAR, PEACH]
    result = level_shares(
        tastings(
            *[[("K", broad), ("K", broad)]] * 4, [("K", mixed), ("K", narrow)], *[[("K", narrow), ("K", narrow)]] * 5
        )
    )
    assert 0 < result.credited.low < result.credited.d < result.credited.high
    assert result.finding.endswith("what comes back became narrower.")


def test_narrower_words_that_do_not_come_back_are_told_apart():
    tables = [[("K", ["fruit"]), ("K", ["fruit"])], [("K", ["garden"]), ("K", [QUINCE])]] * 3
    tables += [[("K", [DESCRIPTORS[n]]), ("K", [DESCRIPTORS[-1 - n]])] for n in range(6)]
    result = level_shares(tastings(*tables))
    assert result.written.direction == 1
    assert "the words became narrower, but what comes back did not surely" in result.finding


# ---- consistency


def test_a_repeat_among_strangers():
    # Likeness: repeat quince–pear 0.75; strangers quince–jasmine 0, pear–jasmine 0.
    result = compare_repeats(tastings([("K", [QUINCE]), ("K", [PEAR]), ("L", [JASMINE])]))
    assert result.pairs["similarity"].tolist() == [0.75, 0, 0]
    assert result.pairs["repeat"].tolist() == [True, False, False]
    assert result.auc == 1
    assert (result.p_value, result.smallest_p) == (pytest.approx(1 / 3), pytest.approx(1 / 3))
    assert "too few cups to tell" in result.finding


def test_three_tastings_of_three_cups_with_a_perfect_repeat():
    table = [("K", [QUINCE]), ("K", [PEAR]), ("L", [JASMINE])]
    result = compare_repeats(tastings(table, table, table))
    assert result.p_value == pytest.approx(1 / 27)
    assert "p = 0.037, smallest that this design can reach 0.037" in result.numbers
    assert result.interval is None
    assert "no interval, since each tasting gave the same" in result.numbers


def test_what_one_side_denies_counts_against():
    table = [("K", [QUINCE]), ("K", [QUINCE]), ("L", [JASMINE])]
    mentions = tastings(table)
    denied = mention(QUINCE, 0, 1, "K", present=False)
    assert compare_repeats(mentions).pairs["similarity"].iloc[0] == 1
    alone = pd.concat([mentions[mentions["serving_id"] != "serving 0 1"], frame(denied)])
    assert len(compare_repeats(alone).pairs) == 1  # a cup in which nothing is asserted is left out
    assert compare_repeats(alone).left_out == 1
    other = pd.concat([alone, frame(mention(PEAR, 0, 1, "K"))])
    assert compare_repeats(other).pairs.query("repeat")["similarity"].tolist() == [0]


@pytest.mark.parametrize(
    ("sizes", "ways"),
    [((2, 1), 3), ((2, 1, 1), 6), ((2, 2), 3), ((2, 2, 1), 15), ((3, 2), 10), ((2, 2, 2), 15)],
)
def test_relabellings_that_pair_the_cups_differently(sizes, ways):
    labels = [label for label, size in enumerate(sizes) for _ in range(size)]
    brute = {tuple(a == b for a, b in combinations(order, 2)) for order in permutations(labels)}
    every = _every(sizes)
    assert (len(every), _ways(sizes)) == (ways, ways)
    assert {tuple(row) for row in every.tolist()} == brute


def random_tables(rng, *layouts):
    return [[(coffee, list(rng.choice(DESCRIPTORS, 4))) for coffee in layout] for layout in layouts]


def test_auc_as_scikit_learn_gives_it():
    rng = np.random.default_rng(8)
    result = compare_repeats(tastings(*random_tables(rng, "KLKMNMN")))
    assert result.auc == pytest.approx(roc_auc_score(result.pairs["repeat"], result.pairs["similarity"]))
    assert 0 < result.auc < 1


def test_auc_over_tastings_compares_within_each():
    rng = np.random.default_rng(9)
    result = compare_repeats(tastings(*random_tables(rng, "KLK", "LMLN", "KLM", "NN", "MLKM")))
    assert result.tastings == 3
    wins = comparisons = 0
    for _, pairs in result.pairs.groupby("tasting"):
        same, other = (pairs.loc[pairs["repeat"] == yes, "similarity"].to_numpy() for yes in (True, False))
        wins += sum((a > b) + (a == b) / 2 for a in same for b in other)
        comparisons += len(same) * len(other)
    assert result.auc == pytest.approx(wins / comparisons)


def test_the_permutation_p_as_all_joint_relabellings_give_it():
    rng = np.random.default_rng(10)
    mentions = tastings(*random_tables(rng, "KLK", "LMLN", "MMLK"))
    result = compare_repeats(mentions)
    nulls, observed = [], 0
    for _, pairs in result.pairs.groupby("tasting"):
        own, similarity = pairs["repeat"].to_numpy(), pairs["similarity"].to_numpy()
        nulls.append(_wins(_every((2, 1) if len(own) == 3 else (2, 1, 1)), similarity))
        observed += _wins(own[np.newaxis], similarity)[0]
    joint = [sum(wins) for wins in product(*nulls)]
    assert len(joint) == 3 * 6 * 6
    assert result.p_value == pytest.approx(np.mean(np.array(joint) >= observed - 1e-9))


def test_a_table_with_too_many_relabellings_is_sampled():
    rng = np.random.default_rng(11)
    mentions = tastings(*random_tables(rng, "KKLLMMNNOOPP"))
    result = compare_repeats(mentions)
    assert result.relabellings == 10395
    assert 0 < result.p_value <= 1
    assert compare_repeats(mentions).p_value == result.p_value


def test_repeats_that_become_more_alike():
    words = iter(DESCRIPTORS[40:])
    tables = []
    for t in range(12):
        shared = DESCRIPTORS[: 1 + t // 3 + t % 2]
        cup = [*shared, next(words)], [*shared, next(words)], [next(words), next(words)]
        tables.append([("K", cup[0]), ("K", cup[1]), ("L", cup[2])])
    result = compare_repeats(tastings(*tables))
    assert result.first < result.last
    assert result.change[0] > 0
    assert result.finding.endswith("more alike.")


def test_hidden_coffees_are_no_repeat_and_lots_of_one_name_are_two():
    table = [("", [QUINCE]), ("", [QUINCE]), ("L", [JASMINE])]
    assert compare_repeats(tastings(table)).pairs.empty
    mentions = tastings([("K", [QUINCE]), ("K", [QUINCE]), ("L", [JASMINE])])
    assert compare_repeats(mentions.assign(coffee_id=["lot 1", "lot 2", "lot 3"])).repeat_pairs == 0


# ---- discrimination


def test_runs_are_judged_and_pooled():
    result = triangle_history(runs(run(1, 9), run(0, 4), run(2, 12, blinding="not blind"), run(3, 5, answered=6)))
    assert result.runs["correct"].tolist() == [4, 9, 12, 5]
    assert result.runs["counted"].tolist() == [True, True, False, True]
    assert result.runs["exact"].tolist() == [True, True, True, False]
    assert (result.correct, result.answered) == (18, 30)
    # What holds however often one looks says less than the exact test and interval, which hold for one look.
    assert binomtest(18, 30, 1 / 3, alternative="greater").pvalue < result.p_value < 0.1
    exact = binomtest(18, 30).proportion_ci(method="exact")
    assert result.interval[0] < exact.low < exact.high < result.interval[1]
    for row in result.runs.itertuples():
        alone = binomtest(row.correct, row.answered, 1 / 3, alternative="greater").pvalue
        assert row.p_value == pytest.approx(alone) if row.exact else row.p_value > alone
    assert result.passed == 1
    assert result.by_luck == pytest.approx(1 - 0.95**3)
    assert "from 4 of 12 in the first to 5 of 6 in the last" in result.numbers
    assert "1 run not blind left apart" in result.numbers
    assert "Confounded" in result.numbers


def test_a_run_that_was_sequential_or_looked_at_is_judged_by_what_holds_at_any_time():
    frame = runs(run(0, 9), run(1, 9), run(2, 9)).assign(
        aim=["difference", "sequential", "difference"], looked=[0, 0, 1]
    )
    assert triangle_history(frame).runs["exact"].tolist() == [True, False, False]


def test_the_trend_over_one_reference_pair_is_not_confounded():
    from redolent.triangle import REFERENCE_PAIRS

    pair = next(iter(REFERENCE_PAIRS))
    frame = runs(run(0, 3), run(1, 9), run(2, 12)).assign(pair=pair)
    trend = triangle_history(frame).trend
    assert not trend.confounded
    assert trend.slope > 0
    assert "discrimination grew" in triangle_history(frame).numbers


def test_no_run_that_could_be_judged():
    assert "No triangle is answered yet" in triangle_history(runs()).finding
    nothing = triangle_history(runs(run(0, 0, answered=0)))
    assert len(nothing.runs) == 0
    unsealed = triangle_history(runs(run(0, 12, blinding="not blind")))
    assert unsealed.p_value is None
    assert unsealed.finding.startswith("1 run, none of them blind")


# ---- all of them


SMALL = {
    "nothing": [],
    "one note without a word": [[[]]],
    "one note": [[[QUINCE]]],
    "one broad note": [[["fruit"]]],
    "two notes": [[[QUINCE], [PEAR]]],
    "one coffee only": [[("K", [QUINCE]), ("K", [PEAR]), ("K", [PEACH])]] * 4,
    "no repeats": [[("K", [QUINCE]), ("L", [PEAR])]] * 12,
    "all repeats alike": [[("K", [QUINCE]), ("K", [QUINCE]), ("L", [QUINCE])]] * 12,
    "all the same word": [[[QUINCE], [QUINCE]]] * 12,
    "a tasting in which nothing was named": [[[QUINCE], [PEAR]], [[], []], [["fruit"]]],
}


@pytest.mark.parametrize("tables", SMALL.values(), ids=SMALL.keys())
@pytest.mark.parametrize("analyse", [accumulate, level_shares, compare_repeats])
def test_a_small_history_gets_a_true_sentence(analyse, tables):
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        result = analyse(tastings(*tables))
        for said in (result.finding, result.headline):
            assert said
            assert "nan" not in said.lower()
            assert "inf" not in said
        assert not result.to_frame().select_dtypes("number").isna().any(axis=None)
    assert result.finding.endswith(".")


@pytest.mark.parametrize(
    ("tables", "missing"),
    [
        (SMALL["nothing"], "3 tastings of three cups, one coffee twice in each"),
        (SMALL["no repeats"], "No tasting holds a repeat yet"),
        (SMALL["one coffee only"], "no second coffee to compare"),
    ],
)
def test_what_is_missing_is_said(tables, missing):
    result = compare_repeats(tastings(*tables))
    assert missing in result.finding
    assert result.p_value is None


@pytest.fixture(scope="module")
def history():
    rng = np.random.default_rng(12)
    tables = random_tables(rng, *["KLK", "LMLN", "MMLK"] * 4)
    return tastings(*tables)


@pytest.mark.parametrize("analyse", [accumulate, level_shares, compare_repeats])
def test_what_changes_nothing(history, analyse):
    finding = analyse(history).finding
    assert analyse(history.sample(frac=1, random_state=0)).finding == finding
    names = {"K": "Zeta", "L": "Eta", "M": "Theta", "N": "Iota"}
    renamed = history.assign(coffee=history["coffee"].map(names), coffee_id=history["coffee_id"].map(names))
    assert analyse(renamed.assign(taster="Zoe")).finding == finding
    offset = history.assign(written_at=[at.tz_convert(timezone(timedelta(hours=9))) for at in history["written_at"]])
    assert analyse(offset).finding == finding


def test_a_note_without_a_word_lengthens_the_curve_and_changes_nothing_else(history):
    silent = pd.concat([history, frame(mention(None, 11, 9, "K"))])
    assert accumulate(silent).servings == accumulate(history).servings + 1
    assert accumulate(silent).distinct == accumulate(history).distinct
    assert level_shares(silent).finding == level_shares(history).finding
    assert compare_repeats(silent).finding == compare_repeats(history).finding


def test_the_same_seed_gives_the_same_and_another_nearly(history):
    assert accumulate(history, seed=1).p_value == accumulate(history, seed=1).p_value
    first, second = compare_repeats(history, seed=1), compare_repeats(history, seed=2)
    assert (first.auc, first.p_value) == (second.auc, second.p_value)
    assert first.interval == pytest.approx(second.interval, abs=0.1)
