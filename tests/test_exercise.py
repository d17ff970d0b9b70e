"""Exercises: set as TOML, shared as one file, done, and sent back as one file."""

import json

import numpy as np
import pytest
from hypothesis import given as drawn
from hypothesis import strategies as st

from redolent.blind import seal
from redolent.classroom import (
    Exercise,
    Task,
    answer_words,
    list_exercises,
    note_begun,
    open_exercise,
    read_exercise,
    review_class,
    set_exercise,
    track_exercise,
    write_exercise,
)
from redolent.journal import Journal
from redolent.journal.collect import collect
from redolent.journal.shared import share
from redolent.lexicon import Lexicon
from redolent.triangle import design_run

TOML = '''
title = "Week 3: sour or bitter"
instructions = """
Take your time.
Rinse between cups.
"""
[[task]]
kind = "tasting"
coffees = ["Monte Vespil", "Gatundiri Ridge"]
[[task]]
kind = "triangle"
coffees = ["Monte Vespil", "Gatundiri Ridge"]
triads = 3
[[task]]
kind = "jars"
places = ["rose", "basil"]
[[task]]
kind = "words"
places = ["tongue/sour", "tongue/bitter"]
'''


def test_an_exercise_is_read():
    exercise = read_exercise(TOML)
    assert exercise.title == "Week 3: sour or bitter"
    assert exercise.instructions == "Take your time.\nRinse between cups."
    assert [task.kind for task in exercise.tasks] == ["tasting", "triangle", "jars", "words"]
    assert [item.rpartition("/")[2] for item in exercise.tasks[2].items] == ["rose", "basil"]
    told = exercise.tasks[2].tell(Lexicon.load())
    # What is in the jars is not for whoever smells them.
    assert "Smell 2 covered jars" in told
    assert "rose" not in told
    assert "allergic" in told


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ("title = ", "is no TOML"),
        ("title = 'x'", "An exercise has instructions"),
        ("title = 'x'\ninstructions = 'y'", r"1 to 12 tasks \(in TOML, each under \[\[task\]\]\)"),
        ("title = 'x'\ninstructions = 'y'\ntask = [1]", "A task's kind is one of"),
        (TOML.replace('"jars"', '"sniff"'), "not 'sniff'"),
        (TOML.replace('"basil"', '"flumph"'), "The lexicon knows no 'flumph'"),
        (TOML.replace("triads = 3", "triads = 1000"), "a whole number from 3 to 60"),
        (TOML.replace("triads = 3", "triads = true"), "a whole number from 3 to 60"),
        (TOML.replace('["rose", "basil"]', '["rose", "rose"]'), "different places"),
        (TOML.replace('["rose", "basil"]', '"rose"'), "lists its places"),
        # A table takes no more coffees; whoever opened such a file would wait for its rows for ever.
        (TOML.replace('["Monte Vespil", ', '["b", "c", "d", "e", "f", "g", "h", "i", ', 1), "1 to 8 different coffees"),
        (
            TOML.replace('["rose", "basil"]', '["rose", "lemon"]'),
            "'lemon' has no reference that waits in a covered jar",
        ),
        ("checks = 3\n" + TOML, "The checks of an exercise are"),
    ],
)
def test_what_is_wrong_with_an_exercise_is_said_in_a_sentence(wrong, said):
    with pytest.raises(ValueError, match=said):
        read_exercise(wrong)


def smell_jars(journal: Journal, taster_id: str, places, sealed: str = "") -> None:
    """Answer jars as the Practice notebook does; those of a set tell its seal beside the code."""
    rows = [
        {"drill": "jars", "node": node, "asked": f"{number} {sealed}".strip(), "answered": node, "correct": True}
        for number, node in enumerate(places, 217)
    ]
    journal.record_drills(taster_id, rows)


def begin_run(journal: Journal, taster_id: str):
    """Begin a triangle run of three, as the Odd cup notebook does."""
    design = design_run(3, np.random.default_rng(1))
    sealed = seal(design.key)
    a, b = (journal.coffee(name).id for name in ("Monte Vespil", "Gatundiri Ridge"))
    return journal.start_run(
        taster_id=taster_id,
        coffee_a_id=a,
        coffee_b_id=b,
        alpha=0.05,
        blinding="helper",
        orders=list(design.orders),
        codes=list(design.codes),
        commitment=sealed.commitment,
        nonce=sealed.nonce,
    )


