"""The odd cup out without a browser: plan, preparation, answers, verdict, and what goes over the wire."""

import json
import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import comm
import pytest
from ipywidgets import HTML, VBox

from redolent.desk import OddCupPanel, odd_cup
from redolent.desk.run_plan import advise, ask_alone, foresee
from redolent.desk.run_preparation import find_sitting
from redolent.desk.run_verdict import judge_run
from redolent.journal import Journal, Run
from redolent.triangle import RunDesign, odd_position

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
CODES = (("217", "538", "846"), ("392", "684", "751"), ("263", "497", "918"))


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    with Journal.open(tmp_path / "journal.db") as journal:
        yield journal


@pytest.fixture
def odd(journal: Journal, tmp_path: Path) -> OddCupPanel:
    return begin(journal, tmp_path)


def begin(
    journal: Journal,
    folder: Path,
    way: str = "helper",
    triads: int = 3,
    aim: str = "difference",
    at: datetime = NOON,
) -> OddCupPanel:
    """Plan a run and say that the cups are ready."""
    panel = OddCupPanel(journal, folder, now=lambda: at)
    fill_in(panel, way, triads, aim)
    panel.draw()
    panel.serve()
    return panel


def fill_in(panel: OddCupPanel, way: str = "helper", triads: int = 3, aim: str = "difference") -> None:
    asked = panel.planning
    asked.taster.value, asked.coffee_a.value, asked.coffee_b.value = "Ilse", "Lot 3", "<b>Lot 4</b>"
    asked.aim.value, asked.way.value = aim, way
    asked.triads.value = triads


def answer(panel: OddCupPanel, code: str) -> None:
    panel.answering.cups.value = code
    panel.answer()


def answer_right(panel: OddCupPanel, journal: Journal, *right: bool) -> None:
    """Answer the next triads right or wrong, by the pourer's key."""
    key = journal.pourer_key(panel.run.id)
    for is_right in right:
        number = panel.triad.number - 1
        answer(panel, key.codes[number][(odd_position(key.orders[number]) - is_right) % 3])


def click(button: object) -> None:
    """Click a button as the browser does."""
    button.click()


# --- the plan


@pytest.mark.parametrize(("triads", "needed"), [(3, 3), (6, 5), (12, 8), (24, 13)])
def test_the_plan_says_how_many_right_answers_it_takes(journal: Journal, triads: int, needed: int) -> None:
    # FAO document V7180E, Appendix A, 5 % level.
    panel = OddCupPanel(journal)
    panel.planning.triads.value = triads
    assert f"At least {needed} right of {triads} show that you can tell them apart" in panel.planning.outlook.value


def test_a_newcomer_finds_a_plan_that_fits_into_one_sitting(journal: Journal) -> None:
    asked = OddCupPanel(journal).planning
    # By hand: P(X >= 6 | n = 9, p = 1/3 + 2/3 · 0.6 = 11/15) = 0.80; with p = 1/3 it is 0.042.
    assert asked.triads.value == 9
    assert "At least 6 right of 9" in asked.outlook.value
    assert "in 6 of 10 triads is found with a chance of 80 %" in asked.outlook.value
    assert "One sitting. A sitting takes up to 27 cups" in asked.sittings.value


def test_similarity_is_planned_by_the_most_that_may_be_right() -> None:
    # ISO 4120's example as the issue gives it: 60 triads, p_d 0.3, β 0.05 → 25.
    assert "At most 25 right of 60" in foresee("similarity", 0.05, 0.05, 0.3, 60).sentence


def test_the_plan_follows_aim_risks_and_size_and_keeps_a_number_that_was_chosen(journal: Journal) -> None:
    asked = OddCupPanel(journal).planning
    asked.share.value = 0.5
    assert (asked.pd.value, asked.triads.value) == (0.5, advise("difference", 0.05, 0.2, 0.5))
    asked.aim.value = "similarity"
    assert (asked.alpha.value, asked.beta.value) == (0.2, 0.05)
    assert "At most" in asked.outlook.value
    # Ennis (1993): d′ = 1 ↔ P_c = 0.418, so p_d = (0.418 − 1/3) · 3/2 = 0.127.
    asked.d_prime.value = 1
    assert asked.pd.value == pytest.approx(0.127, abs=0.0005)
    assert asked.share.value is None
    asked.aim.value, asked.share.value = "difference", 0.6
    asked.triads.value = 12
    asked.sip.value = 0
    assert asked.triads.value == 12
    assert "about 0 mg" in asked.sittings.value


