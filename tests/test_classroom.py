"""The classroom: what a class said and learned, checked against published values, and the invented class in words."""

import csv
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import krippendorff
import numpy as np
import pandas as pd
import pytest
from scipy.stats import betabinom

from redolent.classroom import (
    agree_on_mentions,
    find_apart,
    find_changes,
    find_swaps,
    gather,
    hear_coffee,
    list_meetings,
    list_said,
    mark_panel,
    pool,
    pool_triangles,
    read_class,
    review_class,
)
from redolent.classroom.agreement import binary_alpha
from redolent.classroom.triangles import estimate_spread
from redolent.demo import CLASS, simulate_class
from redolent.demo.classroom import LEARNS, SWAPS, WRITES_MORE
from redolent.journal import Journal
from redolent.journal.shared import share
from redolent.lexicon import Lexicon
from redolent.progress import krippendorff_alpha
from redolent.triangle.several import prepare_likelihood

CHECKS = Path(__file__).parent / "checks"
NAMES = [taster.name for taster in CLASS]


@pytest.fixture(scope="module")
def school():
    with Journal.open(":memory:") as journal:
        simulate_class(journal)
        yield journal


@pytest.fixture(scope="module")
def found(school):
    return review_class(school)


def frame(rows) -> pd.DataFrame:
    """Notes as a journal's frame gives them, from (taster, tasting, serving, coffee, text)."""
    start = datetime(2026, 3, 1, 9, tzinfo=UTC)
    return pd.DataFrame(
        [
            {
                "note_id": f"n{n}",
                "taster": taster,
                "taster_id": taster,
                "tasting_id": tasting,
                "tasting": tasting,
                "serving_id": serving,
                "code": "417",
                "coffee": coffee,
                "coffee_id": coffee or None,
                "stage": "warm",
                "written_at": pd.Timestamp(start + timedelta(minutes=n)),
                "text": text,
                "coached": False,
                "revision": 1,
                "first_text": text,
            }
            for n, (taster, tasting, serving, coffee, text) in enumerate(rows)
        ]
    )


def hear(rows):
    mentions = read_class(frame(rows))
    meetings = list_meetings(mentions)
    return list_said(mentions, meetings, Lexicon.load()), meetings


# ---- what the class said


TABLE = [
    ("Ada", "t", "1", "Monte", "lemon, honey"),
    ("Bo", "t", "1", "Monte", "lemon and jasmine"),
    ("Cy", "t", "1", "Monte", "no lemon. honey"),
]


def test_words_stand_on_their_shelves_with_how_many_said_them():
    said = hear_coffee(*hear(TABLE), "monte")
    counts = dict(zip(said.words["label"], said.words["said_by"], strict=True))
    assert counts == {"lemon": 2, "honey": 2, "jasmine": 1}
    assert dict(zip(said.alone["label"], said.alone["only"], strict=True)) == {"jasmine": "Bo"}
    assert "1 word came from one person only" in said.finding
    assert "jasmine 1 (Bo)" in said.shelves(names=True)["words"].tolist()
    assert "Bo" not in said.shelves()["words"].str.cat()
    # Wilson's interval of 2 of 3, from memory of the score formula as statsmodels gives it.
    from statsmodels.stats.proportion import proportion_confint

    low, high = proportion_confint(2, 3, method="wilson")
    assert (said.words.iloc[0]["low"], said.words.iloc[0]["high"]) == pytest.approx((low, high))


def test_a_coffee_that_nobody_shares_is_said():
    with pytest.raises(ValueError, match="No two tasters met a coffee called 'Other'; the class shares Monte"):
        hear_coffee(*hear(TABLE), "Other")


def test_homes_with_cups_of_their_own_meet_by_the_coffees_name():
    _, meetings = hear(
        [
            ("Ada", "a1", "x1", "Monte", "lemon"),
            ("Ada", "a2", "x2", "Monte", "lemon"),
            ("Bo", "b1", "y1", "monte ", "honey"),
            ("Bo", "b1", "y2", "Selva", "honey"),
            ("Bo", "b1", "y3", "", "honey"),
        ]
    )
    assert sorted(zip(meetings["taster"], meetings["serving_id"], strict=True)) == [("Ada", "x1"), ("Bo", "y1")]


