"""The tables of a journal as plain rows: walked through the schema, so that a new table or column travels by itself."""

import math
import re
from collections.abc import Iterable, Iterator
from datetime import date, datetime
from typing import Any

from sqlalchemy import BigInteger, Column, Table, TypeDecorator, UniqueConstraint, or_, select
from sqlalchemy.orm import Session

from redolent.journal import plans, runs, schema
from redolent.journal import sealed as keys
from redolent.journal.error import UnreadableError
from redolent.journal.moment import join
from redolent.journal.rows import STAGES
from redolent.journal.text import escape, shorten, unescape

Row = dict[str, Any]
Tables = dict[str, list[Row]]

TEXT_LIMIT = 1_000_000  # characters in one text that comes in
KEY_LIMIT = 100  # characters in an id that comes in
MANY = 500  # ids in one query

_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{6}Z", re.ASCII)
_DAY = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_STORED = re.compile("[^\0\ud800-\udfff]*")
_KINDS = {str: "text", int: "integer", float: "number", bool: "boolean", date: "date", datetime: "moment"}


def ordered() -> list[Table]:
    """List the tables, each after those it refers to."""
    return schema.Base.metadata.sorted_tables


def key(table: Table) -> str:
    """Name the column that tells the rows of a table apart."""
    (column,) = table.primary_key.columns
    return column.name


def kind(column: Column[Any]) -> str:
    """Name the type of a column: text, integer, number, boolean, date or moment (UTC)."""
    type_ = column.type
    return _KINDS[(type_.impl_instance if isinstance(type_, TypeDecorator) else type_).python_type]


def references(table: Table) -> Iterator[tuple[str, str]]:
    """Give each column that refers to a row, with the table of that row."""
    for column in table.columns:
        for foreign in column.foreign_keys:
            yield column.name, foreign.column.table.name


def unique(table: Table) -> list[tuple[str, ...]]:
    """Give the groups of columns, beside the key, that no two rows share."""
    groups = [c.columns.keys() for c in table.constraints if isinstance(c, UniqueConstraint)]
    return [tuple(group) for group in groups]


def sealed(table: Table) -> list[str]:
    """Name the columns of a table that are sealed."""
    mapper = next(m for m in schema.Base.registry.mappers if m.local_table is table)
    return [attribute.columns[0].name for attribute in mapper.column_attrs if attribute.raiseload]


def labelled(row_id: str, label: str, length: int = 8) -> str:
    """Write a label that another row has as well: with the beginning of its row's id."""
    return f"{label} ({row_id[:length]})"


def own_label(row_id: str, label: str) -> str:
    """Undo `labelled`."""
    for length in (8, KEY_LIMIT):
        label = label.removesuffix(labelled(row_id, "", length))
    return label


# ---- out


def dump(session: Session) -> Tables:
    """Read all rows that may leave the journal, oldest first.

    A row with a sealed key stays until the key may be opened, and whatever refers to it stays with it.
    """
    tables: Tables = {}
    home: dict[str, set[str]] = {}
    for table in ordered():
        name = key(table)
        order = [table.c[column] for column in ("at", name) if column in table.c]
        query = keys.rows(session, table).order_by(*order)
        rows = [dict(row) for row in session.execute(query).mappings()] if keys.may_read(session, table) else []
        home[table.name] = _sealed_rows(session, table)
        up = [reference for reference in references(table) if home.get(reference[1])]
        home[table.name] |= {row[name] for row in rows if any(row[column] in home[other] for column, other in up)}
        tables[table.name] = [row for row in rows if row[name] not in home[table.name]]
    return tables


def fetch(session: Session, table: Table, column: str, values: Iterable[Any]) -> list[Row]:
    """Read the rows that have one of these values; what is sealed for this login is None."""
    wanted = sorted(value for value in set(values) if value is not None)
    parts = (wanted[start : start + MANY] for start in range(0, len(wanted), MANY))
    queries = (keys.rows(session, table).where(table.c[column].in_(part)) for part in parts)
    return [dict(row) for query in queries for row in session.execute(query).mappings()]


def count_sealed(session: Session) -> int:
    """Count the keys that are sealed still, and stay."""
    return sum(len(_sealed_rows(session, table)) for table in ordered())