def test_too_few_triads_are_refused_before_the_first_cup(journal: Journal, tmp_path: Path) -> None:
    panel = OddCupPanel(journal, tmp_path)
    fill_in(panel, triads=2)
    assert "2 triads cannot show it" in panel.planning.outlook.value
    panel.draw()
    assert "2 triads cannot show it" in panel.trouble.value
    assert journal.runs() == []


def test_what_is_missing_is_said_and_nothing_is_written(journal: Journal, tmp_path: Path) -> None:
    panel = OddCupPanel(journal, tmp_path)
    fill_in(panel)
    panel.planning.coffee_b.value = "lot 3"
    panel.draw()
    assert "two different coffees" in panel.trouble.value
    assert (journal.runs(), journal.tasters(), journal.coffees()) == ([], [], [])


def test_the_whole_plan_is_kept_with_the_run(journal: Journal, tmp_path: Path) -> None:
    panel = OddCupPanel(journal, tmp_path)
    fill_in(panel, triads=20, aim="similarity")
    panel.planning.pair.value = "water 10 %"
    panel.draw()
    (run,) = journal.runs()
    assert (run.aim, run.alpha, run.beta, run.pd, run.pair) == ("similarity", 0.2, 0.05, 0.6, "water 10 %")
    assert {coffee.name for coffee in journal.coffees()} == {"Reference brew", "Reference brew with water 10 %"}
    # 20 triads of 5 minutes in sittings of 45 minutes: 7, 7 and 6.
    assert run.sitting == 7
    assert "270 g of it and 30 g of water" in panel.preparing.task.value


def test_the_button_says_what_is_drawn(journal: Journal) -> None:
    asked = OddCupPanel(journal).planning
    assert asked.begin.description == "Draw the serving order and begin"
    asked.way.value = "self-reported"
    assert asked.begin.description == "Draw the codes and begin"


def test_a_run_with_a_known_seed_is_stored_as_not_blind(journal: Journal, tmp_path: Path) -> None:
    panel = OddCupPanel(journal, tmp_path, now=lambda: NOON, seed=7)
    fill_in(panel)
    panel.draw()
    assert journal.runs()[0].blinding == "not blind"


# --- preparation


def test_how_the_cups_were_prepared_is_asked_and_kept_and_flaws_come_with_the_verdict(
    journal: Journal, tmp_path: Path
) -> None:
    panel = OddCupPanel(journal, tmp_path, now=lambda: NOON)
    fill_in(panel)
    panel.draw()
    asked = panel.preparing
    assert "Brews were not pooled" in asked.open.value
    for box in (asked.pooled, asked.same_cups, asked.rinsed, asked.left_to_right):
        box.value = True
    asked.hidden.value = "opaque cups"
    assert "All is in order" in asked.open.value
    asked.warmth_b.value = 55
    assert "5 °C apart" in asked.open.value
    asked.brewed.value = 100
    assert "Brew at least 180 ml of each" in asked.open.value
    panel.serve()
    (event,) = journal.run_events(panel.run.id)
    kept = json.loads(event.detail)
    assert (kept["pooled"], kept["temperatures"], kept["hidden"]) == (True, [50, 55], "opaque cups")
    answer_right(panel, journal, True, True, True)
    assert "5 °C apart" in panel.judging.sentence
    assert "pooled" not in panel.judging.sentence


def test_each_sitting_is_prepared_anew(journal: Journal, tmp_path: Path) -> None:
    panel = begin(journal, tmp_path, triads=10)
    answer_right(panel, journal, *[True] * 5)
    assert "Sitting 2 of 2: Lot 3" in panel.preparing.task.value
    assert panel.preparing.widgets[0] in panel.children
    panel.serve()
    assert "Triad 6 of 10" in panel.answering.question.value


@pytest.mark.parametrize(
    ("triads", "sitting", "triad", "expected"),
    [(20, 7, 7, (1, 3, 7)), (20, 7, 8, (2, 3, 7)), (20, 7, 20, (3, 3, 6)), (9, None, 9, (1, 1, 9))],
)
def test_triads_are_spread_over_sittings(journal: Journal, triads, sitting, triad, expected) -> None:
    run = Run("r", "t", "a", "b", 0.05, "helper", triads, "", NOON, None, sitting=sitting)
    found = find_sitting(run, triad)
    assert (found.number, found.of, found.triads) == expected


