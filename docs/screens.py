"""Take the README's pictures: the panels, in Chromium, on an invented journal."""

import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "tests"))

from lab_driver import begin, chromium_page, running_lab  # noqa: E402
from playwright.sync_api import Page, expect  # noqa: E402

from redolent.demo import open_demo  # noqa: E402

SIZE = (1050, 1250)
NOTE = "No smoke, but a hint of bluberry and dark choc. Syrupy body, bright acidity; maybe fig as it cools."


def show_notes(page: Page) -> None:
    """Write a note and leave it unsaved."""
    page.get_by_placeholder("your name").fill("Ilse Varga")
    page.get_by_placeholder("its name, or the code of the cup").fill("Upper Field washed")
    page.locator(".rd-area").press_sequentially(NOTE)
    expect(page.locator(".rd-read li")).to_have_count(7)


def show_odd_cup(page: Page) -> None:
    """Plan a run, answer it, and stay at the verdict."""
    page.get_by_placeholder("your name").fill("Ilse Varga")
    page.get_by_placeholder("its name").nth(0).fill("Upper Field washed")
    page.get_by_placeholder("its name").nth(1).fill("Upper Field natural")
    page.get_by_role("button", name="Draw the serving order and begin").click()
    for done in ("Each coffee is one batch", "All cups look alike", "Water to rinse with", "tasted from left to right"):
        page.get_by_text(done).click()
    page.get_by_label("Colour hidden by").select_option(label="opaque cups")
    page.get_by_role("button", name="The cups are ready").click()
    for number in range(1, 10):
        expect(page.get_by_role("heading", name=f"Triad {number} of 9")).to_be_visible()
        page.locator(".rd-cups button").nth(number % 3).click()
        page.get_by_role("button", name="Lock my answer").click()
    expect(page.locator(".js-plotly-plot")).to_be_visible(timeout=60_000)


def show_tasting(page: Page) -> None:
    """Set the table for two coffees, and write at the first cup."""
    page.get_by_placeholder("your name").fill("Ilse Varga")
    page.get_by_placeholder("its name").nth(0).fill("Upper Field washed")
    page.get_by_placeholder("its name").nth(1).fill("Upper Field natural")
    page.get_by_role("button", name="Draw the order and set the table").click()
    expect(page.locator(".rd-pads .rd-cup").first).to_be_visible()
    page.locator(".rd-cup").first.click()
    page.locator(".rd-area:visible").press_sequentially("like a bakery, a hint of cedar")
    expect(page.locator(".rd-read li").first).to_be_visible()


def show_progress(page: Page) -> None:
    """Wait for the figures."""
    expect(page.locator(".js-plotly-plot").first).to_be_visible(timeout=60_000)


PANELS = {"Notes": show_notes, "Tasting": show_tasting, "Odd-cup-out": show_odd_cup, "Progress": show_progress}


def take(folder: Path) -> None:
    """Take one picture a panel."""
    with tempfile.TemporaryDirectory() as scratch:
        open_demo(Path(scratch) / "demo.db").close()
        env = {"REDOLENT_JOURNAL": str(Path(scratch) / "demo.db")}
        with running_lab(Path(scratch), env=env) as url:
            for name, show in PANELS.items():
                with chromium_page(url.replace("Notes", name), SIZE) as page:
                    begin(page)
                    show(page)
                    page.wait_for_timeout(1500)
                    box = page.locator(".rd-desk").first.bounding_box()
                    assert box is not None
                    box["height"] = min(box["height"], SIZE[1] - box["y"])
                    page.screenshot(path=folder / f"{name.lower()}.png", clip=box)


if __name__ == "__main__":
    take(HERE / "screens")
