"""Merge what others shared: in any order, as often as one likes, without touching a note that is there.

Rows have ids of their own for life, and notes only gain revisions, so that most of a merge is a union. What is not:

- Revisions of one number, written in two copies of a journal, both stay; the later of them counts.
- A name, or the code of a cup, that several have: who was here first-hand keeps it, whoever came by `collect` gets
  the beginning of their id beside it.
- A cup whose coffee was not named gets its coffee. Where two collected files name it differently, the smaller id
  stands; what was named here stays.
- Of a taster's own word the latest meaning counts; that it was dropped is one.
- Of a run that was answered in two copies one counts, and the other is set aside (see `copies`).
- What contradicts a row that is there is left out, and said.
- Whoever was forgotten stays forgotten.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import Table, delete, insert, select, update
from sqlalchemy.orm import Session

from redolent.journal import copies, schema, tables
from redolent.journal.export import read_export
from redolent.journal.journal import Journal
from redolent.journal.shared import LABELS, as_shared, read_share, trace, without
from redolent.journal.tables import Row, Tables

_Place = tuple[str, str]  # a table and the id of a row

_REPLACED = "personal_word"
_GROUPS = {"taster": None, "serving": "tasting_id"}


@dataclass(frozen=True, slots=True)
class Merge:
    """What a merge did: rows that are new by table, rows that were there, and what was left out, with why."""

    added: dict[str, int]
    known: int
    forgotten: int
    left_out: tuple[str, ...]


def collect(journal: Journal, path: Path) -> Merge:
    """Merge a shared file into a journal, all of it or nothing.

    Raises
    ------
    ValueError
        Where the file is not what `share` writes, or anything in it is not what it must be.
    """
    content = read_share(path)
    with journal._write() as session:
        return merge(session, content)


def restore(journal: Journal, path: Path) -> Merge:
    """Bring an export back: exactly into an empty journal, as `collect` does into any other.

    Raises
    ------
    ValueError
        Where it is not what `export` writes, or anything in it is not what it must be.
    """
    content = read_export(path)
    with journal._write() as session:
        if any(session.execute(select(table).limit(1)).first() for table in tables.ordered()):
            mine = journal._mine  # on a server drafts are their login's own
            drafts = [row | {"key": mine + row["key"].removeprefix(mine)} for row in content.get("draft", [])]
            there = _fetch(session, schema.Draft.__table__, "key", [row["key"] for row in drafts])
            _insert(session, schema.Draft.__table__, [row for row in drafts if row["key"] not in there])
            return merge(session, as_shared(content))
        for table in tables.ordered():
            _insert(session, table, content.get(table.name, []))
        return Merge({name: len(rows) for name, rows in content.items() if rows}, 0, 0, ())


def merge(session: Session, content: Tables) -> Merge:
    """Merge checked rows in the transaction of a session."""
    before = sum(map(len, content.values()))
    content = without(content, _tombstones(session))
    forgotten = before - sum(map(len, content.values()))
    content, contested = copies.weigh(session, content)
    left = sum(map(len, content.values()))
    there = {table.name: _there(session, table, content.get(table.name, [])) for table in tables.ordered()}
    out = _contradictions(session, content, there)
    added: Counter[str] = Counter()
    for table in tables.ordered():
        name, key = table.name, tables.key(table)
        rows = [row for row in content.get(name, []) if (name, row[key]) not in out]
        new = [row for row in rows if row[key] not in there[name]]
        if name == _REPLACED:
            added[name] = sum([_replace(session, row) for row in rows])
            continue
        for row in rows:
            if name in LABELS and row[key] in there[name]:
                _fill(session, table, there[name][row[key]], row)
        (_insert_labelled if name in LABELS else _insert)(session, table, new)
        added[name] = len(new)
        if name == "triangle_run":
            _mark(session, [row[key] for row in new])
        if name == "answer":
            # Of a run that was begun here, and is finished by what came.
            _mark(session, [row[key] for row in new if row["triad_id"] in there["triad"]])
    left_out = tuple(dict.fromkeys([*contested, *out.values()]))
    return Merge(+added, left - added.total() - len(out), forgotten, left_out)


def _tombstones(session: Session) -> set[str]:
    return set(session.scalars(select(schema.Tombstone.id)))


def _there(session: Session, table: Table, rows: list[Row]) -> dict[str, Row]:
    name = tables.key(table)
    there = _fetch(session, table, name, [row[name] for row in rows])
    if label := LABELS.get(table.name):
        return {key: row | {label: tables.own_label(key, row[label])} for key, row in there.items()}
    return there


# ---- what contradicts


def _contradictions(session: Session, content: Tables, there: dict[str, dict[str, Row]]) -> dict[_Place, str]:
    """Find the rows to leave out, and say why."""
    out: dict[_Place, str] = {}
    for table in tables.ordered():
        name, key = table.name, tables.key(table)
        for row in content.get(name, []):
            if _differs(table, there[name].get(row[key]), row):
                out[name, row[key]] = _said(name, row[key], "is here with other contents")
        for other in _others(session, table, content.get(name, []), there[name]):
            out[name, other] = _said(name, other, "has another in its place here")
    out |= _of_other_notes(session, content.get("note", []))
    # A run is one thing: all of it, or what is here.
    of_run = trace(content, "triangle_run")
    runs = {of_run[place] for place in out if place in of_run}
    out |= {
        place: _said("triangle_run", run, "was answered otherwise here") for place, run in of_run.items() if run in runs
    }
    # And whatever refers to what is left out, unless that is here.
    for table in tables.ordered():
        for row in content.get(table.name, []):
            for column, other in tables.references(table):
                place = other, row[column]
                if place in out and row[column] not in there[other]:
                    out.setdefault((table.name, row[tables.key(table)]), out[place])
    return out


def _differs(table: Table, old: Row | None, new: Row) -> bool:
    if old is None:
        return False
    if table.name == _REPLACED:
        return (old["taster_id"], old["word"]) != (new["taster_id"], new["word"])
    return any(
        old[name] != value and not (table.name in LABELS and table.c[name].nullable) for name, value in new.items()
    )


def _others(session: Session, table: Table, rows: list[Row], there: dict[str, Row]) -> Iterator[str]:
    """Give the ids of new rows in whose place another one is."""
    if table.name in (_REPLACED, *LABELS):
        return
    key = tables.key(table)
    for columns in tables.unique(table):
        first = columns[0]
        new = {tuple(row[c] for c in columns): row[key] for row in rows if row[key] not in there}
        found = tables.fetch(session, table, first, {row[first] for row in rows if row[key] not in there})
        taken = {tuple(row[c] for c in columns) for row in found}
        yield from (identity for place, identity in new.items() if place in taken)


def _of_other_notes(session: Session, notes: list[Row]) -> dict[_Place, str]:
    """Find revisions of a note that is here as somebody else's, or from another beginning."""
    here = tables.fetch(session, schema.Note.__table__, "note_id", {row["note_id"] for row in notes})
    same = {row["note_id"]: _identity(row) for row in here}
    first = {row["note_id"]: row["id"] for row in here if row["revision"] == 1}
    wrong = {
        row["note_id"]
        for row in notes
        if row["note_id"] in same
        and (_identity(row) != same[row["note_id"]] or (row["revision"] == 1 and row["id"] != first[row["note_id"]]))
    }
    return {
        ("note", row["id"]): _said("note", row["note_id"], "is another one here")
        for row in notes
        if row["note_id"] in wrong
    }


