"""A file as rows of cells, whatever kind of file it is. Nothing in it is run, followed or trusted."""

import csv
import io
import json
import re
import warnings
import zipfile
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

from redolent.journal.export import long_cells
from redolent.journal.importing.columns import is_header
from redolent.journal.importing.prose import read_prose
from redolent.journal.importing.unclear import Unclear

FILE_LIMIT = 64 * 2**20  # bytes
UNPACKED_LIMIT = 256 * 2**20  # bytes of all that a workbook holds
PARTS_LIMIT = 2000  # files in a workbook
ROW_LIMIT = 1_000_000
COLUMN_LIMIT = 256
CELL_LIMIT = 20_000_000

_DELIMITERS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
_KINDS = {
    ".csv": "csv",
    ".tsv": "csv",
    ".tab": "csv",
    ".jsonl": "json",
    ".ndjson": "json",
    ".json": "json",
    ".md": "prose",
    ".markdown": "prose",
    ".txt": "text",
}

# What files that are not Unicode are in most often; any other can be named.
_ENCODINGS = "cp1252 cp1250 cp1251 cp1253 cp1254 cp1255 cp1256 mac_roman koi8_r cp932 euc_jp gb18030 big5 cp949".split()

_TELLING = 30  # letters beyond ASCII from which a language is known

Line = tuple[int, tuple[str, ...]]  # its number in the file, and its cells


@dataclass(frozen=True, slots=True)
class Sheet:
    """What a file holds, as text.

    Attributes
    ----------
    columns : tuple of str
        Their names; empty where the file does not name them.
    lines : list of (int, tuple of str)
    broken : list of (int, str, str)
        What is no row: its number, why, and what stands there.
    said : tuple of str
        How the file was read, a sentence each.
    """

    columns: tuple[str, ...]
    lines: list[Line]
    broken: list[tuple[int, str, str]]
    said: tuple[str, ...]


def read_sheet(path: Path, *, encoding: str | None = None, sheet: str | None = None) -> Sheet:
    """Read a file of CSV or the like, a workbook, JSON Lines, Markdown or plain text.

    Parameters
    ----------
    path : Path
    encoding : str, optional
        Detected where it is None.
    sheet : str, optional
        The name of a workbook's sheet.

    Raises
    ------
    ValueError
        Where the file is too large or of another kind.
    Unclear
        Where a workbook has several sheets and none is named.
    """
    with path.open("rb") as file:
        raw = file.read(FILE_LIMIT + 1)  # a device has no end
    if len(raw) > FILE_LIMIT:
        raise ValueError(f"{path.name} is larger than {FILE_LIMIT >> 20} MiB; split it.")
    if raw.startswith(b"PK\x03\x04"):
        return _read_workbook(raw, path.name, sheet)
    if raw.startswith(b"\xd0\xcf\x11\xe0"):
        raise ValueError(f"{path.name} is an old workbook; save it as .xlsx or CSV first.")
    text, said = decode(raw, path.name, encoding)
    kind = _KINDS.get(path.suffix.lower()) or "text"
    if kind == "text":
        kind = _guess_kind(text)
    read = {"csv": _read_csv, "json": _read_json, "prose": _read_prose}[kind]
    found = read(text)
    return Sheet(found.columns, found.lines, found.broken, (said, *found.said))


# ---- text


def decode(raw: bytes, name: str, encoding: str | None = None) -> tuple[str, str]:
    """Turn bytes into text, and say from which encoding.

    Raises
    ------
    ValueError
        Where the encoding is unknown or the file is not in it.
    """
    marks = {b"\xef\xbb\xbf": "utf-8-sig", b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}
    marked = next((encoding for mark, encoding in marks.items() if raw.startswith(mark)), None)
    if encoding is not None:
        try:
            return raw.decode(encoding), f"Read as {encoding}, as you said."
        except (LookupError, UnicodeError, ValueError):
            raise ValueError(f"{name} cannot be read as {encoding}; name the encoding it is in.") from None
    for candidate in [marked] if marked else ["utf-8"]:
        try:
            return raw.decode(candidate), f"Read as {'UTF-16' if candidate == 'utf-16' else 'UTF-8'}."
        except UnicodeError:
            continue
    guessed = _guess_encoding(raw)
    with suppress(UnicodeError, LookupError):
        if guessed is not None:
            said = f"Read as {guessed}, which is a guess; where letters look wrong, say --encoding."
            return raw.decode(guessed), said
    raise ValueError(f"{name} is no text in an encoding that can be told; say which with --encoding.")


