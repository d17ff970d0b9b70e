"""Triangle runs: what a plan must be, which triad is next, and when the key may be opened."""

import re
from collections.abc import Sequence
from typing import Any

from sqlalchemy import exists, select
from sqlalchemy.orm import Session

from redolent.journal import schema, sealed
from redolent.journal.rows import AIMS, BLINDINGS, RUN_EVENTS, RunKey

CODE = re.compile("[0-9]{3}")
ORDERS = ("AAB", "ABA", "BAA", "ABB", "BAB", "BBA")  # as `triangle.ORDERS`, which may not load a database


def check_plan(alpha: float, blinding: str, orders: Sequence[str | None], codes: Sequence[Sequence[str]]) -> None:
    """Raise a ValueError where a plan does not hold together."""
    if not 0 < alpha < 1:
        raise ValueError(f"alpha is a probability between 0 and 1, such as 0.05, not {alpha}.")
    if blinding not in BLINDINGS:
        raise ValueError(f"There is no blinding {blinding!r}; it is one of {', '.join(BLINDINGS)}.")
    if not orders or len(orders) != len(codes):
        raise ValueError(
            f"A run needs an order and three codes for each triad; these are {len(orders)} and {len(codes)}."
        )
    for order in orders:
        if order is not None or blinding != "self-reported":
            check_order(order)
    for three in codes:
        if len(three) != 3 or len(set(three)) != 3 or not all(map(CODE.fullmatch, three)):
            raise ValueError(f"A triad has three different three-digit codes, not {three!r}.")


def check_aim(aim: str, beta: float | None, pd: float | None, sitting: int | None) -> None:
    """Raise a ValueError where a run cannot find what it is planned for."""
    if aim not in AIMS:
        raise ValueError(f"There is no aim {aim!r}; it is one of {', '.join(AIMS)}.")
    if aim != "difference" and (beta is None or pd is None):
        raise ValueError(f"A run for {aim} is judged against beta and p_d; give both.")
    for name, value in (("beta", beta), ("p_d", pd)):
        if value is not None and not 0 < value < 1:
            raise ValueError(f"{name} lies between 0 and 1, not {value}.")
    if sitting is not None and sitting < 1:
        raise ValueError(f"A sitting has at least 1 triad, not {sitting}.")


def check_event(event: str) -> None:
    """Raise a ValueError where this does not happen to runs."""
    if event not in RUN_EVENTS:
        raise ValueError(f"There is no event {event!r} of a run; it is one of {', '.join(RUN_EVENTS)}.")


def check_order(order: str | None) -> None:
    """Raise a ValueError where this is not an order of three cups with one odd."""
    if order not in ORDERS:
        raise ValueError(f"An order is one of {', '.join(ORDERS)}, not {order!r}.")


def next_triad(session: Session, run: schema.TriangleRun) -> schema.Triad | None:
    """Find the first triad without an answer; None where the run is over."""
    if run.stopped_at is not None:
        return None
    query = select(schema.Triad).where(schema.Triad.run_id == run.id, ~_is_answered(schema.Triad))
    return session.scalar(query.order_by(schema.Triad.number).limit(1))


def unentered_triad(session: Session, run_id: str) -> schema.Triad | None:
    """Find the first answered triad whose order is not known."""
    table = schema.Triad
    query = select(table).where(table.run_id == run_id, sealed.is_unentered(session, table), _is_answered(table))
    return session.scalar(query.order_by(table.number).limit(1))


def locked(triad: schema.Triad, run: schema.TriangleRun, following: schema.Triad | None) -> str:
    """Say why a triad that is not `following` takes no answer."""
    if run.stopped_at is not None:
        return f"Triad {triad.number} is locked: its run was stopped."
    if following is None or triad.number < following.number:
        return f"Triad {triad.number} is locked: it has its answer, and an answer stays as it was given."
    return f"Triad {triad.number} is locked until triad {following.number} is answered."


def check_open(session: Session, run_id: str) -> None:
    """Raise a ValueError where the key of a run may not be opened yet."""
    if not session.scalar(select(sealed.is_open(session)).where(schema.TriangleRun.id == run_id)):
        raise ValueError(
            "The key stays sealed until every triad is answered or the run is stopped, and what stood where is entered."
        )


def key(session: Session, run_id: str) -> RunKey:
    """Read what is sealed, whether the run is over or not."""
    columns = schema.Triad.order, schema.Triad.code_1, schema.Triad.code_2, schema.Triad.code_3
    query = select(*columns).where(schema.Triad.run_id == run_id).order_by(schema.Triad.number)
    triads = session.execute(query).all()
    return RunKey(
        orders=tuple(order for order, *_ in triads),
        codes=tuple((code_1, code_2, code_3) for _, code_1, code_2, code_3 in triads),
        nonce=session.scalars(select(schema.TriangleRun.nonce).filter_by(id=run_id)).one(),
    )


def open_key(session: Session, run_id: str) -> RunKey:
    """Read what was sealed of a run that is over."""
    orders = sealed.orders(session)
    columns = orders.c.order, schema.Triad.code_1, schema.Triad.code_2, schema.Triad.code_3
    query = select(*columns).join_from(schema.Triad, orders, orders.c.triad_id == schema.Triad.id)
    triads = session.execute(query.where(schema.Triad.run_id == run_id).order_by(schema.Triad.number)).all()
    return RunKey(
        orders=tuple(order for order, *_ in triads),
        codes=tuple((code_1, code_2, code_3) for _, code_1, code_2, code_3 in triads),
        nonce=sealed.nonce(session, run_id),
    )


def tally(session: Session, run_id: str | None = None) -> dict[str, tuple[int, int]]:
    """Count the correct answers, and all answers, of one open run or of all that have any answer."""
    orders = sealed.orders(session)
    query = (
        select(schema.Triad, orders.c.order, schema.Answer.odd_code)
        .join(orders, orders.c.triad_id == schema.Triad.id)
        .join(schema.Answer, schema.Answer.triad_id == schema.Triad.id)
        .join(schema.TriangleRun, schema.TriangleRun.id == schema.Triad.run_id)
        .where(sealed.is_open(session))
    )
    if run_id is not None:
        query = query.where(schema.Triad.run_id == run_id)
    counts: dict[str, tuple[int, int]] = {}
    for triad, order, odd_code in session.execute(query):
        correct, answered = counts.get(triad.run_id, (0, 0))
        counts[triad.run_id] = correct + (odd_code == _odd(order, triad.codes)), answered + 1
    return counts


def outcomes(session: Session, run_id: str) -> list[bool]:
    """Say of each answer of a run, first triad to last, whether it was right."""
    query = (
        select(schema.Triad, schema.Triad.order, schema.Answer.odd_code)
        .join(schema.Answer, schema.Answer.triad_id == schema.Triad.id)
        .where(schema.Triad.run_id == run_id)
        .order_by(schema.Triad.number)
    )
    told = session.execute(query).all()
    right = [odd_code == _odd(order, triad.codes) for triad, order, odd_code in told if order is not None]
    if len(right) < len(told):
        raise ValueError("What stood where is not entered yet for every answer; look under the cups first.")
    return right


def _is_answered(triad: Any) -> Any:
    return exists().where(schema.Answer.triad_id == triad.id)


def _odd(order: str, codes: Sequence[str]) -> str:
    return next(code for code, letter in zip(codes, order, strict=True) if order.count(letter) == 1)
