"""Forgetting a taster: everything of theirs goes, and a tombstone stays."""

from typing import Any

from sqlalchemy import Select, delete, exists, or_, select
from sqlalchemy.orm import Session

from redolent.journal import schema
from redolent.journal.moment import split

# What belongs to one taster, in the order in which foreign keys let it go.
_OWN = (schema.Note, schema.LineMark, schema.DrillEvent, schema.PersonalWord, schema.TriangleRun)


def bury(session: Session, taster: schema.Taster) -> None:
    """Delete a taster with everything that only they need, and leave a tombstone.

    A tasting goes where nobody else wrote in it, a coffee where nobody else was served it. Drafts that name
    the taster go, too. Whatever others wrote stays.
    """
    at, utc_offset = split()
    session.add(schema.Tombstone(id=taster.id, kind="taster", at=at, utc_offset=utc_offset))
    # The triggers let a row go only once its tombstone stands.
    session.flush()
    tastings, coffees = set(session.scalars(_tastings(taster.id))), set(session.scalars(_coffees(taster.id)))
    of_runs = select(schema.TriangleRun.id).where(schema.TriangleRun.taster_id == taster.id)
    of_triads = select(schema.Triad.id).where(schema.Triad.run_id.in_(of_runs))
    _delete(session, schema.Answer, schema.Answer.triad_id.in_(of_triads))
    _delete(session, schema.Triad, schema.Triad.run_id.in_(of_runs))
    for table in _OWN:
        _delete(session, table, table.taster_id == taster.id)
    for tasting_id in tastings:
        _drop_tasting(session, tasting_id)
    for coffee_id in coffees:
        _drop_coffee(session, coffee_id)
    for draft in session.scalars(select(schema.Draft)).all():
        if taster.name.casefold() in f"{draft.key}\n{draft.text}".casefold() or taster.id in draft.key + draft.text:
            session.delete(draft)
    session.delete(taster)


def _tastings(taster_id: str) -> Select[Any]:
    cups = [select(table.serving_id).where(table.taster_id == taster_id) for table in (schema.Note, schema.LineMark)]
    return select(schema.Serving.tasting_id).where(or_(*(schema.Serving.id.in_(cup) for cup in cups)))


def _coffees(taster_id: str) -> Select[Any]:
    run = schema.TriangleRun
    served = select(schema.Serving.coffee_id).where(schema.Serving.tasting_id.in_(_tastings(taster_id)))
    a, b = (select(column).where(run.taster_id == taster_id) for column in (run.coffee_a_id, run.coffee_b_id))
    return select(schema.Coffee.id).where(or_(*(schema.Coffee.id.in_(ids) for ids in (served, a, b))))


def _drop_tasting(session: Session, tasting_id: str) -> None:
    cups = select(schema.Serving.id).where(schema.Serving.tasting_id == tasting_id)
    if any(_any(session, table.serving_id.in_(cups)) for table in (schema.Note, schema.LineMark)):
        return
    _delete(session, schema.StageEvent, schema.StageEvent.tasting_id == tasting_id)
    _delete(session, schema.Serving, schema.Serving.tasting_id == tasting_id)
    _delete(session, schema.Tasting, schema.Tasting.id == tasting_id)


def _drop_coffee(session: Session, coffee_id: str) -> None:
    run = schema.TriangleRun
    served = schema.Serving.coffee_id == coffee_id
    if not _any(session, served) and not _any(session, or_(run.coffee_a_id == coffee_id, run.coffee_b_id == coffee_id)):
        _delete(session, schema.Coffee, schema.Coffee.id == coffee_id)


def _any(session: Session, condition: Any) -> bool:
    return bool(session.scalar(select(exists().where(condition))))


def _delete(session: Session, table: Any, condition: Any) -> None:
    session.execute(delete(table).where(condition).execution_options(synchronize_session=False))
