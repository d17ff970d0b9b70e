"""How long the class page takes: 40 students with 200 notes each; the target is 3 s of a processor.

    PYTHONPATH=src python benchmarks/class_page.py [--students 40] [--notes 200]

The notes are of the seeded simulator, the palates of `redolent.demo`, read for the first time in the process.
"""

import argparse
import platform
import subprocess
import time
from pathlib import Path

import numpy as np
import pandas as pd

from redolent.charts.html import write_class
from redolent.classroom import review_frames
from redolent.demo.classroom import CLASS
from redolent.demo.coffees import COFFEES
from redolent.demo.tasters import Palate

SEED, TARGET, CUPS = 7, 3.0, 4


def make_class(students: int, notes: int) -> tuple[list[str], pd.DataFrame, pd.DataFrame, pd.DataFrame]:
    """Give names, notes, runs and marks as a journal's frames give them."""
    rng = np.random.default_rng(SEED)
    names = [f"Student {n:02d}" for n in range(students)]
    palates = [Palate(CLASS[n % len(CLASS)], np.random.default_rng([SEED, n])) for n in range(students)]
    rows, marks = [], []
    start = pd.Timestamp("2026-01-12T18:00Z")
    for cup in range(notes):
        coffee = COFFEES[int(rng.integers(len(COFFEES)))]
        at = start + pd.Timedelta(days=7 * (cup // CUPS), minutes=cup % CUPS)
        for name, palate in zip(names, palates, strict=True):
            text = palate.taste(coffee, "warm", cup / notes)
            tasting = f"t{cup // CUPS}"
            about = (name, name, tasting, tasting, f"s{cup}", "417", coffee.name, coffee.name, "warm", at)
            rows.append((f"n{len(rows)}", *about, text, False, 1, text))
            marks.append((name, tasting, f"s{cup}", coffee.name, "acidity", float(rng.integers(100))))
    columns = "note_id taster taster_id tasting_id tasting serving_id code coffee coffee_id stage written_at text"
    frame = pd.DataFrame(rows, columns=[*columns.split(), "coached", "revision", "first_text"])
    correct = rng.binomial(18, 0.5, students)
    runs = pd.DataFrame(
        [
            (f"r{n}", name, "A", "B", start, 0.05, "helper", 18, 18, int(right))
            for n, (name, right) in enumerate(zip(names, correct, strict=True))
        ],
        columns="run_id taster coffee_a coffee_b started_at alpha blinding planned answered correct".split(),
    )
    lines = pd.DataFrame(marks, columns=["taster", "tasting_id", "serving_id", "coffee", "attribute", "mark"])
    return names, frame, runs, lines


def take(students: int, notes: int) -> float:
    """Give the processor seconds that the page of a new class takes, from the frames to the HTML."""
    names, frame, runs, marks = make_class(students, notes)
    begun = time.process_time()
    write_class(review_frames(names, frame, runs=runs, marks=marks))
    return time.process_time() - begun


def main() -> None:
    """Print seconds."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--students", type=int, default=40)
    parser.add_argument("--notes", type=int, default=200)
    given = parser.parse_args()
    commit = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, cwd=Path(__file__).parent
    )
    take(3, 12)  # imports and the lexicon
    seconds = take(given.students, given.notes)
    print(f"Python {platform.python_version()}, commit {commit.stdout.strip() or 'unknown'}, seed {SEED}")
    print(f"{given.students} students, {given.notes} notes each: {seconds:.2f} s of one core")
    print(f"target {TARGET:.0f} s: {'met' if seconds <= TARGET else 'missed'}")


if __name__ == "__main__":
    main()
