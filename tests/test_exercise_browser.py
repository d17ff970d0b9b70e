"""An exercise in the browser: from the educator's form to the student's table and back, between two journals."""

import os
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from lab_driver import DESKTOP, TABLET, await_notebook, begin, chromium_page, folder_of, running_lab
from playwright.sync_api import Page, expect
from test_tasting_browser import check, no_overflow

from redolent.classroom import SetExercise, list_exercises, track_exercise
from redolent.journal import Journal
from redolent.tasting import GUIDE

pytestmark = pytest.mark.browser

WAIT = 60_000
SCREENS = os.environ.get("REDOLENT_SCREENS")
"""A folder for pictures of the screens, for whoever wants to look at them."""


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("exercise")


@pytest.fixture(scope="module")
def school(place: Path) -> Iterator[str]:
    (place / "school").mkdir()
    with running_lab(place / "school", env={"REDOLENT_JOURNAL": str(place / "school.db")}) as url:
        yield url.replace("Notes.ipynb", "Class.ipynb")


@pytest.fixture(scope="module")
def home(place: Path) -> Iterator[str]:
    (place / "home").mkdir()
    with running_lab(place / "home", env={"REDOLENT_JOURNAL": str(place / "home.db")}) as url:
        yield url.replace("Notes.ipynb", "Exercise.ipynb")


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def find_set(place: Path, title: str) -> tuple[SetExercise, Path]:
    """Give the exercise of this title, as the school's journal has it, and the file that was written last."""
    with Journal.open(place / "school.db") as journal:
        (given,) = [one for one in list_exercises(journal) if one.exercise.title == title]
    return given, max(folder_of(place / "school").glob("exercise *.jsonl"))


def take_in(page: Page, file: Path, instructions: str, name: str) -> None:
    """Open the file that came, and say whose exercise it is."""
    with page.expect_file_chooser() as chosen:
        page.get_by_role("button", name="Open the file that you were sent").click()
    chosen.value.set_files(file)
    expect(page.get_by_text(instructions).first).to_be_visible(timeout=WAIT)
    page.get_by_label("Taster").fill(name)
    page.keyboard.press("Tab")


def look(page: Page, name: str) -> None:
    """Hold that nothing is cut off and every target is large, and keep a picture where one is wanted."""
    assert no_overflow(page), name
    # All at once: the panel may draw a button anew between two questions.
    heights = page.evaluate(
        "[...document.querySelectorAll('.rd-desk button')].map((b) => b.getBoundingClientRect().height).filter(Boolean)"
    )
    assert min(heights) >= 44, name
    if SCREENS:
        page.wait_for_timeout(300)
        desk = page.locator(".rd-desk").first
        desk.screenshot(path=f"{SCREENS}/{name}-{page.viewport_size['width']}.png")


