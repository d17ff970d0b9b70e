"""Whether the invented class tells its three stories with any seed, or only with the one that was chosen.

    PYTHONPATH=src python benchmarks/class_demo.py [--seeds 6]

A story is told where its sentence stands on the class page; accused is whoever it stands there about without being
planted.
"""

import argparse
import platform
import subprocess
import time
from pathlib import Path

from redolent.classroom import ClassReview, review_class
from redolent.demo.classroom import LEARNS, SWAPS, WRITES_MORE, simulate_class
from redolent.journal import Journal


def hear(review: ClassReview) -> tuple[dict[str, bool], list[str]]:
    """Give which of the three stories are told, and who else is said to do the like."""
    patterns = review.changes.tasters.set_index("taster")["pattern"]
    swaps = review.swaps.pairs[review.swaps.pairs["shown"]]
    about = {
        "learns": (LEARNS, set(patterns.index[patterns == "learns"])),
        "writes more": (WRITES_MORE, set(patterns.index[patterns == "says more"])),
        "swaps": (SWAPS, set(swaps["taster"])),
    }
    told = {story: who in found for story, (who, found) in about.items()}
    others = [f"{name} ({story})" for story, (who, found) in about.items() for name in sorted(found - {who})]
    return told, others


def main() -> None:
    """Print a line a seed, and the sum."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, default=6)
    seeds = parser.parse_args().seeds
    root = Path(__file__).parent
    commit = subprocess.run(["git", "rev-parse", "HEAD"], cwd=root, capture_output=True, text=True).stdout.strip()
    print(f"class_demo.py, seeds 1 to {seeds}, Python {platform.python_version()}, commit {commit}")
    start, all_three, accused = time.process_time(), 0, 0
    for seed in range(1, seeds + 1):
        with Journal.open(":memory:") as journal:
            simulate_class(journal, seed=seed)
            told, others = hear(review_class(journal))
        all_three += all(told.values())
        accused += bool(others)
        said = ", ".join(f"{story} {'told' if one else 'not told'}" for story, one in told.items())
        print(f"seed {seed}: {said}; accused besides: {', '.join(others) or 'nobody'}", flush=True)
    spent = time.process_time() - start
    print(
        f"All three told with {all_three} of {seeds} seeds; somebody else accused with {accused}. {spent:.0f} s of CPU"
    )


if __name__ == "__main__":
    main()
