"""Forgetting a taster: everything of theirs goes, and a tombstone stays."""

import json
import re
from typing import Any

from sqlalchemy import ColumnElement, Table, delete, exists, false, or_, select
from sqlalchemy.orm import Session

from redolent.journal import entries, schema
from redolent.journal.moment import split

# Children first, so that foreign keys let them go.
_TABLES = tuple(reversed(schema.Base.metadata.sorted_tables))
_TASTING, _SERVING, _COFFEE = (table.__table__ for table in (schema.Tasting, schema.Serving, schema.Coffee))


def bury(session: Session, taster: schema.Taster) -> None:
    """Delete a taster with everything that only they need, and leave a tombstone.

    A tasting goes where nobody else wrote in it, a coffee where nobody else was served it. Drafts that are theirs
    go, too. Whatever others wrote stays.
    """
    at, utc_offset = split()
    session.add(schema.Tombstone(id=taster.id, kind="taster", at=at, utc_offset=utc_offset))
    # The triggers let a row go only once its tombstone stands.
    session.flush()
    for draft in _drafts(session, taster):
        session.delete(draft)
    own = {table: condition for table in _TABLES if (condition := _is_own(table, taster.id)) is not None}
    tastings = {key for table, mine in own.items() for key in session.scalars(_tastings(table, mine))}
    coffees = {
        key
        for table, condition in [*own.items(), (_SERVING, _SERVING.c.tasting_id.in_(tastings))]
        for column in _references(table, "coffee")
        for key in session.scalars(select(column).where(condition))
    }
    for table, condition in own.items():
        session.execute(delete(table).where(condition))
    for tasting_id in tastings:
        _drop_tasting(session, tasting_id)
    for coffee_id in coffees:
        if not any(_any(session, column == coffee_id) for table in _TABLES for column in _references(table, "coffee")):
            session.execute(delete(_COFFEE).where(_COFFEE.c.id == coffee_id))
    session.delete(taster)


def _drafts(session: Session, taster: schema.Taster) -> list[schema.Draft]:
    """List a taster's drafts: kept by their login, under their id or name, or for a tasting or run of theirs."""
    plan, run, serving = schema.TastingPlan, schema.TriangleRun, schema.Serving
    tastings = session.scalars(select(plan.tasting_id).where(plan.taster_id == taster.id)).all()
    cups = session.scalars(select(serving.id).where(serving.tasting_id.in_(tastings)))
    runs = session.scalars(select(run.id).where(run.taster_id == taster.id))
    # Without hyphens, as a login names its taster.
    ids = {one.replace("-", "") for one in (taster.id, *tastings, *cups, *runs)}
    return [
        draft
        for draft in session.scalars(select(schema.Draft))
        if not ids.isdisjoint(re.split("[ _/]", draft.key.replace("-", ""))) or taster.name.casefold() in _names(draft)
    ]


def _names(draft: schema.Draft) -> set[str]:
    """Give whom a draft may be of: the taster that panels write into it, and what ends the key of an exercise's."""
    try:
        kept = json.loads(draft.text)
    except (ValueError, RecursionError):
        kept = None
    taster = kept.get("taster") if isinstance(kept, dict) else None
    return {entries.tidy(str(name)).casefold() for name in (taster, draft.key.split(" ", 3)[-1])}


def _is_own(table: Table, taster_id: str) -> ColumnElement[bool] | None:
    """Whether a row is a taster's own, or part of what is; None for what a table shares."""
    if "taster_id" in table.c:
        return table.c.taster_id == taster_id
    for reference in table.foreign_keys:
        parent = reference.column.table
        if (condition := _is_own(parent, taster_id)) is not None:
            return reference.parent.in_(select(reference.column).where(condition))
    return None


def _tastings(table: Table, condition: ColumnElement[bool]) -> Any:
    """Select the tastings that rows of a table belong to."""
    if "tasting_id" in table.c:
        return select(table.c.tasting_id).where(condition, table.c.tasting_id.is_not(None))
    if "serving_id" in table.c:
        cups = select(table.c.serving_id).where(condition)
        return select(_SERVING.c.tasting_id).where(_SERVING.c.id.in_(cups))
    return select(_TASTING.c.id).where(false())


def _drop_tasting(session: Session, tasting_id: str) -> None:
    """Delete a tasting with its cups and events, unless somebody's own rows are about it."""
    cups = select(_SERVING.c.id).where(_SERVING.c.tasting_id == tasting_id)
    about: dict[Table, ColumnElement[bool]] = {}
    for table in _TABLES:
        columns = [table.c[name] for name in ("tasting_id", "serving_id") if name in table.c]
        if columns:
            about[table] = or_(*(c.in_([tasting_id] if c.name == "tasting_id" else cups) for c in columns))
    if any(_any(session, table.c.taster_id.is_not(None) & about[table]) for table in about if "taster_id" in table.c):
        return
    for table, condition in about.items():
        session.execute(delete(table).where(condition))
    session.execute(delete(_TASTING).where(_TASTING.c.id == tasting_id))


def _references(table: Table, parent: str) -> list[Any]:
    """List the columns of a table that refer to another one."""
    return [reference.parent for reference in table.foreign_keys if reference.column.table.name == parent]


def _any(session: Session, condition: ColumnElement[bool]) -> bool:
    return bool(session.scalar(select(exists().where(condition))))