def _identity(note: Row) -> tuple[str, ...]:
    return note["taster_id"], note["serving_id"], note["stage"]


def _said(table: str, key: str, why: str) -> str:
    return f"The {table.replace('_', ' ')} {key} {why}; what is here stays."


# ---- what changes


def _fill(session: Session, table: Table, old: Row, new: Row) -> None:
    """Fill in what is empty here; where collected files differ, the smaller value stands."""
    key = tables.key(table)
    for name, value in new.items():
        if value is None or value == old[name] or not table.c[name].nullable:
            continue
        row, cell = old[key], f"{old[key]}/{name}"
        marks = _fetch(session, schema.Collected.__table__, "id", [row, cell])
        if old[name] is None and not marks:
            session.execute(insert(schema.Collected), [{"id": cell}])
        elif old[name] is not None and not (marks and value < old[name]):
            continue
        session.execute(update(table).where(table.c[key] == row).values({name: value}))


def _replace(session: Session, new: Row) -> bool:
    """Let the latest meaning of a word count; say whether it is a word that was not there."""
    table = schema.PersonalWord.__table__
    same = table.c.taster_id == new["taster_id"], table.c.word == new["word"]
    old = session.execute(select(table).where(*same)).mappings().first()
    if old is None or _age(new) > _age(old):
        session.execute(delete(table).where(*same))
        _insert(session, table, [new])
    return old is None


