"""Whether the intervals of progress cover as they say, on simulated tasters.

    python benchmarks/intervals.py [--runs 300]

Servings are clustered in tastings and tastings in seasons (`tests/simulated_taster.py`). All histories are of
tasters with as many words of the same odds; what an interval has to cover is the mean of the estimate over 2,000
such histories. For each: the mean, the standard deviation of the estimate over histories, the median
error that leaving out and drawing again give, and the coverage of the 95 % interval that the page shows.
"""

import argparse
import platform
import subprocess
import sys
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests"))
from simulated_taster import CUPS, live  # noqa: E402

from redolent.progress import chao2, log_interval, rarefy, sample_coverage  # noqa: E402
from redolent.progress.comparison import compare_incidence  # noqa: E402
from redolent.progress.incidence import Incidence  # noqa: E402
from redolent.progress.jackknife import bootstrap_error, estimate_with_error, t_quantile  # noqa: E402
from redolent.progress.resample import draw_ratios, percentile_interval  # noqa: E402
from redolent.progress.trend import ordinal_trend  # noqa: E402

SEED, TRUTH = 20261125, 2000


def incidence(stream: int, run: int, tastings: int, days: float = 14.0) -> Incidence:
    """Draw a history, so many days from tasting to tasting, and count it."""
    life = live(np.random.default_rng([SEED, stream, tastings, run]), tastings, days_between=days)
    table = np.add.reduceat(life.named.astype(int), np.arange(0, tastings * CUPS, CUPS), axis=0)
    return Incidence(tuple(map(str, range(table.shape[1]))), table, np.full(tastings, CUPS))


def vocabulary(runs: int, tastings: int) -> None:
    """Print the coverage of what estimates a vocabulary."""
    units = tastings * CUPS
    estimators = {
        "richness at half the servings": lambda c, u: rarefy(c, u, units / 2),
        "richness at all servings": lambda c, u: rarefy(c, u, float(units)),
        "richness at twice the servings": lambda c, u: rarefy(c, u, 2.0 * units),
        "Chao2": chao2,
        "sample coverage": sample_coverage,
    }
    histories = [incidence(0, run, tastings) for run in range(runs)]
    truths = [incidence(1, run, tastings) for run in range(TRUTH)]
    quantile = t_quantile(tastings)
    for name, estimator in estimators.items():
        truth = np.mean([estimator(one.counts, np.asarray(one.units)) for one in truths])
        found, left_out, drawn, inside = [], [], [], 0
        for run, one in enumerate(histories):
            value, jackknife = estimate_with_error(one, estimator)
            bootstrap = float(bootstrap_error(one, estimator, np.random.default_rng(run)))
            if name == "Chao2":
                low, high = log_interval(one.observed, value, bootstrap**2, quantile)
            else:
                error = bootstrap if "twice" in name else jackknife
                low, high = value - quantile * error, value + quantile * error
            inside += low <= truth <= high
            found.append(value)
            left_out.append(jackknife)
            drawn.append(bootstrap)
        spread = f"sd {np.std(found):.3f}, left out {np.median(left_out):.3f}, drawn {np.median(drawn):.3f}"
        print(f"  {name:32s} {truth:8.2f}  {spread}, covers {inside / runs:.3f}", flush=True)


def windows(runs: int, tastings: int, more: int) -> float:
    """Print the coverage of the difference of two windows of one taster who does not learn: there is none.

    Both last as long; in the second the taster tastes `more` times as often, and names more only for that.
    """
    inside = told = grew = 0
    for run in range(runs):
        pair = incidence(4, run, tastings), incidence(5, run, more * tastings, 14.0 / more)
        found = compare_incidence(*pair, ("the first", "the last"), "descriptor")
        if found.interval is not None:
            told += 1
            inside += found.interval[0] <= 0 <= found.interval[1]
            grew += found.grew
    name = f"windows of {tastings} and {more * tastings} tastings"
    print(f"  {name:32s} {0:8.2f}  covers {inside / told:.3f}, called growth {grew / told:.3f}", flush=True)
    return inside / told


def repeats(runs: int, tastings: int) -> None:
    """Print the coverage of the AUC's interval: tastings whose repeats win with a chance of their own."""
    inside = none = 0
    for run in range(runs):
        rng = np.random.default_rng([SEED, 2, tastings, run])
        wins = rng.binomial(5, rng.beta(3.5, 1.5, tastings)).astype(float)  # mean 0.7, five comparisons each
        interval = percentile_interval(draw_ratios(wins, np.full(tastings, 5.0), rng, 1000), tastings)
        none += interval is None
        inside += interval is not None and interval[0] <= 0.7 <= interval[1]
    print(f"  {'AUC of repeats':32s} {0.7:8.2f}  covers {inside / max(runs - none, 1):.3f}", flush=True)


def trend(runs: int, tastings: int) -> None:
    """Print the coverage of Somers' D where nothing changes but the mood of the day."""
    inside = 0
    for run in range(runs):
        rng = np.random.default_rng([SEED, 3, tastings, run])
        tasting = np.repeat(np.arange(tastings), 15)
        ranks = np.clip(np.round(rng.normal(2.5, 0.8, len(tasting)) + rng.normal(0, 0.5, tastings)[tasting]), 0, 4)
        result = ordinal_trend(tasting, ranks)
        inside += result is not None and result.low is not None and result.low <= 0 <= result.high
    print(f"  {'trend of precision':32s} {0:8.2f}  covers {inside / runs:.3f}", flush=True)


def main() -> None:
    """Print coverages."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=300)
    runs = parser.parse_args().runs
    commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, cwd=ROOT)
    print(f"Python {platform.python_version()}, commit {commit.stdout.strip() or 'unknown'}, seed {SEED}, {runs} runs")
    for tastings in (6, 12, 24):
        print(f"{tastings} tastings of {CUPS} servings")
        vocabulary(runs, tastings)
        windows(5 * runs, tastings, 1)
        windows(5 * runs, tastings, 3)
        repeats(5 * runs, tastings)
        trend(5 * runs, tastings)


if __name__ == "__main__":
    main()