def test_the_pourers_key_is_a_file_whose_folder_is_named_and_the_table_sheet_has_codes_only(
    odd: OddCupPanel, journal: Journal, tmp_path: Path
) -> None:
    key = journal.pourer_key(odd.run.id)
    sheets = {path.name.split(" 20")[0]: path.read_text(encoding="utf-8") for path in tmp_path.glob("*.html")}
    assert set(sheets) == {"pourer's key", "table sheet"}
    assert key.nonce in sheets["pourer's key"]
    assert "&lt;b&gt;Lot 4&lt;/b&gt;" in sheets["pourer's key"]
    assert all(code in sheets["table sheet"] for triad in key.codes for code in triad)
    assert key.nonce not in sheets["table sheet"]
    assert "Lot 3" not in sheets["table sheet"]
    assert odd.run.commitment in sheets["table sheet"]
    assert str(tmp_path) in odd.answering.instructions.value


# --- answers


def test_an_answer_is_forced_and_locked(odd: OddCupPanel, journal: Journal) -> None:
    odd.answer()
    assert "Choose the cup" in odd.trouble.value
    assert odd.answering.lock.disabled
    first = odd.triad
    answer(odd, first.codes[0])
    assert odd.triad.number == 2
    with pytest.raises(ValueError, match="locked"):
        journal.answer(first.id, odd_code=first.codes[1])


def test_the_second_of_two_quick_clicks_does_nothing(journal: Journal, tmp_path: Path) -> None:
    panel = OddCupPanel(journal, tmp_path, now=lambda: NOON)
    fill_in(panel)
    for _ in range(2):
        click(panel.planning.begin)
    assert len(journal.runs()) == 1
    for _ in range(2):
        click(panel.preparing.ready)
    assert len(journal.run_events(panel.run.id)) == 1
    panel.answering.cups.value = panel.triad.codes[0]
    for _ in range(2):
        click(panel.answering.lock)
    assert panel.trouble.value == ""
    assert [one.number for one in journal.answers(panel.run.id)] == [1]


def test_an_interrupted_run_goes_on_at_the_next_triad_with_what_was_typed(
    odd: OddCupPanel, journal: Journal, tmp_path: Path
) -> None:
    answer(odd, odd.triad.codes[0])
    odd.answering.remark.value, odd.answering.guessed.value = "thin, I th", True
    again = OddCupPanel(journal, tmp_path, now=lambda: NOON)
    assert (again.triad.number, again.triad.codes) == (2, odd.triad.codes)
    assert (again.answering.remark.value, again.answering.guessed.value) == ("thin, I th", True)
    answer(again, again.triad.codes[0])
    assert (again.answering.remark.value, again.answering.guessed.value) == ("", False)
    told = journal.answers(again.run.id)[1]
    assert (told.note, told.guessed) == ("thin, I th", True)
    assert journal.drafts() == {}


def test_it_is_said_whose_run_waits_and_another_taster_can_start_their_own(
    odd: OddCupPanel, journal: Journal, tmp_path: Path
) -> None:
    panel = OddCupPanel(journal, tmp_path, now=lambda: NOON)
    assert "This is the run of <b>Ilse</b>, begun on 14 March 2026" in panel.answering.whose.value
    click(panel.answering.later)
    (offer,) = [box.children[0] for box in panel.children if _says(box, "Go on")]
    assert offer.description == "Go on: Ilse: Lot 3 and <b>Lot 4</b>, 14 March 2026"
    panel._now = lambda: NOON + timedelta(hours=1)
    panel.planning.taster.value = "Bo"
    panel.planning.coffee_a.value, panel.planning.coffee_b.value = "Lot 3", "Lot 5"
    click(panel.planning.begin)
    assert "<b>Bo</b>" in panel.preparing.task.value
    panel.plan()
    _, first = [box.children[0] for box in panel.children if _says(box, "Go on")]
    click(first)
    assert panel.run.id == odd.run.id
    assert "Triad 1 of 3" in panel.answering.question.value


def _says(widget: object, text: str) -> bool:
    return any(getattr(child, "description", "").startswith(text) for child in getattr(widget, "children", ()))


def test_alone_the_plan_says_that_seeing_each_answer_counts(journal: Journal, tmp_path: Path) -> None:
    assert "at least 13 right of 23" in ask_alone("difference", 0.05, 0.2, 0.5, 23)
    assert "at most 24 right of 60" in ask_alone("similarity", 0.05, 0.05, 0.3, 60)
    assert ask_alone("sequential", 0.05, 0.2, 0.3, 60) == ""
    asked = OddCupPanel(journal, tmp_path, now=lambda: NOON).planning
    assert "Alone you see" not in asked.outlook.value
    asked.way.value = "self-reported"
    assert "Alone you see after each triad whether you were right" in asked.outlook.value


