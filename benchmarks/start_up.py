"""Start-up: ``import redolent`` and the first read, each time in a fresh process.

    python benchmarks/start_up.py [--processes 9]

Prints the medians of the seconds they take, from the interpreter's first line on, and of the megabytes that are then
resident. One more process goes first, unmeasured, to fill the caches of the disk and of Python.
"""

import argparse
import platform
import statistics
import subprocess
import sys
from pathlib import Path

import psutil
from reader_speed import SEED, make_notes

BAR_SECONDS, BAR_MEGABYTES = 0.6, 120

# It waits for the end of its input, so that its memory can be looked at from outside.
CHILD = """
from time import perf_counter
start = perf_counter()
import redolent
imported = perf_counter()
redolent.read({note!r})
read = perf_counter()
import sys
print(imported - start, read - imported, flush=True)
sys.stdin.read()
"""


def name_origin(seed: int) -> str:
    """Say what a result came from: seed, Python version and commit."""
    root = Path(__file__).parents[1]
    try:
        run = subprocess.run(["git", "rev-parse", "--short", "HEAD"], cwd=root, capture_output=True, text=True)
        commit = run.stdout.strip()
    except FileNotFoundError:
        commit = ""
    return f"seed {seed}, Python {platform.python_version()}, commit {commit or 'unknown'}"


def peak_memory(process: int) -> float:
    """Give the most megabytes that were ever resident; NaN where the system keeps no such record."""
    status = Path(f"/proc/{process}/status")
    if not status.exists():
        return float("nan")
    lines = dict(line.split(":", 1) for line in status.read_text().splitlines())
    return int(lines["VmHWM"].split()[0]) * 1024 / 1e6


def start(note: str) -> tuple[float, float, float, float]:
    """Start a process; give its seconds to import and to read, and its megabytes resident after both and at most."""
    with subprocess.Popen(
        [sys.executable, "-I", "-c", CHILD.format(note=note)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as child:
        seconds = child.stdout.readline().split()
        if len(seconds) != 2:
            raise RuntimeError("The process that was to read a note ended early; its error stands above.")
        resident, peak = psutil.Process(child.pid).memory_info().rss / 1e6, peak_memory(child.pid)
        child.stdin.close()
    return float(seconds[0]), float(seconds[1]), resident, peak


def main() -> None:
    """Start the processes, one after the other, and print the medians."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--processes", type=int, default=9)
    count = parser.parse_args().processes
    note = make_notes(1)[0]
    print(f"start_up.py: {name_origin(SEED)}, median of {count} fresh processes")
    start(note)
    starts = [start(note) for _ in range(count)]
    importing, reading, resident, peak = (statistics.median(values) for values in zip(*starts, strict=True))
    both = statistics.median(a + b for a, b, *_ in starts)
    print(f"import redolent  {importing:6.3f} s")
    print(f"first read       {reading:6.3f} s")
    print(f"both             {both:6.3f} s   bar / both: {BAR_SECONDS / both:.1f} (bar {BAR_SECONDS} s)")
    print(
        f"resident         {resident:6.1f} MB  bar / resident: {BAR_MEGABYTES / resident:.1f} (bar {BAR_MEGABYTES} MB)"
    )
    print(f"resident at most {peak:6.1f} MB")


if __name__ == "__main__":
    main()
