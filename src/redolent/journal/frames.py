"""The tables from which progress is counted. pandas is loaded when one is asked for."""

from typing import TYPE_CHECKING, Any

from sqlalchemy import Executable, Select, and_, case, exists, func, select, tuple_
from sqlalchemy.orm import Session, aliased

from redolent.journal.runs import tally
from redolent.journal.schema import (
    Coffee,
    DrillEvent,
    LineMark,
    Note,
    RunEvent,
    Serving,
    Taster,
    Tasting,
    TriangleRun,
)
from redolent.journal.sealed import is_open

if TYPE_CHECKING:
    import pandas as pd


def is_latest() -> Any:
    """Whether a note is the latest of its revisions."""
    other = aliased(Note)
    later = tuple_(other.revision, other.rank, other.id) > tuple_(Note.revision, Note.rank, Note.id)
    return ~exists().where(other.note_id == Note.note_id, later).correlate(Note)


def notes(session: Session, taster_id: str | None = None) -> "pd.DataFrame":
    """Give a row a note; see `Journal.notes_frame`."""
    import pandas as pd

    first = aliased(Note)
    query = (
        select(
            Note.note_id,
            Note.taster_id,
            Note.serving_id,
            Note.stage,
            first.at.label("written_at"),
            Note.text,
            Note.coached,
            Note.revision,
            # Hardly any note is revised, and its text is what takes longest to send.
            case((Note.revision > 1, first.text)).label("first_text"),
        )
        .join(first, and_(first.note_id == Note.note_id, first.revision == 1))
        .where(is_latest())
        .order_by(first.rank, Note.note_id)
    )
    # Tasters and cups are few beside the notes, so that they are read once each.
    tasters, cups = select(Taster.id, Taster.name), _cups()
    if taster_id is not None:
        query = query.where(Note.taster_id == taster_id)
        tasters = tasters.where(Taster.id == taster_id)
        cups = cups.where(Serving.id.in_(select(Note.serving_id).where(Note.taster_id == taster_id)))
    found = _frame(session, query)
    cup = {row.id: row for row in session.execute(cups)}
    name = {row.id: row.name for row in session.execute(tasters)}
    placed = {
        "taster": [name[one] for one in found["taster_id"]],
        **{column: [getattr(cup[one], column) for one in found["serving_id"]] for column in _OF_CUP},
    }
    frame = found.assign(
        **{column: pd.Series(values, index=found.index, dtype=object) for column, values in placed.items()},
        first_text=found["first_text"].where(found["revision"] > 1, found["text"]),
    )
    return frame[list(_NOTES)].astype({"coached": bool, "revision": "int64"})


_OF_CUP = ("tasting_id", "tasting", "code", "coffee", "coffee_id")
_NOTES = (
    "note_id", "taster", "taster_id", "tasting_id", "tasting", "serving_id", "code", "coffee", "coffee_id", "stage",
    "written_at", "text", "coached", "revision", "first_text",
)  # fmt: skip


def _cups() -> "Select[str, str, str, str, str, str | None]":
    return (
        select(
            Serving.id,
            Serving.tasting_id,
            Tasting.name.label("tasting"),
            Serving.code,
            func.coalesce(Coffee.name, "").label("coffee"),
            Serving.coffee_id,
        )
        .join(Tasting, Tasting.id == Serving.tasting_id)
        .outerjoin(Coffee, Coffee.id == Serving.coffee_id)
    )


def runs(session: Session, taster_id: str | None = None) -> "pd.DataFrame":
    """Give a row a triangle run that is over; see `Journal.runs_frame`."""
    coffee_a, coffee_b = aliased(Coffee), aliased(Coffee)
    looked = exists().where(RunEvent.run_id == TriangleRun.id, RunEvent.event == "looked")
    query = (
        select(
            TriangleRun.id.label("run_id"),
            Taster.name.label("taster"),
            coffee_a.name.label("coffee_a"),
            coffee_b.name.label("coffee_b"),
            TriangleRun.at.label("started_at"),
            TriangleRun.alpha,
            TriangleRun.blinding,
            TriangleRun.triads.label("planned"),
            TriangleRun.aim,
            TriangleRun.beta,
            TriangleRun.pd,
            TriangleRun.pair,
            looked.correlate(TriangleRun).label("looked"),
        )
        .join(Taster, Taster.id == TriangleRun.taster_id)
        .join(coffee_a, coffee_a.id == TriangleRun.coffee_a_id)
        .join(coffee_b, coffee_b.id == TriangleRun.coffee_b_id)
        .where(is_open(session))
        .order_by(TriangleRun.at, TriangleRun.id)
    )
    if taster_id is not None:
        query = query.where(TriangleRun.taster_id == taster_id)
    frame = _frame(session, query)
    counts = tally(session)
    frame["answered"] = [counts.get(run_id, (0, 0))[1] for run_id in frame["run_id"]]
    frame["correct"] = [counts.get(run_id, (0, 0))[0] for run_id in frame["run_id"]]
    counted = dict.fromkeys(("planned", "answered", "correct"), "int64")
    return frame.astype(counted | dict.fromkeys(("alpha", "beta", "pd"), "float64") | {"looked": bool})


def marks(session: Session) -> "pd.DataFrame":
    """Give a row a line mark, of all tasters; see `Journal.marks_frame`."""
    query = (
        select(
            Taster.name.label("taster"),
            Serving.tasting_id,
            LineMark.serving_id,
            func.coalesce(Coffee.name, "").label("coffee"),
            Serving.coffee_id,
            LineMark.stage,
            LineMark.attribute,
            LineMark.mark,
            LineMark.at.label("marked_at"),
        )
        .join(Taster, Taster.id == LineMark.taster_id)
        .join(Serving, Serving.id == LineMark.serving_id)
        .outerjoin(Coffee, Coffee.id == Serving.coffee_id)
        .order_by(LineMark.at, LineMark.id)
    )
    return _frame(session, query).astype({"mark": "float64"})


def drills(session: Session, taster_id: str) -> "pd.DataFrame":
    """Give a row an answer to a drill; see `Journal.drills_frame`."""
    told = (
        DrillEvent.drill,
        DrillEvent.node,
        DrillEvent.asked,
        DrillEvent.answered,
        DrillEvent.correct,
        DrillEvent.seconds,
    )
    query = (
        select(*told, DrillEvent.at.label("answered_at"))
        .where(DrillEvent.taster_id == taster_id)
        .order_by(DrillEvent.at, DrillEvent.id)
    )
    return _frame(session, query)


def _frame(session: Session, query: Executable) -> "pd.DataFrame":
    import pandas as pd

    # Columns, not objects: the connection saves the session a step a row.
    result = session.connection().execute(query)
    # By column, since pandas asks each row of a list what it is. Not every string type of it takes a lone surrogate;
    # object does.
    columns = list(zip(*result.all(), strict=True)) or [()] * len(result.keys())
    frame = pd.DataFrame(dict(zip(result.keys(), columns, strict=True)), dtype=object)
    times = [name for name in frame.columns if name.endswith("_at")]
    return frame.assign(**{name: pd.to_datetime(frame[name], utc=True).dt.as_unit("us") for name in times})
