"""What every section stands on: the database, and a transaction to read or to write."""

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Engine
from sqlalchemy.orm import Session

from redolent.journal.error import JournalError
from redolent.journal.place import is_sqlite
from redolent.journal.rows import PlanKey, RunKey
from redolent.journal.store import writer
from redolent.journal.trouble import explained


class Section:
    """A journal's database. Whatever is written is on the disk when a transaction ends."""

    def __init__(self, engine: Engine, read_only: str | None = None) -> None:
        self._engine = engine
        self._writer = writer(engine)
        self.read_only = read_only
        """Why nothing can be written to this journal; None where it can."""
        # On a server everybody's drafts lie in one table.
        self._mine = "" if is_sqlite(engine.url) else f"{engine.url.username}/"
        self._drawn: dict[str, RunKey] = {}
        self._planned: dict[str, PlanKey] = {}

    @contextmanager
    def _read(self) -> Iterator[Session]:
        with explained(self._engine.url), Session(self._engine) as session, session.begin():
            yield session

    @contextmanager
    def _write(self) -> Iterator[Session]:
        if self.read_only is not None:
            raise JournalError(self.read_only)
        with explained(self._engine.url), Session(self._writer) as session, session.begin():
            yield session
