"""Steps that the sections of a journal share: find a row or make one, in the transaction of a session."""

import unicodedata
from datetime import date, datetime
from typing import Any, TypeVar

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from redolent.journal import schema
from redolent.journal.moment import split
from redolent.journal.rows import STAGES

Entry = TypeVar("Entry", bound=schema.Base)


def add(session: Session, row: Entry) -> Entry:
    """Write a row."""
    session.add(row)
    session.flush()
    return row


def get(session: Session, table: type[Entry], key: str) -> Entry:
    """Find the row of an id, or raise a ValueError that names what is not there."""
    row = session.get(table, key)
    if row is None:
        raise ValueError(f"The journal has no {table.__tablename__.replace('_', ' ')} with the id {key!r}.")
    return row


def newest(table: Any) -> Select[Any]:
    """Select a table's rows, newest first."""
    return select(table).order_by(table.at.desc(), table.id)


def timed(at: datetime | None = None) -> dict[str, Any]:
    """Give the columns of a moment; now where it is None."""
    return dict(zip(("at", "utc_offset"), split(at), strict=True))


def same(session: Session, table: type[Entry], roast_date: date | None = None, **said: str) -> Entry | None:
    """Find the row of these texts: the very same, else the first that differs in nothing but capitals."""
    query: Any = select(table)
    if table is schema.Coffee:
        query = query.filter_by(roast_date=roast_date)
    if (row := session.scalars(query.filter_by(**said).limit(1)).first()) is not None:
        return row
    columns = [getattr(table, name) for name in said]
    folded = [text.casefold() for text in said.values()]
    # An older version let both spellings in; no clock says which came first, so their order decides.
    for key, *texts in session.execute(query.with_only_columns(table.__table__.c.id, *columns).order_by(*columns)):
        if [text.casefold() for text in texts] == folded:
            return session.get(table, key)
    return None


def tidy(name: str) -> str:
    """Write a name as it is compared: composed, without blanks around it."""
    return unicodedata.normalize("NFC", name).strip()


def named(name: str, what: str) -> str:
    """Tidy a name, or raise a ValueError where it is empty."""
    tidied = tidy(name)
    if not tidied:
        raise ValueError(f"A {what} needs a name; this one is empty.")
    return tidied


def check_stage(stage: str) -> None:
    """Raise a ValueError where there is no such stage."""
    if stage not in STAGES:
        raise ValueError(f"There is no stage {stage!r}; the stages are {', '.join(STAGES)}.")
