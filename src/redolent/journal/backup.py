"""Backups: whole copies of a journal's file, taken while it is in use, and thinned as they age."""

import os
import sqlite3
import time
from contextlib import closing, suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

from sqlalchemy import URL

from redolent.journal.error import JournalError
from redolent.journal.trouble import damaged, explained

DAILY, MONTHLY = 7, 12
"""How many stay: the newest ones, and the newest of each of the last months."""

_STAMP = "%Y%m%dT%H%M%S%fZ"
_AN_HOUR = 3600.0
_WAIT = 30.0  # seconds for other programs to let go of the database


def folder_of(file: Path) -> Path:
    """Give the folder of a journal's backups, which lies beside it."""
    return file.with_name(f"{file.name}-backups")


def list_backups(file: Path) -> list[Path]:
    """List the backups of a journal, newest first."""
    return sorted((path for path in folder_of(file).glob("*.db") if _taken_at(path)), reverse=True)


def is_due(file: Path, now: datetime | None = None) -> bool:
    """Whether the newest backup is older than a day, or there is none."""
    newest = next(iter(list_backups(file)), None)
    taken = _taken_at(newest) if newest is not None else None
    return taken is None or abs((now or datetime.now(UTC)) - taken) > timedelta(days=1)


def take(file: Path, *, now: datetime | None = None) -> Path:
    """Copy a journal while it is in use, check the copy, and drop those that have aged.

    Parameters
    ----------
    file : Path
        The journal's file.
    now : datetime, optional
        Aware; names the copy.

    Returns
    -------
    Path
        The copy. It is whole, or not there.

    Raises
    ------
    JournalError
        Where the copy cannot be written; DamagedError where the journal does not hold together.
    """
    folder = folder_of(file)
    target = folder / f"{(now or datetime.now(UTC)).astimezone(UTC).strftime(_STAMP)}.db"
    part = target.with_suffix(f".{os.getpid()}.part")
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
        _drop_parts(folder)
        os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        copy(file, part)
        with closing(sqlite3.connect(part)) as connection:
            # One file, without a log beside it.
            connection.execute("PRAGMA journal_mode = DELETE")
        part.replace(target)
    except OSError as error:
        reason = error.strerror or str(error)
        raise JournalError(f"No backup can be written to {folder} ({reason}); make room there or allow it.") from error
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)
    for path in set(list_backups(file)) - _kept(list_backups(file)) - {target}:
        path.unlink(missing_ok=True)
    return target


def copy(source: Path, target: Path) -> None:
    """Copy the content of one database into another, in one transaction, and check it.

    Raises
    ------
    JournalError
        Where the source is damaged or either cannot be used.
    """
    with (
        explained(_url(source)),
        closing(sqlite3.connect(f"{source.absolute().as_uri()}?mode=ro", uri=True)) as old,
        closing(sqlite3.connect(target, timeout=_WAIT)) as new,
    ):
        old.backup(new)
        if new.execute("PRAGMA integrity_check(1)").fetchone() != ("ok",):
            raise damaged(_url(source))


def restore(file: Path, chosen: Path) -> Path | None:
    """Put a backup in the journal's place; what stood there is kept.

    Programs that have the journal open go on with what is restored.

    Returns
    -------
    Path or None
        Where the journal is that was replaced: a backup, or where it was damaged its files, moved aside.

    Raises
    ------
    JournalError
        Where the backup is damaged or cannot be read, or the journal's place cannot be written.
    """
    part = file.with_name(f"{file.name}.{os.getpid()}.part")
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        copy(chosen, part)
        if not file.exists():
            part.replace(file)
            return None
        if is_damaged(file):
            aside = set_aside(file)
            part.replace(file)
            return aside
        replaced = take(file)
        copy(part, file)
        return replaced
    except OSError as error:
        reason = error.strerror or str(error)
        raise JournalError(f"{chosen} cannot be put in the place of {file} ({reason}).") from error
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


def is_damaged(file: Path) -> bool:
    """Whether a file is no database, or its pages do not hold together."""
    try:
        with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True, timeout=_WAIT)) as connection:
            return connection.execute("PRAGMA integrity_check(1)").fetchone() != ("ok",)
    except UnicodeDecodeError:
        return True  # SQLite's message quotes what is damaged
    except sqlite3.DatabaseError as error:
        if error.sqlite_errorname.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB", "SQLITE_FORMAT")):
            return True
        with explained(_url(file)):
            raise


def set_aside(file: Path) -> Path:
    """Move a damaged journal, with its log, to the backups; give its new place."""
    aside = folder_of(file) / f"damaged-{datetime.now(UTC).strftime(_STAMP)}.db"
    aside.parent.mkdir(mode=0o700, exist_ok=True)
    for end in ("-wal", "-shm", ""):
        with suppress(FileNotFoundError):
            file.with_name(file.name + end).replace(aside.with_name(aside.name + end))
    return aside


def drop_all(file: Path) -> None:
    """Delete every backup of a journal, and what was set aside or recovered."""
    for path in folder_of(file).glob("*"):
        path.unlink(missing_ok=True)


def _kept(newest_first: list[Path]) -> set[Path]:
    months: dict[str, Path] = {}
    for path in newest_first:
        months.setdefault(path.name[:6], path)
    return {*newest_first[:DAILY], *list(months.values())[:MONTHLY]}


def _taken_at(path: Path) -> datetime | None:
    try:
        return datetime.strptime(path.stem, _STAMP).replace(tzinfo=UTC)
    except ValueError:
        return None


def _drop_parts(folder: Path) -> None:
    """Drop what a writer left that died."""
    for part in folder.glob("*.part*"):
        with suppress(FileNotFoundError):
            if time.time() - part.stat().st_mtime > _AN_HOUR:
                part.unlink()


def _url(file: Path) -> URL:
    return URL.create("sqlite", database=str(file))
