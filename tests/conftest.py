"""Both engines of a journal."""

import itertools
import os
from collections.abc import Callable, Iterator

import pytest
from server import binaries, execute, make_database, running_server
from sqlalchemy import URL

from redolent.journal.migration import migrate
from redolent.journal.store import connect

_numbers = itertools.count()


@pytest.fixture(scope="session")
def administrator() -> Iterator[URL]:
    """The administrator of a PostgreSQL on the loopback, with a database ``school`` that holds an empty journal."""
    if binaries() is None:
        (pytest.fail if os.environ.get("CI") else pytest.skip)("PostgreSQL is not installed.")
    with running_server() as url:
        engine = connect(make_database(url, "school"))
        migrate(engine)
        engine.dispose()
        yield url


@pytest.fixture(scope="session")
def new_school(administrator: URL) -> Callable[[], URL]:
    """Make a fresh journal on the server, and give its administrator's URL."""
    return lambda: make_database(administrator, f"school_{next(_numbers)}", "school")


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def place(request: pytest.FixtureRequest) -> Iterator[str]:
    """Where a fresh journal is, once on each engine."""
    if request.param == "sqlite":
        yield ":memory:"
        return
    url = request.getfixturevalue("new_school")()
    yield url.render_as_string(hide_password=False)
    execute(url.set(database="postgres"), f"DROP DATABASE {url.database} WITH (FORCE)")
