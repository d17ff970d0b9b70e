"""Out: every row in open formats and exactly back, with nothing that a spreadsheet runs and no sealed key."""

import csv
import hashlib
import json
import os
import re
import shutil
import stat
import tempfile
from pathlib import Path

import pandas as pd
import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from furnished import FORMULAS, everything, fill_rest, furnish, hostile, run
from hypothesis import HealthCheck, given, reject, settings
from hypothesis import strategies as st

from redolent.journal import Journal, tables
from redolent.journal.collect import restore
from redolent.journal.describe import document
from redolent.journal.export import FORMATS, defuse, export, read_export
from redolent.journal.export import restore as undo
from redolent.journal.text import escape

ROOT = Path(__file__).resolve().parents[1]
patiently = settings(
    max_examples=25, derandomize=True, database=None, deadline=None, suppress_health_check=list(HealthCheck)
)


def round_trip(journal: Journal, format: str, place: Path) -> None:
    target = place / ("out.jsonl" if format == "jsonl" else "out")
    counts = export(journal, target, format)
    with Journal.open(":memory:") as back:
        restore(back, target)
        assert everything(back) == everything(journal)
    assert counts["note"] == 3


@pytest.mark.parametrize("format", FORMATS)
@patiently
@given(texts=st.tuples(hostile, hostile, hostile))
def test_round_trip_is_exact(format: str, texts: tuple[str, str, str]) -> None:
    with tempfile.TemporaryDirectory() as place, Journal.open(":memory:") as journal:
        furnish(journal, texts)
        fill_rest(journal, texts[0])
        assert all(rows for name, rows in everything(journal).items() if name not in ("collected", "tombstone"))
        round_trip(journal, format, Path(place))


@patiently
@given(hostile)
def test_defusing_is_undone_and_leaves_nothing_to_run(text: str) -> None:
    cell = defuse(text)
    assert undo(cell) == text
    assert not cell.startswith(tuple("=+-@\t\r\n＝＋－＠"))


def test_no_cell_of_a_csv_begins_like_a_formula(tmp_path: Path) -> None:
    # The characters that the OWASP page on CSV injection lists: = + - @ tab CR LF and full-width forms.
    with Journal.open(":memory:") as journal:
        for formula in FORMULAS:
            furnish(journal, (formula, formula, formula), name=f"={formula.strip()}")
        export(journal, tmp_path / "out")
    cells = 0
    for file in (tmp_path / "out").glob("*.csv"):
        with file.open(encoding="utf-8-sig", newline="") as lines:
            rows = list(csv.reader(lines))
        assert rows[0] == list(tables.by_name()[file.stem].c.keys())
        for name, cell in ((name, cell) for row in rows[1:] for name, cell in zip(rows[0], row, strict=True)):
            cells += 1
            if not re.fullmatch(r"-?\d+", cell):
                assert not cell.startswith(tuple("=+-@\t\r\n＝＋－＠")), (file.name, name, cell)
        # Where another character separates cells, the quotes keep a text whole.
        assert all(part[:1] in '"-0123456789' for part in file.read_text("utf-8-sig").splitlines()[0].split(","))
    assert cells > 500


def test_tables_are_tidy_for_other_programs(tmp_path: Path) -> None:
    with Journal.open(":memory:") as journal:
        furnish(journal)
        for format in ("csv", "parquet"):
            export(journal, tmp_path / format, format)
    for notes in (pd.read_csv(tmp_path / "csv" / "note.csv"), pd.read_parquet(tmp_path / "parquet" / "note.parquet")):
        assert sorted(notes["text"]) == ["fig", "plum", "plum, clove"]
        assert notes["coached"].sum() == 1
        at = pd.to_datetime(notes["at"], utc=True)
        assert at.min() == pd.Timestamp("2026-03-01T17:00:00Z")
        assert set(notes["utc_offset"]) == {-300}


# ---- hostile Parquet

