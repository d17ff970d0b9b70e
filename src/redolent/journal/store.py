"""Where a journal lives: find its database, connect to it, and bring its tables up to date."""

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Lock

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from platformdirs import user_data_path
from sqlalchemy import URL, Connection, Engine, StaticPool, create_engine, event, inspect, make_url
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import ArgumentError, DBAPIError, OperationalError
from sqlalchemy.pool import ConnectionPoolEntry

_WAIT = 10.0  # seconds for another program to let go of the database

# Alembic's environment is global to the process.
_MIGRATING = Lock()


class JournalError(ValueError):
    """A journal that cannot be opened, read or written; the message says why and what to do."""


def locate(place: str | Path | None = None) -> URL:
    """Find the database: `place`, else REDOLENT_JOURNAL, else the user's data folder.

    Parameters
    ----------
    place : str or Path, optional
        A file, ``":memory:"`` or any SQLAlchemy URL.

    Raises
    ------
    JournalError
        Where a URL cannot be read.
    """
    if place is None:
        place = os.environ.get("REDOLENT_JOURNAL") or user_data_path("redolent") / "journal.db"
    if str(place) == ":memory:":
        return URL.create("sqlite")
    if isinstance(place, Path) or "://" not in place:
        return URL.create("sqlite", database=_absolute(place))
    try:
        url = make_url(place)
    except (ArgumentError, ValueError) as error:
        raise JournalError("The journal's URL cannot be read; write it like sqlite:////home/me/j.db.") from error
    return url if _file(url) is None else url.set(database=_absolute(url.database or ""))


def connect(url: URL) -> Engine:
    """Make the engine, and for SQLite the private file.

    Raises
    ------
    JournalError
        Where the file cannot be made, or there is no driver for the URL.
    """
    try:
        if _is_sqlite(url):
            return _connect_sqlite(url)
        return create_engine(url)
    except (ImportError, ArgumentError) as error:
        raise JournalError(
            f"The journal {_shown(url)} cannot be opened: {str(error).splitlines()[0]}; "
            "check the URL and that its database driver is installed."
        ) from error
    except (OSError, ValueError) as error:
        raise JournalError(
            f"The journal {_shown(url)} cannot be made here ({error}); choose a folder that you may write to."
        ) from error


def migrate(engine: Engine) -> None:
    """Bring the tables up to date, in one transaction that holds the write lock from its start.

    Raises
    ------
    JournalError
        Where the database is damaged, holds something else or was written by a newer version. It is left
        as it was.
    """
    config = Config()
    config.set_main_option("script_location", "redolent.journal:migrations")
    with _MIGRATING, writer(engine).begin() as connection:
        if _is_sqlite(engine.url):
            _check_pages(connection)
        _check_revision(connection, ScriptDirectory.from_config(config))
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
        if _is_sqlite(engine.url):
            _check_writable(connection)
    if _is_sqlite(engine.url):
        _turn_on_wal(engine)


def writer(engine: Engine) -> Engine:
    """Give the same engine for transactions that write."""
    return engine.execution_options(begin="BEGIN IMMEDIATE")


def scrub(engine: Engine) -> None:
    """Leave no byte of what was deleted: rewrite the file from what is still in it, and empty its log."""
    alone = {"begin": None} if _is_sqlite(engine.url) else {"isolation_level": "AUTOCOMMIT"}
    with explained(engine.url), engine.connect().execution_options(**alone) as connection:
        connection.exec_driver_sql("VACUUM")
        if _is_sqlite(engine.url):
            _empty_log(connection)


@contextmanager
def explained(url: URL) -> Iterator[None]:
    """Turn what the database reports into a JournalError of one clear sentence."""
    try:
        yield
    except DBAPIError as error:
        name = getattr(error.orig, "sqlite_errorname", "")
        reason = next((text for code, text in _REASONS.items() if name.startswith(code)), str(error.orig))
        raise JournalError(f"The journal {_shown(url)} cannot be used: {reason}.") from error


def _check_revision(connection: Connection, script: ScriptDirectory) -> None:
    current = set(MigrationContext.configure(connection).get_current_heads())
    url = connection.engine.url
    if newer := current - {known.revision for known in script.walk_revisions()}:
        raise JournalError(
            f"The journal {_shown(url)} was written by a newer version of Redolent (its schema is "
            f"{', '.join(newer)}); install that version to open it, nothing was changed."
        )
    if not current and inspect(connection).get_table_names():
        raise JournalError(f"The database {_shown(url)} holds something else than a journal; choose another place.")


