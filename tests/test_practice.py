"""Drills: places walked, words named, vague notes sharpened, pairs told apart; and when each is due again."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from redolent.journal import Journal
from redolent.lexicon import Lexicon
from redolent.practice import (
    Household,
    ask_place,
    ask_recall,
    ask_vague,
    compose_session,
    find_pairs,
    grade,
    judge_place,
    judge_recall,
    judge_sharpened,
    list_cards,
    list_due,
)
from redolent.practice.household import PEOPLE
from redolent.progress import estimate_vocabulary, mention_frame

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
QUINCE, PEAR, APPLE = "orchard/pome/quince", "orchard/pome/pear", "orchard/pome/apple"
ADULTS = Household(frozenset({PEOPLE[0]}))


@pytest.fixture(scope="module")
def lexicon() -> Lexicon:
    return Lexicon.load()


def frame(*answers: tuple, start: datetime = NOON) -> pd.DataFrame:
    """Give answers as the journal does: drill, node, answered, correct, seconds, days after the start."""
    rows = [(*told, pd.Timestamp(start + timedelta(days=days))) for *told, days in answers]
    return pd.DataFrame(rows, columns=["drill", "node", "answered", "correct", "seconds", "answered_at"])


# --- find the place


@pytest.mark.parametrize(
    ("path", "credit", "correct"),
    [
        (("fruit", "orchard", "orchard/pome"), 1, True),
        (("fruit", "orchard", "orchard/stone"), 2 / 3, False),
        (("fruit", "citrus-grove", "citrus-grove/lemon"), 1 / 3, False),
        (("pantry", "orchard", "orchard/pome"), 0, False),
        (("fruit",), 1 / 3, False),
    ],
)
def test_credit_is_how_far_the_path_went_right(lexicon, path, credit, correct) -> None:
    answer = judge_place(ask_place(QUINCE, lexicon, 1), path)
    assert answer.credit == pytest.approx(credit)
    assert answer.correct is correct


def test_a_cross_reference_is_a_right_place_too(lexicon) -> None:
    smoke, ash = "hearth/smoke/cigarette-smoke", "hearth/char/cigarette-ash"
    assert ash in lexicon[smoke].related
    question = ask_place(smoke, lexicon, 1)
    right = ("fire-and-cellar", "hearth", "hearth/char")
    assert judge_place(question, right).correct
    assert judge_place(question, right).best == right
    assert judge_place(question, ("fire-and-cellar", "hearth", "hearth/smoke")).correct


def test_word_definition_and_reference_are_shown_by_the_seed(lexicon) -> None:
    asked = [ask_place(QUINCE, lexicon, seed) for seed in range(40)]
    assert {question.shown for question in asked} == {"word", "definition", "reference"}
    assert asked == [ask_place(QUINCE, lexicon, seed) for seed in range(40)]
    texts = {question.shown: question.text for question in asked}
    assert texts["word"] == "quince"
    assert texts["definition"] == lexicon[QUINCE].definition


def test_only_a_descriptor_has_a_place_to_find(lexicon) -> None:
    with pytest.raises(ValueError, match="no descriptor"):
        ask_place("orchard", lexicon)
    with pytest.raises(ValueError, match="1 to 3 steps"):
        judge_place(ask_place(QUINCE, lexicon), ())


def test_finding_places_never_enters_palate_progress(lexicon) -> None:
    notes = mention_frame(_notes("pear"), lexicon=lexicon)
    drills = frame(("place", QUINCE, "", True, 3.0, 0), ("jars", APPLE, "apple", True, 3.0, 0))
    found = estimate_vocabulary(notes, drills=drills)
    assert (found.recognised, found.recognised_only) == (1, 1)


# --- name it


def test_free_recall_is_read_with_its_spelling_forgiven(lexicon) -> None:
    question = ask_recall("orchard/pome", lexicon)
    recall = judge_recall(question, "quinse\npear, lemon\nno apple\nzzgargle", lexicon, used={PEAR})
    assert recall.named == (QUINCE, PEAR)
    assert recall.new == (QUINCE,)
    assert [lexicon[node].label for node in recall.elsewhere] == ["lemon"]
    assert APPLE in recall.unused
    assert not {QUINCE, PEAR} & set(recall.unused)
    assert question.seconds == 60


def test_each_line_is_a_word_of_its_own(lexicon) -> None:
    recall = judge_recall(ask_recall("orchard", lexicon), "quince\napple\nquince", lexicon)
    assert recall.named == (QUINCE, APPLE)


# --- sharpen


def test_a_vague_note_comes_back_with_its_coffee(lexicon) -> None:
    note = ask_vague(_notes("quince", "fruity and clean", hidden=("very floral",)), lexicon, 3)
    assert (note.text, note.coffee, note.node, note.word) == ("fruity and clean", "Lot 1", "fruit", "fruity")
    assert ask_vague(_notes("quince", "pear"), lexicon, 3) is None
    assert ask_vague(_notes("fruity and clean"), lexicon, 3, done=frozenset({"fruity and clean"})) is None


@pytest.mark.parametrize(
    ("text", "deeper"), [("orchard fruit", 1), ("quince", 3), ("fruity", 0), ("jasmine", 0), ("no quince", 0), ("", 0)]
)
def test_a_sharper_wording_goes_deeper_on_the_same_branch(lexicon, text, deeper) -> None:
    note = ask_vague(_notes("fruity and clean"), lexicon, 0)
    sharpened = judge_sharpened(note, text, lexicon)
    assert (sharpened.deeper, sharpened.correct) == (deeper, deeper > 0)


# --- tell apart


def test_pairs_come_from_jars_and_from_repeats(lexicon) -> None:
    drills = frame(
        ("jars", QUINCE, "pear I think", False, 5.0, 0),
        ("jars", PEAR, "quince", False, 5.0, 1),
        ("jars", PEAR, "pear", True, 5.0, 1),
        ("place", QUINCE, "apple", False, 5.0, 1),
    )
    pairs = find_pairs(drills, mention_frame(_notes("apple, cedar", "green apple, cedar"), lexicon=lexicon), lexicon)
    assert [(pair.nodes, pair.times, pair.source) for pair in pairs] == [
        ((PEAR, QUINCE), 2, "jars"),
        ((APPLE, "orchard/pome/green-apple"), 1, "repeats"),
    ]
    assert pairs[0].attend(lexicon)[0] == f"pear: {lexicon[PEAR].definition}"
    assert "Williams pear" in pairs[0].prepare(lexicon, ADULTS)[0]
    assert pairs[0].prepare(lexicon, Household(frozenset({PEOPLE[0]}), avoided=("pears",))) is None


# --- when


@pytest.mark.parametrize(
    ("correct", "seconds", "said"),
    [
        (False, 1, "not yet"),
        (True, 1, "at once"),
        (True, 20, "known"),
        (True, 31, "with effort"),
        (True, None, "known"),
    ],
)
def test_the_grade_comes_from_correctness_and_response_time(correct, seconds, said) -> None:
    assert grade("place", correct, seconds) == said


def test_what_cannot_be_graded_is_said() -> None:
    with pytest.raises(ValueError, match="no drill 'dance'"):
        grade("dance", True, 1)
    with pytest.raises(ValueError, match="0 seconds or more"):
        grade("place", True, -1)


def test_intervals_grow_while_it_is_known_and_forgetting_shortens_them() -> None:
    answers, days, intervals = [], 0.0, []
    for _ in range(6):
        answers.append(("place", QUINCE, "", True, 15.0, days))
        (card,) = list_cards(frame(*answers))
        intervals.append(card.days)
        days += card.days
    assert all(later > earlier for earlier, later in pairwise(intervals))
    assert intervals[-1] > 30 * intervals[0] > 0
    (forgotten,) = list_cards(frame(*answers, ("place", QUINCE, "", False, 15.0, days)))
    assert forgotten.days < intervals[-1] / 5
    (regained,) = list_cards(
        frame(*answers, ("place", QUINCE, "", False, 15.0, days), ("place", QUINCE, "", True, 15.0, days + 2))
    )
    assert forgotten.days < regained.days < intervals[-1]


def test_a_forgetful_student_is_asked_more_often_than_a_sure_one() -> None:
    # A year with a session a day: each answers what is due, with another chance to know it.
    asked = {}
    for chance in (0.6, 0.95):
        rng, answers = np.random.default_rng(7), [("name", "orchard/pome", "", True, 30.0, 0)]
        for day in range(1, 366):
            now = NOON + timedelta(days=day)
            if list_due(list_cards(frame(*answers)), now):
                answers.append(("name", "orchard/pome", "", bool(rng.random() < chance), 30.0, day))
        asked[chance] = len(answers)
    assert asked[0.6] > 2 * asked[0.95]


def test_a_session_asks_what_is_due_first_and_fits_its_minutes(lexicon) -> None:
    cards = list_cards(frame(("place", QUINCE, "", False, 5.0, 0), ("place", PEAR, "", True, 5.0, 9)))
    later = NOON + timedelta(days=10)
    nodes = [node.id for node in lexicon.at("descriptor")]
    session = compose_session("place", 3, cards, nodes, later, 5)
    assert session[0] == QUINCE
    assert PEAR not in session
    assert len(session) == len(set(session)) == 9
    assert session == compose_session("place", 3, cards, nodes, later, 5)
    with pytest.raises(ValueError, match="3 to 10 minutes"):
        compose_session("place", 20, cards, nodes, later)


def test_answers_that_are_not_judged_are_not_scheduled() -> None:
    assert list_cards(frame(("name", "orchard", "", None, 5.0, 0), ("old", "orchard", "", True, 5.0, 0))) == []


def test_answers_are_kept_with_their_time(tmp_path: Path) -> None:
    told = {"drill": "place", "node": QUINCE, "asked": "quince", "answered": "fruit", "correct": False}
    with Journal.open(tmp_path / "journal.db") as journal:
        taster = journal.taster("Ilse")
        journal.save_draft("jars", "{}")
        journal.record_drills(taster.id, [told | {"seconds": 4.5}, told], at=NOON, drop_draft="jars")
        drills = journal.drills_frame(taster.id)
        assert journal.drafts() == {}
        with pytest.raises(ValueError, match="less than no time"):
            journal.record_drills(taster.id, [told | {"seconds": -1.0}])
    assert drills["seconds"].fillna(-9).tolist() in ([4.5, -9], [-9, 4.5])
    assert [(card.drill, card.node, card.answers) for card in list_cards(drills)] == [("place", QUINCE, 2)]


def _notes(*texts: str, hidden: tuple[str, ...] = ()) -> pd.DataFrame:
    """Give notes on cups of one coffee in one tasting, and on cups whose coffee is hidden."""
    rows = []
    for number, text in enumerate((*texts, *hidden)):
        is_hidden = number >= len(texts)
        rows.append(
            {
                "note_id": f"n{number}", "taster": "Ilse", "tasting_id": "t", "tasting": "", "serving_id": f"s{number}",
                "code": str(number), "coffee": "" if is_hidden else "Lot 1",
                "coffee_id": None if is_hidden else "lot-1", "stage": "hot", "written_at": pd.Timestamp(NOON),
                "text": text, "coached": False, "revision": 1, "first_text": text,
            }
        )  # fmt: skip
    return pd.DataFrame(rows)
