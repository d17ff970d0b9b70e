"""The journal itself: everything a taster has written, answered and been served."""

from pathlib import Path
from typing import Self

from redolent.journal import backup
from redolent.journal.error import DamagedError, JournalError
from redolent.journal.migration import check_current, is_newer, migrate, newer, revision
from redolent.journal.place import file_of, is_sqlite, locate
from redolent.journal.sections.counts import Counts
from redolent.journal.sections.notes import Notes
from redolent.journal.sections.people import People
from redolent.journal.sections.runs import Runs
from redolent.journal.sections.tastings import Tastings
from redolent.journal.store import connect
from redolent.journal.trouble import explained


class Journal(People, Tastings, Notes, Runs, Counts):
    """A taster's journal in a database.

    Notes, answers and plans are append-only. Whatever a method saved is on the disk when it returns.
    What it can be asked is in `sections`, a class for each thing.
    """

    @classmethod
    def open(cls, path_or_url: str | Path | None = None) -> Self:
        """Open a journal, make it where there is none, and bring an older one forward.

        Before it is brought forward, and once a day, a backup is taken. One that a newer version wrote is
        opened for reading alone; `read_only` says why. A server's journal is made and brought forward by its
        administrator: ``redolent journal migrate``.

        Parameters
        ----------
        path_or_url : str or Path, optional
            A file, ``":memory:"`` or any SQLAlchemy URL. Where it is None the variable REDOLENT_JOURNAL
            says, and where that is not set either, it is ``journal.db`` in the user's data folder.

        Raises
        ------
        JournalError
            Where it cannot be made, read or written. It is left as it was.
        """
        engine = connect(locate(path_or_url))
        try:
            with explained(engine.url):
                found = revision(engine)
                if is_newer(found):
                    return cls(engine, newer(engine, found))
                if not is_sqlite(engine.url):
                    check_current(engine, found)
                    return cls(engine)
                migrate(engine)
                if found and (file := file_of(engine.url)) and backup.is_due(file):
                    _back_up(file)
        except BaseException:
            engine.dispose()
            raise
        return cls(engine)

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def __repr__(self) -> str:
        return f"Journal({self.url!r})"

    @property
    def url(self) -> str:
        """Where the journal is, as a URL without its password."""
        return self._engine.url.render_as_string(hide_password=True)


def _back_up(file: Path) -> None:
    """Take the day's backup. A full disk must not keep anybody from reading; `redolent journal check` tells of it."""
    try:
        backup.take(file)
    except DamagedError:
        raise
    except JournalError:
        return
