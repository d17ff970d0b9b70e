"""The odd cup out in the browser: with a helper and alone, through a killed kernel and a reload, to the verdict."""

import os
import signal
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from lab_driver import DESKTOP, TABLET, await_notebook, begin, chromium_page, folder_of, running_lab
from playwright.sync_api import Page, expect
from test_tasting_browser import check

from redolent.journal import Journal
from redolent.triangle import ORDERS, odd_position

pytestmark = pytest.mark.browser

WAIT = 60_000
"""Milliseconds: the first picture loads plotly, and the machine may have more to do."""


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("home")


@pytest.fixture(scope="module")
def journal_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("journal") / "journal.db"


@pytest.fixture(scope="module")
def address(home: Path, journal_path: Path) -> Iterator[str]:
    with running_lab(home, env={"REDOLENT_JOURNAL": str(journal_path)}) as url:
        yield url.replace("Notes.ipynb", "Odd-cup-out.ipynb")


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name).click()


def plan(page: Page, taster: str, triads: int, way: str) -> None:
    page.get_by_placeholder("your name").fill(taster)
    page.get_by_placeholder("its name").nth(0).fill("Harvest Lot 3")
    page.get_by_placeholder("its name").nth(1).fill("Upper Field washed")
    page.get_by_label("Triads", exact=True).fill(str(triads))
    page.keyboard.press("Tab")
    expect(page.locator(".rd-sentence").first).to_contain_text(f"right of {triads}", timeout=WAIT)
    press(page, way)


def come_back(page: Page) -> None:
    page.reload()
    await_notebook(page)
    begin(page)


def kill_kernel(page: Page) -> None:
    """Kill the kernel of the notebook in the page, which nothing announces to it."""
    address = urlsplit(page.url)
    sessions = page.request.get(f"{address.scheme}://{address.netloc}/api/sessions").json()
    (kernel,) = [one["kernel"]["id"] for one in sessions if one["path"].endswith("Odd-cup-out.ipynb")]
    (pid,) = [int(process.name) for process in Path("/proc").iterdir() if kernel in _command(process)]
    os.kill(pid, signal.SIGKILL)


def _command(process: Path) -> str:
    try:
        return (process / "cmdline").read_text() if process.name.isdigit() else ""
    except OSError:
        return ""


def test_with_a_helper_a_run_survives_a_killed_kernel_and_nothing_tells_the_key(
    address: str, journal_path: Path, home: Path
) -> None:
    received: list[str] = []
    with chromium_page(address, TABLET) as page:
        page.on(
            "websocket",
            lambda socket: socket.on(
                "framereceived",
                lambda frame: received.append(frame if isinstance(frame, str) else frame.decode("utf-8", "replace")),
            ),
        )
        come_back(page)
        plan(page, "Ilse Varga", 3, "Somebody pours for me")
        press(page, "Draw the serving order and begin")
        expect(page.get_by_text("Still open")).to_be_visible(timeout=WAIT)
        folder = folder_of(home)
        expect(page.get_by_text(str(folder))).to_be_visible()
        assert len(list(folder.glob("pourer's key *.html"))) == 1
        page.get_by_text("All cups look alike").click()
        press(page, "The cups are ready")
        with Journal.open(journal_path) as journal:
            run = journal.runs()[0]
            key = journal.pourer_key(run.id)
        for number in (1, 2, 3):
            expect(page.get_by_role("heading", name=f"Triad {number} of 3")).to_be_visible(timeout=WAIT)
            expect(page.get_by_role("button", name="Lock my answer")).to_be_disabled()
            press(page, key.codes[number - 1][odd_position(key.orders[number - 1]) - 1])
            page.get_by_role("button", name="Lock my answer").dblclick(delay=20)
            if number == 2:
                expect(page.get_by_role("heading", name="Triad 3 of 3")).to_be_visible(timeout=WAIT)
                expect(page.get_by_role("alert")).to_have_count(0)
                told = "".join(received)
                kill_kernel(page)
                come_back(page)
                expect(page.get_by_text("This is the run of Ilse Varga")).to_be_visible()
        sentence = page.locator(".rd-sentence")
        expect(sentence).to_contain_text("Difference shown: 3 of 3 planned triads were correct", timeout=WAIT)
        expect(sentence).to_contain_text("p = 0.037")
        expect(page.locator(".js-plotly-plot")).to_be_visible(timeout=WAIT)
        expect(page.get_by_text("Brews were not pooled")).to_be_visible()
        assert key.codes[2][1] in told
        assert key.nonce not in told
        assert not any(order in told for order in (f'"{order}"' for order in ORDERS))
        # The key is told once all is locked, so the ear above hears what is said.
        assert key.nonce in "".join(received)
        come_back(page)
        expect(page.get_by_text("Runs so far, newest first")).to_be_visible()
        expect(page.locator(".rd-note").first).to_contain_text("Difference shown: 3 of 3")


