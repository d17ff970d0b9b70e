"""A whole tasting in the browser: by keyboard, with a kernel that dies, a reload, and nothing lost."""

import os
import re
import signal
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from lab_driver import (
    DESKTOP,
    TABLET,
    await_idle,
    await_notebook,
    begin,
    chromium_page,
    running_lab,
    write_notebook,
)
from playwright.sync_api import Page, expect

from redolent.cli.lab import START
from redolent.journal import Journal
from redolent.tasting import GUIDE, STEPS

pytestmark = pytest.mark.browser


WORDS = (
    "smoke cedar lemon fig honey rose clove tea plum walnut cocoa leather mint apple pear grape fennel ginger hay rum"
)


COUNT_RINGS = """() => {
  window.rings = [];
  const gain = { setValueAtTime() {}, exponentialRampToValueAtTime() {} };
  const line = { connect: (to) => to };
  window.AudioContext = class {
    currentTime = 0;
    resume() {}
    createGain() { return { ...line, gain }; }
    createOscillator() {
      const frequency = { value: 0 };
      return { ...line, frequency, start: () => window.rings.push(frequency.value), stop() {} };
    }
  };
}"""


def one_repeat() -> int:
    """Find a seed with which a table of two coffees holds one hidden repeat."""
    from redolent.tasting import design_tasting

    return next(seed for seed in range(100) if len(design_tasting(2, seed).order) == 3)


