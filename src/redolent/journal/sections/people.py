"""People, their logins, and coffees."""

from datetime import date

from sqlalchemy import select

from redolent.journal import backup, entries, roles, schema, tombstone, views
from redolent.journal.place import file_of, is_sqlite
from redolent.journal.rows import Coffee, Taster
from redolent.journal.sections.section import Section
from redolent.journal.store import scrub


class People(Section):
    """Who tastes, and what."""

    def taster(self, name: str) -> Taster:
        """Find the taster of this name, or make one. Capitals make no other taster: the first spelling stays.

        Raises
        ------
        ValueError
            Where the name is empty.
        """
        name = entries.named(name, "taster")
        with self._write() as session:
            return views.taster(
                entries.same(session, schema.Taster, name=name) or entries.add(session, schema.Taster(name=name))
            )

    def find_taster(self, name: str) -> Taster | None:
        """Find the taster of that name; None where there is none."""
        with self._read() as session:
            row = entries.same(session, schema.Taster, name=entries.tidy(name))
            return views.taster(row) if row is not None else None

    def tasters(self) -> list[Taster]:
        """List the tasters by name."""
        with self._read() as session:
            rows = session.scalars(select(schema.Taster).order_by(schema.Taster.name))
            return [views.taster(row) for row in rows]

    def forget(self, taster_id: str) -> None:
        """Delete a taster and everything of theirs, and leave a tombstone.

        The bytes are gone from the journal's files and its backups, which are replaced by one new backup.

        Raises
        ------
        ValueError
            Where the taster is not in the journal.
        """
        file = file_of(self._engine.url)
        with self._write() as session:
            tombstone.bury(session, entries.get(session, schema.Taster, taster_id))
            if file:
                backup.drop_all(file)
            elif not is_sqlite(self._engine.url):
                roles.drop_login(session.connection(), taster_id)
        if file:
            backup.take(file)
        scrub(self._engine)

    def add_login(self, taster_id: str | None = None) -> str:
        """Make a taster's login to a journal on a server, or an educator's; give the journal's URL for them.

        It holds a new password; the one that a taster had before ends.

        Raises
        ------
        ValueError
            Where the journal is a file, the taster is not in it, or this login may not make others.
        """
        if is_sqlite(self._engine.url):
            raise ValueError("A journal in a file has no logins; whoever may read the file may read it all.")
        with self._write() as session:
            if taster_id is not None:
                entries.get(session, schema.Taster, taster_id)
            url = roles.add_login(session.connection(), taster_id)
            return url.render_as_string(hide_password=False)

    def tombstones(self) -> set[str]:
        """Give the ids of what was forgotten: no import or merge may bring it back."""
        with self._read() as session:
            return set(session.scalars(select(schema.Tombstone.id)))

    def coffee(self, name: str, *, origin: str = "", process: str = "", roast_date: date | None = None) -> Coffee:
        """Find the coffee that is the same in all four, but for capitals, or make one.

        Raises
        ------
        ValueError
            Where the name is empty.
        """
        said = {"name": entries.named(name, "coffee"), "origin": entries.tidy(origin), "process": entries.tidy(process)}
        with self._write() as session:
            row = entries.same(session, schema.Coffee, roast_date, **said)
            return views.coffee(row or entries.add(session, schema.Coffee(**said, roast_date=roast_date)))

    def coffees(self) -> list[Coffee]:
        """List the coffees by name, then by roast date."""
        order = schema.Coffee.name, schema.Coffee.roast_date, schema.Coffee.id
        with self._read() as session:
            return [views.coffee(row) for row in session.scalars(select(schema.Coffee).order_by(*order))]
