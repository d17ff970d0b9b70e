"""Is a journal sound? Its pages, its rows against each other, and against the newest backup."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import URL, Connection, inspect, select, text

from redolent.journal import backup, tables
from redolent.journal.error import JournalError, UnreadableError
from redolent.journal.moment import join
from redolent.journal.place import file_of, is_sqlite, shown
from redolent.journal.store import connect
from redolent.journal.trouble import explained

# What never changes once it is written, so that a copy which differs is damaged in one of the two places.
_LASTING = {
    "note": "id, note_id, revision, taster_id, serving_id, stage, text, coached, at, utc_offset",
    "triad": "id, run_id, number, code_1, code_2, code_3",
    "answer": "id, triad_id, odd_code, guessed, note, at, utc_offset",
}
_WRONG = {
    "of the notes lack one of their revisions": (
        "SELECT count(*) FROM (SELECT note_id FROM note GROUP BY note_id "
        "HAVING count(DISTINCT revision) <> max(revision)) AS broken"
    ),
    "of the triangle runs lack one of their triads": (
        "SELECT count(*) FROM triangle_run AS run "
        "WHERE triads <> (SELECT count(*) FROM triad WHERE triad.run_id = run.id)"
    ),
    "of the answers name a cup that was not there": (
        "SELECT count(*) FROM answer JOIN triad ON triad.id = answer.triad_id "
        "WHERE odd_code NOT IN (code_1, code_2, code_3)"
    ),
}
_GUARDED = (*_LASTING, "triangle_run", "run_event", "tasting_plan", "set_aside")
_GUARDS = 26  # triggers of those tables, which only grow


@dataclass(frozen=True, slots=True)
class Report:
    """What a check found.

    Attributes
    ----------
    findings : tuple of str
        A sentence for each thing that is wrong; empty where the journal is sound.
    tasters, notes, runs : int
        How many there are; notes count every revision.
    backup : Path or None
        The newest backup, against which the journal was compared.
    """

    findings: tuple[str, ...]
    tasters: int
    notes: int
    runs: int
    backup: Path | None


def check(url: URL) -> Report:
    """Check a journal without changing it.

    Raises
    ------
    JournalError
        Where there is no journal or it cannot be read at all.
    """
    file = file_of(url)
    if file is not None and not file.exists():
        raise JournalError(f"There is no journal at {file}; name the one that you mean with --journal.")
    newest = next(iter(backup.list_backups(file)), None) if file else None
    engine = connect(url)
    try:
        with explained(url), engine.connect() as connection:
            if not inspect(connection).has_table("note"):
                raise JournalError(f"The database {shown(url)} holds no journal; choose another place.")
            return Report(tuple(_find(connection, newest)), *_count(connection), backup=newest)
    finally:
        engine.dispose()


def _find(connection: Connection, newest: Path | None) -> Iterator[str]:
    if is_sqlite(connection.engine.url):
        yield from _find_in_file(connection)
    for wrong, query in _WRONG.items():
        if number := connection.scalar(text(query)):
            yield f"{number} {wrong}."
    if newest is not None:
        yield from _compare(connection, newest)


def _find_in_file(connection: Connection) -> Iterator[str]:
    for (said,) in connection.exec_driver_sql("PRAGMA integrity_check(20)"):
        if said != "ok":
            yield f"The file is damaged: {said}."
    if lost := connection.exec_driver_sql("PRAGMA foreign_key_check").all():
        yield f"{len(lost)} rows refer to something that is not there."
    yield from _unreadable(connection)
    guards = "SELECT count(*) FROM sqlite_master WHERE type = 'trigger' AND tbl_name IN ({})"
    guards = guards.format(", ".join(f"'{table}'" for table in _GUARDED))
    if connection.exec_driver_sql(guards).scalar_one() < _GUARDS:
        yield "Some of the triggers that keep notes and answers as they were written are gone."


def _unreadable(connection: Connection) -> Iterator[str]:
    """Read every row: no page tells that a byte in it has become another."""
    for table in tables.ordered():
        there = inspect(connection)
        named = {column["name"] for column in there.get_columns(table.name)} if there.has_table(table.name) else set()
        columns = [column for column in table.c if column.name in named]
        try:
            for row in connection.execute(select(*columns)).mappings() if columns else ():
                if "utc_offset" in row:
                    join(row["at"], row["utc_offset"])
        except UnreadableError as error:
            yield f"The table {table.name} holds what cannot be read: {str(error)[0].lower()}{str(error)[1:]}"


def _compare(connection: Connection, newest: Path) -> Iterator[str]:
    connection.exec_driver_sql("COMMIT")
    connection.exec_driver_sql("ATTACH ? AS kept", (f"{newest.absolute()}",))
    connection.exec_driver_sql("BEGIN")
    has_stones = inspect(connection).has_table("tombstone")
    forgotten = has_stones and connection.exec_driver_sql("SELECT 1 FROM tombstone LIMIT 1").first()
    # Answers of a run that another copy of it replaced.
    replaced = "SELECT triad.id FROM kept.triad JOIN main.set_aside ON set_aside.run_id = triad.run_id"
    for table, columns in _LASTING.items():
        missing = f"SELECT count(*) FROM kept.{table} WHERE id NOT IN (SELECT id FROM main.{table})"
        if table == "answer" and inspect(connection).has_table("set_aside"):
            missing += f" AND triad_id NOT IN ({replaced})"
        if not forgotten and (number := connection.exec_driver_sql(missing).scalar_one()):
            yield f"{number} rows of the table {table} that are in the backup {newest.name} are gone."
        rows = f"SELECT {columns} FROM kept.{table} WHERE id IN (SELECT id FROM main.{table})"
        changed = f"SELECT count(*) FROM ({rows} EXCEPT SELECT {columns} FROM main.{table})"
        if number := connection.exec_driver_sql(changed).scalar_one():
            yield f"{number} rows of the table {table} differ from the backup {newest.name}: one of the two is damaged."


def _count(connection: Connection) -> tuple[int, int, int]:
    tasters, notes, runs = (
        connection.scalar(text(f"SELECT count(*) FROM {table}")) or 0 for table in ("taster", "note", "triangle_run")
    )
    return tasters, notes, runs
