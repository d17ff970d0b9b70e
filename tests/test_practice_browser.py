"""The practice notebook in the browser: one drill of each kind, by touch and by keyboard."""

import os
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from lab_driver import DESKTOP, TABLET, await_idle, await_notebook, begin, chromium_page, running_lab
from playwright.sync_api import Locator, Page, expect
from test_tasting_browser import check

from redolent.journal import Journal
from redolent.lexicon import Lexicon

pytestmark = pytest.mark.browser

WAIT = 30_000
SCREENS = os.environ.get("REDOLENT_SCREENS")
"""A folder for pictures of the screens, for whoever wants to look at them."""


@pytest.fixture(scope="module")
def journal_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("journal") / "journal.db"
    with Journal.open(path) as journal:
        taster = journal.taster("Ilse Varga")
        tasting = journal.start_tasting()
        coffee = journal.coffee("Harvest Lot 3")
        for number, text in enumerate(("quince and honey", "pear, very fruity", "fruity"), 1):
            cup = journal.add_serving(tasting.id, coffee_id=coffee.id, code=f"21{number}", position=number)
            journal.save_note(taster_id=taster.id, serving_id=cup.id, stage="hot", text=text)
    return path


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory, journal_path: Path) -> Iterator[str]:
    with running_lab(tmp_path_factory.mktemp("home"), env={"REDOLENT_JOURNAL": str(journal_path)}) as url:
        yield url.replace("Notes.ipynb", "Practice.ipynb")


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def choose(page: Page, drill: str) -> None:
    press(page, drill)
    expect(page.get_by_role("button", name=drill, exact=True)).to_have_class(re.compile("mod-active"), timeout=WAIT)
    press(page, "Begin")


def look(page: Page, name: str) -> None:
    """Hold that nothing is cut off and every target is large, and keep a picture where one is wanted."""
    desk = page.locator(".rd-desk")
    assert desk.evaluate("desk => desk.scrollWidth - desk.clientWidth") <= 0
    for button in page.locator(".rd-desk button:visible").all():
        assert button.bounding_box()["height"] >= 44
    if SCREENS:
        page.wait_for_timeout(300)
        page.screenshot(path=f"{SCREENS}/{name}-{page.viewport_size['width']}.png")


def answer_household(page: Page) -> None:
    page.get_by_label("adults only").check()
    page.get_by_label("nobody here has an allergy").check()


@pytest.mark.parametrize("size", [DESKTOP, TABLET], ids=["desktop", "tablet"])
def test_one_drill_of_each_kind(address: str, journal_path: Path, size: tuple[int, int]) -> None:
    with chromium_page(address, size) as page:
        begin(page)
        expect(page.get_by_label("Taster")).to_have_value("Ilse Varga", timeout=WAIT)
        look(page, "drills")
        check(page, "Practice")

        choose(page, "Find the place")
        expect(page.get_by_text("From the realm down")).to_be_visible(timeout=WAIT)
        look(page, "place")
        steps = page.locator(".rd-steps .widget-toggle-button")
        for step in ("which family?", "which group?", "of 3 steps right"):
            # By the keyboard: the first choice has the focus after a tab, and Enter takes it.
            steps.first.focus()
            page.keyboard.press("Enter")
            expect(page.locator(".rd-desk")).to_contain_text(step, timeout=WAIT)
        expect(page.locator(".rd-desk")).to_contain_text("it comes back in about")
        look(page, "place-told")
        press(page, "Enough for now")

        choose(page, "Name it")
        expect(page.get_by_role("timer")).to_contain_text("seconds left", timeout=WAIT)
        page.locator(".rd-answer textarea").fill("quinse, lemon\nhoney, cedar")
        look(page, "name")
        press(page, "Lock the answer")
        expect(page.locator(".rd-sentence").first).to_contain_text("came to mind", timeout=WAIT)
        expect(page.locator(".rd-desk")).to_contain_text("Stand elsewhere")
        look(page, "name-told")
        press(page, "Enough for now")

        choose(page, "Sharpen")
        expect(page.locator(".rd-note q")).to_contain_text("fruity", timeout=WAIT)
        page.locator(".rd-answer textarea").fill("quince jelly")
        look(page, "sharpen")
        press(page, "Lock the answer")
        expect(page.locator(".rd-sentence").first).to_contain_text("deeper: ", timeout=WAIT)
        press(page, "Enough for now")

        choose(page, "Tell apart")
        answer_household(page)
        press(page, "Next")
        expect(page.locator(".rd-desk")).to_contain_text("pear and quince", timeout=WAIT)
        look(page, "apart")
        press(page, "pear")
        expect(page.get_by_text("Now look: which one was it?")).to_be_visible(timeout=WAIT)
        press(page, "pear")
        expect(page.get_by_text("You told them apart.")).to_be_visible(timeout=WAIT)
        press(page, "Enough for now")