def test_alone_at_the_table_the_cups_are_looked_under_after_the_lock(journal: Journal, tmp_path: Path) -> None:
    panel = begin(journal, tmp_path, way="self-reported")
    assert not list(tmp_path.glob("pourer*"))
    for number in (1, 2, 3):
        assert panel.triad.number == number
        codes = panel.triad.codes
        answer(panel, codes[2])
        if number == 2:
            panel = OddCupPanel(journal, tmp_path, now=lambda: NOON)
        assert f"is locked: {codes[2]} is your odd one" in panel.uncovering.question.value
        label = panel.uncovering.stood.options[0][0]
        assert label == f"{codes[0]} Lot 3, {codes[1]} Lot 3, {codes[2]} <b>Lot 4</b>"
        panel.enter_truth()
        assert "Choose what stood where" in panel.trouble.value
        panel.uncovering.stood.value = "AAB" if number < 3 else "ABA"
        panel.enter_truth()
    assert journal.score(panel.run.id) == (2, 3)
    assert "2 of 3 planned triads were correct" in panel.judging.sentence
    assert "Self-reported" in panel.judging.sentence
    assert "After each triad you saw whether you were right" in panel.judging.sentence
    assert journal.runs()[0].blinding == "self-reported"


# --- the verdict


def test_a_run_right_in_every_triad_is_judged_against_chance(odd: OddCupPanel, journal: Journal) -> None:
    answer_right(odd, journal, True, True, True)
    # 1/27 by hand: three right of three, each with probability 1/3.
    assert "Difference shown: 3 of 3 planned triads were correct" in odd.judging.sentence
    assert "p = 0.037" in odd.judging.sentence
    assert "this taster and this pair only" in odd.judging.sentence
    key = journal.open_key(odd.run.id)
    by_triad = odd.judging.told.children[-1].value
    assert by_triad.count("<td>right</td>") == 3
    assert key.nonce in by_triad


def test_stopping_asks_first_and_is_judged_by_what_holds_whenever_one_stops(odd: OddCupPanel, journal: Journal) -> None:
    answer_right(odd, journal, True)
    stop = odd.answering.stop
    click(stop.button)
    assert stop.asked.layout.display == ""
    click(stop.no)
    assert stop.asked.layout.display == "none"
    assert journal.runs()[0].stopped_at is None
    click(stop.button)
    click(stop.yes)
    assert "Stopped early: 3 triads were planned, 1 was answered, 1 was correct" in odd.judging.sentence
    assert "the test that holds whenever one stops is used" in odd.judging.sentence


def test_a_look_on_the_way_is_labelled_for_good(odd: OddCupPanel, journal: Journal, tmp_path: Path) -> None:
    answer_right(odd, journal, True, False)
    click(odd.answering.look.button)
    click(odd.answering.look.yes)
    (sentence,) = [said for said in _said(odd) if '<p class="rd-sentence"' in said]
    assert "Looked at on the way: 1 of 2 triads was correct" in sentence
    answer_right(odd, journal, True)
    assert "Looked at on the way: 2 of 3 planned triads were correct" in odd.judging.sentence
    assert journal.runs_frame()["looked"].tolist() == [True]


def test_nobody_is_offered_a_look_who_knows_already(journal: Journal, tmp_path: Path) -> None:
    assert begin(journal, tmp_path, way="self-reported").answering.look.layout.display == "none"


def test_similarity_is_judged_by_its_own_bar_and_not_called_the_same(journal: Journal, tmp_path: Path) -> None:
    panel = begin(journal, tmp_path, triads=9, aim="similarity")
    answer_right(panel, journal, *[False] * 9)
    assert "Similarity shown: 0 of 9 planned triads were correct" in panel.judging.sentence
    assert "that is not “the same”" in panel.judging.sentence


def test_a_sequential_run_ends_at_its_boundary(journal: Journal, tmp_path: Path) -> None:
    panel = begin(journal, tmp_path, triads=12, aim="sequential")
    assert "Triad 1 of at most 12" in panel.answering.question.value
    # By hand, α 0.05, β 0.2, p_d 0.6: P₁ = 11/15; ln(0.8/0.05) / ln((11/15)/(1/3)) = 3.52, so four right in a row.
    answer_right(panel, journal, True, True, True)
    assert panel.triad.number == 4
    answer_right(panel, journal, True)
    assert "Difference shown after triad 4: 4 of 4 correct" in panel.judging.sentence
    assert journal.runs()[0].stopped_at is not None