def _shown(url: URL) -> str:
    """Name the database without its password."""
    return str(_file(url) or url.render_as_string(hide_password=True))


# ---- SQLite only, from here to the end ----

# By the beginning of SQLite's result code.
_REASONS = {
    "SQLITE_NOTADB": "the file is not a journal; choose another file, or bring back a copy of it",
    "SQLITE_CORRUPT": "the file is damaged; bring back a copy of it",
    "SQLITE_READONLY": "the file or its folder is read-only; allow writing or choose another place",
    "SQLITE_CANTOPEN": "the file cannot be opened for writing; check its folder or choose another place",
    "SQLITE_BUSY": "another program is writing to it; close that program and try again",
    "SQLITE_FULL": "the disk is full; make room and try again",
}


def _is_sqlite(url: URL) -> bool:
    return url.get_backend_name() == "sqlite"


def _file(url: URL) -> Path | None:
    """Give the file of a SQLite URL; None in memory, and where SQLite itself is to read the name as a URI."""
    if not _is_sqlite(url) or url.database in (None, "", ":memory:") or "uri" in url.query:
        return None
    return Path(url.database)


def _absolute(path: str | Path) -> str:
    return str(Path(path).expanduser().absolute())


def _connect_sqlite(url: URL) -> Engine:
    file = _file(url)
    if file is not None:
        _make_private(file)
        engine = create_engine(url)
    elif "uri" in url.query:
        engine = create_engine(url)
    else:
        # A database in memory is one connection's own.
        engine = create_engine(url, poolclass=StaticPool, connect_args={"check_same_thread": False})
    event.listen(engine, "connect", _set_up)
    event.listen(engine, "begin", _begin)
    return engine


def _make_private(file: Path) -> None:
    """Make the folder and the file for their owner alone, where they do not exist yet."""
    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    # Never open a database that exists: closing it again would drop SQLite's locks in this process.
    with suppress(FileExistsError):
        os.close(os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))


def _set_up(connection: DBAPIConnection, entry: ConnectionPoolEntry) -> None:
    # The driver would begin transactions by its own rules; `_begin` does instead.
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout = {_WAIT * 1000:.0f}")
    cursor.execute("PRAGMA foreign_keys = ON")
    cursor.execute("PRAGMA synchronous = FULL")
    # What is deleted is overwritten with zeros.
    cursor.execute("PRAGMA secure_delete = ON")
    cursor.close()


def _begin(connection: Connection) -> None:
    if statement := connection.get_execution_options().get("begin", "BEGIN"):
        connection.exec_driver_sql(statement)


def _check_pages(connection: Connection) -> None:
    if connection.exec_driver_sql("PRAGMA quick_check(1)").scalar_one() != "ok":
        raise JournalError(f"The journal {_shown(connection.engine.url)} cannot be used: {_REASONS['SQLITE_CORRUPT']}.")


def _check_writable(connection: Connection) -> None:
    # BEGIN IMMEDIATE passes on a read-only database; a statement that writes does not, even for no row.
    connection.exec_driver_sql("DELETE FROM alembic_version WHERE FALSE")


def _turn_on_wal(engine: Engine) -> None:
    """Set the journal mode, which the file keeps; SQLite does not always wait for the file as it should."""
    deadline = time.monotonic() + _WAIT
    with engine.connect().execution_options(begin=None) as connection:
        while True:
            try:
                connection.exec_driver_sql("PRAGMA journal_mode = WAL")
                return
            except OperationalError as error:
                if "locked" not in str(error.orig) or time.monotonic() > deadline:
                    raise
                time.sleep(0.02)


def _empty_log(connection: Connection) -> None:
    """Write the log back and cut it to nothing; programs that read an old state of the file hold it up."""
    deadline = time.monotonic() + _WAIT
    while connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)").one()[0]:
        if time.monotonic() > deadline:
            raise JournalError(
                f"The log of the journal {_shown(connection.engine.url)} still holds what was deleted, because "
                "another program is reading it; close that program and try again."
            )
        time.sleep(0.02)