def _sealed_rows(session: Session, table: Table) -> set[str]:
    if table.name == "draft":
        # On a server a login and a stroke stand before the key.
        begun = (schema.Draft.key.startswith(schema.SEALED_DRAFT), schema.Draft.key.contains(f"/{schema.SEALED_DRAFT}"))
        return set(session.scalars(select(schema.Draft.key).where(or_(*begun))))
    if not sealed(table) or any(sealed(by_name()[other]) for _, other in references(table)):
        return set()  # a row that refers to a sealed one stays or goes with that one
    query = select(table.c[key(table)])
    if table.name == "triangle_run":
        query = select(schema.TriangleRun.id).where(~keys.is_open(session))
    elif "revealed_at" in table.c:
        query = query.where(table.c.revealed_at.is_(None))
    return set(session.scalars(query))


def by_name() -> dict[str, Table]:
    """Give the tables by name."""
    return dict(schema.Base.metadata.tables)


def encode(value: Any) -> Any:
    """Write a value as JSON can hold it exactly: text escaped as in the database, times in ISO 8601."""
    if isinstance(value, str):
        return escape(value)
    if isinstance(value, datetime):
        return value.isoformat(timespec="microseconds") + "Z"
    return value.isoformat() if isinstance(value, date) else value


# ---- in


def decode(column: Column[Any], value: Any) -> Any:
    """Undo `encode`, and refuse what the column cannot hold.

    Raises
    ------
    ValueError
        Where the value has another type, is too long or is missing.
    """
    where = f"{column.table.name}.{column.name}"
    if value is None:
        if not column.nullable:
            raise ValueError(f"{where} is empty, and must not be.")
        return None
    wanted = kind(column)
    decoded = _DECODERS[wanted](value)
    if isinstance(decoded, int) and not -_limit(column) <= decoded < _limit(column):
        decoded = None
    if decoded is None:
        raise ValueError(f"{where} holds {shorten(value)}, which is no {wanted}.")
    longest = KEY_LIMIT if column.primary_key or column.foreign_keys else TEXT_LIMIT
    if isinstance(decoded, str) and len(decoded) > longest:
        raise ValueError(f"{where} holds a text of {len(decoded):,} characters, which is too long.")
    if column.primary_key and not decoded:
        raise ValueError(f"{where} is empty, and must not be.")
    return decoded


def take(table: Table, cells: dict[str, Any]) -> Row:
    """Make a row of encoded cells.

    Raises
    ------
    ValueError
        Where a column is unknown or missing, or a cell is not what it must be.
    """
    if unknown := cells.keys() - table.c.keys():
        raise ValueError(f"{table.name} has no column {shorten(min(unknown))}; a newer version may have written this.")
    missing = [c.name for c in table.c if c.name not in cells and not c.nullable and c.server_default is None]
    if missing:
        raise ValueError(f"{table.name} lacks the column {missing[0]}.")
    row = {
        column.name: decode(column, cells.get(column.name))
        for column in table.c
        if column.name in cells or column.nullable
    }
    _check_row(table.name, row)
    return row


def check(tables: Tables) -> None:
    """Refuse rows that do not hold together.

    Raises
    ------
    ValueError
        Where two rows share what must be their own, a row refers to one that is not there, or a triangle run
        is not whole.
    """
    keys: dict[str, set[str]] = {}
    for table in ordered():
        rows = tables.get(table.name, [])
        for columns in [(key(table),), *unique(table)]:
            values = [tuple(row.get(column) for column in columns) for row in rows]
            if len(set(values)) < len(values):
                raise ValueError(f"Two rows of {table.name} have the same {' and '.join(columns)}.")
        keys[table.name] = {row[key(table)] for row in rows}
        for column, other in references(table):
            for row in rows:
                if row.get(column) is not None and row[column] not in keys[other]:
                    raise ValueError(f"{table.name}.{column} refers to a {other} that is not in the file.")
    _check_notes(tables.get("note", []))
    _check_runs(tables)


