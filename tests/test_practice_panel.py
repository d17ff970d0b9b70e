"""The practice panel without a browser: one drill of each kind, jars that wait, and what goes over the wire."""

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from unittest.mock import Mock

import ipywidgets as w
import pytest

from redolent.blind import Seal, verify
from redolent.desk import PracticePanel
from redolent.desk.jar_sheets import FILES
from redolent.journal import Journal
from redolent.journal.export import FORMATS, export
from redolent.practice import judge_place, list_cards
from redolent.progress import estimate_vocabulary, mention_frame

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.time = NOON

    def __call__(self) -> datetime:
        return self.time

    def wait(self, seconds: float) -> None:
        self.time += timedelta(seconds=seconds)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    with Journal.open(tmp_path / "journal.db") as journal:
        taster = journal.taster("Ilse")
        tasting = journal.start_tasting(at=NOON)
        coffee = journal.coffee("Lot <b>3</b>")
        for code, text in (("217", "fruity <i>and</i> quince-like"), ("538", "very floral"), ("846", "pear")):
            cup = journal.add_serving(tasting.id, coffee_id=coffee.id, code=code, position=int(code))
            journal.save_note(taster_id=taster.id, serving_id=cup.id, stage="hot", text=text, at=NOON)
        yield journal


@pytest.fixture
def panel(journal: Journal, tmp_path: Path, clock: Clock) -> PracticePanel:
    return PracticePanel(journal, folder=tmp_path, now=clock, seed=5)


def begin(panel: PracticePanel, drill: str) -> None:
    panel.drill.value = drill
    panel.begin.click()


def drills(panel: PracticePanel):
    return panel.journal.drills_frame(panel.journal.taster("Ilse").id)


def walk(panel: PracticePanel, path: tuple[str, ...]) -> None:
    for node in path:
        panel.asking.choices.value = node


def choose_household(panel: PracticePanel) -> None:
    panel.household.people[0].value = panel.household.none.value = True


def pick(panel: PracticePanel) -> None:
    begin(panel, "jars")
    choose_household(panel)
    panel.asking.number.value = 6
    panel.asking.draw.click()


def smell(panel: PracticePanel, text: str) -> None:
    panel.asking.answer.value = text
    panel.asking.lock.click()


def test_a_place_is_walked_and_comes_back_later(panel: PracticePanel, clock: Clock) -> None:
    begin(panel, "place")
    asked = panel.asking.asked
    clock.wait(5)
    walk(panel, asked.paths[0])
    assert "3 of 3 steps right" in panel.asking.told.value
    assert "At once: it comes back in about" in panel.asking.told.value
    assert drills(panel)[["drill", "node", "correct", "seconds"]].to_numpy().tolist() == [
        ["place", asked.node, True, 5.0]
    ]
    panel.asking.onward.click()
    second = panel.asking.asked
    walk(panel, tuple(panel.lexicon.children(None)[i].id for i in [0])[:1])
    while len(panel.asking.path) < 3:
        panel.asking.choices.value = panel.asking.choices.options[0][1]
    right = judge_place(second, panel.asking.path).right
    assert f"{right} of 3 steps right" in panel.asking.told.value


def click_again(choices: w.ToggleButtons) -> None:
    """Take another choice, as the second of two quick clicks does that meets a question already answered."""
    choices.value = next(value for _, value in choices.options if value != choices.value)


def test_the_second_of_two_quick_clicks_is_no_answer(panel: PracticePanel) -> None:
    begin(panel, "place")
    walk(panel, panel.asking.asked.paths[0])
    click_again(panel.asking.choices)
    assert (len(drills(panel)), "3 of 3 steps right" in panel.asking.told.value) == (1, True)


def test_a_last_step_that_could_not_be_kept_is_taken_again(
    panel: PracticePanel, monkeypatch: pytest.MonkeyPatch
) -> None:
    begin(panel, "place")
    way = panel.asking.asked.paths[0]
    with monkeypatch.context() as broken:
        broken.setattr(Journal, "record_drills", Mock(side_effect=OSError("disk full")))
        walk(panel, way)
    assert ("could not be written" in panel.trouble.value, len(drills(panel))) == (True, 0)
    click_again(panel.asking.choices)
    assert drills(panel)["correct"].tolist() == [False]


