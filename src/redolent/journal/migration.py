"""Bring a journal's tables up to date: forward only, in one transaction, with a backup taken first."""

from threading import Lock

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine, inspect

from redolent.journal import backup, roles
from redolent.journal.error import JournalError
from redolent.journal.place import file_of, is_sqlite, shown
from redolent.journal.store import turn_on_wal, writer
from redolent.journal.trouble import damaged

# Alembic's environment is global to the process.
_MIGRATING = Lock()


def revision(engine: Engine) -> str | None:
    """Give the schema that a database has; None where it is empty.

    Raises
    ------
    JournalError
        Where the database is damaged or holds something else.
    """
    with engine.connect() as connection:
        if is_sqlite(engine.url) and connection.exec_driver_sql("PRAGMA quick_check(1)").scalar_one() != "ok":
            raise damaged(engine.url)
        return _revision(connection)


def is_newer(found: str | None) -> bool:
    """Whether a schema is of a version that this one does not know."""
    return found is not None and found not in _known()


def is_older(found: str | None) -> bool:
    """Whether a schema has to be brought forward."""
    return found is not None and found in _known()[1:]


def migrate(engine: Engine) -> None:
    """Bring the tables up to date, in one transaction that holds the write lock from its start.

    On a server that is the administrator's work, and makes the rights of all logins anew.

    Raises
    ------
    JournalError
        Where the database is damaged, holds something else or was written by a newer version, or the backup
        of an older one cannot be taken. It is left as it was.
    """
    file, sqlite = file_of(engine.url), is_sqlite(engine.url)
    if file is not None and is_older(revision(engine)):
        backup.take(file)
    with _MIGRATING, writer(engine).begin() as connection:
        # Another program may have brought it forward meanwhile, or is doing so first.
        if is_newer(found := _revision(connection)):
            raise JournalError(newer(engine, found))
        if found != _known()[0]:
            if not sqlite:
                roles.lift(connection)
            config = _config()
            config.attributes["connection"] = connection
            command.upgrade(config, "head")
        if not sqlite:
            roles.apply(connection)
        else:
            # BEGIN IMMEDIATE passes on a read-only database; a statement that writes does not, even for no row.
            connection.exec_driver_sql("DELETE FROM alembic_version WHERE FALSE")
    if sqlite:
        turn_on_wal(engine)


def newer(engine: Engine, found: str | None) -> str:
    """Say why nothing can be written to a journal of a newer version."""
    return (
        f"The journal {shown(engine.url)} was written by a newer version of Redolent (its schema is {found}, this "
        f"one knows {_known()[0]}), so it can be read here and nothing is written; install that version to go on."
    )


def check_current(engine: Engine, found: str | None) -> None:
    """Raise a JournalError where a server's tables have to be made or brought forward first."""
    if found is None or is_older(found):
        state = "has no tables yet" if found is None else f"is of an older version (its schema is {found})"
        raise JournalError(f"The journal {shown(engine.url)} {state}; its administrator runs: redolent journal migrate")


def _revision(connection: Connection) -> str | None:
    found = MigrationContext.configure(connection).get_current_revision()
    if found is None and inspect(connection).get_table_names():
        raise JournalError(
            f"The database {shown(connection.engine.url)} holds something else than a journal; choose another place."
        )
    return found


def _known() -> list[str]:
    """List the schemas of this version, newest first."""
    return [script.revision for script in ScriptDirectory.from_config(_config()).walk_revisions()]


def _config() -> Config:
    config = Config()
    config.set_main_option("script_location", "redolent.journal:migrations")
    return config
