"""The rows that could not land, each with its reason, in a file beside the one that was imported."""

import csv
import os
from pathlib import Path

from redolent.journal.export import defuse
from redolent.journal.importing.plan import Plan

_HEAD = ["row", "why it was not imported"]


def write_refused(plan: Plan) -> Path | None:
    """Write the refused rows as CSV, defused; None where there are none.

    The file of an earlier import of the same name is replaced, nothing else is.

    Raises
    ------
    OSError
        Where it cannot be written.
    """
    path = _beside(plan.path)
    if not plan.refused:
        return None
    # Escaped as the reader of a text file needs it: a lone surrogate has no place in UTF-8.
    with open(
        os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600),
        "w",
        encoding="utf-8-sig",
        errors="backslashreplace",
        newline="",
    ) as file:
        writer = csv.writer(file, quoting=csv.QUOTE_NONNUMERIC)
        writer.writerow(_HEAD + [defuse(name) for name in plan.columns])
        for row in plan.refused:
            writer.writerow([row.line, row.reason and defuse(row.reason), *map(defuse, row.cells)])
    return path


def _beside(path: Path) -> Path:
    for number in range(1, 1000):
        place = path.with_name(f"{path.stem}.not-imported{'' if number == 1 else f'-{number}'}.csv")
        if not place.is_symlink() and (not place.exists() or _is_ours(place)):
            return place
    raise OSError(f"there is no free name beside {path.name}")


def _is_ours(path: Path) -> bool:
    with path.open("rb") as file:
        return file.read(100).startswith(b"\xef\xbb\xbf" + ",".join(f'"{name}"' for name in _HEAD).encode())
