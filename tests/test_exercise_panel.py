"""An exercise from the educator's form to the student's panel and back, without a browser."""

import json
import re
from datetime import UTC, datetime, timedelta

import pytest

from redolent.classroom import gather, list_exercises, open_exercise, read_exercise, track_exercise
from redolent.desk import ClassPanel, ExercisePanel, PracticePanel
from redolent.desk.exercise import name_parts
from redolent.journal import Journal

TIME = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


class Watch:
    """A clock that goes on by a minute whenever it is looked at."""

    def __init__(self):
        self.time = TIME

    def __call__(self):
        self.time += timedelta(minutes=1)
        return self.time


@pytest.fixture
def school():
    with Journal.open(":memory:") as journal:
        yield journal


@pytest.fixture
def home():
    with Journal.open(":memory:") as journal:
        yield journal


def fill_in(panel: ClassPanel, *tasks: tuple[str, str, int], checks: str = "") -> None:
    form = panel.form
    form.title.value, form.instructions.value = "Week 3: sour or bitter", "Take your time.\nRinse between cups."
    form.checks.value = checks
    while len(form.tasks.children) < len(tasks):
        form.more.click()
    for task, (kind, items, number) in zip(form.tasks.children, tasks, strict=True):
        task.kind.value, task.items.value = kind, items
        if number:
            task.number.value = number


def hand_over(panel: ExercisePanel, path) -> None:
    panel.upload.value = ({"name": path.name, "type": "", "size": 1, "content": path.read_bytes(),
                           "last_modified": TIME},)  # fmt: skip


def text(panel) -> str:
    """All that the panel shows as text."""
    found, waiting = [], list(panel.children)
    while waiting:
        widget = waiting.pop()
        waiting += getattr(widget, "children", ())
        found.append(str(getattr(widget, "value", "")))
    return "\n".join(found)


