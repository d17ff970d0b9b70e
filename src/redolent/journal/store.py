"""How a journal is kept: connect to its database, write to it in turn, and leave nothing of what was deleted."""

import os
import time
from contextlib import suppress
from pathlib import Path

from sqlalchemy import URL, Connection, Engine, StaticPool, create_engine, event
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import ArgumentError, OperationalError
from sqlalchemy.pool import ConnectionPoolEntry

from redolent.journal.error import JournalError
from redolent.journal.place import file_of, is_sqlite, shown
from redolent.journal.trouble import explained

_WAIT = 30.0  # seconds for other programs to let go of the database

# Who writes holds this lock to the end of the transaction, as BEGIN IMMEDIATE does in SQLite.
_TURN = 7_436_713_265_838_497_906


def connect(url: URL) -> Engine:
    """Make the engine, and for SQLite the private file.

    Raises
    ------
    JournalError
        Where the file cannot be made, or there is no driver for the URL.
    """
    try:
        return _connect_sqlite(url) if is_sqlite(url) else _connect_server(url)
    except (ImportError, ArgumentError) as error:
        raise JournalError(
            f"The journal {shown(url)} cannot be opened: {str(error).splitlines()[0]}; "
            "check the URL and that its database driver is installed."
        ) from error
    except (OSError, ValueError) as error:
        raise JournalError(
            f"The journal {shown(url)} cannot be made here ({error}); choose a folder that you may write to."
        ) from error


def writer(engine: Engine) -> Engine:
    """Give the same engine for transactions that write. Only one at a time does, so what it reads stays true."""
    return engine.execution_options(begin="BEGIN IMMEDIATE")


def scrub(engine: Engine) -> None:
    """Leave no byte of what was deleted: rewrite the database from what is still in it, and empty its log."""
    alone = {"begin": None} if is_sqlite(engine.url) else {"isolation_level": "AUTOCOMMIT"}
    with explained(engine.url), engine.connect().execution_options(**alone) as connection:
        connection.exec_driver_sql("VACUUM")
        if is_sqlite(engine.url):
            _empty_log(connection)


# ---- a server ----


def _connect_server(url: URL) -> Engine:
    engine = create_engine(url)
    event.listen(engine, "begin", _take_turn)
    return engine


def _take_turn(connection: Connection) -> None:
    if connection.get_execution_options().get("begin") and connection.dialect.name == "postgresql":
        connection.exec_driver_sql(f"SET LOCAL lock_timeout = '{_WAIT:.0f}s'")
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_TURN})")


# ---- SQLite only, from here to the end ----


def turn_on_wal(engine: Engine) -> None:
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


def _connect_sqlite(url: URL) -> Engine:
    file = file_of(url)
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


def _empty_log(connection: Connection) -> None:
    """Write the log back and cut it to nothing; programs that read an old state of the file hold it up."""
    deadline = time.monotonic() + _WAIT
    while connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)").one()[0]:
        if time.monotonic() > deadline:
            raise JournalError(
                f"The log of the journal {shown(connection.engine.url)} still holds what was deleted, because "
                "another program is reading it; it goes when that program lets go of the journal."
            )
        time.sleep(0.02)
