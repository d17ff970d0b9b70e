"""Write a journal to open formats, and read such an export back: the round trip is exact."""

import csv
import hashlib
import json
import os
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import IO, Any

from sqlalchemy import Column, Table

from redolent.journal import tables
from redolent.journal.journal import Journal
from redolent.journal.tables import Row, Tables

FORMATS = ("csv", "parquet", "jsonl")
VERSION = 1
SIZE_LIMIT = 256 * 2**20  # bytes of a file that comes in
LINE_LIMIT = 16 * 2**20  # characters of one of its lines

# What a spreadsheet takes for the beginning of a formula, their full-width twins, and the mark itself.
_FORMULA = tuple("=+-@\t\r\n＝＋－＠'")


def export(journal: Journal, path: Path, format: str = "csv") -> dict[str, int]:
    """Write all of a journal that may leave it.

    Parameters
    ----------
    journal : Journal
    path : Path
        A folder for CSV and Parquet, a file for JSON Lines. It must not be there yet.
    format : {"csv", "parquet", "jsonl"}

    Returns
    -------
    dict of str to int
        The number of rows by table, and as "sealed" of keys that stay because they are sealed still.

    Raises
    ------
    ValueError
        Where the format is unknown or the place is taken.
    """
    if format not in FORMATS:
        raise ValueError(f"There is no format {format!r}; it is one of {', '.join(FORMATS)}.")
    with journal._read() as session:
        content = tables.dump(session)
        stayed = tables.count_sealed(session)
    if format == "jsonl":
        write_lines(path, content, "export")
    else:
        with _new_folder(path) as folder:
            for table in tables.ordered():
                _WRITERS[format](folder / f"{table.name}.{format}", table, content[table.name])
            (folder / "datapackage.json").write_text(json.dumps(describe(format), indent=2) + "\n", "utf-8")
    return {name: len(rows) for name, rows in content.items()} | {"sealed": stayed}


def read_export(path: Path) -> Tables:
    """Read what `export` wrote, checked.

    Raises
    ------
    ValueError
        Where it is not an export, or anything in it is not what it must be.
    """
    content = _read_folder(path) if path.is_dir() else read_lines(path, "export")
    tables.check(content)
    return content


def is_export(path: Path) -> bool:
    """Say whether a path looks like something that `export` wrote."""
    if path.is_dir():
        return (path / "datapackage.json").is_file()
    with path.open("rb") as file:
        return file.read(30).startswith(b'{"redolent": ')


def describe(format: str = "csv") -> dict[str, Any]:
    """Describe the tables as a Data Package with Table Schemas (specs.frictionlessdata.io)."""
    return {
        "profile": "tabular-data-package",
        "name": "redolent-journal",
        "resources": [
            {
                "profile": "tabular-data-resource",
                "name": table.name.replace("_", "-"),
                "path": f"{table.name}.{format}",
                "format": format,
                "encoding": "utf-8",
                "schema": _schema(table),
            }
            for table in tables.ordered()
        ],
    }


def _schema(table: Table) -> dict[str, Any]:
    types = {"text": "string", "moment": "datetime"}
    fields = [
        {
            "name": column.name,
            "type": types.get(tables.kind(column), tables.kind(column)),
            "constraints": {"required": not (column.nullable or tables.kind(column) == "text")},
        }
        for column in table.columns
    ]
    foreign = [
        {
            "fields": column,
            "reference": {"resource": other.replace("_", "-"), "fields": tables.key(tables.by_name()[other])},
        }
        for column, other in tables.references(table)
    ]
    return {"fields": fields, "primaryKey": tables.key(table), "foreignKeys": foreign}


# ---- CSV


def defuse(text: str) -> str:
    """Put an apostrophe before a text that a spreadsheet would run."""
    return f"'{text}" if text.startswith(_FORMULA) else text


def restore(cell: str) -> str:
    """Undo `defuse`."""
    return cell.removeprefix("'")


def to_cell(column: Column[Any], value: Any) -> Any:
    """Write a value as a cell; an empty cell is a missing value, or the empty text where none may be missing."""
    encoded = tables.encode(value)
    if isinstance(encoded, bool):
        return "true" if encoded else "false"
    if tables.kind(column) != "text" or encoded is None:
        return "" if encoded is None else encoded
    return "'" if column.nullable and not encoded else defuse(encoded)


