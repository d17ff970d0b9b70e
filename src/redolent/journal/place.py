"""Where a journal lies: its URL, its file, and how both are shown."""

import os
from pathlib import Path

from platformdirs import user_data_path
from sqlalchemy import URL, make_url
from sqlalchemy.exc import ArgumentError

from redolent.journal.error import JournalError


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
    return url if file_of(url) is None else url.set(database=_absolute(url.database or ""))


def is_sqlite(url: URL) -> bool:
    """Whether the journal is a file (or in memory), and not on a server."""
    return url.get_backend_name() == "sqlite"


def file_of(url: URL) -> Path | None:
    """Give the file of a SQLite URL; None in memory, and where SQLite itself is to read the name as a URI."""
    if not is_sqlite(url) or url.database in (None, "", ":memory:") or "uri" in url.query:
        return None
    return Path(url.database)


def shown(url: URL) -> str:
    """Name the database without its password."""
    return str(file_of(url) or url.render_as_string(hide_password=True))


def _absolute(path: str | Path) -> str:
    return str(Path(path).expanduser().absolute())
