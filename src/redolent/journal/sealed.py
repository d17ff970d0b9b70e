"""What is sealed until a run is over, and who reads it: SQLite's queries, and PostgreSQL's functions for them.

In a file, queries of the taster's side leave the sealed columns out. On a server no login but the administrator's may
read them at all; functions with the owner's rights hand out what is open (see `roles`).
"""

from datetime import datetime
from typing import Any

from sqlalchemy import Select, Table, and_, column, exists, func, literal, or_, select
from sqlalchemy.orm import Session, aliased

from redolent.journal import schema
from redolent.journal.text import Verbatim


def is_open(session: Session) -> Any:
    """Whether the key of a run may be opened: it is over, and what stood where is known for its answers."""
    if _is_server(session):
        runs = func.redolent_open_runs().table_valued("run_id", "nonce")
        return schema.TriangleRun.id.in_(select(runs.c.run_id))
    triad = aliased(schema.Triad)
    of_run, answered = triad.run_id == schema.TriangleRun.id, exists().where(schema.Answer.triad_id == triad.id)
    pending = exists().where(of_run, ~answered).correlate(schema.TriangleRun)
    unknown = exists().where(of_run, triad.order.is_(None), answered).correlate(schema.TriangleRun)
    return and_(or_(schema.TriangleRun.stopped_at.is_not(None), ~pending), ~unknown)


def orders(session: Session) -> Any:
    """Give the table (triad_id, order) of what stood where, for queries that ask `is_open`."""
    if _is_server(session):
        return func.redolent_open_triads().table_valued("triad_id", column("order", Verbatim()))
    return select(schema.Triad.id.label("triad_id"), schema.Triad.order.label("order")).subquery()


# What a server's functions hand out of each table with sealed columns: the key, then those columns.
_HANDED_OUT = {
    "triangle_run": ("redolent_open_runs", "run_id", "nonce"),
    "triad": ("redolent_open_triads", "triad_id", "order"),
    "tasting_plan": ("redolent_open_plans", "plan_id", "key", "nonce"),
}


def rows(session: Session, table: Table) -> Select[Any]:
    """Select all columns of a table; on a server those that are sealed are None until they are open."""
    if not _is_server(session) or table.name not in _HANDED_OUT:
        return select(table)
    function, key, *names = _HANDED_OUT[table.name]
    handed = getattr(func, function)().table_valued(key, *(column(name, Verbatim()) for name in names))
    columns = [handed.c[one.name] if one.name in names else one for one in table.c]
    return select(*columns).select_from(table.outerjoin(handed, handed.c[key] == table.c.id))


def may_read(session: Session, table: Table) -> bool:
    """Whether this login may read anything of a table."""
    if not _is_server(session):
        return True
    return bool(session.scalar(select(func.has_any_column_privilege(literal(table.name), literal("SELECT")))))


def nonce(session: Session, run_id: str) -> str:
    """Read the nonce of a run that is open."""
    if _is_server(session):
        runs = func.redolent_open_runs().table_valued("run_id", column("nonce", Verbatim()))
        return session.scalars(select(runs.c.nonce).where(runs.c.run_id == run_id)).one()
    return session.scalars(select(schema.TriangleRun.nonce).filter_by(id=run_id)).one()


def is_unentered(session: Session, triad: Any) -> Any:
    """Whether nobody has entered yet what stood where in a triad."""
    if _is_server(session):
        unentered = func.redolent_unentered().table_valued("triad_id")
        return triad.id.in_(select(unentered.c.triad_id))
    return triad.order.is_(None)


def lock(session: Session, answer: schema.Answer) -> None:
    """Write an answer, once and for all."""
    if not _is_server(session):
        session.add(answer)
        return
    texts = (literal(text, Verbatim()) for text in (answer.id, answer.triad_id, answer.odd_code))
    note = literal(answer.note, Verbatim())
    given = func.redolent_answer(*texts, answer.guessed, note, answer.at, answer.utc_offset)
    session.execute(select(given))


def reveal(session: Session, plan: schema.TastingPlan, at: datetime, utc_offset: int) -> None:
    """Let a tasting be revealed, once and for all."""
    if _is_server(session):
        session.execute(select(func.redolent_reveal(literal(plan.id, Verbatim()), at, utc_offset)))
        session.expire(plan)
    else:
        plan.revealed_at, plan.revealed_utc_offset = at, utc_offset
        session.flush()


def plan_key(session: Session, plan_id: str) -> tuple[str, str] | None:
    """Read key and nonce of a plan; on a server None before its reveal."""
    if _is_server(session):
        columns = column("key", Verbatim()), column("nonce", Verbatim())
        plans = func.redolent_open_plans().table_valued("plan_id", *columns)
        row = session.execute(select(plans.c.key, plans.c.nonce).where(plans.c.plan_id == plan_id)).one_or_none()
    else:
        table = schema.TastingPlan
        row = session.execute(select(table.key, table.nonce).filter_by(id=plan_id)).one()
    return None if row is None else (row[0], row[1])


def _is_server(session: Session) -> bool:
    return session.get_bind().dialect.name == "postgresql"