def from_cell(column: Column[Any], cell: str) -> Any:
    """Undo `to_cell`, as far as `redolent.journal.tables.decode` takes it from there."""
    kind = tables.kind(column)
    if not cell:
        return None if column.nullable else cell
    if kind == "boolean":
        return {"true": True, "false": False}.get(cell, cell)
    if kind in ("integer", "number"):
        try:
            return int(cell) if kind == "integer" else float(cell)
        except ValueError:
            return cell
    return restore(cell) if kind == "text" else cell


def _write_csv(path: Path, table: Table, rows: list[Row]) -> None:
    # With a byte order mark, by which spreadsheets know UTF-8; every text quoted, whatever separates cells elsewhere.
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file, quoting=csv.QUOTE_NONNUMERIC)
        writer.writerow(table.c.keys())
        writer.writerows([to_cell(column, row[column.name]) for column in table.c] for row in rows)


def _read_csv(path: Path, table: Table) -> Iterator[Row]:
    with path.open(encoding="utf-8-sig", newline="") as file, long_cells():
        lines = csv.reader(file, strict=True)
        names = next(lines, [])
        for number, cells in enumerate(lines, 2):
            if len(cells) != len(names):
                raise ValueError(f"Row {number} has {len(cells)} cells in place of {len(names)}.")
            yield {
                name: from_cell(table.c[name], cell) if name in table.c else cell
                for name, cell in zip(names, cells, strict=True)
            }


@contextmanager
def long_cells() -> Iterator[None]:
    """Let cells be as long as a file may be."""
    before = csv.field_size_limit(SIZE_LIMIT)
    try:
        yield
    finally:
        csv.field_size_limit(before)


# ---- Parquet


def _write_parquet(path: Path, table: Table, rows: list[Row]) -> None:
    pa, pq = _arrow()
    types = {
        "text": pa.string(),
        "integer": pa.int64(),
        "number": pa.float64(),
        "boolean": pa.bool_(),
        "date": pa.date32(),
        "moment": pa.timestamp("us", tz="UTC"),
    }
    fields = [pa.field(column.name, types[tables.kind(column)], nullable=column.nullable) for column in table.c]
    columns = [
        pa.array(
            [tables.encode(row[f.name]) if pa.types.is_string(f.type) else row[f.name] for row in rows], type=f.type
        )
        for f in fields
    ]
    pq.write_table(pa.Table.from_arrays(columns, schema=pa.schema(fields)), path)


def _read_parquet(path: Path, table: Table) -> Iterator[Row]:
    pa, pq = _arrow()
    try:
        size = 0  # counted as it is unpacked: what the file says of itself may be a lie
        for batch in pq.ParquetFile(path).iter_batches(batch_size=100):
            size += batch.nbytes
            if size > SIZE_LIMIT:
                raise ValueError(f"{path.name} unpacks to more than {SIZE_LIMIT >> 20} MiB.")
            for row in _unpack(path, batch):
                yield {name: _plain(value) for name, value in row.items()}
    except (pa.ArrowException, OSError) as error:
        raise ValueError(f"{path.name} is no Parquet file that can be read ({str(error).splitlines()[0]}).") from None


def _unpack(path: Path, batch: Any) -> list[dict[str, Any]]:
    try:
        return batch.to_pylist()
    except (ArithmeticError, LookupError, ValueError) as error:
        # Of types that no export has: a time beyond the last day, a zone that there is not.
        raise ValueError(f"{path.name} holds a value that cannot be read ({str(error).splitlines()[0]}).") from None


def _arrow() -> tuple[Any, Any]:
    try:
        import pyarrow
        import pyarrow.parquet
    except ImportError:
        raise ValueError("Parquet needs pyarrow; install it with: pip install 'redolent[parquet]'.") from None
    return pyarrow, pyarrow.parquet


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return tables.encode(value.replace(tzinfo=None))
    return value if isinstance(value, str) else tables.encode(value)


_WRITERS: dict[str, Callable[[Path, Table, list[Row]], None]] = {"csv": _write_csv, "parquet": _write_parquet}
_READERS: dict[str, Callable[[Path, Table], Iterator[Row]]] = {"csv": _read_csv, "parquet": _read_parquet}


def _read_folder(path: Path) -> Tables:
    content: Tables = {}
    for format, read in _READERS.items():
        files = sorted(path.glob(f"*.{format}"))
        if sum(file.stat().st_size for file in files) > SIZE_LIMIT:
            raise ValueError(f"The export holds more than {SIZE_LIMIT >> 20} MiB.")
        for file in files:
            table = tables.by_name().get(file.stem)
            if table is None:
                raise ValueError(f"There is no table for {file.name}; a newer version may have written it.")
            content[table.name] = [
                _located(file.name, number, table, row) for number, row in _numbered(file, read, table)
            ]
    return content