def _guess_encoding(raw: bytes) -> str | None:
    from charset_normalizer import from_bytes

    if b"\0" in raw[:4096]:
        return None
    # Lines that are not ASCII say the most; enough of them, so that a long file costs no more than a short one.
    lines = [line[:2000] for line in raw[: 16 * 2**20].splitlines() if not line.isascii()]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        matches = list(from_bytes(b"\n".join(lines)[:65536] or raw[:65536], cp_isolation=_ENCODINGS))
    if not matches:
        return None
    # As messy a text, and as much of a language: then a person sees at once which it is, and nothing else does.
    # A few letters tell nothing of a language.
    best = matches[0]
    coherence = best.coherence - 0.1 if sum(byte > 127 for line in lines for byte in line) >= _TELLING else 0.0
    tied = {str(m): m.encoding for m in matches if m.chaos <= best.chaos + 0.05 and m.coherence >= coherence}
    if len(tied) > 1:
        rows = zip(*(text.split() for text in tied), strict=False)
        words = next((row for row in rows if len(set(row)) > 1), tuple(tied))
        seen = ", ".join(f"{e} makes {w[:30]!r} of it" for e, w in zip(tied.values(), words, strict=True))
        raise Unclear("encoding", f"Which encoding is the text in? {seen}.", tuple(tied.values()))
    return best.encoding


def _guess_kind(text: str) -> str:
    lines = [line for line in text[:65536].splitlines() if line.strip()][:20]
    if lines and lines[0].lstrip().startswith(("{", "[{")):
        return "json"
    for delimiter in ("\t", ";", ","):
        counts = {line.count(delimiter) for line in lines}
        if len(lines) > 1 and len(counts) == 1 and 0 not in counts:
            return "csv"
    return "prose"


# ---- CSV and the like


def _read_csv(text: str) -> Sheet:
    delimiter = _guess_delimiter(text)
    rows: list[tuple[int, list[str]]] = []
    broken: list[tuple[int, str, str]] = []
    with long_cells():
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
        start = 1
        for cells in reader:
            if any(cells):
                rows.append((start, cells))
            start = reader.line_num + 1
            if len(rows) > ROW_LIMIT:
                raise ValueError(f"The file has more than {ROW_LIMIT:,} rows; split it.")
    said = f"Cells are separated by {_DELIMITERS[delimiter]}."
    return _tabulate(rows, broken, (said,))


def _guess_delimiter(text: str) -> str:
    """Choose what cuts the first rows into the most alike."""
    sample = text[:65536]
    best, best_score = ",", (0.0, 0)
    with long_cells():
        for delimiter in _DELIMITERS:
            reader = csv.reader(io.StringIO(sample, newline=""), delimiter=delimiter)
            widths = [len(cells) for cells, _ in zip(reader, range(50), strict=False) if any(cells)]
            if len(widths) > 2 and len(sample) == 65536:
                widths.pop()
            common = max(set(widths), key=lambda width: (widths.count(width), width)) if widths else 1
            score = (widths.count(common) / len(widths), common) if common > 1 else (0.0, 0)
            best, best_score = (delimiter, score) if score > best_score else (best, best_score)
    return best


def _tabulate(
    rows: Iterable[tuple[int, list[str]]], broken: list[tuple[int, str, str]], said: tuple[str, ...]
) -> Sheet:
    """Cut off the header, and put rows aside that have more cells than it."""
    rows = [(number, [cell.strip() for cell in cells]) for number, cells in rows]
    rows = [(number, cells) for number, cells in rows if any(cells)]
    if not rows:
        return Sheet((), [], broken, said)
    width = max(len(cells) for _, cells in rows)
    header = rows[0][1] if is_header(rows[0][1]) else []
    if header:
        width, rows = len(header), rows[1:]
    if width > COLUMN_LIMIT:
        raise ValueError(f"The file has {width:,} columns; that is more than {COLUMN_LIMIT}, and no list of notes.")
    lines: list[Line] = []
    for number, cells in rows:
        if len(cells) > width and any(cells[width:]):
            broken.append((number, f"it has {len(cells)} cells, and the header {width}", " | ".join(cells)))
        else:
            lines.append((number, tuple(cells[:width] + [""] * (width - len(cells)))))
    return Sheet(tuple(header), lines, broken, said)


# ---- workbooks