def test_a_taster_alone_makes_no_class():
    said, meetings = hear([("Ada", "t", "1", "Monte", "lemon")])
    assert len(meetings) == 0
    for result in (
        agree_on_mentions(said, meetings),
        find_apart(said, meetings),
        find_swaps(said),
        find_changes(said, meetings),
    ):
        assert result.finding
        assert len(result.to_frame()) == 0


# ---- mention agreement


def test_alpha_from_counts_is_krippendorffs():
    """Against the krippendorff package, with the published four observers made yes-or-no (is it a 3?)."""
    rows = [line for line in (CHECKS / "krippendorff-four-observers.csv").read_text().splitlines() if line[0] != "#"]
    values = [[float(cell) if cell else np.nan for cell in row[1:]] for row in list(csv.reader(rows))[1:]]
    table = np.array(values)
    # The published value (Krippendorff 2011, section C, from memory): nominal alpha of the whole table.
    assert krippendorff_alpha(table) == pytest.approx(0.743, abs=0.0005)
    for value in (1, 2, 3, 4):
        binary = np.where(np.isnan(table), np.nan, table == value)
        told = (~np.isnan(binary)).sum(axis=0)
        kept = told >= 2
        yes, of = np.nansum(binary, axis=0)[kept], told[kept].astype(float)
        expected = krippendorff.alpha(reliability_data=binary, level_of_measurement="nominal")
        assert binary_alpha(yes[None], of, np.ones((1, len(of))))[0, 0] == pytest.approx(expected)


def test_agreement_is_of_mentions_and_says_so(found):
    assert found.agreement.numbers.startswith("Mention agreement: Krippendorff's alpha")
    assert "may have been perceived all the same" in found.agreement.numbers
    shown = found.agreement.families.dropna(subset=["low"])
    assert len(shown) > 5
    assert all(row.low <= row.alpha <= row.high for row in shown.itertuples())


def test_a_class_that_says_anything_does_not_agree():
    rng = np.random.default_rng(5)
    words = ["lemon", "honey", "jasmine", "walnut", "raisin", "cedar"]
    rows = [
        (name, f"t{cup // 3}", f"s{cup}", f"coffee {cup % 8}", " and ".join(rng.choice(words, 2, replace=False)))
        for cup in range(40)
        for name in ("Ada", "Bo", "Cy", "Di")
    ]
    result = agree_on_mentions(*hear(rows))
    assert abs(result.families["alpha"].astype(float)).max() < 0.2
    # Six families at 95 %: one above 0 by luck is within what luck does.
    assert (result.families["low"].astype(float) > 0).sum() <= 1


def test_the_same_notes_in_another_journal_agree_the_same():
    rng = np.random.default_rng(6)
    words = ["lemon", "honey", "jasmine", "walnut"]
    said = [[" and ".join(rng.choice(words, 2, replace=False)) for _ in range(3)] for _ in range(24)]

    def agreed(names):
        rows = [
            (taster, f"t{cup // 3}", names[cup], f"coffee {cup % 8}", text)
            for cup, texts in enumerate(said)
            for taster, text in zip(("Ada", "Bo", "Cy"), texts, strict=True)
        ]
        return agree_on_mentions(*hear(rows)).to_frame().set_index("family")

    # Cups have random ids, which their table is ordered by.
    first = agreed([f"s{cup:02}" for cup in range(24)])
    again = agreed([f"s{cup:02}" for cup in rng.permutation(24)])
    pd.testing.assert_frame_equal(first.sort_index(), again.sort_index())


# ---- triangles and partial pooling


def runs(results) -> pd.DataFrame:
    return pd.DataFrame(
        [
            {
                "run_id": f"r{n}",
                "taster": name,
                "coffee_a": "A",
                "coffee_b": "B",
                "started_at": pd.Timestamp("2026-03-01T09:00Z"),
                "alpha": 0.05,
                "blinding": "helper",
                "planned": of,
                "answered": of,
                "correct": correct,
            }
            for n, (name, (correct, of)) in enumerate(results.items())
        ]
    )


