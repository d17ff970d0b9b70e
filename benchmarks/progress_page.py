"""Seconds of the whole progress page: 10,000 notes over 400 tastings, and how they grow with the notes.

    python benchmarks/progress_page.py [--notes 10000]

Readings are cached, as they are on the second look: timed are the frame of mentions, all findings and all figures.
Notes are those of an invented taster, 25 a tasting, on six cups of four coffees; permutations as the page has them.
The median of three rounds counts; seconds are those of the processor, on one core, since other programs may run.
"""

import os

os.environ |= dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")

import argparse
import platform
import statistics
import subprocess
import time
from pathlib import Path

import numpy as np
import pandas as pd

from redolent.charts import lay_out
from redolent.lexicon import Lexicon
from redolent.progress import mention_frame, review

SEED, ROUNDS, NOTES_A_TASTING, CUPS, COFFEES = 20261125, 3, 25, 6, 12
STAGES = ("dry", "crust", "break", "hot", "warm", "cool")
START = pd.Timestamp("2016-01-02T10:00Z")
TARGET = 3.0


def make_notes(count: int, taster: str = "Ada") -> pd.DataFrame:
    """Make the notes of a taster as ``Journal.notes_frame`` gives them."""
    rng = np.random.default_rng(SEED)
    labels = np.array([node.label for node in Lexicon.load().at("descriptor") if node.spoken])
    chances = 1 / np.arange(1, len(labels) + 1)
    chances /= chances.sum()
    own = [rng.permutation(len(labels))[:8] for _ in range(COFFEES)]
    rows = []
    for number in range(count):
        tasting, within = divmod(number, NOTES_A_TASTING)
        cup = within % CUPS
        coffee = (tasting + cup // 2) % COFFEES if cup < 4 else (tasting + cup) % COFFEES
        words = [*labels[rng.choice(own[coffee], 2)], *labels[rng.choice(len(labels), 2, p=chances)]]
        at = START + pd.Timedelta(days=9 * tasting, minutes=within)
        about = (f"n{number}", taster, f"t{tasting}", f"t{tasting}c{cup}", f"Lot {coffee}", f"Lot {coffee}")
        rows.append((*about, STAGES[within // CUPS % 6], at, f"{', '.join(words)}, no smoke", False, 1))
    names = ["note_id", "taster", "tasting_id", "serving_id", "coffee", "coffee_id", "stage", "written_at"]
    return pd.DataFrame(rows, columns=[*names, "first_text", "coached", "revision"])


def look(notes: pd.DataFrame, parts: dict[str, float] | None = None) -> float:
    """Compute and draw the page; give the seconds it took, and those of its parts."""
    begun = at = time.process_time()
    name = "mentions"

    def got_on(_: int, __: int, what: str) -> None:
        nonlocal at, name
        now = time.process_time()
        if parts is not None:
            parts[name] = now - at
        at, name = now, what

    runs = pd.DataFrame(
        columns=[
            "run_id",
            "taster",
            "coffee_a",
            "coffee_b",
            "started_at",
            "alpha",
            "blinding",
            "planned",
            "answered",
            "correct",
        ]
    )
    whole = review(mention_frame(notes), runs=runs, on_step=got_on)
    got_on(0, 0, "figures")
    lay_out(whole)
    got_on(0, 0, "")
    return time.process_time() - begun


def main() -> None:
    """Print seconds and growth."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--notes", type=int, default=10_000)
    most = parser.parse_args().notes
    commit = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, cwd=Path(__file__).parent
    )
    about = f"commit {commit.stdout.strip() or 'unknown'}, seed {SEED}, median of {ROUNDS}"
    print(f"Python {platform.python_version()}, {about}")
    seconds = {}
    for count in (most // 4, most // 2, most):
        notes, parts = make_notes(count), {}
        look(notes)
        seconds[count] = statistics.median(look(notes, parts) for _ in range(ROUNDS))
        print(f"{count:6d} notes, {count // NOTES_A_TASTING:4d} tastings: {seconds[count]:.2f} s", flush=True)
        print("        " + ", ".join(f"{name} {part:.2f}" for name, part in parts.items()))
    print(f"target {TARGET:.0f} s: {'met' if seconds[most] <= TARGET else 'missed'}")
    print(f"four times the notes cost {seconds[most] / seconds[most // 4]:.1f} times as much")


if __name__ == "__main__":
    main()