def _read_workbook(raw: bytes, name: str, wanted: str | None) -> Sheet:
    _check_archive(raw, name)
    import openpyxl

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            book = openpyxl.load_workbook(io.BytesIO(raw), read_only=True, data_only=True, keep_links=False)
            names = [sheet.title for sheet in book.worksheets]
            if not names:
                raise ValueError("it has no sheet")
            if wanted is None and len(names) > 1:
                raise Unclear("sheet", "Which sheet of the workbook holds the notes?", tuple(names))
            if wanted is not None and wanted not in names:
                raise Unclear("sheet", f"The workbook has no sheet {wanted!r}; which one?", tuple(names))
            sheet = book.worksheets[names.index(wanted or names[0])]
            sheet.reset_dimensions()
            rows = list(_workbook_rows(sheet))
    except (Unclear, MemoryError):
        raise
    except Exception as error:
        # openpyxl raises whatever its parts raise on a file that is not as it should be.
        raise ValueError(f"{name} is no workbook that can be read ({_first_line(error)}).") from None
    return _tabulate(rows, [], (f"Read as a workbook, sheet {sheet.title!r}; of a formula its last result.",))


def _check_archive(raw: bytes, name: str) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as archive:
            parts = archive.infolist()
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError) as error:
        raise ValueError(f"{name} is no workbook that can be read ({_first_line(error)}).") from None
    # zipfile never unpacks more of a part than is declared here.
    if sum(part.file_size for part in parts) > UNPACKED_LIMIT or len(parts) > PARTS_LIMIT:
        raise ValueError(f"{name} unpacks to more than {UNPACKED_LIMIT >> 20} MiB; it is not read.")
    if not any(part.filename == "[Content_Types].xml" for part in parts):
        raise ValueError(f"{name} is an archive, not a workbook; unpack it and import what is in it.")


def _workbook_rows(sheet: Any) -> Iterator[tuple[int, list[str]]]:
    size = 0  # a row may claim to be as wide as it likes
    for number, cells in enumerate(sheet.iter_rows(values_only=True), 1):
        size += len(cells)
        if number > ROW_LIMIT or size > CELL_LIMIT:
            raise ValueError(f"it has more than {ROW_LIMIT:,} rows or {CELL_LIMIT:,} cells")
        texts = [_cell(value) for value in cells]
        while texts and not texts[-1]:
            texts.pop()
        if len(texts) > COLUMN_LIMIT:
            raise ValueError(f"it has more than {COLUMN_LIMIT} columns")
        if texts:
            yield number, texts


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(" ", "seconds")
    if isinstance(value, (date, time)):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    # Workbooks write characters that XML has no place for as _x000A_.
    return (
        re.sub(r"_x([0-9A-Fa-f]{4})_", lambda found: chr(int(found[1], 16)), value)
        if isinstance(value, str)
        else str(value)
    )


def _first_line(error: Exception) -> str:
    return (str(error).strip().splitlines() or [type(error).__name__])[0][:200]


# ---- JSON


def _read_json(text: str) -> Sheet:
    objects: list[tuple[int, dict[str, Any]]] = []
    broken: list[tuple[int, str, str]] = []
    if text.lstrip().startswith("["):
        try:
            values = list(enumerate(json.loads(text), 1))
        except (ValueError, RecursionError):
            raise ValueError("The file begins like JSON and is none; check its end.") from None
    else:
        values = list(_json_lines(text, broken))
    for number, value in values:
        if isinstance(value, dict):
            objects.append((number, value))
        else:
            broken.append((number, "it is no JSON object", _json_cell(value)))
    columns = tuple(dict.fromkeys(name for _, value in objects for name in value))
    if len(columns) > COLUMN_LIMIT or len(objects) > ROW_LIMIT:
        raise ValueError(f"The file has more than {COLUMN_LIMIT} names or {ROW_LIMIT:,} rows; it is no list of notes.")
    lines = [(number, tuple(_json_cell(value.get(name)) for name in columns)) for number, value in objects]
    return Sheet(columns, lines, broken, ("Read as JSON, an object a row.",))


def _json_lines(text: str, broken: list[tuple[int, str, str]]) -> Iterator[tuple[int, Any]]:
    for number, line in enumerate(io.StringIO(text, newline="\n"), 1):
        if line.strip():
            try:
                yield number, json.loads(line)
            except (ValueError, RecursionError):
                broken.append((number, "it is no JSON", line))


def _json_cell(value: Any) -> str:
    if value is None:
        return ""
    try:
        return value.strip() if isinstance(value, str) else json.dumps(value)
    except RecursionError:
        return "too deep to write down"


# ---- Markdown and plain text


def _read_prose(text: str) -> Sheet:
    records = read_prose(text)
    columns = tuple(dict.fromkeys(name for _, record in records for name in record))
    if len(columns) > COLUMN_LIMIT or len(records) > ROW_LIMIT:
        raise ValueError("The file has more rows or columns than a list of notes has; split it.")
    lines = [(number, tuple(record.get(name, "") for name in columns)) for number, record in records]
    return Sheet(columns, lines, [], ("Read as text: a line with a date begins a day.",))
