"""A copy of what can still be read of a damaged journal, made whole with its newest backup."""

import sqlite3
from collections import defaultdict
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Column, Table

from redolent.journal import backup, tables
from redolent.journal.error import JournalError
from redolent.journal.migration import migrate
from redolent.journal.moment import join, rank
from redolent.journal.schema import Base
from redolent.journal.store import connect

# Never changed once written: the backup's rows, which were checked, go before those of the damaged file.
_LASTING = {"note", "triad", "answer"}
_MOST_ROWS = 1 << 22
_MOST_FAILURES = 5000  # of each table, so that a ruin does not take for ever

Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Recovered:
    """What was saved: the copy, and how many rows and notes (every revision) are in it.

    `lost` counts the places of the damaged file where nothing could be read or what was read makes no sense, `kept`
    the rows that came from the backup.
    """

    path: Path
    rows: int
    notes: int
    kept: int
    lost: int


def recover(file: Path) -> Recovered:
    """Write what can be read of a journal into a new one among its backups. The journal itself is not touched.

    Raises
    ------
    JournalError
        Where nothing can be read of it and there is no backup, or the copy cannot be written.
    """
    newest = next(iter(backup.list_backups(file)), None)
    target = backup.folder_of(file) / f"recovered-{datetime.now(UTC):%Y%m%dT%H%M%S%fZ}.db"
    try:
        target.parent.mkdir(mode=0o700, exist_ok=True)
    except OSError as error:
        raise JournalError(f"No copy can be written to {target.parent} ({error.strerror or error}).") from error
    engine = connect(URL.create("sqlite", database=str(target)))
    try:
        migrate(engine)
    finally:
        engine.dispose()
    lost: list[int] = []
    from_backup = 0
    with closing(sqlite3.connect(target, isolation_level=None)) as connection:
        connection.execute("BEGIN")
        copy = _Copy(connection)
        for table in Base.metadata.sorted_tables:
            broken = _read(file, table, lost)
            sound = _read(newest, table, []) if newest else iter(())
            if table.name in _LASTING:
                from_backup += copy.add_all(table, sound)
                copy.add_all(table, broken)
            else:
                copy.add_all(table, broken)
                from_backup += copy.add_all(table, sound)
        connection.execute("COMMIT")
        connection.execute("PRAGMA journal_mode = DELETE")
    rows = sum(map(len, copy.ids.values()))
    if not rows:
        target.unlink()
        raise JournalError(f"Nothing can be read of {file}, and it has no backup; it was left as it is.")
    return Recovered(target, rows, len(copy.ids["note"]), from_backup, len(lost) + len(copy.lost))


class _Copy:
    """The new journal while it is filled: `ids` are the keys in it, by table, `lost` the rows that make no sense."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self.ids: defaultdict[str, set[str]] = defaultdict(set)
        self.lost: set[tuple[str, Any]] = set()
        self._connection = connection

    def add_all(self, table: Table, rows: Iterator[Row]) -> int:
        """Add the rows that make sense and are not there yet; count them."""
        return sum(self._add(table, row) for row in rows)

    def _add(self, table: Table, row: Row) -> bool:
        known = {name: value for name, value in row.items() if name in table.columns}
        key = next(iter(table.primary_key.columns)).name
        try:
            for column in table.columns:
                _check(column, known.get(column.name))
            if "utc_offset" in known:
                join(datetime.fromisoformat(known["at"]), known["utc_offset"])
            if table.name == "note":
                known.setdefault("rank", rank(datetime.fromisoformat(known["at"])))
            for reference in table.foreign_keys:
                self._stand_in(reference.column.table.name, known[reference.parent.name], known)
            self._insert(table.name, known)
        except (ValueError, TypeError, KeyError, sqlite3.Error):
            if known.get(key) not in self.ids[table.name]:
                self.lost.add((table.name, known.get(key)))
            return False
        self.lost.discard((table.name, known[key]))
        self.ids[table.name].add(known[key])
        return True

    def _stand_in(self, table: str, key: str | None, child: Row) -> None:
        """Put something in the place of a taster, cup or coffee that was lost; what has no run makes no sense."""
        if key is None or key in self.ids[table]:
            return
        at = child.get("at") or "1970-01-01 00:00:00.000000"
        stand_ins: dict[str, Row] = {
            "taster": {"id": key, "name": f"Recovered taster {key}"},
            "coffee": {"id": key, "name": "Recovered coffee", "origin": "", "process": ""},
            "tasting": {"id": key, "name": "Recovered", "at": at, "utc_offset": 0},
            "serving": {"id": key, "tasting_id": key, "code": "000", "position": 1},
        }
        if table == "serving":
            self._stand_in("tasting", key, child)
        self._insert(table, stand_ins[table])
        self.ids[table].add(key)

    def _insert(self, table: str, row: Row) -> None:
        names, marks = ", ".join(f'"{name}"' for name in row), ", ".join("?" * len(row))
        self._connection.execute(f'INSERT INTO "{table}" ({names}) VALUES ({marks})', list(row.values()))


_KINDS: dict[str, type | tuple[type, ...]] = {"text": str, "integer": int, "boolean": int, "number": (int, float)}


def _check(column: Column[Any], value: Any) -> None:
    """Raise a ValueError or TypeError where a value is not what its column holds."""
    kind = tables.kind(column)
    if value is None:
        return
    if kind == "moment":
        datetime.fromisoformat(value)
    elif kind == "date":
        date.fromisoformat(value)
    elif not isinstance(value, _KINDS[kind]):
        raise TypeError(f"{column} holds {value!r}.")


def _read(file: Path, table: Table, lost: list[int]) -> Iterator[Row]:
    """Yield the rows that can be read, halving the range wherever one cannot."""
    try:
        with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True)) as damaged:
            damaged.row_factory = sqlite3.Row
            damaged.text_factory = lambda raw: raw.decode(errors="replace")
            if not damaged.execute("SELECT 1 FROM sqlite_master WHERE name = ?", (table.name,)).fetchone():
                return
            ranges, failures = [(0, _MOST_ROWS)], 0
            while ranges:
                low, high = ranges.pop()
                query = f'SELECT * FROM "{table.name}" WHERE rowid BETWEEN ? AND ?'
                try:
                    yield from map(dict, damaged.execute(query, (low, high)).fetchall())
                except sqlite3.DatabaseError:
                    failures += 1
                    if low == high or failures > _MOST_FAILURES:
                        lost.append(low)
                    else:
                        middle = (low + high) // 2
                        ranges += [(middle + 1, high), (low, middle)]
    except sqlite3.Error:
        lost.append(0)
