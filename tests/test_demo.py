"""The invented journal: the same every time, read as it was meant, and told apart by the findings."""

from collections import Counter
from types import SimpleNamespace

import pandas as pd
import pytest

from redolent.demo import TASTERS, invent, open_demo, simulate
from redolent.demo.coffees import ABSENT, BROAD, COFFEES, MOUTH, NOSE, SLIPS
from redolent.demo.phrases import FLOWING, TERSE
from redolent.journal import Journal
from redolent.lexicon import Lexicon
from redolent.notes import read
from redolent.progress import accumulate, compare_repeats, level_shares, mention_frame, triangle_history
from redolent.triangle import odd_position

IMPROVES, STAYS = (taster.name for taster in TASTERS)


@pytest.fixture(scope="module")
def journal(tmp_path_factory):
    with open_demo(tmp_path_factory.mktemp("demo") / "deep" / "demo.db") as journal:
        yield journal


@pytest.fixture(scope="module")
def results(journal):
    return {
        taster.name: analyse(journal.notes_frame(taster.id), journal.runs_frame(taster.id))
        for taster in journal.tasters()
    }


def analyse(notes, runs=None):
    mentions = mention_frame(notes)
    return SimpleNamespace(
        words=accumulate(mentions),
        levels=level_shares(mentions),
        repeats=compare_repeats(mentions),
        triangles=None if runs is None else triangle_history(runs),
    )


# ---- what is in it


def test_two_tasters_with_forty_notes_each_over_five_months(journal):
    notes = journal.notes_frame()
    assert sorted(notes["taster"].unique()) == sorted([IMPROVES, STAYS])
    assert notes["taster"].value_counts().between(38, 50).all()
    assert str(notes["written_at"].min().date()) == "2026-01-16"
    assert 140 <= (notes["written_at"].max() - notes["written_at"].min()).days <= 155
    assert set(notes["stage"]) <= {"dry", "break", "hot", "warm", "cool"}


def test_tastings_of_three_or_four_cups_mostly_with_a_hidden_repeat(journal):
    cups = [journal.servings(tasting.id) for tasting in journal.tastings()]
    assert {len(table) for table in cups} == {3, 4}
    repeats = [len(table) - len({cup.coffee_id for cup in table}) for table in cups]
    assert set(repeats) <= {0, 1}
    assert sum(repeats) >= 9
    assert len({cup.coffee_id for table in cups for cup in table}) == len(COFFEES)


def test_four_blind_triangle_runs_each(journal):
    runs = journal.runs_frame()
    assert runs["taster"].value_counts().to_dict() == {IMPROVES: 4, STAYS: 4}
    assert (runs["planned"] == runs["answered"]).all()
    assert set(runs["blinding"]) == {"helper"}


def test_the_same_seed_gives_the_same_texts(journal):
    with Journal.open(":memory:") as again:
        simulate(again)
        columns = ["taster", "tasting", "code", "coffee", "stage", "written_at", "text"]
        first, second = (j.notes_frame()[columns].sort_values(columns, ignore_index=True) for j in (journal, again))
        pd.testing.assert_frame_equal(first, second)
        assert journal.runs_frame()["correct"].tolist() == again.runs_frame()["correct"].tolist()
    assert invent(1) == invent(1)
    assert invent(1) != invent(2)


def test_it_is_made_once(tmp_path):
    path = tmp_path / "demo.db"
    with open_demo(path) as journal:
        journal.taster("A guest")
        notes = len(journal.notes())
    with open_demo(path) as journal:
        assert len(journal.notes()) == notes
        assert "A guest" in [taster.name for taster in journal.tasters()]
    assert [left.name for left in tmp_path.iterdir() if "demo.db" not in left.name] == []


def test_what_was_there_before_stays(journal):
    with Journal.open(":memory:") as mine:
        me = mine.taster("Me")
        simulate(mine)
        assert me in mine.tasters()
        assert len(mine.notes()) == len(journal.notes())


# ---- the words


@pytest.mark.parametrize(("word", "node"), [*NOSE.items(), *MOUTH.items(), *BROAD.items()])
def test_every_word_is_read_as_the_place_it_is_meant_for(word, node):
    (mention,) = read(f"{word.capitalize()}.").mentions
    assert (mention.node, mention.present, mention.hedged) == (node, True, False)


@pytest.mark.parametrize(("word", "slip"), SLIPS.items())
def test_every_slip_is_read_as_the_word_it_was_meant_for(word, slip):
    (mention,) = read(f"{slip}.").mentions
    assert (mention.node, mention.how) == (NOSE[word], "spelling")


@pytest.mark.parametrize("filler", [*FLOWING.fillers, *TERSE.fillers])
def test_fillers_say_nothing(filler):
    assert read(filler).mentions == ()


