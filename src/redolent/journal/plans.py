"""Tastings that were planned: the sealed key, and when it may be opened."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from redolent.journal import schema, sealed
from redolent.journal.error import UnreadableError
from redolent.journal.moment import join
from redolent.journal.rows import BLINDINGS, Plan, PlanKey
from redolent.journal.runs import CODE
from redolent.journal.text import shorten


def check_plan(blinding: str, coffees: Sequence[str], codes: Sequence[str]) -> None:
    """Raise a ValueError where a plan does not hold together."""
    if blinding not in BLINDINGS:
        raise ValueError(f"There is no blinding {blinding!r}; it is one of {', '.join(BLINDINGS)}.")
    if len(set(coffees)) != len(coffees) or len(coffees) < 2:
        raise ValueError("A tasting compares two coffees or more; give different ones.")
    if len(set(codes)) != len(codes) or not codes or not all(map(CODE.fullmatch, codes)):
        raise ValueError(f"Each cup of a tasting has a three-digit code of its own, not {list(codes)!r}.")


def check_row(row: Mapping[str, Any]) -> None:
    """Raise a ValueError where a row of a plan that comes from outside cannot be handed out."""
    setup, key, coffees = (read(row[column]) for column in ("setup", "key", "coffees"))
    named = isinstance(coffees, list) and all(isinstance(one, str) for one in coffees)
    if row["blinding"] not in BLINDINGS or not named or not isinstance(setup, dict) or not isinstance(key, dict):
        raise ValueError("The plan of a tasting holds what no plan does.")


def find(session: Session, tasting_id: str) -> schema.TastingPlan:
    """Find the plan of a tasting.

    Raises
    ------
    ValueError
        Where it has none.
    """
    row = session.scalar(select(schema.TastingPlan).filter_by(tasting_id=tasting_id))
    if row is None:
        raise ValueError(f"The tasting {tasting_id!r} was not planned; it has no key.")
    return row


def key(session: Session, tasting_id: str) -> PlanKey:
    """Read what is sealed.

    Raises
    ------
    ValueError
        Where the tasting was not planned, or a server keeps its key until the reveal.
    """
    found = sealed.plan_key(session, find(session, tasting_id).id)
    if found is None:
        raise ValueError(
            "The server keeps the key of this tasting until the reveal; until then it is on the pourer's sheet."
        )
    return PlanKey(read(found[0]), found[1])


def write(value: Mapping[str, Any] | Sequence[Any]) -> str:
    """Write a value as JSON in ASCII."""
    return json.dumps(value)


def read(text: str) -> Any:
    """Read what `write` wrote.

    Raises
    ------
    UnreadableError
        Where it is something else.
    """
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        raise UnreadableError(f"{shorten(text)} is no JSON.") from None


def plan(row: schema.TastingPlan) -> Plan:
    """Hand out a plan without what is sealed."""
    at, utc_offset = row.revealed_at, row.revealed_utc_offset
    return Plan(
        row.id,
        row.tasting_id,
        row.taster_id,
        row.blinding,
        read(row.setup),
        tuple(read(row.coffees)),
        row.commitment,
        join(at, utc_offset) if at is not None and utc_offset is not None else None,
    )