def test_a_drill_is_done_by_touch(address: str) -> None:
    with chromium_page(address, TABLET, touch=True) as page:
        begin(page)
        expect(page.get_by_label("Taster")).to_have_value("Ilse Varga", timeout=WAIT)

        def tap(target: Locator) -> None:
            # What the kernel sends last for a screen is its buttons.
            await_idle(page)
            # All at once: the panel may draw a button anew between two questions.
            sides = page.evaluate(
                "[...document.querySelectorAll('.rd-desk button')].map((b) => b.getBoundingClientRect())"
                ".filter((b) => b.height).map((b) => Math.min(b.width, b.height))"
            )
            assert min(sides) >= 44
            target.tap()

        drill = page.get_by_role("button", name="Find the place", exact=True)
        tap(page.get_by_role("button", name="Name it", exact=True))
        tap(drill)
        expect(drill).to_have_class(re.compile("mod-active"), timeout=WAIT)
        tap(page.get_by_role("button", name="Begin", exact=True))
        for _ in range(2):
            for step in ("which realm?", "which family?", "which group?"):
                expect(page.locator(".rd-desk")).to_contain_text(step, timeout=WAIT)
                tap(page.locator(".rd-steps .widget-toggle-button").first)
            expect(page.locator(".rd-desk")).to_contain_text("of 3 steps right", timeout=WAIT)
            tap(page.get_by_role("button", name="Next", exact=True))
        expect(page.locator(".rd-desk")).to_contain_text("which realm?", timeout=WAIT)
        tap(page.get_by_role("button", name="Enough for now", exact=True))
        expect(drill).to_be_visible(timeout=WAIT)


def test_jars_are_smelled_blind_through_a_reload(address: str, journal_path: Path) -> None:
    with chromium_page(address, TABLET) as page:
        begin(page)
        expect(page.get_by_label("Taster")).to_have_value("Ilse Varga", timeout=WAIT)
        choose(page, "Jars")
        press(page, "Pick the jars")
        expect(page.get_by_role("alert")).to_contain_text("Say which allergies", timeout=WAIT)
        answer_household(page)
        page.get_by_label("milk").check()
        page.get_by_label("nobody here has an allergy").uncheck()
        page.get_by_label("Jars", exact=True).fill("6")
        page.keyboard.press("Tab")
        look(page, "jars-asked")
        check(page, "jars")
        press(page, "Pick the jars")
        expect(page.get_by_text("6 jars are picked")).to_be_visible(timeout=WAIT)
        look(page, "jars-picked")
        press(page, "The jars are ready")
        expect(page.get_by_text("(1 of 6)")).to_be_visible(timeout=WAIT)
        page.locator(".rd-answer textarea").fill("lemon, or so")
        look(page, "jar")
        press(page, "Lock the answer")
        expect(page.get_by_text("(2 of 6)")).to_be_visible(timeout=WAIT)
        page.reload()
        await_notebook(page)
        begin(page)
        choose(page, "Jars")
        for number in range(2, 7):
            expect(page.get_by_text(f"({number} of 6)")).to_be_visible(timeout=WAIT)
            page.locator(".rd-answer textarea").fill("no idea" if number % 2 else "rose")
            press(page, "Lock the answer")
        expect(page.locator(".rd-sentence").first).to_contain_text("of 6 jars were named right", timeout=WAIT)
        press(page, "family")
        expect(page.locator(".rd-sentence").first).to_contain_text("to the family", timeout=WAIT)
        look(page, "jars-open")
    with Journal.open(journal_path) as journal:
        told = journal.drills_frame(journal.taster("Ilse Varga").id)
        jars = told[told["drill"] == "jars"]
        assert len(jars) == 6
        lexicon = Lexicon.load()
        assert not any("milk" in lexicon[node].allergens for node in jars["node"])