@pytest.mark.parametrize("hand", [FLOWING, TERSE], ids=["flowing", "terse"])
def test_sentences_say_what_they_are_for(hand):
    for template in (*hand.things, *hand.mouth):
        (mention,) = read(template.format("walnut")).mentions
        assert (mention.present, mention.hedged) == (True, False), template
    for template in hand.airs:
        assert [m.node for m in read(template.format("nutty")).mentions if not m.hedged] == ["nut-bowl"], template
    for template in hand.doubts:
        assert [m.hedged for m in read(template.format("walnut")).mentions] == [True], template
    for template in hand.denials:
        assert [m.present for m in read(template.format("walnut")).mentions] == [False], template


def test_no_coffee_has_what_notes_deny():
    denied = {mention.node for word in ABSENT for mention in read(word).mentions}
    assert len(denied) == len(ABSENT)
    lexicon = Lexicon.load()
    for coffee in COFFEES:
        for word in (*coffee.nose, *coffee.mouth):
            node = {**NOSE, **MOUTH}[word]
            assert not denied & {node, *(above.id for above in lexicon.ancestors(node))}


def test_notes_deny_doubt_and_misspell_now_and_then(journal):
    mentions = mention_frame(journal.notes_frame())
    assert (mentions["how"] == "spelling").sum() >= 4
    assert mentions["hedged"].sum() >= 8
    assert (mentions["node"].notna() & ~mentions["present"]).sum() >= 8
    assert journal.notes_frame()["text"].nunique() > 80


# ---- what progress says of it


def test_words_tell_the_two_apart(results):
    improves, stays = results[IMPROVES].words, results[STAYS].words
    assert improves.p_value <= 0.05
    assert improves.growing
    assert improves.finding.endswith(": the vocabulary grows.")
    assert stays.p_value > 0.1
    assert "no sign that the vocabulary grows" in stays.finding
    assert improves.distinct > 3 * stays.distinct


def test_precision_tells_the_two_apart(results):
    improves, stays = results[IMPROVES].levels, results[STAYS].levels
    assert improves.written.low > 0.1
    assert improves.credited.low > 0.1
    assert improves.finding.endswith("what comes back became narrower.")
    assert improves.returned > 2 * stays.returned
    assert stays.written.direction == stays.credited.direction == 0
    assert "no clear trend" in stays.finding


def test_repeats_tell_the_two_apart(results):
    improves, stays = results[IMPROVES].repeats, results[STAYS].repeats
    assert improves.interval[0] > 0.6
    assert improves.p_value <= 0.01
    assert "the words come back with the coffee" in improves.finding
    assert improves.last - improves.first > 0.15 > abs(stays.last - stays.first)
    assert stays.interval[0] < 0.5 < stays.interval[1]
    assert stays.p_value > 0.1
    assert "no sign yet" in stays.finding


def test_triangles_tell_the_two_apart(results):
    improves, stays = results[IMPROVES].triangles, results[STAYS].triangles
    assert improves.p_value < 0.001
    assert improves.runs["low"].iloc[-1] > 1 / 3
    assert improves.runs["low"].iloc[0] < 1 / 3 < improves.runs["high"].iloc[0]
    assert "more often than by luck" in improves.finding
    assert stays.p_value > 0.1
    assert stays.interval[0] < 1 / 3 < stays.interval[1]
    assert "not shown to be better than luck" in stays.finding


def frame_of(story, taster):
    rows = [
        {
            "note_id": f"{number} {n}",
            "taster": taster,
            "tasting_id": tasting.name,
            "serving_id": f"{number} {note.cup}",
            "coffee": tasting.cups[note.cup].name,
            "coffee_id": tasting.cups[note.cup].name,
            "stage": note.stage,
            "written_at": pd.Timestamp(note.at),
            "first_text": note.text,
            "coached": False,
            "revision": 1,
        }
        for number, tasting in enumerate(story.tastings)
        for n, note in enumerate(tasting.notes)
        if note.taster == taster
    ]
    return pd.DataFrame(rows)


def test_most_other_seeds_tell_the_same_story():
    found = Counter()
    for seed in range(6):
        story = invent(seed)
        for name in (IMPROVES, STAYS):
            told = analyse(frame_of(story, name))
            found[name, "words"] += told.words.p_value <= 0.05
            found[name, "levels"] += told.levels.credited.direction > 0
            found[name, "repeats"] += told.repeats.p_value <= 0.05
            correct = sum(
                codes[odd_position(order) - 1] == answer
                for run in story.runs
                if run.taster == name
                for order, codes, answer in zip(run.design.orders, run.design.codes, run.answers, strict=True)
            )
            found[name, "triangles"] += correct >= 32  # of 72, 32 by guessing: p = 0.03
    for finding in ("words", "levels", "repeats", "triangles"):
        assert found[IMPROVES, finding] >= 5
        assert found[STAYS, finding] <= 1