_INTS, _FLOATS = [pa.int8(), pa.int64(), pa.uint64(), pa.time64("us"), pa.duration("s")], [pa.float16(), pa.float64()]
_MOMENTS = [pa.timestamp(unit, tz) for unit in ("s", "ns") for tz in (None, "UTC", "+05:30", "Nowhere/Atall")]
_TYPES = st.sampled_from(
    [
        *_INTS,
        *_FLOATS,
        *_MOMENTS,
        pa.date32(),
        pa.date64(),
        pa.bool_(),
        pa.null(),
        pa.string(),
        pa.large_string(),
        pa.binary(),
        pa.decimal128(38, 2),
        pa.list_(pa.string()),
        pa.struct([("x", pa.int8())]),
        pa.dictionary(pa.int8(), pa.string()),
        pa.map_(pa.string(), pa.int8()),
    ]
)


@pytest.fixture(scope="module")
def parquet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("parquet") / "out"
    with Journal.open(":memory:") as journal:
        furnish(journal)
        export(journal, place, "parquet")
    return place


def reads_or_refuses(place: Path) -> None:
    try:
        read_export(place)
    except ValueError as error:
        assert len(str(error)) < 500  # noqa: PT017
        assert "\n" not in str(error)  # noqa: PT017


@patiently
@given(data=st.data())
def test_parquet_of_any_types_is_read_or_refused(parquet: Path, data: st.DataObject) -> None:
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder, "out")
        shutil.copytree(parquet, place)
        file = data.draw(st.sampled_from(sorted(place.glob("*.parquet"))))
        table = pq.read_table(file)
        for number, field in enumerate(table.schema):
            if data.draw(st.integers(0, 2)) == 0:
                type_ = data.draw(_TYPES)
                size = table.num_rows * max(1, type_.bit_width // 8 if pa.types.is_primitive(type_) else 1)
                if pa.types.is_primitive(type_):
                    raw = data.draw(st.binary(min_size=size, max_size=size))
                    column = pa.Array.from_buffers(type_, table.num_rows, [None, pa.py_buffer(raw)])
                else:
                    column = pa.nulls(table.num_rows, type_)
                table = table.set_column(number, field.name, column)
        try:
            pq.write_table(table, file)
        except pa.ArrowException:
            reject()  # what cannot be written is no file
        reads_or_refuses(place)


@patiently
@given(data=st.data())
def test_parquet_with_bytes_that_flipped_is_read_or_refused(parquet: Path, data: st.DataObject) -> None:
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder, "out")
        shutil.copytree(parquet, place)
        file = data.draw(st.sampled_from(sorted(place.glob("*.parquet"))))
        raw = bytearray(file.read_bytes())
        for _ in range(data.draw(st.integers(1, 4))):
            raw[data.draw(st.integers(0, len(raw) - 1))] = data.draw(st.integers(0, 255))
        file.write_bytes(raw[: data.draw(st.integers(0, len(raw)))] if data.draw(st.booleans()) else raw)
        reads_or_refuses(place)


def test_lines_carry_their_checksum(tmp_path: Path) -> None:
    with Journal.open(":memory:") as journal:
        furnish(journal)
        export(journal, tmp_path / "out.jsonl", "jsonl")
    head, rest = (tmp_path / "out.jsonl").read_bytes().split(b"\n", 1)
    assert json.loads(head)["sha256"] == hashlib.sha256(rest).hexdigest()
    assert json.loads(head)["rows"]["note"] == 3


# ---- sealed keys


@pytest.mark.parametrize("format", FORMATS)
def test_sealed_key_stays_until_the_run_is_over(tmp_path: Path, format: str) -> None:
    with Journal.open(":memory:") as journal:
        ids = furnish(journal)
        opened = run(journal, ids["taster"], ids["low"], ids["high"], answers=1, note="plainly marked")
        counts = export(journal, tmp_path / "sealed", format)
        assert (counts["sealed"], counts["triangle_run"], counts["triad"], counts["answer"]) == (1, 1, 2, 2)
        with Journal.open(":memory:") as back:
            restore(back, tmp_path / "sealed")
            assert [one.id for one in back.runs()] == [ids["run"]]
        journal.stop_run(opened)
        counts = export(journal, tmp_path / "open", format)
        assert (counts["sealed"], counts["triangle_run"], counts["triad"], counts["answer"]) == (0, 2, 4, 3)
    place = tmp_path / "sealed"
    written = b"".join(file.read_bytes() for file in (place.iterdir() if place.is_dir() else [place]))
    assert b"plainly marked" not in written