def _check_row(name: str, row: Row) -> None:
    for column in row:
        if column.endswith("at") and (offset := f"{column[:-2]}utc_offset") in row and row[column] is not None:
            try:
                join(row[column], row[offset])
            except UnreadableError:
                raise ValueError(f"{name}.{offset} holds {row[offset]}, which is no offset of local time.") from None
    if "stage" in row and row["stage"] not in STAGES:
        raise ValueError(f"There is no stage {shorten(row['stage'])}; the stages are {', '.join(STAGES)}.")
    if name == "line_mark" and not 0 <= row["mark"] <= 100:
        raise ValueError("A line mark lies between 0 and 100.")
    if name == "serving" and not (runs.CODE.fullmatch(own_label(row["id"], row["code"])) and row["position"] >= 1):
        raise ValueError("A serving has a code of three digits and a position from 1.")
    if name == "note" and not (1 <= row["revision"] <= 1_000_000 and abs(row.get("rank", 0)) < 2**60):
        raise ValueError("A note's revisions count from 1, and its rank is a time.")
    if name == "tasting_plan":
        plans.check_row(row)
    if name == "taster" and (not row["name"] or row["name"] != row["name"].strip()):
        raise ValueError("A taster needs a name without blanks around it.")


def _check_notes(notes: Iterable[Row]) -> None:
    first: dict[str, Row] = {row["note_id"]: row for row in notes if row["revision"] == 1}
    if len(first) < sum(row["revision"] == 1 for row in notes):
        raise ValueError("Two notes have the same note_id.")
    numbers: dict[str, set[int]] = {}
    for row in notes:
        numbers.setdefault(row["note_id"], set()).add(row["revision"])
    if any(max(found) != len(found) for found in numbers.values()):
        raise ValueError("A note lacks one of its revisions.")
    for row in notes:
        same = first[row["note_id"]]
        if any(row[column] != same[column] for column in ("taster_id", "serving_id", "stage")):
            raise ValueError("A revision keeps its note's taster, serving and stage; one of the file does not.")


def _check_runs(tables: Tables) -> None:
    answers = {row["triad_id"]: row for row in tables.get("answer", [])}
    triads: dict[str, list[Row]] = {}
    for row in tables.get("triad", []):
        triads.setdefault(row["run_id"], []).append(row)
    for run in tables.get("triangle_run", []):
        mine = sorted(triads.get(run["id"], []), key=lambda row: row["number"])
        codes = [(row["code_1"], row["code_2"], row["code_3"]) for row in mine]
        runs.check_plan(run["alpha"], run["blinding"], [row["order"] for row in mine], codes)
        given = [answers.get(row["id"]) for row in mine]
        if [row["number"] for row in mine] != list(range(1, run["triads"] + 1)):
            raise ValueError("A triangle run lacks one of its triads.")
        if run["coffee_a_id"] == run["coffee_b_id"]:
            raise ValueError("A triangle run compares a coffee with itself.")
        if any(answer and answer["odd_code"] not in three for answer, three in zip(given, codes, strict=True)):
            raise ValueError("An answer names a cup that its triad does not have.")
        unknown = any(answer and row["order"] is None for answer, row in zip(given, mine, strict=True))
        if unknown or (None in given and run["stopped_at"] is None):
            raise ValueError("A triangle run is not over; its key stays sealed until it is.")


def _text(value: Any) -> str | None:
    return unescape(value) if isinstance(value, str) and _STORED.fullmatch(value) else None


def _integer(value: Any) -> int | None:
    return value if type(value) is int else None


def _limit(column: Column[Any]) -> int:
    return 2**63 if isinstance(column.type, BigInteger) else 2**31


def _number(value: Any) -> float | None:
    try:
        number = float(value) if type(value) in (int, float) else math.nan
    except OverflowError:
        return None
    return number if math.isfinite(number) else None


def _boolean(value: Any) -> bool | None:
    return value if type(value) is bool else None


def _day(value: Any) -> date | None:
    try:
        return date.fromisoformat(value) if isinstance(value, str) and _DAY.fullmatch(value) else None
    except ValueError:
        return None


def _moment(value: Any) -> datetime | None:
    try:
        return datetime.fromisoformat(value[:-1]) if isinstance(value, str) and _MOMENT.fullmatch(value) else None
    except ValueError:
        return None


_DECODERS = {
    "text": _text,
    "integer": _integer,
    "number": _number,
    "boolean": _boolean,
    "date": _day,
    "moment": _moment,
}
