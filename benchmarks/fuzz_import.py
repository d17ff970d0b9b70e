"""Fuzz what reads files from outside with atheris: the importers, shared files and exports.

A ValueError is a refusal; anything else, or a file that takes longer than 20 seconds, is a finding. What is read may
open no socket and start no process: an audit hook makes that a finding too. The checksum of shared files is made to
fit, so that what lies behind it is reached.

Run: benchmarks/fuzz_import.py [-max_total_time=SECONDS] (libFuzzer's options; 600 seconds where none is given)
"""

import hashlib
import platform
import re
import subprocess
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["redolent.journal", "openpyxl", "csv", "json", "zipfile"]):
    import openpyxl

    from redolent.journal import Journal, tables
    from redolent.journal.collect import merge
    from redolent.journal.export import export, read_export
    from redolent.journal.importing import Choices, land, make_plan
    from redolent.journal.shared import read_share, share

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))
NOW = datetime(2026, 6, 1, tzinfo=UTC)
KINDS = (".csv", ".jsonl", ".json", ".md", ".txt", ".xlsx", ".share", ".parquet")
FOLDER = Path(tempfile.mkdtemp(prefix="redolent-fuzz-"))
JOURNAL = Journal.open(":memory:")
FORBIDDEN = (
    "socket.",
    "subprocess.",
    "os.system",
    "os.exec",
    "os.posix_spawn",
    "os.fork",
    "pickle.",
    "urllib.",
    "webbrowser.",
)
counts = {kind: [0, 0] for kind in KINDS}


def forbid(event: str, _: object) -> None:
    if event.startswith(FORBIDDEN):
        sys.stderr.write(f"forbidden: {event}\n")
        raise RuntimeError(event)


def one(data: bytes) -> None:
    """Read one file: its first byte says of which kind it is, the second what the person has chosen."""
    if len(data) < 3:
        return
    kind, choice = KINDS[data[0] % len(KINDS)], data[1]
    path = FOLDER / f"notes{kind}"
    if kind == ".parquet":
        # An export in which one table is hostile.
        names = [table.name for table in tables.ordered()]
        path = FOLDER / "export" / f"{names[choice % len(names)]}.parquet"
        for other in path.parent.iterdir():
            other.unlink()
    path.write_bytes(reseal(data[2:]) if kind == ".share" else data[2:])
    counts[kind][0] += 1
    if sum(files for files, _ in counts.values()) % 5000 == 0:
        print(", ".join(f"{kind} {read} read of {files}" for kind, (files, read) in counts.items()), flush=True)
    try:
        if kind == ".share":
            content = read_share(path)
            with JOURNAL._write() as session:
                merge(session, content)
                session.rollback()
        elif kind == ".parquet":
            read_export(path.parent)
        else:
            plan = make_plan(
                path,
                Choices(
                    taster="Ines" if choice & 1 else None,
                    stage="hot" if choice & 2 else None,
                    order="day first" if choice & 4 else None,
                    day="2026-03-01" if choice & 8 else None,
                ),
                now=NOW,
            )
            land(JOURNAL, plan, dry_run=True)
        counts[kind][1] += 1
    except ValueError:
        pass


def reseal(data: bytes) -> bytes:
    head, line, rows = data.partition(b"\n")
    digest = hashlib.sha256(rows).hexdigest().encode()
    return re.sub(rb'"sha256": "[^"]*"', b'"sha256": "' + digest + b'"', head, count=1) + line + rows


def seeds(folder: Path) -> None:
    """Write a small file of each kind, so that the fuzzer begins with something that is read."""
    from furnished import furnish

    head = "date,coffee,stage,notes\n"
    texts = {
        ".csv": f'{head}3/4/2026,Ridge,hot,"plum, =1+1"\n13.1.2026,,cool,fig\n',
        ".jsonl": '{"date": "2026-03-01", "note": "plum", "stage": "hot"}\n',
        ".json": '[{"date": "2026-03-01", "note": "plum", "stage": "hot"}]',
        ".md": "## 1 March 2026\n### Ridge\n- hot: plum\n\n| coffee | hot |\n|---|---|\n| Low | fig |\n",
        ".txt": "March 1, 2026\nTaster: Ines\nRidge: plum\n",
    }
    files = {kind: text.encode() for kind, text in texts.items()}
    book = openpyxl.Workbook()
    book.active.append(["date", "notes"])
    book.active.append([datetime(2026, 3, 1), "plum"])
    book.save(FOLDER / "seed.xlsx")
    files[".xlsx"] = (FOLDER / "seed.xlsx").read_bytes()
    with Journal.open(":memory:") as journal:
        share(journal, FOLDER / "seed.share", taster_id=furnish(journal)["taster"])
    files[".share"] = (FOLDER / "seed.share").read_bytes()
    (FOLDER / "export").mkdir()
    with Journal.open(":memory:") as journal:
        furnish(journal)
        export(journal, FOLDER / "seed", "parquet")
    for number, table in enumerate(tables.ordered()):
        seed = (FOLDER / "seed" / f"{table.name}.parquet").read_bytes()
        (folder / f"parquet-{table.name}").write_bytes(bytes([KINDS.index(".parquet"), number]) + seed)
    for number, kind in enumerate(files):
        for choice in (0, 15):
            (folder / f"{kind[1:]}-{choice}").write_bytes(bytes([number, choice]) + files[kind])


def main() -> None:
    commit = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=True, cwd=ROOT
    ).stdout.strip()
    print(f"benchmarks/fuzz_import.py, Python {platform.python_version()}, commit {commit}", flush=True)
    folder = Path(tempfile.mkdtemp(prefix="redolent-corpus-"))
    seeds(folder)
    sys.addaudithook(forbid)
    options = sys.argv[1:] or ["-max_total_time=600"]
    atheris.Setup(
        [
            sys.argv[0],
            str(folder),
            "-timeout=20",
            "-rss_limit_mb=2048",
            "-max_len=20000",
            "-print_final_stats=1",
            *options,
        ],
        one,
    )
    atheris.Fuzz()


if __name__ == "__main__":
    main()