@pytest.fixture(scope="module")
def source(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("source")
    write_notebook(folder / START, [f"from redolent.desk import TastingPanel\nTastingPanel(seed={one_repeat()})"])
    return folder


@pytest.fixture
def place(tmp_path: Path, source: Path) -> Iterator[tuple[str, Path]]:
    """Yield the address of a lab of its own and its journal."""
    journal = tmp_path / "journal.db"
    with running_lab(tmp_path, source=source, env={"REDOLENT_JOURNAL": str(journal)}) as url:
        yield url, journal


def set_table(page: Page) -> None:
    page.get_by_placeholder("your name").fill("Ilse Varga")
    page.get_by_placeholder("its name").nth(0).fill("Upper Field washed")
    page.get_by_placeholder("its name").nth(1).fill("Lower Field natural")
    page.get_by_role("button", name="Draw the order and set the table").click()
    expect(page.locator(".rd-pads .rd-cup")).to_have_count(3)


def go_to(page: Page, step: str) -> None:
    page.locator(".rd-steps button", has_text=step).click()
    # The button is pressed in the browser before the kernel knows; what the kernel sends last says that it does.
    names = [one.label for one in STEPS]
    following = names[min(names.index(step) + 1, len(names) - 1)]
    last = "Lay the cups open" if step == "Reveal" else f"Next: {following}"
    expect(page.get_by_role("button", name=last)).to_be_visible()
    if stage := next(one.stage for one in STEPS if one.label == step):
        expect(page.locator(f".rd-area[aria-label$='{GUIDE[stage].label}']")).to_have_count(3)


def check(page: Page, state: str) -> None:
    """Fail where axe-core, which comes with its package, finds anything serious inside the panel, or it is cut off.

    With a folder in REDOLENT_SCREENS, each state is left there as a picture, to be looked at.
    """
    found = Axe().run(page, ".rd-desk").response
    assert found["passes"], "axe-core looked at nothing"
    serious = [(v["id"], v["nodes"][0]["html"]) for v in found["violations"] if v["impact"] in ("serious", "critical")]
    assert serious == [], state
    assert no_overflow(page), state
    if folder := os.environ.get("REDOLENT_SCREENS"):
        size = page.viewport_size
        assert size is not None
        page.set_viewport_size(size | {"height": 2500})
        page.locator(".rd-desk").first.screenshot(path=Path(folder) / f"{state} {size['width']}.png")
        page.set_viewport_size(size)


def no_overflow(page: Page) -> bool:
    return page.locator(".rd-desk").first.evaluate("(desk) => desk.scrollWidth <= desk.clientWidth + 1")


def press_until(page: Page, key: str, wanted: str, *, placeholder: str = "", most: int = 80) -> None:
    """Press a key until what has the focus bears the wanted words, or is empty and asks for the wanted thing."""
    held = """() => {
      const held = document.activeElement;
      return [held === document.body ? "" : held.innerText ?? "", held.value ? "" : held.placeholder ?? ""];
    }"""
    for _ in range(most):
        words, asked = page.evaluate(held)
        if asked == placeholder if placeholder else re.search(wanted, words):
            return
        page.keyboard.press(key)
    raise AssertionError(f"No {wanted or placeholder!r} was reached with {key}.")


def run_by_keyboard(page: Page) -> None:
    """Begin with Shift+Enter twice, from where the page puts the focus when it is opened."""
    page.keyboard.press("Shift+Enter")
    page.wait_for_timeout(300)
    page.keyboard.press("Shift+Enter")
    expect(page.locator(".rd-desk").first).to_be_visible(timeout=60_000)


def kill_kernels(home: Path) -> None:
    """Kill the kernels of this lab, which keep their files under its home, and no others."""
    listed = subprocess.run(["ps", "-ww", "-eo", "pid=,args="], capture_output=True, text=True, check=True).stdout
    lines = [line.split(maxsplit=1) for line in listed.splitlines()]
    kernels = [int(pid) for pid, command in lines if "ipykernel_launcher" in command and str(home) in command]
    assert kernels
    for pid in kernels:
        os.kill(pid, signal.SIGKILL)


@pytest.mark.parametrize("size", [DESKTOP, TABLET], ids=["1280 px", "768 px"])
def test_a_whole_tasting_by_keyboard_with_a_kernel_restart_and_a_reload(
    place: tuple[str, Path], size: tuple[int, int]
) -> None:
    url, journal_path = place
    with chromium_page(url, size) as page:
        run_by_keyboard(page)
        check(page, "set out")
        press_until(page, "Shift+Tab", "", placeholder="your name")
        page.keyboard.type("Ilse Varga")
        for name in ("Upper Field washed", "Lower Field natural"):
            press_until(page, "Tab", "", placeholder="its name")
            page.keyboard.type(name)
        press_until(page, "Tab", "Draw the order")
        page.keyboard.press("Enter")
        expect(page.locator(".rd-pads .rd-cup")).to_have_count(3)
        check(page, "dry grounds")

        # Number keys go to cups while nobody types; Tab goes from cup to cup; with Alt a number goes there, too.
        press_until(page, "Tab", r"^1 · ")
        page.keyboard.press("2")
        page.keyboard.type("fruity, 2 spoons")
        page.keyboard.press("Tab")
        page.keyboard.type("cedar")
        page.keyboard.press("Alt+1")
        page.keyboard.type("honey")
        expect(page.locator(".rd-cup").nth(0)).to_contain_text("draft")
        assert page.locator(".rd-area").evaluate_all("(areas) => areas.map((a) => a.value)") == [
            "honey",
            "fruity, 2 spoons",
            "cedar",
        ]
        # No other cup's words while a note is open.
        assert page.locator(".rd-area:visible").count() == 1
        press_until(page, "Tab", "Lock the notes")
        page.keyboard.press("Enter")
        expect(page.get_by_role("status").filter(has_text="Locked at")).to_be_visible()
        expect(page.locator(".rd-cup").nth(1)).to_contain_text("locked")
        expect(page.get_by_text("Where would you go to smell it again")).to_be_visible()
        check(page, "coached")
        press_until(page, "Tab", "Next: Pour")
        page.keyboard.press("Enter")
        expect(page.locator(".rd-pour").first).to_be_focused()
        before = time.monotonic()
        for code in page.locator(".rd-clock-cups b").all_inner_texts():
            press_until(page, "Tab", f"Pour {code[-3:]}")
            page.keyboard.press("Enter")
            page.wait_for_timeout(100)
        poured = time.monotonic()
        expect(page.locator(".rd-time").nth(2)).to_contain_text("0:0")
        check(page, "pour")

        # The kernel is restarted in the middle: Shift+Enter in the panel brings it back.
        await_idle(page)
        kill_kernels(journal_path.parent)
        expect(page.locator(".jp-Dialog-button")).to_be_focused(timeout=20_000)
        page.keyboard.press("Enter")
        await_notebook(page)
        # What the dead kernel left on the page stays until the cell's new output is there.
        page.locator(".rd-desk").first.evaluate("(desk) => desk.classList.add('old')")
        page.keyboard.press("Shift+Enter")
        expect(page.locator(".old")).to_have_count(0, timeout=60_000)
        expect(page.locator(".rd-clock")).to_be_visible(timeout=60_000)
        expect(page.locator(".rd-steps .mod-active")).to_contain_text("Pour")
        expect(page.locator(".rd-steps")).to_contain_text("Dry grounds ✓")
        # Each cup's clock went on from its own pour, however long the restart took; a second is rounded away.
        expect(page.locator(".rd-time")).to_have_text([re.compile(r"^\d+:[0-5]\d$")] * 3)
        least = max(2, time.monotonic() - poured - 1)
        times = [shown.split(":") for shown in page.locator(".rd-time").all_inner_texts()]
        most = time.monotonic() - before + 1
        assert all(least <= 60 * int(minutes) + int(seconds) <= most for minutes, seconds in times)

        for step, text in (("Hot", "lemon, cedar"), ("Warm", "lemon"), ("Cool", "rose")):
            press_until(page, "Shift+Tab", "Dry grounds")
            press_until(page, "Tab", step)
            page.keyboard.press("Space")
            expect(page.locator(f".rd-area[aria-label*='{step} cup']")).to_have_count(3)
            expect(page.locator(".rd-cup").first).to_contain_text("wait, too hot")
            press_until(page, "Tab", r"^1 · ")
            for number in ("1", "2", "3"):
                page.keyboard.press(f"Alt+{number}")
                page.keyboard.type(text)
            expect(page.locator(".rd-cup").nth(2)).to_contain_text("draft")
            if step == "Warm":
                # The page is loaded anew: the drafts are there, and the stage.
                page.reload()
                await_notebook(page)
                run_by_keyboard(page)
                expect(page.locator(".rd-steps .mod-active")).to_contain_text("Warm")
                typed = page.locator(".rd-area").evaluate_all("(areas) => areas.map((area) => area.value)")
                assert typed == [text] * 3
                expect(page.locator(".rd-time")).to_have_text([re.compile(r"^\d+:[0-5]\d$")] * 3)
            check(page, step)
            press_until(page, "Shift+Tab" if step == "Warm" else "Tab", "Lock the notes")
            page.keyboard.press("Enter")
            expect(page.locator(".rd-cup").nth(2)).to_contain_text("locked")
        press_until(page, "Shift+Tab", "Dry grounds")
        press_until(page, "Tab", "^Reveal")
        page.keyboard.press("Space")
        expect(page.get_by_text("Codes meet coffees")).to_be_visible()
        check(page, "before the reveal")
        assert "Upper Field" not in page.locator(".rd-desk").inner_text()
        press_until(page, "Tab", "Lay the cups open")
        page.keyboard.press("Enter")
        expect(page.get_by_text("What was in the cups")).to_be_visible()
        check(page, "the reveal")
        expect(page.locator(".rd-desk")).to_contain_text("stood in two cups: similarity")
        expect(page.locator(".rd-desk")).to_contain_text("For reference, strangers")
        expect(page.locator(".rd-desk")).to_contain_text("gained rose; lost cedar, lemon")
        press_until(page, "Tab", "Save as HTML")
        page.keyboard.press("Enter")
        expect(page.get_by_role("status").filter(has_text="Saved as")).to_be_visible()
    with Journal.open(journal_path) as journal:
        assert len(journal.notes()) == 12
        assert [note.coached for note in journal.notes()] == [False] * 12


def test_twenty_words_typed_after_the_kernel_died_are_there_after_a_reload(place: tuple[str, Path]) -> None:
    url, journal_path = place
    assert len(WORDS.split()) == 20
    with chromium_page(url, TABLET) as page:
        begin(page)
        set_table(page)
        go_to(page, "Hot")
        assert no_overflow(page)
        page.locator('.jp-NotebookPanel-toolbar [data-jp-item-name="save"] [data-command]').click()
        kill_kernels(journal_path.parent)
        page.locator(".rd-open .rd-area").press_sequentially(WORDS, delay=25)
        # A pour that no kernel hears of is kept, too.
        page.locator(".rd-pour").first.click()
        page.reload()
        await_notebook(page)
        # What the notebook was saved with has no kernel any more; the page says what to do, not what failed.
        dead = page.locator(".jp-OutputArea-output.jupyter-widgets")
        expect(dead).to_have_css("font-size", "0px")
        said = dead.evaluate_handle("(output) => getComputedStyle(output, '::after')")
        page.wait_for_function("(said) => said.visibility === 'visible'", arg=said)
        assert "bring it back" in said.evaluate("(said) => said.content")
        begin(page)
        expect(page.locator(".rd-open .rd-area")).to_have_value(WORDS)
        expect(page.locator(".rd-layer mark").first).to_be_attached()
        expect(page.locator(".rd-time").first).to_contain_text("0:")
        # The kernel has them by now, and the browser has let go of them.
        expect(page.locator(".rd-cup").first).to_contain_text("draft")
        stored = page.evaluate("Object.keys(localStorage).filter((key) => key.startsWith('redolent tasting'))")
        assert stored == []
        page.get_by_role("button", name="Lock the notes").click()
        expect(page.locator(".rd-cup").first).to_contain_text("locked")
        for step in ("Pour", "Break", "Reveal"):
            go_to(page, step)
            assert no_overflow(page)
            check(page, step)
        page.get_by_role("button", name="Lay the cups open").click()
        expect(page.get_by_text("What was in the cups")).to_be_visible()
        assert no_overflow(page)
    with Journal.open(journal_path) as journal:
        assert [note.text for note in journal.notes()] == [WORDS]
        (plan,) = journal.plans()
        assert [event.event for event in journal.stage_events(plan.tasting_id)] == ["pour"]


def test_each_cup_breaks_four_minutes_after_its_own_pour(place: tuple[str, Path]) -> None:
    url, _ = place
    with chromium_page(url, DESKTOP) as page:
        page.evaluate(COUNT_RINGS)  # what rings is counted, not heard
        begin(page)
        set_table(page)
        go_to(page, "Pour")
        # The browser's clock is moved, not waited for.
        page.clock.install()
        cups = page.locator(".rd-clock-cups > div")
        cups.nth(0).locator(".rd-pour").click()
        page.clock.run_for(30_000)
        cups.nth(1).locator(".rd-pour").click()
        page.clock.run_for(209_000)
        expect(cups.nth(0)).to_contain_text("break in 0:0")
        page.clock.run_for(2_000)
        code = page.locator(".rd-clock-cups b").first.inner_text()[-3:]
        expect(cups.nth(0)).to_have_class("rd-due")
        assert page.evaluate("window.rings") == [587]
        expect(page.locator(".rd-clock-said")).to_have_text(f"Break {code} now")
        expect(cups.nth(1)).to_contain_text("break in 0:")
        page.clock.run_for(30_000)
        expect(cups.nth(1)).to_have_class("rd-due")
        assert page.evaluate("window.rings") == [587, 587]
        expect(cups.nth(2)).to_contain_text("not poured yet")


def test_a_word_tells_its_place_while_the_caret_stands_in_it(place: tuple[str, Path]) -> None:
    url, _ = place
    with chromium_page(url, TABLET) as page:
        begin(page)
        set_table(page)
        go_to(page, "Hot")
        area = page.locator(".rd-open .rd-area")
        told = page.locator(".rd-open .rd-read li:visible")
        area.press_sequentially("lemon and a silky body")
        expect(told).to_have_count(1)
        expect(told).to_contain_text("felt: ")
        # Who hears the page hears it, too.
        expect(page.locator(".rd-open .rd-read")).to_have_attribute("aria-live", "polite")
        area.press("Home")
        expect(told).to_have_count(1)
        expect(told).to_contain_text("lemon smelled: ")
        for _ in range(7):
            area.press("ArrowRight")
        expect(told).to_have_count(0)
        expect(page.locator(".rd-open .rd-layer mark")).to_have_count(2)


def test_alone_a_tasting_goes_from_shuffled_cups_to_the_reveal(place: tuple[str, Path]) -> None:
    url, journal_path = place
    with chromium_page(url, TABLET) as page:
        begin(page)
        page.get_by_role("button", name="I am alone").click()
        set_table(page)
        expect(page.get_by_text("slide the cups about until you have lost track")).to_be_visible()
        check(page, "alone")
        for step in ("Hot", "Cool"):
            go_to(page, step)
            page.locator(".rd-open .rd-area").press_sequentially("lemon")
            expect(page.locator(".rd-cup").first).to_contain_text("draft")
            page.get_by_role("button", name="Lock the notes").click()
            expect(page.locator(".rd-cup").first).to_contain_text("locked")
        go_to(page, "Reveal")
        check(page, "what stood there")
        page.get_by_role("button", name="Lay the cups open").click()
        expect(page.get_by_role("alert")).to_contain_text("Look under each cup")
        stood = page.locator(".rd-desk select:visible")
        for number, name in enumerate(("Upper Field washed", "Lower Field natural", "Upper Field washed")):
            stood.nth(number).select_option(label=name)
        page.get_by_role("button", name="Lay the cups open").click()
        expect(page.get_by_text("What was in the cups")).to_be_visible()
        expect(page.get_by_text("Self-reported.")).to_be_visible()
        assert no_overflow(page)
    with Journal.open(journal_path) as journal:
        (plan,) = journal.plans()
        assert plan.blinding == "self-reported"
        named = [serving.coffee_id for serving in journal.servings(plan.tasting_id)]
        assert named[0] == named[2] != named[1]


def test_no_message_before_the_reveal_tells_a_coffee(place: tuple[str, Path]) -> None:
    url, _ = place
    with chromium_page(url, DESKTOP) as page:
        received: list[str] = []

        def listen(socket) -> None:
            socket.on("framereceived", lambda frame: received.append(_text(frame)))

        page.on("websocket", listen)
        page.reload()
        await_notebook(page)
        begin(page)
        set_table(page)
        await_idle(page)
        received.clear()
        for step in ("Pour", "Hot", "Reveal"):
            go_to(page, step)
        assert received
        assert not any("Upper Field" in text or "Lower Field" in text for text in received)
        page.get_by_role("button", name="Lay the cups open").click()
        expect(page.get_by_text("What was in the cups")).to_be_visible()
        assert any("Upper Field" in text for text in received)


def _text(frame: str | bytes) -> str:
    return frame if isinstance(frame, str) else frame.decode("utf-8", "replace")


def test_the_other_panels_have_no_serious_finding_of_axe(tmp_path: Path) -> None:
    from redolent.demo import open_demo

    with open_demo(tmp_path / "demo.db"):
        pass
    with running_lab(tmp_path, env={"REDOLENT_JOURNAL": str(tmp_path / "demo.db")}) as url:
        for name in ("Notes", "Odd-cup-out", "Progress", "Practice", "Exercise", "Class"):
            with chromium_page(url.replace("Notes", name), DESKTOP) as page:
                begin(page)
                if name == "Progress":
                    expect(page.get_by_role("heading", name="What this rests on")).to_be_visible(timeout=60_000)
                check(page, name)
                if name == "Odd-cup-out":
                    page.get_by_label("Look again at").select_option(index=1)
                    expect(page.locator(".js-plotly-plot")).to_be_visible(timeout=60_000)
                    check(page, "a verdict")
                if name == "Practice":
                    page.get_by_role("button", name="Begin").click()
                    expect(page.get_by_role("heading", name="Where does this")).to_be_visible()
                    check(page, "a question")
