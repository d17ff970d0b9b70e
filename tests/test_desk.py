"""The panels without a browser: what they do with what people type and click."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from redolent.charts.style import INK, PAPER, SENSE_COLOURS
from redolent.desk import NotesPanel, OddCupPanel, ProgressPanel
from redolent.desk.notes import DRAFT, list_notes
from redolent.desk.panel import STYLE, safe
from redolent.desk.reading import list_words, read_for, split_text
from redolent.journal import Journal
from redolent.lexicon import Lexicon
from redolent.notes import read

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
LEXICON = Lexicon.load()


@pytest.fixture
def journal(tmp_path: Path):
    with Journal.open(tmp_path / "journal.db") as journal:
        yield journal


@pytest.fixture
def panel(journal: Journal) -> NotesPanel:
    panel = NotesPanel(journal, LEXICON, now=lambda: NOON, seed=1)
    panel.taster.value, panel.cup.value = "Ilse Varga", "Harvest Lot 3"
    return panel


# --- the reading on the screen


def test_the_parts_of_a_lit_text_are_the_text():
    text = "No smoke, but a hint of bluberry 🫐 and syrupy body"
    parts = split_text(read(text), LEXICON)
    assert "".join(part["shown"] for part in parts) == text
    assert [(p["shown"], p["sense"], p["present"]) for p in parts if p["sense"]] == [
        ("smoke", "nose", False),
        ("bluberry", "nose", True),
        ("syrupy body", "touch", True),
    ]


def test_what_no_message_can_carry_is_replaced_on_the_screen_only():
    parts = split_text(read("a\0b \ud800 lemon"), LEXICON)
    assert "".join(part["shown"] for part in parts) == "a\ufffdb \ufffd lemon"


def test_each_word_is_told_with_sense_place_and_what_holds_of_it():
    words = list_words(read("no smoke, maybe a hint of quinse"), LEXICON)
    assert [word["tells"] for word in words] == [
        "smelled: fire and cellar › hearth › smoke; denied",
        "smelled: fruit › orchard › pome fruit › quince; slight; unsure; read through its spelling",
    ]


def test_a_personal_word_whose_place_is_gone_does_not_break_reading():
    assert read_for("zorbly lemon", {"zorbly": "no/such/place"}, LEXICON).mentions[0].text == "lemon"


def test_safe_escapes_markup_and_shows_what_cannot_be_shown():
    assert safe('<img src=x onerror="a">\0') == "&lt;img src=x onerror=&quot;a&quot;&gt;\ufffd"


def test_the_panels_wear_the_colours_of_the_figures():
    style = STYLE.read_text(encoding="utf-8").lower()
    for sense, colour in SENSE_COLOURS.items():
        assert f"--rd-{sense}: {colour.lower()}" in style
    assert f"--rd-ink: {INK.lower()}" in style
    assert f"--rd-paper: {PAPER.lower()}" in style


# --- notes


def test_saving_puts_the_note_on_the_disk_and_empties_the_pad(panel: NotesPanel, journal: Journal):
    panel.stage.value = "break"
    panel.pad.text = "No smoke, but quince"
    panel.save_note()
    (note,) = journal.notes()
    assert (note.text, note.stage, note.revision) == ("No smoke, but quince", "break", 1)
    assert panel.pad.text == ""
    assert "Saved at" in panel.status.value
    assert "Break · Harvest Lot 3 · Ilse Varga" in panel.listing.value
    assert journal.drafts() == {}


def test_the_newest_note_stands_first(panel: NotesPanel):
    for text in ("first lemon", "second lemon"):
        panel._now = lambda: NOON + timedelta(minutes=1 if "second" in panel.pad.text else 0)
        panel.pad.text = text
        panel.save_note()
    assert panel.listing.value.index("second <span") < panel.listing.value.index("first <span")


@pytest.mark.parametrize(
    ("taster", "cup", "text", "says"),
    [
        ("Ilse", "Lot 3", "   ", "There is no note yet"),
        ("  ", "Lot 3", "lemon", "taster"),
        ("Ilse", "", "lemon", "Say which coffee this is"),
    ],
)
def test_what_is_missing_is_said_in_one_sentence_and_nothing_typed_is_lost(panel, journal, taster, cup, text, says):
    panel.taster.value, panel.cup.value, panel.pad.text = taster, cup, text
    panel.save_note()
    assert says in panel.trouble.value
    assert panel.pad.text == text
    # What is refused leaves nothing behind.
    assert (journal.notes(), journal.tasters(), journal.tastings(), journal.coffees()) == ([], [], [], [])


def test_a_journal_that_cannot_be_written_is_said_and_the_pad_keeps_its_text(panel, journal, monkeypatch):
    def fail(**_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(journal, "save_note", fail)
    panel.pad.text = "lemon"
    panel.save_note()
    assert "No space left on device" in panel.trouble.value
    assert panel.pad.text == "lemon"


def test_a_draft_is_kept_while_it_is_typed_and_found_by_the_next_panel(panel, journal):
    panel.stage.value = "break"
    panel.pad.text = "half a thought about ced"
    assert list(journal.drafts()) == [DRAFT]
    again = NotesPanel(journal, LEXICON)
    assert again.pad.text == "half a thought about ced"
    # A draft belongs to whoever typed it, at that cup and stage.
    assert (again.taster.value, again.cup.value, again.stage.value) == ("Ilse Varga", "Harvest Lot 3", "break")
    panel.pad.text = ""
    assert journal.drafts() == {}


def test_notes_of_one_day_and_coffee_share_a_cup_and_a_code_names_its_own(panel, journal):
    for cup in ("Harvest Lot 3", "Harvest  Lot 3", "472", "472", "Upper Field"):
        panel.cup.value, panel.pad.text = cup, "lemon"
        panel.save_note()
    assert len(journal.tastings()) == 1
    servings = journal.servings()
    assert len(servings) == 3
    assert [s.coffee_id is None for s in servings if s.code == "472"] == [True]
    assert "cup 472" in panel.listing.value


def test_an_unplaced_word_is_kept_for_its_taster_and_taken_back(panel, journal):
    panel.pad.text = "gambooge-like"
    assert panel.unplaced.value == "gambooge-like"
    panel.keep_word()
    assert "Choose the place" in panel.trouble.value
    panel.place.value = LEXICON.place("workshop/wood")
    panel.keep_word()
    assert [(m.text, m.node) for m in panel.reading.mentions] == [("gambooge-like", "workshop/wood")]
    panel.taster.value = "Somebody else"
    assert panel.reading.mentions == ()
    panel.forget_word()
    panel.taster.value = "Ilse Varga"
    assert panel.reading.mentions == ()
    assert journal.personal_words(journal.taster("Ilse Varga").id) == {}


def test_hostile_text_in_a_list_of_notes_is_escaped(panel, journal):
    panel.taster.value, panel.cup.value = "<b>Bo</b>", "<i>Lot</i>"
    panel.pad.text = '<img src=x onerror="a"> lemon'
    panel.save_note()
    listed = list_notes(journal.notes(), journal, LEXICON)
    assert "&lt;img src=x onerror=&quot;a&quot;&gt; " in listed
    for raw in ("<img", "<b>", "<i>"):
        assert raw not in listed
        assert raw not in panel.status.value


# --- odd cup out


@pytest.fixture
def odd(journal: Journal, tmp_path: Path) -> OddCupPanel:
    return begin(journal, tmp_path)


def begin(journal: Journal, folder: Path, way: str = "helper", triads: int = 3) -> OddCupPanel:
    panel = OddCupPanel(journal, folder, now=lambda: NOON)
    panel.taster.value, panel.coffee_a.value, panel.coffee_b.value = "Ilse", "Lot 3", "<b>Lot 4</b>"
    panel.triads.value, panel.way.value = triads, way
    panel.draw()
    return panel


def answer(panel: OddCupPanel, code: str) -> None:
    panel.cups.value = code
    panel.answer()


def test_a_run_right_in_every_triad_is_judged_against_chance(odd: OddCupPanel, journal: Journal):
    key = journal.pourer_key(odd.run.id)
    for codes, order in zip(key.codes, key.orders, strict=True):
        answer(odd, codes[next(i for i, cup in enumerate(order) if order.count(cup) == 1)])
    # 1/27 by hand: three right of three, each with probability 1/3.
    assert "Difference shown: 3 of 3 planned triads were correct" in odd.verdict.children[0].value
    assert "p = 0.037" in odd.verdict.children[0].value


def test_an_answer_is_forced_and_locked(odd: OddCupPanel, journal: Journal):
    odd.answer()
    assert "Choose the cup" in odd.trouble.value
    assert odd.lock.disabled
    first = odd.triad
    answer(odd, first.codes[0])
    assert odd.triad.number == 2
    with pytest.raises(ValueError, match="locked"):
        journal.answer(first.id, odd_code=first.codes[1])


def test_an_interrupted_run_goes_on_at_the_next_triad(odd: OddCupPanel, journal: Journal, tmp_path: Path):
    answer(odd, odd.triad.codes[0])
    again = OddCupPanel(journal, tmp_path, now=lambda: NOON)
    assert again.triad.number == 2
    assert again.triad.codes == odd.triad.codes


def test_nothing_that_the_panel_shows_depends_on_the_key_before_the_last_answer(
    journal: Journal, tmp_path: Path, monkeypatch
):
    from redolent.desk import odd_cup
    from redolent.triangle import RunDesign

    codes = [("217", "538", "846"), ("392", "684", "751"), ("263", "497", "918")]
    shown = []
    for orders in (["AAB", "ABA", "BAA"], ["BBA", "ABB", "BAB"]):
        design = RunDesign(tuple(orders), tuple(codes))
        monkeypatch.setattr(odd_cup, "design_run", lambda *_, design=design: design)
        panel = begin(journal, tmp_path)
        seen = [_text_of(panel)]
        for triad in codes[:2]:
            answer(panel, triad[0])
            seen.append(_text_of(panel))
        answer(panel, codes[2][0])
        shown.append(seen)
    assert shown[0] == shown[1]


def _text_of(widget: object) -> list[str]:
    """Give every value and label under a widget, as it goes to the browser."""
    if hasattr(widget, "children"):
        return [text for child in widget.children for text in _text_of(child)]
    names = ("value", "description", "options", "_options_labels", "disabled", "placeholder")
    return [f"{name}={getattr(widget, name, None)}" for name in names]


def test_the_pourers_key_is_a_file_and_the_table_sheet_has_codes_only(
    odd: OddCupPanel, journal: Journal, tmp_path: Path
):
    key = journal.pourer_key(odd.run.id)
    sheets = {path.name.split(" 20")[0]: path.read_text(encoding="utf-8") for path in tmp_path.glob("*.html")}
    assert set(sheets) == {"pourer's key", "table sheet"}
    assert key.nonce in sheets["pourer's key"]
    assert "&lt;b&gt;Lot 4&lt;/b&gt;" in sheets["pourer's key"]
    assert all(code in sheets["table sheet"] for triad in key.codes for code in triad)
    assert key.nonce not in sheets["table sheet"]
    assert "Lot 3" not in sheets["table sheet"]
    assert odd.run.commitment in sheets["table sheet"]


def test_alone_at_the_table_the_cups_are_looked_under_after_the_lock(journal: Journal, tmp_path: Path):
    panel = begin(journal, tmp_path, way="self-reported")
    assert not list(tmp_path.glob("pourer*"))
    for number in (1, 2, 3):
        assert panel.triad.number == number
        answer(panel, panel.triad.codes[2])
        assert "is locked" in panel.question.value
        if number == 2:
            panel = OddCupPanel(journal, tmp_path, now=lambda: NOON)
            assert "is locked" in panel.question.value
        panel.stood.value = "AAB" if number < 3 else "ABA"
        panel.enter_truth()
    assert journal.score(panel.run.id) == (2, 3)
    assert "2 of 3 planned triads were correct" in panel.verdict.children[0].value
    assert "Self-reported." in panel.verdict.children[0].value
    assert journal.runs()[0].blinding == "self-reported"


def test_a_run_stopped_early_gets_no_verdict(odd: OddCupPanel):
    answer(odd, odd.triad.codes[0])
    odd.stop_early()
    assert "Stopped early: 3 triads were planned, 1 was answered" in odd.verdict.children[0].value
    odd.plan()
    odd.taster.value, odd.coffee_a.value, odd.coffee_b.value = "Ilse", "Lot 3", "Lot 3"
    odd.draw()
    assert "two different coffees" in odd.trouble.value


def test_a_run_with_a_known_seed_is_stored_as_not_blind(journal: Journal, tmp_path: Path):
    panel = OddCupPanel(journal, tmp_path, now=lambda: NOON, seed=7)
    panel.taster.value, panel.coffee_a.value, panel.coffee_b.value = "Ilse", "Lot 3", "Lot 4"
    panel.draw()
    assert journal.runs()[0].blinding == "not blind"


@pytest.mark.parametrize(("triads", "needed"), [(3, 3), (6, 5), (12, 8), (24, 13)])
def test_the_plan_says_how_many_right_answers_it_takes(journal: Journal, triads: int, needed: int):
    # FAO document V7180E, Appendix A, 5 % level.
    panel = OddCupPanel(journal)
    panel.triads.value = triads
    assert f"In {triads} triads, at least {needed} correct answers" in panel.outlook.value


# --- progress


def write(journal: Journal, name: str, *texts: str) -> None:
    taster, coffee = journal.taster(name), journal.coffee("Lot 3")
    tasting = journal.start_tasting("one", at=NOON)
    for number, text in enumerate(texts):
        cup = journal.add_serving(tasting.id, coffee_id=coffee.id, code=str(417 + number))
        journal.save_note(taster_id=taster.id, serving_id=cup.id, stage="warm", text=text, at=NOON)


def test_an_empty_progress_page_can_be_looked_at_again(journal: Journal):
    panel = ProgressPanel(journal, LEXICON)
    assert "There is nothing to show yet" in panel.figures.children[0].value
    write(journal, "Ilse Varga", "quince")
    panel.look_again()
    assert [label for label, _ in panel.taster.options] == ["Ilse Varga"]
    assert panel.findings["Words"].startswith("1 distinct descriptor in 1 serving")


def test_new_tasters_are_listed_when_looked_at_again(journal: Journal):
    write(journal, "Ilse Varga", "quince")
    panel = ProgressPanel(journal, LEXICON)
    write(journal, "Bo Lind", "quince", "lemon")
    panel.look_again()
    assert [label for label, _ in panel.taster.options] == ["Bo Lind", "Ilse Varga"]
    assert panel.findings["Words"].startswith("1 distinct descriptor in 1 serving")


def test_another_taster_s_figures_are_gone_before_the_new_ones_are_counted(journal: Journal, monkeypatch):
    write(journal, "Bo Lind", "quince", "lemon")
    write(journal, "Ilse Varga", "quince")
    panel = ProgressPanel(journal, LEXICON)
    seen = []

    def look(*_: object) -> tuple:
        seen.append((panel.figures.children, panel.busy.layout.visibility))
        raise ValueError("stopped")

    monkeypatch.setattr("redolent.desk.progress.look", look)
    panel.taster.value = next(id for _, id in panel.taster.options if id != panel.taster.value)
    assert seen == [((), "visible")]
    assert panel.busy.layout.visibility == "hidden"
    assert "stopped" in panel.trouble.value


def test_the_steps_of_progress_each_have_their_sentence(journal: Journal):
    write(journal, "Ilse Varga", "quince", "quince, lemon", "jasmine")
    panel = ProgressPanel(journal, LEXICON)
    assert list(panel.findings) == [
        *("Words", "Precision", "Consistency", "Discrimination", "What next", "What this rests on"),
    ]
    assert panel.findings["What this rests on"].startswith("Rests on 3 notes on 3 servings in 1 tasting, on 2026-03-14")
    head = panel.figures.children[0].children[0].value
    assert head == f'<h3>Words</h3><p class="rd-sentence">{safe(panel.findings["Words"])}</p>'