@pytest.mark.parametrize(
    ("triads", "rest"), [(3, "the most that were planned"), (12, "before the 12 that were planned")]
)
def test_a_sequential_run_without_a_boundary_is_undecided(triads: int, rest: str) -> None:
    run = Run("r", "t", "a", "b", 0.05, "helper", triads, "", NOON, None, aim="sequential", beta=0.2, pd=0.6)
    found = judge_run(run, [True, True, False])
    assert found.sentence.startswith("Undecided: neither boundary was reached in 3 triads")
    assert rest in found.sentence
    assert found.verdict.anytime


def test_past_runs_are_listed_with_their_verdicts_newest_first(journal: Journal, tmp_path: Path) -> None:
    for hours, right in enumerate((True, False)):
        panel = begin(journal, tmp_path, at=NOON + timedelta(hours=hours))
        answer_right(panel, journal, *[right] * 3)
    panel.plan()
    (listed,) = [said for said in _said(panel) if "Runs so far" in said]
    assert 0 < listed.index("No difference shown: 0 of 3") < listed.index("Difference shown: 3 of 3")
    assert "<b>" not in listed
    assert listed in _said(OddCupPanel(journal, tmp_path))


def test_a_past_run_is_opened_again_with_its_picture(journal: Journal, tmp_path: Path) -> None:
    for hours, right in enumerate((True, False)):
        panel = begin(journal, tmp_path, at=NOON + timedelta(hours=hours))
        answer_right(panel, journal, *[right] * 3)
    panel.plan()
    assert [run.id for _, run in panel.past.options] == [run.id for run in journal.runs()]
    panel.past.index = 1
    assert "Difference shown: 3 of 3" in panel.judging.sentence
    (picture,) = [child for child in panel.judging.told.children if isinstance(child, VBox)]
    assert "result: 3" in picture.children[0].figure
    panel.plan()
    assert panel.past.index is None


def _said(panel: OddCupPanel) -> list[str]:
    return [child.value for child in panel.children if isinstance(child, HTML)]


# --- the wire


@pytest.fixture
def wire(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Everything that widgets send to the browser, ids taken out."""
    frames: list[str] = []

    class Wire(comm.DummyComm):
        def publish_msg(self, msg_type, data=None, metadata=None, buffers=None, **keys) -> None:
            frames.append(f"{msg_type} {json.dumps(data, default=str, sort_keys=True)}")

    monkeypatch.setattr(comm, "create_comm", Wire)
    return frames


def taste(journal: Journal, folder: Path, wire: list[str], way: str, stood: list[str], aim: str) -> list[str]:
    """Live a whole run, and give what was sent until the last lock, but for what a taster alone enters."""
    wire.clear()
    panel = begin(journal, folder, way, aim=aim)
    for number, codes in enumerate(CODES):
        panel.answering.guessed.value, panel.answering.remark.value = True, "thin"
        for question in (panel.answering.stop, panel.answering.look):
            click(question.button)
            click(question.no)
        panel.answering.cups.value = codes[number]
        sent = list(wire)
        panel.answer()
        if way == "self-reported":
            sent = list(wire)
            panel.uncovering.stood.value = stood[number]
            wire[len(sent) :] = []
            panel.enter_truth()
    text = "\n".join(sent).replace(panel.run.commitment, "commitment")
    # The ids of widgets are drawn at random; each is told by its turn.
    for number, widget in enumerate(dict.fromkeys(re.findall("[0-9a-f]{32}", text))):
        text = text.replace(widget, f"widget {number}")
    return text.splitlines()


@pytest.mark.parametrize("way", ["helper", "self-reported"])
@pytest.mark.parametrize("aim", ["difference", "similarity", "sequential"])
def test_what_is_sent_before_each_lock_is_the_same_whatever_the_key(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, wire: list[str], way: str, aim: str
) -> None:
    sent = []
    # Right and wrong by turns, the other way round in the other run: a sequential run ends at neither.
    for run, orders in enumerate((["BAA", "AAB", "BBA"], ["AAB", "ABA", "ABB"])):
        monkeypatch.setattr(odd_cup, "design_run", lambda *_, orders=orders: RunDesign(tuple(orders), CODES))
        with Journal.open(tmp_path / f"{run}.db") as journal:
            sent.append(taste(journal, tmp_path, wire, way, orders, aim))
    assert sum("846" in frame for frame in sent[0]) >= 1
    assert sent[0] == sent[1]
    assert any("918" in frame for frame in sent[0])