def test_every_sealed_table_has_a_rule_for_its_opening() -> None:
    for table in tables.ordered():
        if tables.sealed(table):
            above = [other for _, other in tables.references(table) if tables.sealed(tables.by_name()[other])]
            assert above or table.name == "triangle_run" or "revealed_at" in table.c, table.name


# ---- files


@pytest.mark.skipif(os.name != "posix", reason="Windows has no modes")
@pytest.mark.parametrize("format", FORMATS)
def test_export_is_private_and_whole(tmp_path: Path, format: str) -> None:
    with Journal.open(":memory:") as journal:
        furnish(journal)
        export(journal, tmp_path / "out", format)
        for file in (tmp_path / "out", *(tmp_path / "out").glob("*")):
            assert stat.S_IMODE(file.stat().st_mode) == (0o700 if file.is_dir() else 0o600)
        with pytest.raises(ValueError, match="is there already"):
            export(journal, tmp_path / "out", format)
    assert [file.name for file in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize(
    ("file", "change", "said"),
    [
        (
            "note.csv",
            lambda text: text.replace('"hot"', '"lukewarm"'),
            r"note.csv, row [2-4]: There is no stage 'lukewarm'",
        ),
        ("note.csv", lambda text: text.replace("-300", "soon", 1), "utc_offset holds 'soon', which is no integer"),
        ("note.csv", lambda text: text.replace("-300", "9999", 1), "utc_offset holds 9999, which is no offset"),
        ("note.csv", lambda text: text.replace("2026-03-01T", "2026-13-01T", 1), "which is no moment"),
        ("note.csv", lambda text: text.replace('"text"', '"words"', 1), "note has no column 'words'"),
        ("note.csv", lambda text: text + '"short"\n', "Row 5 has 1 cells"),
        ("note.csv", lambda text: text + '"open', "note.csv cannot be read"),
        ("line_mark.csv", lambda text: text.replace("0.3333", "1e999", 1), "which is no number|100"),
        ("line_mark.csv", lambda text: text.replace("0.3333333333333333", "100.5", 1), "between 0 and 100"),
        ("taster.csv", lambda text: text.partition("\n")[0], "refers to a taster that is not in the file"),
        ("taster.csv", lambda text: text + text.splitlines()[1] + "\n", "the same id"),
        ("triad.csv", lambda text: text.replace('"AAB"', '"ABC"'), "An order is one of"),
        ("answer.csv", lambda text: text.replace('"417"', '"999"'), "a cup that its triad does not have"),
        ("other.csv", lambda text: "", "no table for other.csv"),
    ],
)
def test_export_that_was_changed_is_refused_whole(tmp_path: Path, file: str, change, said: str) -> None:
    with Journal.open(":memory:") as journal:
        furnish(journal)
        export(journal, tmp_path / "out")
    path = tmp_path / "out" / file
    before = path.read_text("utf-8-sig") if path.exists() else ""
    assert file == "other.csv" or change(before) != before
    path.write_text(change(before), "utf-8-sig", newline="")
    with Journal.open(":memory:") as back:
        with pytest.raises(ValueError, match=said):
            restore(back, tmp_path / "out")
        assert not any(everything(back).values())


def test_damaged_lines_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "out.jsonl"
    with Journal.open(":memory:") as journal:
        furnish(journal)
        export(journal, path, "jsonl")
        path.write_bytes(path.read_bytes().replace(b"clove", b"cloud"))
        with pytest.raises(ValueError, match="is damaged: its checksum"):
            restore(journal, path)


# ---- documented


def test_document_says_what_the_tables_are() -> None:
    written = (ROOT / "docs" / "journal-tables.md").read_text("utf-8")
    assert written == document(), "run: python -m redolent.journal.describe > docs/journal-tables.md"
    assert "| `note_id` | text |" in written
    assert escape("\0") in written


def test_no_pickle_anywhere() -> None:
    root = ROOT / "src"
    for file in root.rglob("*.py"):
        text = file.read_text("utf-8")
        assert not re.search(
            r"\b(pickle|cPickle|dill|cloudpickle|joblib|shelve|marshal)\b|\bread_pickle|\beval\(|\bexec\(", text
        ), file
