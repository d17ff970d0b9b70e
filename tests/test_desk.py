"""The panels without a browser: what they do with what people type and click."""

import asyncio
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from redolent.charts.style import INK, PAPER, SENSE_COLOURS
from redolent.desk import NotesPanel, ProgressPanel
from redolent.desk.notes import DRAFT, list_notes
from redolent.desk.panel import BREATH, STYLE, safe
from redolent.desk.progress import COUNTING
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


def test_in_a_kernel_the_progress_page_shows_itself_before_it_computes(journal: Journal):
    write(journal, "Ilse Varga", "quince")

    async def run_cell() -> tuple[str, str]:
        panel = ProgressPanel(journal, LEXICON)
        before = panel.figures.children[0].value
        await asyncio.sleep(3 * BREATH)
        return before, panel.figures.children[0].children[0].value

    before, after = asyncio.run(run_cell())
    assert before == COUNTING
    assert "1 distinct descriptor in 1 serving" in after


def test_findings_are_there_for_the_cell_that_asks_for_them(journal: Journal):
    write(journal, "Ilse Varga", "quince")

    async def ask() -> str:
        return ProgressPanel(journal, LEXICON).findings["Words"]

    assert asyncio.run(ask()).startswith("1 distinct descriptor in 1 serving")


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
        (said,) = panel.figures.children
        seen.append((said.value, panel.busy.layout.visibility))
        raise ValueError("stopped")

    monkeypatch.setattr("redolent.desk.progress.look", look)
    panel.taster.value = next(id for _, id in panel.taster.options if id != panel.taster.value)
    assert seen == [(COUNTING, "visible")]
    assert panel.figures.children == ()
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
