"""Triangle runs that were answered in two copies of a journal: which one counts, and where the other stays.

The copy that was answered first counts (the first moment in which two differ, then the smaller digest), and the
others are set aside whole: so the order in which they come does not matter, and nothing is lost. What was answered
in this journal itself always counts, and is never moved.
"""

import hashlib
import json
from collections.abc import Iterable
from datetime import datetime

from sqlalchemy import DefaultClause, delete, insert
from sqlalchemy.orm import Session

from redolent.journal import schema, tables
from redolent.journal.shared import trace
from redolent.journal.tables import Row, Tables

_PARTS = ("triangle_run", "triad", "answer")  # what a copy of a run is made of; its events are a union
_OUTCOME = {"triangle_run": ("stopped_at", "stopped_utc_offset"), "triad": ("order",)}


def weigh(session: Session, content: Tables) -> tuple[Tables, list[str]]:
    """Decide between copies of runs: what loses is set aside and leaves the content or the journal.

    Returns
    -------
    content : dict
        What is left to be merged.
    said : list of str
        A sentence for each run that has two copies.
    """
    theirs = _split(content)
    ours = _split(_read(session, theirs))
    came = _collected(session, ours)
    said, lost, events = [], set(), list(content.get("run_event", []))
    for run_id, mine in ours.items():
        other = theirs[run_id]
        if _write(mine) == _write(other) or _plan(mine) != _plan(other):
            continue
        own = None if run_id in came else mine | {"answer": [row for row in mine["answer"] if row["id"] not in came]}
        if own == mine and _extends(other, own):
            continue  # a run that was begun here is finished
        said.append(f"The triangle run {run_id} was answered otherwise in another copy; {_RULE}")
        if (own is None or _extends(other, own)) and _rank(other) < _rank(mine):
            _set_aside(session, mine)
            events += _drop(session, run_id, mine, came, known={row["id"] for row in events})
        else:
            _set_aside(session, other)
            lost.add(run_id)
    out = {place for place, run_id in _runs(content).items() if run_id in lost}
    left = {name: [row for row in rows if (name, row.get("id")) not in out] for name, rows in content.items()}
    return left | {"run_event": events}, said


_RULE = "what was answered first counts, what was answered here before all, and the rest is set aside."


def _split(content: Tables) -> dict[str, Tables]:
    """Give the copy of each run."""
    copies: dict[str, Tables] = {row["id"]: {part: [] for part in _PARTS} for row in content.get("triangle_run", [])}
    of_run = _runs(content)
    for part in _PARTS:
        for row in content.get(part, []):
            copies[of_run[part, row["id"]]][part].append(_whole(part, row))
    for copy in copies.values():
        number = {row["id"]: row["number"] for row in copy["triad"]}
        copy["triad"].sort(key=lambda row: row["number"])
        copy["answer"].sort(key=lambda row: number[row["triad_id"]])
    return copies


def _runs(content: Tables) -> dict[tuple[str, str], str]:
    return trace({part: content.get(part, []) for part in _PARTS}, "triangle_run")


def _whole(part: str, row: Row) -> Row:
    """Fill in what a file of an older schema lacks."""
    columns = tables.by_name()[part].c
    defaults = {c.name: c.server_default.arg for c in columns if isinstance(c.server_default, DefaultClause)}
    return {c.name: row.get(c.name, defaults.get(c.name)) for c in columns}


def _read(session: Session, run_ids: Iterable[str]) -> Tables:
    run, triad, answer = (tables.by_name()[part] for part in _PARTS)
    runs = tables.fetch(session, run, "id", run_ids)
    triads = tables.fetch(session, triad, "run_id", [row["id"] for row in runs])
    answers = tables.fetch(session, answer, "triad_id", [row["id"] for row in triads])
    return {"triangle_run": runs, "triad": triads, "answer": answers}


def _collected(session: Session, copies: dict[str, Tables]) -> set[str]:
    ids = [*copies, *(row["id"] for copy in copies.values() for row in copy["answer"])]
    return {row["id"] for row in tables.fetch(session, schema.Collected.__table__, "id", ids)}


def _plan(copy: Tables) -> Tables:
    """Give what every copy of a run has in common."""
    return {
        part: [{name: value for name, value in row.items() if name not in outcome} for row in copy[part]]
        for part, outcome in _OUTCOME.items()
    }


def _extends(other: Tables, own: Tables) -> bool:
    return all(other[part] == own[part] for part in _OUTCOME) and all(row in other["answer"] for row in own["answer"])


def _rank(copy: Tables) -> tuple[list[datetime], str]:
    (run,) = copy["triangle_run"]
    moments = [*(row["at"] for row in copy["answer"]), run["stopped_at"] or datetime.max]
    return moments, hashlib.sha256(_write(copy).encode("ascii")).hexdigest()


def _write(copy: Tables) -> str:
    encoded = {
        part: [{name: tables.encode(value) for name, value in row.items()} for row in rows]
        for part, rows in copy.items()
    }
    return json.dumps(encoded, sort_keys=True)


def _set_aside(session: Session, copy: Tables) -> None:
    content, (run,) = _write(copy), copy["triangle_run"]
    row = {"id": _rank(copy)[1], "taster_id": run["taster_id"], "run_id": run["id"], "content": content}
    table = schema.SetAside.__table__
    if not tables.fetch(session, table, "id", [row["id"]]):
        session.execute(insert(table), [row])


def _drop(session: Session, run_id: str, copy: Tables, came: set[str], known: set[str]) -> list[Row]:
    """Delete what came by `collect` of a run that is set aside; give its events, which stay with the run."""
    run, triad, answer = (tables.by_name()[part] for part in _PARTS)
    event, mark = schema.RunEvent.__table__, schema.Collected.__table__
    answers = [row["id"] for row in copy["answer"] if run_id in came or row["id"] in came]
    for start in range(0, len(answers), tables.MANY):
        part = answers[start : start + tables.MANY]
        session.execute(delete(answer).where(answer.c.id.in_(part)))
        session.execute(delete(mark).where(mark.c.id.in_(part)))
    if run_id not in came:
        return []
    events = tables.fetch(session, event, "run_id", [run_id])
    for table, column in ((event, "run_id"), (triad, "run_id"), (run, "id")):
        session.execute(delete(table).where(table.c[column] == run_id))
    return [row for row in events if row["id"] not in known]