def test_a_session_ends_with_its_minutes(panel: PracticePanel, clock: Clock) -> None:
    begin(panel, "place")
    walk(panel, panel.asking.asked.paths[0])
    clock.wait(181)
    panel.asking.onward.click()
    assert "That is all for this session" in panel.asking.told.value
    assert "streak" not in panel.asking.told.value


def test_what_comes_to_mind_is_read_and_kept(panel: PracticePanel, clock: Clock) -> None:
    begin(panel, "name")
    here = panel.lexicon.children(panel.asking.asked.node)
    clock.wait(20)
    panel.asking.answer.value = f"{here[0].label}\n{here[1].label}"
    panel.asking.countdown.over = panel.asking.countdown.round
    assert "2 words of this place came to mind, 2 of them never used in a note." in panel.asking.told.value
    told = drills(panel)
    assert set(told["node"]) == {panel.asking.asked.node, here[0].id, here[1].id}
    assert told["correct"].all()
    assert [(card.drill, card.node) for card in list_cards(told)] == [("name", panel.asking.asked.node)]
    found = estimate_vocabulary(mention_frame(panel.journal.notes_frame()), drills=told)
    assert (found.recognised, found.recognised_only) == (2, 2)


def test_a_second_click_or_a_late_clock_keeps_no_answer_twice(panel: PracticePanel) -> None:
    begin(panel, "name")
    asking = panel.asking
    asking.answer.value = "quince"
    asking.lock.click()
    asking.lock.click()
    asking.countdown.over = asking.countdown.round
    assert drills(panel)["drill"].tolist().count("name") == 1
    asking.onward.click()
    panel.leave.click()
    asking.countdown.over = asking.countdown.round
    assert drills(panel)["drill"].tolist().count("name") == 1


def test_jars_that_an_educator_chose_are_all_that_is_offered(journal: Journal, tmp_path: Path, clock: Clock) -> None:
    lexicon = PracticePanel(journal).lexicon
    chosen = [lexicon.find(word).id for word in ("rose", "ginger", "lavender")]
    panel = PracticePanel(journal, lexicon, tmp_path, clock, seed=3, chosen=chosen)
    panel.start()
    assert panel.jars.goal not in panel.children
    choose_household(panel)
    panel.jars.draw.click()
    assert len(panel.jars.picked.jars) == 6
    assert set(chosen) < {jar.node for jar in panel.jars.picked.jars}
    panel.leave.click()
    assert panel.drill not in panel.children
    panel.begin.click()
    assert "(1 of 6)" in panel.jars.question.value


def test_a_vague_note_comes_back_escaped_with_its_coffee(panel: PracticePanel) -> None:
    begin(panel, "sharpen")
    assert "Lot &lt;b&gt;3&lt;/b&gt;" in panel.asking.question.value
    assert panel.asking.asked.text == "very floral"
    smell(panel, "")
    assert "no new wording yet" in panel.trouble.value
    smell(panel, "jasmine <u>")
    assert "2 levels deeper: garden › flower border › blossom › jasmine" in panel.asking.told.value
    assert panel.journal.notes()[0].text != "jasmine <u>"


def test_nothing_is_picked_before_the_household_has_answered(panel: PracticePanel, tmp_path: Path) -> None:
    begin(panel, "jars")
    panel.asking.draw.click()
    assert "Say which allergies" in panel.trouble.value
    panel.household.none.value = True
    panel.asking.draw.click()
    assert "Say who takes part" in panel.trouble.value
    panel.household.allergens[0].value = True
    panel.asking.draw.click()
    assert "take one of them back" in panel.trouble.value
    assert panel.jars.picked is None
    assert not (tmp_path / FILES["key"]).exists()