@pytest.mark.parametrize("size", [TABLET, DESKTOP], ids=["tablet", "desktop"])
def test_an_exercise_goes_out_and_comes_back(school: str, home: str, place: Path, size: tuple[int, int]) -> None:
    title, name = f"Sour or bitter, {size[0]}", f"Ada {size[0]}"
    with chromium_page(school, size) as page:
        begin(page)
        page.get_by_role("button", name="Set an exercise").click()
        page.get_by_label("Title").fill(title)
        page.get_by_label("Instructions").fill("Take your time.\nRinse between cups.")
        tasks = page.locator(".rd-answer textarea[placeholder*='a line each']")
        tasks.nth(0).fill("Monte Vespil\nGatundiri Ridge")
        press(page, "Another task")
        expect(tasks).to_have_count(3, timeout=WAIT)  # with that of the check-list, which is folded
        page.get_by_role("button", name="A reading of words", exact=True).nth(1).click()
        page.get_by_label("Words").fill("acid and sour\nbitter")
        page.keyboard.press("Tab")
        look(page, "class-form")
        press(page, "Make the exercise")
        expect(page.get_by_text("for your students")).to_be_visible(timeout=WAIT)
        look(page, "class-made")
        check(page, "the form")
    given, out = find_set(place, title)

    with chromium_page(home, size) as page:
        begin(page)
        take_in(page, out, "Rinse between cups.", name)
        look(page, "exercise")
        check(page, "the exercise")
        press(page, "Begin: Tasting")
        expect(page.get_by_label("Coffee 1")).to_have_value("Monte Vespil", timeout=WAIT)
        look(page, "exercise-tasting")
        press(page, "Draw the order and set the table")
        press(page, "Hot")
        cups = page.locator(".rd-pads .rd-cup")
        # The pads of the stage before stand there until the kernel has answered.
        expect(page.locator(f".rd-area[aria-label$='{GUIDE['hot'].label}']").first).to_be_visible(timeout=WAIT)
        for cup in range(cups.count()):
            cups.nth(cup).click()
            page.locator(".rd-pads .rd-open .rd-area").press_sequentially("lemon, sour")
        expect(page.locator(".rd-pads .rd-open .rd-read li")).to_have_count(2, timeout=WAIT)
        press(page, "Lock the notes of this stage")
        expect(page.get_by_role("status").filter(has_text="Locked at")).to_be_visible(timeout=WAIT)
        # What stands where, and the nonce that seals it, stay in the kernel.
        with Journal.open(place / "home.db") as journal:
            key = journal.pourer_plan(journal.plans()[0].tasting_id)
        assert key.nonce not in page.content()
        # A reload, and back to where the student was.
        page.reload()
        await_notebook(page)
        begin(page)
        expect(page.get_by_text(re.compile(r"Tasting (\d) of \1"))).to_be_visible(timeout=WAIT)
        page.get_by_role("button", name="Tasting", exact=True).click()
        press(page, "Begin: Tasting")
        press(page, "Reveal")
        press(page, "Lay the cups open")
        expect(page.get_by_text("Yes or no, if you like").first).to_be_visible(timeout=WAIT)
        page.get_by_role("button", name="yes", exact=True).first.click()
        look(page, "exercise-checks")
        check(page, "the check-list")
        page.get_by_role("button", name="Keep the answers", exact=True).click()
        expect(page.get_by_role("status").filter(has_text="are kept")).to_be_visible(timeout=WAIT)
        press(page, "Back to the exercise")
        press(page, "Begin: Words")
        means = page.get_by_label("To me it is")
        means.nth(0).fill("as lemon juice is")
        means.nth(1).fill("as chicory is")
        page.keyboard.press("Tab")
        look(page, "exercise-words")
        press(page, "Keep the answers")
        expect(page.get_by_text("All is done.")).to_be_visible(timeout=WAIT)
        press(page, "Write the file to send back")
        expect(page.get_by_text("for my educator")).to_be_visible(timeout=WAIT)
        look(page, "exercise-done")
    back = max(folder_of(place / "home").glob("for my educator *.jsonl"))
    inbox = place / f"inbox {size[0]}"
    inbox.mkdir()
    back.rename(inbox / back.name)

    with chromium_page(school, size) as page:
        begin(page)
        page.locator(".rd-desk").first.get_by_label("Folder").fill(str(inbox))
        page.keyboard.press("Tab")
        press(page, "Collect")
        expect(page.get_by_text(f"{name}: tasting")).to_be_visible(timeout=WAIT)
        look(page, "class-collected")
    with Journal.open(place / "school.db") as journal:
        tracked = track_exercise(journal, given)
        assert tracked[tracked["taster"] == name]["finished"].all()
        assert journal.circumstances(kind="check-list")


