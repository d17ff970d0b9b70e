"""Typing in the tasting's pad, in Chromium: from a key to the frame that shows it, and from a pause to the lit word.

    python benchmarks/typing_latency.py [--keys 200] [--notes 5000]

The journal holds 5,000 notes and the pad a note of 60 words. Prints medians and the worst, in ms.
"""

import argparse
import statistics
import sys
import tempfile
from pathlib import Path

from reader_speed import SEED, make_notes
from start_up import name_origin

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from lab_driver import begin, chromium_page, running_lab
from playwright.sync_api import Page

from redolent.desk import TastingPanel
from redolent.journal import Journal

BAR_MEDIAN, BAR_WORST = 60, 200  # ms
PAUSES = 20

# A frame that was asked for in a frame begins after the first was painted.
WATCH = """() => {
  const area = document.querySelector(".rd-open .rd-area");
  const layer = document.querySelector(".rd-open .rd-layer");
  [window.frames_, window.lit_] = [[], []];
  let [start, typed] = [0, null];
  window.addEventListener("keydown", () => { start = performance.now(); }, true);
  area.addEventListener("input", () => {
    const from = start;
    typed = performance.now();
    requestAnimationFrame(() => requestAnimationFrame(() => window.frames_.push(performance.now() - from)));
  });
  let lit = layer.querySelectorAll("mark").length;
  new MutationObserver(() => {
    const now = layer.querySelectorAll("mark").length;
    if (now > lit && typed !== null) window.lit_.push(performance.now() - typed);
    lit = now;
  }).observe(layer, { childList: true });
}"""


def fill(path: Path, notes: int) -> None:
    """Write a journal with notes, and a tasting whose hot stage is open."""
    with Journal.open(path) as journal:
        taster, tasting = journal.taster("Ilse"), journal.start_tasting("before")
        servings = [journal.add_serving(tasting.id, code=f"{100 + n}", position=n + 1) for n in range(100)]
        for number, text in enumerate(make_notes(notes, SEED)):
            journal.save_note(taster_id=taster.id, serving_id=servings[number % 100].id, stage="hot", text=text)
        panel = TastingPanel(journal, folder=path.parent, seed=SEED)
        panel.form.taster.value = "Ilse"
        for row, name in zip(panel.form.coffees.children, ("Lot 3", "Lot 4"), strict=True):
            row.boxes[0].value = name
        panel.set_table()
        panel.step.value = "hot"
        words = " ".join(make_notes(60, SEED + 1)).split()[:60]
        panel.table.children[0].text = " ".join(words) + " "


def measure(page: Page, keys: int) -> tuple[list[float], list[float]]:
    """Type, and give the ms from each key to its frame, and from each pause to the lit word."""
    begin(page)
    area = page.locator(".rd-open .rd-area")
    area.click()
    page.keyboard.press("Control+End")
    page.wait_for_timeout(1500)
    page.evaluate(WATCH)
    page.keyboard.type(("and then some more of it " * keys)[:keys], delay=90)
    page.wait_for_timeout(1500)
    frames = page.evaluate("window.frames_")
    page.evaluate("window.lit_.length = 0")
    for word in ("cedar", "clove") * (PAUSES // 2):
        page.keyboard.type(f" {word},", delay=20)
        page.wait_for_timeout(800)
    return frames, page.evaluate("window.lit_")


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--keys", type=int, default=200)
    parser.add_argument("--notes", type=int, default=5000)
    wanted = parser.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        path = Path(scratch) / "journal.db"
        fill(path, wanted.notes)
        with (
            running_lab(Path(scratch), env={"REDOLENT_JOURNAL": str(path)}) as url,
            chromium_page(url.replace("Notes", "Tasting")) as page,
        ):
            frames, lit = measure(page, wanted.keys)
    print(name_origin(SEED))
    print(f"{len(frames)} keys in a note of 60 words, {wanted.notes} notes in the journal")
    print(
        f"key to frame: median {statistics.median(frames):.0f} ms (bar {BAR_MEDIAN}), "
        f"worst {max(frames):.0f} ms (bar {BAR_WORST})"
    )
    print(f"last key to lit word, 150 ms of pause included: median {statistics.median(lit):.0f} ms, n = {len(lit)}")


if __name__ == "__main__":
    main()