def test_without_guessing_the_model_is_scipys_beta_binomial():
    a, b = 1.4, 8.6
    likelihood = prepare_likelihood(np.array([4]), np.array([14]), 1e-12)
    assert likelihood(a / (a + b), 1 / (a + b + 1)) == pytest.approx(betabinom.logpmf(4, 14, a, b), abs=1e-6)
    # Textbook moments (Johnson, Kemp & Kotz, Univariate Discrete Distributions, from memory): n mean, and
    # n m (1 - m) (1 + (n - 1) rho) with rho = 1 / (a + b + 1), which is the spread used here.
    mean, variance = betabinom.stats(14, a, b)
    chances = np.exp([prepare_likelihood(np.array([x]), np.array([14]), 1e-12)(0.14, 1 / 11) for x in range(15)])
    got = chances @ np.arange(15)
    assert got == pytest.approx(14 * 0.14, abs=1e-6)
    assert got == pytest.approx(mean, abs=1e-6)
    assert chances @ (np.arange(15) - got) ** 2 == pytest.approx(variance, abs=1e-5)
    assert variance == pytest.approx(14 * 0.14 * 0.86 * (1 + 13 / 11))


def test_pooling_gives_the_textbooks_rat_tumours():
    """Gelman et al., Bayesian Data Analysis, 5.1 (from memory): 4 of 14 with Beta(1.4, 8.6) gives Beta(5.4, 18.6)."""
    mean, low, high = pool(4, 14, 0.14, 1 / 11, guessing=0)
    assert mean == pytest.approx(5.4 / 24)
    from scipy.stats import beta

    assert (low, high) == pytest.approx(beta(5.4, 18.6).ppf([0.025, 0.975]), abs=1e-3)


def test_three_triads_do_not_outrank_sixty():
    result = pool_triangles(runs({"Few": (3, 3), "Many": (45, 60), "Some": (10, 24), "Other": (9, 24)})).tasters
    row = result.set_index("taster")
    assert row.loc["Few", "correct"] / row.loc["Few", "of"] > row.loc["Many", "correct"] / row.loc["Many", "of"]
    assert row.loc["Few", "pooled"] < row.loc["Many", "pooled"]
    assert row.loc["Few", "pooled_low"] < row.loc["Many", "pooled_low"] - 0.2
    assert (row["adjusted"] >= row["p_value"]).all()
    assert not row.loc["Few", "shown"]
    assert row.loc["Many", "shown"]
    # By name: never a league table.
    assert result["taster"].tolist() == sorted(result["taster"])


def test_the_spread_of_a_class_is_found_again():
    rng = np.random.default_rng(2)
    alike = rng.binomial(40, 1 / 3 + 2 / 3 * 0.4, 60)
    apart = rng.binomial(40, 1 / 3 + 2 / 3 * rng.beta(0.4 * 4, 0.6 * 4, 60))
    of = np.full(60, 40)
    (mean, small), (other, large) = estimate_spread(alike, of), estimate_spread(apart, of)
    # A mean of 60 tasters: three standard errors of a beta with a + b = 4 are 3 * 0.22 / sqrt(60) = 0.085.
    assert mean == pytest.approx(0.4, abs=0.085)
    assert other == pytest.approx(0.4, abs=0.085)
    assert small < 0.08
    assert large == pytest.approx(0.2, abs=0.1)


def test_nobody_with_a_run_and_one_alone_are_said():
    assert pool_triangles(runs({"Ada": (1, 3)})[:0]).finding == "Nobody has finished a blind triangle run yet."
    alone = pool_triangles(runs({"Ada": (9, 12)}))
    assert alone.tell_of("Ada").startswith("Ada found 9 of 12 odd cups")
    assert alone.numbers == "Partial pooling needs two tasters or more."


# ---- line marks