def test_alone_a_run_survives_a_killed_kernel_between_lock_and_look_and_is_stopped_only_on_purpose(
    address: str, journal_path: Path
) -> None:
    with chromium_page(address, DESKTOP) as page:
        begin(page)
        plan(page, "Bo Lindqvist", 4, "I am alone at the table")
        press(page, "Draw the codes and begin")
        expect(page.get_by_text("how to be blind to your own cups")).to_be_visible(timeout=WAIT)
        press(page, "The cups are ready")
        for number in (1, 2, 3):
            expect(page.get_by_role("heading", name=f"Triad {number} of 4")).to_be_visible(timeout=WAIT)
            if number == 3:
                break
            page.locator(".rd-cups button").nth(2).click()
            page.get_by_text("I guessed").click()
            page.get_by_placeholder("if you like").fill("thinner")
            check(page, "answering")
            press(page, "Lock my answer")
            expect(page.get_by_text("Now look under the cups")).to_be_visible(timeout=WAIT)
            check(page, "looking")
            if number == 1:
                kill_kernel(page)
                come_back(page)
                expect(page.get_by_text("Now look under the cups")).to_be_visible(timeout=WAIT)
            page.get_by_label("What stood there").select_option(index=0)
            press(page, "Enter what stood there")
        expect(page.get_by_role("button", name="Stop this run here")).to_be_hidden()
        press(page, "Pause, look or stop")
        press(page, "Stop this run here")
        press(page, "Go on tasting")
        expect(page.get_by_role("heading", name="Triad 3 of 4")).to_be_visible(timeout=WAIT)
        press(page, "Stop this run here")
        press(page, "Stop it for good")
        sentence = page.locator(".rd-sentence")
        expect(sentence).to_contain_text(
            "Stopped early: 4 triads were planned, 2 were answered, 2 were correct", timeout=WAIT
        )
        expect(page.get_by_text("Self-reported: alone at the table")).to_be_visible()
        check(page, "verdict")
        with Journal.open(journal_path) as journal:
            (run,) = [run for run in journal.runs() if run.blinding == "self-reported"]
            assert [(one.guessed, one.note) for one in journal.answers(run.id)] == [(True, "thinner")] * 2
        press(page, "Plan another run")
        expect(page.locator(".rd-note").first).to_contain_text(
            "Bo Lindqvist: Harvest Lot 3 and Upper Field washed", timeout=WAIT
        )


def test_every_screen_fits_a_tablet(address: str) -> None:
    with chromium_page(address, TABLET) as page:
        begin(page)
        for name in ("The numbers", "Cups and caffeine"):
            press(page, name)
        page.get_by_label("The pair").select_option(label="sugar 5 g/kg in the one, none in the other")
        expect(page.get_by_text("1.5 g of white sugar")).to_be_visible(timeout=WAIT)
        wide = "desk => desk.scrollWidth - desk.clientWidth"
        assert page.locator(".rd-desk").evaluate(wide) <= 0
        for button in page.locator(".rd-desk button:visible").all():
            assert button.bounding_box()["height"] >= 44