def test_jars_wait_through_a_restart_and_open_after_the_last(
    panel: PracticePanel, journal: Journal, tmp_path: Path, clock: Clock
) -> None:
    pick(panel)
    jars, lexicon = panel.jars.picked, panel.lexicon
    labels = [lexicon[jar.node].label for jar in jars.jars]
    panel.jars.ready.click()
    clock.wait(12)
    smell(panel, labels[0])
    panel.asking.answer.value = "half a wo"
    assert not len(drills(panel))
    again = PracticePanel(journal, folder=tmp_path, now=clock, seed=9)
    begin(again, "jars")
    assert again.jars.picked == jars
    assert f"Jar {jars.codes[1]} (2 of 6)" in again.asking.question.value
    assert again.asking.answer.value == "half a wo"
    for text in (labels[1], "no idea", "nothing at all", labels[3], labels[0]):
        smell(again, text)
    assert "2 of 6 jars were named right to the descriptor" in again.asking.told.value
    told = drills(again)
    assert set(told["drill"]) == {"jars"}
    assert dict(zip(told["node"], told["correct"], strict=True)) == {
        jar.node: number < 2 for number, jar in enumerate(jars.jars)
    }
    assert journal.drafts() == {}
    assert verify(jars.key, Seal(again.jars.sealed.commitment, again.jars.sealed.nonce))
    again.asking.level.value = "realm"
    assert "to the realm" in again.asking.told.value
    # What was missed is a weak spot now.
    assert jars.jars[2].node in again.learner.weak()


@pytest.mark.parametrize("format", FORMATS)
def test_no_export_tells_the_key_of_jars_that_wait(
    panel: PracticePanel, journal: Journal, tmp_path: Path, format: str
) -> None:
    pick(panel)
    jars, nonce = panel.jars.picked, panel.jars.sealed.nonce
    journal.save_draft("note", "half a word")
    counts = export(journal, tmp_path / "out", format)
    assert (counts["draft"], counts["sealed"]) == (1, 1)
    place = tmp_path / "out"
    written = b"".join(file.read_bytes() for file in (place.iterdir() if place.is_dir() else [place]))
    assert b"half a word" in written
    assert not [secret for secret in (nonce, *jars.key.values()) if secret.encode() in written]


def test_alone_the_code_is_looked_up_after_the_answer(panel: PracticePanel, journal: Journal, tmp_path: Path) -> None:
    panel.jars.way.value = "self-reported"
    pick(panel)
    panel.jars.ready.click()
    jars, lexicon = panel.jars.picked, panel.lexicon
    assert "Any jar that you have not smelled yet (1 of 6)" in panel.asking.question.value
    smell(panel, lexicon[jars.jars[3].node].label)
    assert "Now look under the jar" in panel.asking.question.value
    # Between the answer and the look everything may be closed.
    panel = PracticePanel(journal, folder=tmp_path, now=panel._now, seed=9)
    begin(panel, "jars")
    assert set(panel.asking.was.options) == {(code, code) for code in jars.codes}
    panel.asking.was.value = jars.codes[3]
    click_again(panel.asking.was)
    assert "(2 of 6)" in panel.asking.question.value
    for number in (0, 1, 2, 4):
        smell(panel, "no idea")
        panel.asking.was.value = jars.codes[number]
    smell(panel, "no idea")
    assert "1 of 6 jars were named right" in panel.asking.told.value
    told = drills(panel)
    assert told.loc[told["correct"].astype(bool), "node"].tolist() == [jars.jars[3].node]


def test_no_widget_tells_what_is_in_a_jar_before_the_last_answer(panel: PracticePanel) -> None:
    pick(panel)
    panel.jars.ready.click()
    smell(panel, "no idea")
    sent = json.dumps(
        [
            panel.asking.question.value,
            panel.asking.told.value,
            panel.asking.answer.value,
            panel.about.value,
            panel.due.value,
        ]
    )
    for jar in panel.jars.picked.jars:
        assert jar.node not in sent
        assert panel.lexicon[jar.node].reference.what not in sent
    assert panel.jars.sealed.nonce not in sent


