"""What can be wrong with a journal, said in one clear sentence."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import URL
from sqlalchemy.exc import DBAPIError

from redolent.journal.error import DamagedError, JournalError, UnreadableError
from redolent.journal.place import is_sqlite, shown

_DAMAGED = (
    "the file is damaged; bring back a copy of it (redolent journal restore), "
    "or save what can still be read (redolent journal recover)"
)
# By the beginning of SQLite's result code.
_REASONS = {
    "SQLITE_NOTADB": "the file is not a journal; choose another file, or bring back a copy of it",
    "SQLITE_CORRUPT": _DAMAGED,
    "SQLITE_FORMAT": _DAMAGED,
    "SQLITE_READONLY": "the file or its folder is read-only; allow writing or choose another place",
    "SQLITE_PERM": "the file or its folder is read-only; allow writing or choose another place",
    "SQLITE_CANTOPEN": "the file cannot be opened for writing; check its folder or choose another place",
    "SQLITE_BUSY": "another program is writing to it; close that program and try again",
    "SQLITE_LOCKED": "another program is writing to it; close that program and try again",
    "SQLITE_FULL": "the disk is full; make room and try again",
    "SQLITE_IOERR": "the disk would not read or write (it may be full, or gone); make room and try again",
}
# By PostgreSQL's SQLSTATE.
_STATES = {
    "42501": "this login may not do that; ask the administrator of the journal",
    "55P03": "another program is writing to it; try again",
    "42P01": "it has no tables yet; the administrator makes them with: redolent journal migrate",
}


def damaged(url: URL) -> DamagedError:
    """Make the error for a file whose pages do not hold together."""
    return DamagedError(f"The journal {shown(url)} cannot be used: {_DAMAGED}.")


@contextmanager
def explained(url: URL) -> Iterator[None]:
    """Turn what the database reports into a JournalError of one clear sentence."""
    try:
        yield
    except (DBAPIError, sqlite3.Error) as error:
        cause = error.orig if isinstance(error, DBAPIError) else error
        reason = _reason(cause, url)
        kind = DamagedError if reason == _DAMAGED else JournalError
        raise kind(f"The journal {shown(url)} cannot be used: {reason}.") from error
    except (UnicodeDecodeError, UnreadableError) as error:
        # The first is of SQLite's own message, which quotes a damaged schema.
        raise damaged(url) from error


def _reason(cause: BaseException | None, url: URL) -> str:
    name = getattr(cause, "sqlite_errorname", "")
    if reason := next((text for code, text in _REASONS.items() if name.startswith(code)), None):
        return reason
    if str(cause).startswith("Could not decode to UTF-8"):
        return _DAMAGED  # Python's driver says so, without a code
    first = (str(cause).splitlines() or ["no reason given"])[0].rstrip(".")
    if is_sqlite(url):
        return f"{first}; see what is wrong with: redolent journal check"
    return _STATES.get(getattr(cause, "sqlstate", None) or "", first)
