"""What a newcomer does in the browser, from the first click to the charts."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from lab_driver import DESKTOP, await_notebook, begin, chromium_page, running_lab
from playwright.sync_api import Page, expect

from redolent.demo import open_demo
from redolent.journal import Journal

pytestmark = pytest.mark.browser

NOTE = "No smoke at all, but a hint of bluberry and a syrupy body"
HOSTILE = '<img src=x onerror="window.stolen = 1"> שלום לימון 🫐🧁 <script>window.stolen = 2</script> lemon'


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("home")


@pytest.fixture(scope="module")
def journal_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("journal") / "journal.db"


@pytest.fixture(scope="module")
def address(home: Path, journal_path: Path) -> Iterator[str]:
    with running_lab(home, env={"REDOLENT_JOURNAL": str(journal_path)}) as url:
        yield url


def fill_in(page: Page, taster: str, coffee: str) -> None:
    page.get_by_placeholder("your name").fill(taster)
    page.get_by_placeholder("its name, or the code of the cup").fill(coffee)


def write(page: Page, text: str) -> None:
    page.locator(".rd-area").click()
    page.locator(".rd-area").press_sequentially(text)


def save(page: Page) -> None:
    page.get_by_role("button", name="Save the note").click()
    expect(page.get_by_role("status").filter(has_text="Saved at")).to_be_visible(timeout=15_000)


def test_a_note_with_a_denied_and_a_misspelt_word_is_read_saved_and_found_after_a_reload(
    address: str, journal_path: Path
) -> None:
    with chromium_page(address, DESKTOP) as page:
        begin(page)
        fill_in(page, "Ilse Varga", "Harvest Lot 3")
        write(page, NOTE)
        words = page.locator(".rd-read li")
        expect(words).to_have_count(3)
        expect(words.nth(0)).to_contain_text("smoke smelled: fire and cellar › hearth › smoke; denied")
        expect(words.nth(1)).to_contain_text("blueberry; slight; read through its spelling")
        expect(words.nth(2)).to_contain_text("syrupy body felt: ")
        expect(page.locator(".rd-layer mark")).to_have_text(["smoke", "bluberry", "syrupy body"])
        expect(page.locator(".rd-layer mark.rd-denied")).to_have_text(["smoke"])
        save(page)
        # Whatever happens to the page from here on, the note is on the disk.
        with Journal.open(journal_path) as journal:
            assert [note.text for note in journal.notes()] == [NOTE]
        expect(page.locator(".rd-area")).to_have_value("")
        page.reload()
        await_notebook(page)
        begin(page)
        expect(page.locator(".rd-note").first).to_contain_text(NOTE)
        expect(page.locator(".rd-note").first).to_contain_text("Hot cup · Harvest Lot 3 · Ilse Varga")


def test_what_was_typed_and_not_saved_is_still_there_after_a_reload(address: str) -> None:
    with chromium_page(address, DESKTOP) as page:
        begin(page)
        write(page, "cedar and a touch of clove")
        expect(page.locator(".rd-read li")).to_have_count(2)
        page.reload()
        await_notebook(page)
        begin(page)
        expect(page.locator(".rd-area")).to_have_value("cedar and a touch of clove")
        expect(page.locator(".rd-read li")).to_have_count(2)
        page.locator(".rd-area").fill("")
        expect(page.locator(".rd-read li")).to_have_count(0)


def test_steady_typing_is_kept_without_a_pause(address: str) -> None:
    with chromium_page(address, DESKTOP) as page:
        begin(page)
        page.locator(".rd-area").click()
        # Each key comes before the pause of 150 ms is over, and the page goes right after the last.
        page.locator(".rd-area").press_sequentially("cedar clove and honey at once", delay=90)
        page.reload()
        await_notebook(page)
        begin(page)
        assert page.locator(".rd-area").input_value().startswith("cedar clove and honey")
        page.locator(".rd-area").fill("")
        expect(page.locator(".rd-read li")).to_have_count(0)


def test_what_is_typed_right_after_saving_stands_alone(address: str) -> None:
    with chromium_page(address, DESKTOP) as page:
        begin(page)
        fill_in(page, "Ilse Varga", "Harvest Lot 3")
        write(page, "lemon")
        page.get_by_role("button", name="Save the note").click()
        page.locator(".rd-area").press_sequentially("rose water", delay=20)
        expect(page.locator(".rd-area")).to_have_value("rose water")
        page.locator(".rd-area").fill("")
        expect(page.locator(".rd-read li")).to_have_count(0)


def test_what_is_wrong_is_said_where_it_is_seen(address: str) -> None:
    with chromium_page(address, DESKTOP) as page:
        begin(page)
        write(page, "lemon")
        page.get_by_role("button", name="Save the note").click()
        trouble = page.get_by_role("alert").filter(has_text="Say which coffee this is")
        expect(trouble).to_be_in_viewport(ratio=1)
        expect(page.locator(".rd-area")).to_have_value("lemon")
        page.locator(".rd-area").fill("")
        expect(page.locator(".rd-read li")).to_have_count(0)


def test_hostile_text_is_shown_as_text(address: str, journal_path: Path) -> None:
    with Journal.open(journal_path) as journal:
        taster = journal.taster("<b>Bo</b>")
        serving = journal.servings()[0]
        for text in ("nul \0 and \ud800 lone", "lemon " * 17_000, HOSTILE):
            journal.save_note(taster_id=taster.id, serving_id=serving.id, stage="hot", text=text)
    with chromium_page(address, DESKTOP) as page:
        begin(page)
        shown = page.locator(".rd-note")
        expect(shown.nth(0)).to_contain_text(HOSTILE)
        expect(shown.nth(0)).to_contain_text("<b>Bo</b>")
        assert page.locator(".rd-note img, .rd-note script, .rd-note b").count() == 0
        expect(shown.nth(1).locator("q")).to_contain_text("lemon lemon lemon")
        expect(shown.nth(2)).to_contain_text("nul � and � lone")
        fill_in(page, "<img src=x onerror='window.stolen=3'>", "Harvest Lot 3")
        write(page, "<img src=x onerror='window.stolen=4'> lemon")
        expect(page.locator(".rd-read li", has_text="lemon")).to_have_count(1)
        save(page)
        expect(shown.nth(0)).to_contain_text("<img src=x onerror='window.stolen=4'> lemon")
        assert page.evaluate("window.stolen") is None


def test_a_word_without_a_place_is_given_one_by_its_taster(address: str) -> None:
    with chromium_page(address, DESKTOP) as page:
        begin(page)
        fill_in(page, "Ilse Varga", "Harvest Lot 3")
        write(page, "gambooge-like")
        page.get_by_placeholder("type to find a place").fill("outdoors › workshop › wood")
        page.get_by_role("button", name="Keep it as my word").click()
        expect(page.locator(".rd-read li").first).to_contain_text("smelled: outdoors › workshop › wood")
        page.get_by_role("button", name="Take it back").click()
        expect(page.locator(".rd-read li")).to_have_count(0)
        page.locator(".rd-area").fill("")
        expect(page.locator(".rd-layer")).to_have_text("")


def test_the_practice_notebook_offers_its_drills(address: str) -> None:
    with chromium_page(address.replace("Notes.ipynb", "Practice.ipynb"), DESKTOP) as page:
        begin(page)
        for drill in ("Find the place", "Name it", "Sharpen", "Tell apart", "Jars"):
            expect(page.get_by_role("button", name=drill)).to_be_visible(timeout=60_000)
        page.get_by_label("Taster").fill("Ilse Varga")
        page.get_by_role("button", name="Begin").click()
        expect(page.get_by_text("which realm?")).to_be_visible(timeout=60_000)


def test_the_progress_notebook_shows_its_charts_each_with_a_sentence(
    tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    open_demo(tmp_path / "demo.db").close()
    env = {"REDOLENT_JOURNAL": str(tmp_path / "demo.db")}
    with (
        running_lab(tmp_path_factory.mktemp("home"), env=env) as url,
        chromium_page(url.replace("Notes.ipynb", "Progress.ipynb"), DESKTOP) as page,
    ):
        begin(page)
        expect(page.locator(".js-plotly-plot")).to_have_count(9, timeout=60_000)
        expect(page.locator(".rd-sentence")).to_have_count(6)
        for step in ("Words", "Precision", "Consistency", "Discrimination", "What next", "What this rests on"):
            expect(page.get_by_role("heading", name=step)).to_be_visible()
        for sentence in page.locator(".rd-sentence").all_text_contents()[:4]:
            assert any(c.isdigit() for c in sentence), sentence