def test_an_exercise_goes_out_and_comes_back(tmp_path):
    school, home = Journal.open(tmp_path / "school.db"), Journal.open(tmp_path / "home.db")
    with school, home:
        given = set_exercise(school, read_exercise(TOML), seed=1)
        share(school, tmp_path / "out.jsonl", tasting_id=given.tasting_id, blank=True)

        # At home: the file opens as the exercise, with codes and no coffees in the cups.
        ada = home.taster("Ada Frith")
        opened = open_exercise(home, tmp_path / "out.jsonl")
        assert opened == given
        assert open_exercise(home, tmp_path / "out.jsonl") == given
        assert list_exercises(home) == [given]
        cups = home.servings(given.tasting_id)
        assert len(cups) >= 2
        assert {cup.coffee_id for cup in cups} == {None}
        assert not track_exercise(home, opened)["finished"].any()
        for cup in cups:
            home.save_note(taster_id=ada.id, serving_id=cup.id, stage="warm", text="lemon, sour")
        run = begin_run(home, ada.id)
        note_begun(home, opened, ada.id, 1, run.id)
        for _ in range(3):
            triad = home.next_triad(run.id)
            home.answer(triad.id, odd_code=triad.codes[0])
        note_begun(home, opened, ada.id, 2, "5ea1")
        smell_jars(home, ada.id, opened.exercise.tasks[2].items, "5ea1")
        answer_words(home, opened, ada.id, {"tongue/sour": "as lemon juice is", "tongue/bitter": "as quinine is"})
        assert track_exercise(home, opened)["finished"].all()
        share(home, tmp_path / "back.jsonl", taster_id=ada.id)

        # At school: who has done what, under the coffees that only the educator knew.
        collect(school, tmp_path / "back.jsonl")
        tracked = track_exercise(school, given).set_index(["taster", "task"])
        assert tracked.loc[("Ada Frith", "tasting"), "done"] == len(cups)
        assert tracked.loc[("Ada Frith", "triangle"), "done"] == 3
        assert tracked.loc[("Ada Frith", "jars"), "done"] == 2
        assert tracked.loc[("Ada Frith", "words"), "done"] == 2
        assert tracked["finished"].all()
        assert set(school.notes_frame()["coffee"]) == {"Monte Vespil", "Gatundiri Ridge"}
        assert review_class(school).attendance.tasters["triads"].tolist() == [3]


def jars_done(journal: Journal, given) -> list[tuple[int, int]]:
    tracked = track_exercise(journal, given)
    return [(row.done, row.of) for row in tracked[tracked["task"] == "jars"].itertuples()]


def test_jars_count_for_the_part_that_they_were_begun_for():
    jars = "[[task]]\nkind = 'jars'\nplaces = ['rose', 'basil', 'ginger']\n"
    with Journal.open(":memory:") as journal:
        ada = journal.taster("Ada")
        given = set_exercise(journal, read_exercise("title = 'x'\ninstructions = 'y'\n" + 2 * jars))
        rose, basil, ginger = given.exercise.tasks[0].items
        # Smelled before, or in a set of the Practice notebook: not this part.
        smell_jars(journal, ada.id, (rose, basil, ginger))
        smell_jars(journal, ada.id, (rose, basil, ginger), "another")
        assert jars_done(journal, given) == [(0, 3), (0, 3)]
        note_begun(journal, given, ada.id, 1, "second")
        assert jars_done(journal, given) == [(0, 3), (0, 3)]
        # Two of the three were replaced; each that replaces one counts for it, and what fills up a set for none.
        smell_jars(journal, ada.id, (rose, "orchard/pome/quince", "bakery"), "second")
        assert jars_done(journal, given) == [(0, 3), (3, 3)]
        note_begun(journal, given, ada.id, 0, "first")
        smell_jars(journal, ada.id, ("a", "b", "c", "d", "e", "f"), "first")
        assert jars_done(journal, given) == [(3, 3), (3, 3)]


def test_a_spoilt_exercise_in_a_file_is_passed_over():
    with Journal.open(":memory:") as journal:
        tasting = journal.start_tasting("x")
        for value in ("nonsense", "[]", '{"title": "x"}', '{"tasks": [3]}', '{"tasks": 3}'):
            journal.note_circumstance("exercise", value, tasting_id=tasting.id)
        assert list_exercises(journal) == []


def test_answers_are_to_the_words_of_the_exercise():
    with Journal.open(":memory:") as journal:
        given = set_exercise(journal, read_exercise(TOML), seed=1)
        ada = journal.taster("Ada")
        with pytest.raises(ValueError, match="Answer the words of the exercise"):
            answer_words(journal, given, ada.id, {"orchard": "x"})
        with pytest.raises(ValueError, match="Answer the words of the exercise"):
            answer_words(journal, given, ada.id, {"tongue/sour": " "})


LINES = st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=30).filter(str.strip)


@drawn(LINES, LINES, st.lists(LINES.map(str.strip), min_size=2, max_size=4, unique=True), st.integers(1, 4))
def test_an_exercise_is_read_as_it_was_written(title, instructions, coffees, cups):
    """TOML is read by the standard library's tomllib; whatever is typed into the form comes back."""
    told = read_exercise(TOML)
    tasks = (Task("tasting", tuple(coffees), cups), *told.tasks[1:])
    exercise = Exercise(title.strip(), instructions.strip(), tasks, ("tongue/sour",))
    assert read_exercise(write_exercise(exercise)) == exercise


def test_a_file_without_an_exercise_is_refused_and_nothing_of_it_stays(tmp_path):
    with Journal.open(":memory:") as other, Journal.open(":memory:") as home:
        ada = other.taster("Ada")
        share(other, tmp_path / "ada.jsonl", taster_id=ada.id)
        with pytest.raises(ValueError, match=r"ada.jsonl holds no exercise; ask whoever sent it"):
            open_exercise(home, tmp_path / "ada.jsonl")
        assert home.tasters() == []


def test_a_file_of_an_exercise_says_neither_coffees_in_cups_nor_the_key(tmp_path):
    with Journal.open(":memory:") as school:
        given = set_exercise(school, read_exercise(TOML), seed=1)
        share(school, tmp_path / "out.jsonl", tasting_id=given.tasting_id, blank=True)
        rows = [json.loads(line) for line in (tmp_path / "out.jsonl").read_text(encoding="utf-8").splitlines()]
        text = json.dumps(rows)
        assert not [coffee.id for coffee in school.coffees() if coffee.id in text]