def test_a_confused_pair_is_told_apart(panel: PracticePanel, journal: Journal) -> None:
    panel.taster.value = "Teo"
    begin(panel, "apart")
    assert "no pair yet" in panel.trouble.value
    panel.taster.value = "Ilse"
    taster = journal.taster("Ilse")
    quince, pear = "orchard/pome/quince", "orchard/pome/pear"
    missed = {"drill": "jars", "node": quince, "asked": "217", "answered": "pear", "correct": False}
    journal.record_drills(taster.id, [missed], at=NOON - timedelta(hours=1))
    begin(panel, "apart")
    panel.asking.ready.click()
    assert "Say which allergies" in panel.trouble.value
    choose_household(panel)
    panel.asking.ready.click()
    assert panel.lexicon[quince].definition in panel.asking.question.value
    assert "Williams pear" in panel.asking.question.value
    panel.asking.choices.value = quince
    panel.asking.was.value = pear
    assert "It was pear" in panel.asking.told.value
    last = drills(panel).iloc[-1]
    assert (last["drill"], last["correct"]) == ("apart", False)
    click_again(panel.asking.was)
    assert len(drills(panel)) == 2
    assert "It was pear" in panel.asking.told.value


def test_what_is_due_is_told_without_blame(panel: PracticePanel, clock: Clock) -> None:
    assert "Nothing is due today" in panel.due.value
    begin(panel, "place")
    clock.wait(1)
    panel.asking.choices.value = panel.asking.choices.options[0][1]
    while len(panel.asking.path) < 3:
        panel.asking.choices.value = panel.asking.choices.options[0][1]
    clock.wait(86400 * 60)
    panel.leave.click()
    assert "Due today: Find the place 1, Name it 0" in panel.due.value
    assert "What is not done today waits." in panel.due.value


# --- what is due comes first, and nothing typed is lost


def record(journal: Journal, drill: str, node: str, answered: str, correct: bool, days: int = 0) -> None:
    answer = {"drill": drill, "node": node, "asked": drill, "answered": answered, "correct": correct}
    journal.record_drills(journal.taster("Ilse").id, [answer], at=NOON + timedelta(days=days))


@pytest.mark.parametrize("seed", range(4))
def test_a_vague_word_that_is_due_comes_back_first(journal: Journal, tmp_path: Path, clock: Clock, seed: int) -> None:
    record(journal, "sharpen", "flower-border", "still floral", correct=False, days=-20)
    panel = PracticePanel(journal, folder=tmp_path, now=clock, seed=seed)
    begin(panel, "sharpen")
    assert panel.asking.asked.node == "flower-border"


def test_a_pair_that_is_due_comes_back_first(journal: Journal, tmp_path: Path, clock: Clock) -> None:
    lexicon = PracticePanel(journal).lexicon
    lemon, clove, nutmeg = (lexicon.find(word).id for word in ("lemon", "clove", "nutmeg"))
    for _ in range(3):
        record(journal, "jars", clove, "nutmeg", correct=False)
    record(journal, "jars", lemon, "lime", correct=False)
    panel = PracticePanel(journal, folder=tmp_path, now=clock)
    begin(panel, "apart")
    assert clove in panel.asking.pairs[panel.asking.waiting[0]].nodes
    record(journal, "apart", lemon, "lime", correct=False, days=-20)
    begin(panel, "apart")
    assert lemon in panel.asking.pairs[panel.asking.waiting[0]].nodes
    assert nutmeg in {node for pair in panel.asking.pairs.values() for node in pair.nodes}


@pytest.mark.parametrize("drill", ["name", "sharpen"])
def test_a_half_typed_answer_is_there_after_a_restart(
    panel: PracticePanel, journal: Journal, tmp_path: Path, clock: Clock, drill: str
) -> None:
    begin(panel, drill)
    asked = panel.asking.asked
    panel.asking.answer.value = "quince, jasm"
    again = PracticePanel(journal, folder=tmp_path, now=clock, seed=99)
    begin(again, drill)
    assert again.asking.asked.node == asked.node
    assert again.asking.answer.value == "quince, jasm"
    again.asking.answer.value = "quince, jasmine"
    again.asking.lock.click()
    assert journal.drafts() == {}
    begin(again, drill)
    assert again.asking.answer.value == ""