def test_an_exercise_goes_from_the_form_to_the_student_and_back(school, home, tmp_path):
    educator = ClassPanel(school, home=tmp_path, now=Watch())
    fill_in(
        educator,
        ("tasting", "Monte Vespil\nGatundiri Ridge", 1),
        ("triangle", "Monte Vespil\nGatundiri Ridge", 3),
        ("jars", "rose\nginger\nlavender\nbasil\nhoney\nvinegar", 0),
        ("words", "acid and sour\nbitter", 0),
        checks="bitter\nrose",
    )
    educator.form.make.click()
    assert educator.trouble.value == ""
    (file,) = tmp_path.glob("exercise *.jsonl")
    (toml,) = tmp_path.glob("exercise *.toml")
    (given,) = list_exercises(school)
    assert read_exercise(toml.read_text(encoding="utf-8")) == given.exercise
    assert [task.number for task in given.exercise.tasks] == [1, 3, 1, 1]
    assert "Nothing of it came back yet" in educator.tracked.value
    assert len(list(tmp_path.glob("* labels, not for the students.txt"))) == 1

    student = ExercisePanel(home, folder=tmp_path, now=Watch())
    assert "Your educator sends you a file" in text(student)
    hand_over(student, file)
    assert "Take your time.\nRinse between cups." in text(student)
    assert [label for label, _ in student.parts.options] == ["Tasting", "Odd cups", "Jars", "Words"]
    # The part about jars does not say what is in them.
    assert "lavender" not in text(student)
    student.begin.click()
    assert "taster" in student.trouble.value.casefold()
    student.taster.value = "Ada Frith"

    # Tasting: set out with the coffees of the exercise.
    assert student.begin.description == "Begin: Tasting"
    student.begin.click()
    tasting = student.part
    assert [row["name"] for row in tasting.form.named()] == ["Monte Vespil", "Gatundiri Ridge"]
    assert tasting.form.taster.value == "Ada Frith"
    tasting.begin.click()
    assert tasting.trouble.value == ""
    key = home.pourer_plan(tasting.plan.tasting_id)
    assert key.nonce not in text(student)
    tasting.step.value = "hot"
    for pad in tasting.table.children:
        pad.text = "lemon, sour"
    tasting.lock.click()
    # Nothing prompts before all is laid open.
    student.back.click()
    assert "Yes or no" not in text(student)
    student.parts.value = 0
    student.begin.click()
    tasting = student.part
    assert tasting.plan is not None
    tasting.step.value = "reveal"
    tasting.lay_open_button.click()
    assert tasting.trouble.value == ""
    assert [box.description for box in tasting.checks.asked.values()] == ["bitter", "rose"]
    tasting.checks.keep.click()
    assert "Answer at least one" in tasting.checks.said.value
    tasting.checks.asked["tongue/bitter"].value = False
    first = tasting.checks.cup
    tasting.checks.keep.click()
    assert tasting.checks.cup != first
    student.back.click()
    assert "Yes or no" in text(student)

    # Odd cups: planned with the coffees and triads of the exercise.
    assert student.begin.description == "Begin: Odd cups"
    student.begin.click()
    odd = student.part
    assert odd.planning.names == ("Monte Vespil", "Gatundiri Ridge")
    assert odd.planning.triads.value == 3
    odd.planning.begin.click()
    assert odd.trouble.value == ""
    odd.preparing.ready.click()
    student.back.click()
    student.parts.value = 1
    student.begin.click()
    odd = student.part
    for _ in range(3):
        odd.answering.cups.value = odd.triad.codes[0]
        odd.answering.lock.click()
    assert "of 3" in text(odd)
    student.back.click()

    # Jars: the household is asked, then those of the exercise are picked.
    assert student.begin.description == "Begin: Jars"
    student.begin.click()
    panel = student.part
    jars = panel.jars
    jars.draw.click()
    assert "Say which allergies" in panel.trouble.value
    jars.household.people[-1].value = False
    next(one for one in jars.household.people if "adults" in one.description).value = True
    jars.household.none.value = True
    jars.draw.click()
    assert panel.trouble.value == ""
    assert {jar.node for jar in jars.picked.jars} == set(given.exercise.tasks[2].items)
    jars.ready.click()
    for _ in range(6):
        jars.answer.value = "rose"
        jars.lock.click()
    student.back.click()

    # Words: answered in place; what is typed is kept as a draft.
    assert student.begin.description == "Begin: Words"
    student.begin.click()
    student.answers["tongue/sour"].value = "as lemon juice is"
    student.back.click()
    student.begin.click()
    assert student.answers["tongue/sour"].value == "as lemon juice is"
    student.answers["tongue/bitter"].value = "as chicory is"
    student.keep.click()
    assert "All is done" in student.state.value

    student.to_send.click()
    (back,) = tmp_path.glob("for my educator *.jsonl")
    assert back.name in student.sent.value
    (tmp_path / "inbox").mkdir()
    back.rename(tmp_path / "inbox" / back.name)
    educator.folder.value = str(tmp_path / "inbox")
    educator.collect.click()
    # How many cups there are is drawn.
    assert re.search(r"tasting ([234]) of \1,", educator.tracked.value)
    for part in ("triangle 3 of 3", "jars 6 of 6", "words 2 of 2"):
        assert part in educator.tracked.value
    assert track_exercise(school, given)["finished"].all()
    kept = school.circumstances(kind="check-list")
    assert [json.loads(one.value) for one in kept] == [{"tongue/bitter": False}]
    educator.names.value = False
    assert "Ada" not in educator.tracked.value


def test_what_is_missing_in_the_form_is_said(school, tmp_path):
    panel = ClassPanel(school, home=tmp_path)
    panel.form.make.click()
    assert "An exercise has a title" in panel.trouble.value
    panel.form.title.value, panel.form.instructions.value = "x", "y"
    panel.form.make.click()
    assert "An exercise has 1 to 12 tasks" in panel.trouble.value
    panel.form.tasks.children[0].items.value = "Monte Vespil"
    panel.form.make.click()
    assert "compares two coffees or more" in panel.trouble.value
    assert list(tmp_path.iterdir()) == []
    assert list_exercises(school) == []


def test_a_file_that_holds_no_exercise_is_refused_in_a_sentence(home, tmp_path):
    panel = ExercisePanel(home, folder=tmp_path)
    (tmp_path / "x.jsonl").write_text("nonsense", encoding="utf-8")
    hand_over(panel, tmp_path / "x.jsonl")
    assert panel.trouble.value != ""
    assert "Traceback" not in panel.trouble.value