def _numbered(file: Path, read: Callable[[Path, Table], Iterator[Row]], table: Table) -> Iterator[tuple[int, Row]]:
    try:
        yield from enumerate(read(file, table), 2 if file.suffix == ".csv" else 1)
    except (csv.Error, UnicodeDecodeError) as error:
        raise ValueError(f"{file.name} cannot be read: {error}.") from None


def _located(file: str, number: int, table: Table, row: Row) -> Row:
    try:
        return tables.take(table, row)
    except ValueError as error:
        raise ValueError(f"{file}, row {number}: {error}") from None


# ---- JSON Lines


def write_lines(path: Path, content: Tables, what: str) -> None:
    """Write rows as JSON Lines after a line that says what they are, how many, and their SHA-256."""
    digest, counts = hashlib.sha256(), {name: len(rows) for name, rows in content.items() if rows}

    def lines() -> Iterator[bytes]:
        for name in counts:
            for row in content[name]:
                cells = {column: tables.encode(value) for column, value in row.items()}
                yield json.dumps({"table": name, "row": cells}).encode("ascii") + b"\n"

    for line in lines():
        digest.update(line)
    head = {"redolent": what, "version": VERSION, "sha256": digest.hexdigest(), "rows": counts}
    with _new_file(path) as file:
        file.write(json.dumps(head).encode("ascii") + b"\n")
        file.writelines(lines())


def read_lines(path: Path, *whats: str) -> Tables:
    """Read what `write_lines` wrote.

    Raises
    ------
    ValueError
        Where the file is something else, too large, or not as it was written.
    """
    if path.stat().st_size > SIZE_LIMIT:
        raise ValueError(f"{path.name} is larger than {SIZE_LIMIT >> 20} MiB.")
    content: Tables = {}
    digest = hashlib.sha256()
    with path.open("rb") as file:
        head = _parse(file.readline(LINE_LIMIT), 1)
        if not isinstance(head.get("redolent"), str) or head["redolent"] not in whats:
            raise ValueError(f"{path.name} does not begin as a file made by redolent {' or '.join(whats)} does.")
        if head.get("version") != VERSION:
            raise ValueError(
                f"{path.name} was written by a newer version of Redolent; install that version to read it."
            )
        for line in file:
            digest.update(line)
        if digest.hexdigest() != head.get("sha256"):
            raise ValueError(f"{path.name} is damaged: its checksum is not that of its rows. Ask for it again.")
        file.seek(0)
        file.readline()
        for number, line in enumerate(file, 2):
            name, row = _split(_parse(line, number), number)
            table = tables.by_name().get(name)
            if table is None:
                raise ValueError(f"Line {number} is of a table that this version of Redolent does not have.")
            content.setdefault(name, []).append(_located(path.name, number, table, row))
    return content


def _parse(line: bytes, number: int) -> dict[str, Any]:
    try:
        if len(line) > LINE_LIMIT:
            raise ValueError
        value = json.loads(line.decode("utf-8"))
    except (ValueError, RecursionError):
        raise ValueError(f"Line {number} is not JSON as it should be.") from None
    if not isinstance(value, dict):
        raise ValueError(f"Line {number} is no JSON object.")
    return value


def _split(value: dict[str, Any], number: int) -> tuple[str, Row]:
    if value.keys() != {"table", "row"} or not isinstance(value["table"], str) or not isinstance(value["row"], dict):
        raise ValueError(f"Line {number} is no row of a table.")
    return value["table"], value["row"]


# ---- new files and folders, whole or not at all, private to their owner


@contextmanager
def _new_folder(path: Path) -> Iterator[Path]:
    if path.exists():
        raise ValueError(f"{path} is there already; name a folder that is not.")
    with tempfile.TemporaryDirectory(prefix=".redolent-", dir=path.absolute().parent) as outer:
        folder = Path(outer, "new")
        folder.mkdir(mode=0o700)
        yield folder
        for file in folder.iterdir():
            file.chmod(0o600)
        folder.rename(path)


@contextmanager
def _new_file(path: Path) -> Iterator[IO[bytes]]:
    if path.exists():
        raise ValueError(f"{path} is there already; name a file that is not.")
    handle, name = tempfile.mkstemp(prefix=".redolent-", dir=path.absolute().parent)
    try:
        with os.fdopen(handle, "wb") as file:
            yield file
            file.flush()
            os.fsync(handle)
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