def test_panel_means_and_repeatability():
    """ISO 5725-2, 7.4.5: the pooled standard deviation of cells (here 2, 2 and 8 apart, by hand)."""
    rows = [("Ada", "1", 40), ("Ada", "2", 42), ("Bo", "1", 50), ("Bo", "2", 52), ("Cy", "1", 60), ("Cy", "2", 68)]
    marks = pd.DataFrame(
        [
            {"taster": name, "tasting_id": "t", "serving_id": cup, "coffee": "Monte", "attribute": "body", "mark": mark}
            for name, cup, mark in rows
        ]
    )
    panel = mark_panel(marks)
    assert panel.means.iloc[0]["mean"] == pytest.approx((41 + 51 + 64) / 3)
    assert panel.attributes.iloc[0]["sd"] == pytest.approx(np.sqrt((2 + 2 + 32) / 3))
    from scipy.stats import ttest_1samp

    low, high = ttest_1samp([41, 51, 64], 0).confidence_interval(0.95)
    assert panel.means.iloc[0]["low"] == pytest.approx(low)
    assert panel.means.iloc[0]["high"] == pytest.approx(high)


# ---- the invented class, in words


def test_the_pages_reveal_the_one_who_learns(found):
    assert f"{LEARNS} learns: says more, and more of it fits the cup" in found.changes.finding
    assert found.about(LEARNS)["change"].startswith(f"{LEARNS} learns: more is said, and more of it fits the cup")


def test_the_pages_reveal_the_one_who_only_writes_more(found):
    assert f"{WRITES_MORE} writes more without more of it fitting the cup" in found.changes.finding
    assert "more words are not shown to be learned ones" in found.about(WRITES_MORE)["change"]


def test_the_pages_reveal_the_one_who_cannot_tell_sour_from_bitter(found):
    assert found.swaps.finding.startswith(f"{SWAPS} does not tell bitter from acid and sour: on ")
    assert found.swaps.pairs["shown"].sum() == 1
    assert "is not shown to take neighbouring places" in found.about(LEARNS)["swaps"]


def test_the_other_nine_are_not_accused(found):
    patterns = found.changes.tasters.set_index("taster")["pattern"]
    assert set(patterns.drop([LEARNS, WRITES_MORE])) <= {"steady", "other"}


def test_what_everybody_may_see_names_nobody(found):
    told = " ".join(
        one.tell(names=False) for one in (found.attendance, found.changes, found.apart, found.swaps, found.triangles)
    )
    assert not [name for name in NAMES if name in told or name.split()[0] in told]
    assert "1 taster learns: says more" in told
    assert "One taster does not tell bitter from acid and sour" in told


def test_what_one_is_told_names_nobody_else(found):
    for name in NAMES:
        told = " ".join(found.about(name).values())
        assert name in told
        assert not [other for other in NAMES if other != name and other in told]


# ---- collecting


def test_a_folder_is_gathered_and_one_bad_file_holds_up_nobody(tmp_path):
    for name in ("Ada", "Bo"):
        with Journal.open(tmp_path / f"{name}.db") as own:
            taster = own.taster(name)
            cup = own.add_serving(own.start_tasting("Week 1").id, coffee_id=own.coffee("Monte").id, code="417")
            own.save_note(taster_id=taster.id, serving_id=cup.id, stage="warm", text="lemon")
            (tmp_path / "in").mkdir(exist_ok=True)
            share(own, tmp_path / "in" / f"{name}.jsonl", taster_id=taster.id)
    (tmp_path / "in" / "Broken.jsonl").write_text("{")
    (tmp_path / "in" / "photo.png").write_bytes(b"x")
    with Journal.open(tmp_path / "school.db") as school:
        gathered = gather(school, tmp_path / "in")
        assert [one.merge is not None for one in gathered] == [True, True, False]
        assert "refused, nothing of it was merged" in gathered[2].finding
        told = review_class(school)
        assert told.attendance.tasters["notes"].tolist() == [1, 1]
        assert re.search(r"most said lemon \(2\)", told.coffees[0].finding)
        again = gather(school, tmp_path / "in")
        assert sum(again[0].merge.added.values()) == 0
        with pytest.raises(ValueError, match="is no folder"):
            gather(school, tmp_path / "nowhere")


def test_a_large_class_takes_seconds():
    """The target is 3 s of a processor (benchmarks/class_page.py); three times that on a busy machine."""
    import runpy

    benchmark = runpy.run_path(str(Path(__file__).parents[1] / "benchmarks" / "class_page.py"))
    benchmark["take"](3, 12)
    assert benchmark["take"](40, 200) < 9
