"""The learning test on simulated tasters: its error rate for who does not learn, its power for who does.

    python benchmarks/learning_test.py [--runs 2000] [--power-runs 300] [--figure docs/learning-test-power.png]

Servings are clustered in tastings (moods, tables) and tastings in seasons (what is on the table changes with the
quarter of the year); `tests/simulated_taster.py` says how. Who does not learn draws from the same words all the
time; who does has half of them at the first tasting and all at the last; who swaps drops an old word for each new
one. "late" is p <= 0.05 of the permuted tastings; "growing" is late and confirmed on windows at equal coverage.
"""

import argparse
import platform
import subprocess
import sys
from math import sqrt
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests"))
from simulated_taster import CUPS, live  # noqa: E402

from redolent.progress import accumulate  # noqa: E402

SEED = 20261125
PERMUTATIONS = 199
NULL_TASTINGS = (8, 12, 24)
POWER_TASTINGS = (6, 9, 12, 18, 24, 36, 48)
LEARNS = 0.5


def rates(runs: int, tastings: int, stream: int, **life: float) -> tuple[float, float]:
    """Give the rates of late and of growing."""
    found = np.zeros(2)
    for run in range(runs):
        rng = np.random.default_rng([SEED, stream, tastings, run])
        result = accumulate(live(rng, tastings, **life).frame(), permutations=PERMUTATIONS, seed=run)
        found += result.late, result.growing
    return tuple(found / runs)


def draw(power: dict[int, tuple[float, float]], path: Path) -> None:
    """Draw power against the number of notes."""
    from redolent.charts.style import INK, QUIET, add_level, make_figure

    notes = [CUPS * tastings for tastings in power]
    figure = make_figure(
        "Who learns half the words is found more often than not from about 150 notes on",
        "Line chart of the power of the learning test against the number of notes.",
        x=f"notes, one a serving, {CUPS} servings a tasting",
        y="share of simulated learners found (%)",
    )
    for part, name, colour, dash in (
        (0, "new words came late", QUIET, "dash"),
        (1, "and confirmed: growing", INK, "solid"),
    ):
        figure.add_scatter(
            x=notes,
            y=[100 * rate[part] for rate in power.values()],
            mode="lines+markers",
            name=name,
            line={"color": colour, "width": 3, "dash": dash},
        )
    add_level(figure, 5, QUIET, "dot")
    figure.update_yaxes(range=[0, 102])
    path = path.resolve()
    page = path.with_suffix(".html")
    figure.write_html(page, include_plotlyjs="inline", config={"displayModeBar": False})
    command = ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--window-size=900,520"]
    subprocess.run([*command, f"--screenshot={path}", page.as_uri()], check=True, capture_output=True)
    page.unlink()


def main() -> None:
    """Print rates and power."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=2000)
    parser.add_argument("--power-runs", type=int, default=300)
    parser.add_argument("--figure", type=Path)
    options = parser.parse_args()
    commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, cwd=ROOT)
    print(f"Python {platform.python_version()}, commit {commit.stdout.strip() or 'unknown'}, seed {SEED}")
    print(f"{PERMUTATIONS} permutations, {CUPS} cups a tasting, two weeks between tastings")
    print(
        f"no learning, {options.runs} runs (standard error {100 * sqrt(0.05 * 0.95 / options.runs):.1f} points at 5 %)"
    )
    for tastings in NULL_TASTINGS:
        late, growing = rates(options.runs, tastings, 0)
        print(f"  {tastings:3d} tastings: late {late:.3f}, growing {growing:.3f}", flush=True)
    print(f"learning half the words, {options.power_runs} runs")
    power = {}
    for tastings in POWER_TASTINGS:
        power[tastings] = rates(options.power_runs, tastings, 1, learns=LEARNS)
        late, growing = power[tastings]
        print(
            f"  {tastings:3d} tastings, {CUPS * tastings:3d} notes: late {late:.3f}, growing {growing:.3f}", flush=True
        )
    print(f"swapping words, {options.power_runs} runs")
    for tastings in (12, 24):
        late, growing = rates(options.power_runs, tastings, 2, learns=LEARNS, swaps=True)
        print(f"  {tastings:3d} tastings: late {late:.3f}, growing {growing:.3f}", flush=True)
    if options.figure:
        draw(power, options.figure)


if __name__ == "__main__":
    main()