def _age(word: Any) -> tuple[Any, ...]:
    return word["at"], word["id"], word["node"], word["utc_offset"]


def _insert_labelled(session: Session, table: Table, rows: list[Row]) -> None:
    if not rows:
        return
    label, group = LABELS[table.name], _GROUPS[table.name]
    temporary = [row | {label: tables.labelled(row["id"], row[label], tables.KEY_LIMIT)} for row in rows]
    _insert(session, table, temporary)
    _mark(session, [row["id"] for row in rows])
    query = select(table.c.id, table.c[label])
    together: dict[str | None, list[tuple[str, str]]] = {}
    if group is None:
        together[None] = [(row.id, row[1]) for row in session.execute(query)]
    else:
        for row in tables.fetch(session, table, group, {row[group] for row in rows}):
            together.setdefault(row[group], []).append((row["id"], row[label]))
    for members in together.values():
        marked = _fetch(session, schema.Collected.__table__, "id", [identity for identity, _ in members])
        wanted = keep_apart(members, set(marked))
        changed = {identity: wanted[identity] for identity, now in members if now != wanted[identity]}
        # By way of labels that nobody has, since two may change places.
        for new in (lambda identity: f"\0{identity}", changed.__getitem__):
            for identity in changed:
                session.execute(update(table).where(table.c.id == identity).values({label: new(identity)}))


def keep_apart(members: Iterable[tuple[str, str]], collected: set[str]) -> dict[str, str]:
    """Give each row a label that no other has.

    Parameters
    ----------
    members : iterable of (str, str)
        Id and label of each row.
    collected : set of str
        The ids of those that came by `collect`; the others keep their label.
    """
    members = sorted(members)
    wanted = {identity: label for identity, label in members if identity not in collected}
    taken = {label.casefold() for label in wanted.values()}
    came = [(identity, tables.own_label(identity, label)) for identity, label in members if identity in collected]
    several = Counter(label.casefold() for _, label in came)
    for identity, label in came:
        choices = [label] if several[label.casefold()] == 1 else []
        choices += [tables.labelled(identity, label), tables.labelled(identity, label, tables.KEY_LIMIT)]
        wanted[identity] = next((choice for choice in choices if choice.casefold() not in taken), choices[-1])
        taken.add(wanted[identity].casefold())
    return wanted


# ---- rows of the database


def _mark(session: Session, ids: list[str]) -> None:
    """Remember that rows came by `collect`."""
    table = schema.Collected.__table__
    marked = _fetch(session, table, "id", ids)
    _insert(session, table, [{"id": one} for one in ids if one not in marked])


def _fetch(session: Session, table: Table, column: str, values: Iterable[Any]) -> dict[Any, Row]:
    return {row[column]: row for row in tables.fetch(session, table, column, values)}


def _insert(session: Session, table: Table, rows: list[Row]) -> None:
    for row_keys in {tuple(row): None for row in rows}:
        session.execute(insert(table), [row for row in rows if tuple(row) == row_keys])
