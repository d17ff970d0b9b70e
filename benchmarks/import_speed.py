"""Seconds to import 100,000 rows through the command, into a fresh journal and again, from CSV, XLSX and JSON Lines.

Also the seconds to export them, and to restore each export. The rows are drawn from tests/notes/development.jsonl.
"""

import argparse
import csv
import json
import platform
import random
import resource
import subprocess
import sys
import tempfile
import time
from datetime import date, timedelta
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
SEED = 7
BAR = 60.0  # seconds


def make_rows(count: int) -> list[list[str]]:
    texts = [
        json.loads(line)["text"] for line in (ROOT / "tests/notes/development.jsonl").read_text("utf-8").splitlines()
    ]
    rng = random.Random(SEED)
    rows = [["date", "taster", "coffee", "stage", "notes"]]
    for number in range(count):
        day = date(2016, 1, 1) + timedelta(days=number * 3600 // count)
        rows.append(
            [
                day.strftime("%d/%m/%Y"),
                f"Taster {rng.randint(1, 200)}",
                f"Coffee {rng.randint(1, 2000)}",
                rng.choice(["dry", "crust", "break", "hot", "warm", "cool"]),
                f"{rng.choice(texts)} ({number})",
            ]
        )
    return rows


def write(rows: list[list[str]], path: Path) -> None:
    if path.suffix == ".xlsx":
        import openpyxl

        book = openpyxl.Workbook(write_only=True)
        sheet = book.create_sheet()
        for row in rows:
            sheet.append(row)
        book.save(path)
    elif path.suffix == ".jsonl":
        lines = (json.dumps(dict(zip(rows[0], row, strict=True))) for row in rows[1:])
        path.write_text("".join(f"{line}\n" for line in lines), "utf-8")
    else:
        with path.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(rows)


def run(*arguments: object) -> tuple[float, str]:
    start = time.perf_counter()
    command = [sys.executable, "-c", "from redolent.cli import main; main()", *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT)
    last = [line for line in done.stdout.splitlines() if line.strip()][-1]
    return time.perf_counter() - start, last[:110]


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--rows", type=int, default=100_000)
    count = parser.parse_args().rows
    commit = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=True, cwd=ROOT
    ).stdout.strip()
    print(f"benchmarks/import_speed.py, seed {SEED}, Python {platform.python_version()}, commit {commit}")
    rows = make_rows(count)
    slowest = 0.0
    with tempfile.TemporaryDirectory() as place:
        for suffix in (".csv", ".xlsx", ".jsonl"):
            path, journal = Path(place, f"notes{suffix}"), Path(place, f"journal{suffix}.db")
            write(rows, path)
            for what in ("import", "again"):
                seconds, said = run("import", path, "--yes", "--journal", journal)
                slowest = max(slowest, seconds)
                print(f"{suffix:6} {what:7} {seconds:6.1f} s {count / seconds:8,.0f} rows/s   {said}", flush=True)
        journal = Path(place, "journal.csv.db")
        for format in ("csv", "parquet", "jsonl"):
            out, back = Path(place, f"out-{format}"), Path(place, f"back-{format}.db")
            seconds, _ = run("export", out, "--format", format, "--journal", journal)
            print(f"{format:7} export  {seconds:6.1f} s {count / seconds:8,.0f} notes/s", flush=True)
            seconds, _ = run("import", out, "--journal", back)
            slowest = max(slowest, seconds)
            print(f"{format:7} restore {seconds:6.1f} s {count / seconds:8,.0f} notes/s", flush=True)
    memory = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"slowest {slowest:.1f} s (bar {BAR:.0f} s); largest process {memory:,.0f} MB")
    raise SystemExit(slowest > BAR)


if __name__ == "__main__":
    main()