def test_samples_that_were_sent_are_tasted_by_their_codes(school, home, tmp_path):
    educator = ClassPanel(school, home=tmp_path, now=Watch())
    fill_in(educator, ("tasting", "Monte Vespil\nGatundiri Ridge", 1))
    educator.form.make.click()
    (file,) = tmp_path.glob("exercise *.jsonl")
    student = ExercisePanel(home, folder=tmp_path, now=Watch())
    hand_over(student, file)
    assert len(student.parts.options) == 1
    student.taster.value = "Ada"
    student.sent_cups.click()
    ada = home.find_taster("Ada")
    cups = home.servings()
    assert {cup.coffee_id for cup in cups} == {None}
    for number, cup in enumerate(cups, 1):
        home.save_note(taster_id=ada.id, serving_id=cup.id, stage="warm", text="lemon")
        student.back.click()
        # Asked yes or no after the last cup, not between the cups.
        assert ("Yes or no" in text(student)) == (number == len(cups))
    student.to_send.click()
    gather(school, tmp_path)
    assert set(school.notes_frame()["coffee"]) == {"Monte Vespil", "Gatundiri Ridge"}
    (given,) = list_exercises(school)
    assert track_exercise(school, given)["finished"].all()


def choose_household(panel) -> None:
    next(one for one in panel.household.people if "adults" in one.description).value = True
    panel.household.none.value = True


def smell_all(panel) -> None:
    panel.jars.ready.click()
    while panel.jars.smelled is None:
        panel.jars.answer.value = "rose"
        panel.jars.lock.click()


def test_jars_that_the_household_may_not_meet_are_replaced_and_the_part_is_finished(school, home, tmp_path):
    educator = ClassPanel(school, home=tmp_path, now=Watch())
    fill_in(educator, ("jars", "rose\nginger\nlavender\nbasil\nhoney\nvinegar\nhazelnut", 0))
    educator.form.make.click()
    (file,) = tmp_path.glob("exercise *.jsonl")
    (given,) = list_exercises(school)
    # A set of one's own waits in the Practice notebook.
    own = PracticePanel(home, folder=tmp_path, now=Watch(), chosen=given.exercise.tasks[0].items)
    own.taster.value = "Ada Frith"
    own.start()
    choose_household(own)
    own.jars.draw.click()
    student = ExercisePanel(home, folder=tmp_path, now=Watch())
    hand_over(student, file)
    student.taster.value = "Ada Frith"
    student.begin.click()
    assert "Another set of jars still waits" in student.trouble.value
    smell_all(own)
    # The very places of the exercise, and yet nothing of it.
    student.show()
    assert "Jars 0 of 7" in student.state.value

    student.begin.click()
    panel = student.part
    choose_household(panel)
    panel.household.none.value, panel.household.avoided.value = False, "ginger, honey"
    panel.jars.draw.click()
    assert panel.trouble.value == ""
    assert len(panel.jars.picked.jars) == 7
    assert len({jar.node for jar in panel.jars.picked.jars} & set(given.exercise.tasks[0].items)) == 5
    # Away and back: the set of this part is taken up again, here or in the Practice notebook.
    student.back.click()
    student.begin.click()
    smell_all(student.part)
    student.back.click()
    assert "All is done" in student.state.value
    # As the journal finds names: without regard to case.
    student.taster.value = " ada frith "
    assert "All is done" in student.state.value
    student.to_send.click()
    with Journal.open(":memory:") as collecting:
        open_exercise(collecting, file)
        gather(collecting, tmp_path)
        tracked = track_exercise(collecting, given)
        assert tracked[["taster", "done", "of", "finished"]].to_numpy().tolist() == [["Ada Frith", 7, 7, True]]


def test_parts_of_a_kind_are_told_apart(home):
    exercise = read_exercise(
        "title='x'\ninstructions='y'\n"
        "[[task]]\nkind='words'\nplaces=['rose']\n[[task]]\nkind='words'\nplaces=['thyme']\n"
    )
    assert name_parts(exercise.tasks) == ["Words", "Words 2"]