def test_its_odd_cups_and_jars_go_out_and_come_back(school: str, home: str, place: Path) -> None:
    title, name = "Odd cups and jars", "Teo Brandt"
    words = ("rose", "ginger", "lavender", "basil", "honey", "vinegar")
    with chromium_page(school, TABLET) as page:
        begin(page)
        page.get_by_role("button", name="Set an exercise").click()
        page.get_by_label("Title").fill(title)
        page.get_by_label("Instructions").fill("Ask somebody to prepare the jars.")
        page.get_by_role("button", name="Odd cups", exact=True).click()
        page.get_by_label("Triads").fill("3")
        tasks = page.locator(".rd-answer textarea[placeholder*='a line each']")
        tasks.nth(0).fill("Monte Vespil\nGatundiri Ridge")
        press(page, "Another task")
        expect(tasks).to_have_count(3, timeout=WAIT)  # with that of the check-list, which is folded
        page.get_by_role("button", name="Jars", exact=True).nth(1).click()
        page.get_by_label("In the jars").fill("\n".join(words))
        page.keyboard.press("Tab")
        press(page, "Make the exercise")
        expect(page.get_by_text("for your students")).to_be_visible(timeout=WAIT)
    given, out = find_set(place, title)

    with chromium_page(home, TABLET) as page:
        begin(page)
        take_in(page, out, "Ask somebody to prepare the jars.", name)
        press(page, "Begin: Odd cups")
        expect(page.get_by_label("Triads", exact=True)).to_have_value("3", timeout=WAIT)
        expect(page.get_by_placeholder("its name").nth(0)).to_have_value("Monte Vespil")
        look(page, "exercise-odd-cups")
        press(page, "Draw the serving order and begin")
        page.get_by_text("All cups look alike").click()
        press(page, "The cups are ready")
        for number in (1, 2, 3):
            expect(page.get_by_role("heading", name=f"Triad {number} of 3")).to_be_visible(timeout=WAIT)
            page.locator(".rd-cups button").first.click()
            press(page, "Lock my answer")
        expect(page.get_by_text("The numbers")).to_be_visible(timeout=WAIT)
        press(page, "Back to the exercise")
        # The panel goes on to the part that is still to be done.
        press(page, "Begin: Jars")
        page.get_by_label("adults only").check()
        page.get_by_label("Anything else").fill("ginger")
        page.keyboard.press("Tab")
        look(page, "exercise-jars")
        check(page, "the jars")
        press(page, "Pick the jars")
        expect(page.get_by_text("6 jars are picked")).to_be_visible(timeout=WAIT)
        assert page.get_by_text("lavender").count() == 0
        press(page, "The jars are ready")
        for number in range(1, 7):
            # The box of the jar before is emptied with the heading of the next.
            expect(page.get_by_role("heading", name=f"({number} of 6)")).to_be_visible(timeout=WAIT)
            expect(page.locator(".rd-answer textarea")).to_have_value("")
            page.locator(".rd-answer textarea").fill(words[number - 1])
            press(page, "Lock the answer")
        expect(page.get_by_text("The jars are open")).to_be_visible(timeout=WAIT)
        look(page, "exercise-jars-open")
        press(page, "Back to the exercise")
        expect(page.get_by_text("All is done.")).to_be_visible(timeout=WAIT)
        press(page, "Write the file to send back")
        expect(page.get_by_text("for my educator")).to_be_visible(timeout=WAIT)
    back = max(folder_of(place / "home").glob("for my educator *.jsonl"))
    inbox = place / "inbox of odd cups and jars"
    inbox.mkdir()
    back.rename(inbox / back.name)

    with chromium_page(school, TABLET) as page:
        begin(page)
        page.locator(".rd-desk").first.get_by_label("Folder").fill(str(inbox))
        page.keyboard.press("Tab")
        press(page, "Collect")
        # Ginger was replaced, and its part is done all the same.
        expect(page.get_by_text(f"{name}: triangle 3 of 3, jars 6 of 6")).to_be_visible(timeout=WAIT)
    with Journal.open(place / "school.db") as journal:
        tracked = track_exercise(journal, given)
        assert tracked[tracked["taster"] == name]["finished"].all()
        drills = journal.drills_frame(journal.find_taster(name).id)
        assert "ginger" not in " ".join(drills["node"])
