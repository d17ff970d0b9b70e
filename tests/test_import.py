"""In: notes that people keep already, in whatever file; every row lands or is listed, and nothing twice."""

import csv
import io
import json
import os
import zipfile
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from furnished import FORMULAS, SCRIPTS, everything
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from redolent.cli import app, exchange
from redolent.journal import Journal
from redolent.journal.importing import Choices, Unclear, land, make_plan, write_refused
from redolent.journal.importing import sheet as sheets
from redolent.journal.importing.columns import field_of, guess_columns, is_header, stage_of
from redolent.journal.importing.dates import find_date, guess_order, read_moment
from redolent.journal.importing.sheet import decode, read_sheet

NOW = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
HERS = Choices(taster="Ines", stage="hot")
ROWS = [
    ["Date", "Coffee", "Stage", "Notes"],
    ["2026-03-01", "Low Terrace", "hot", "plum, clove"],
    ["2026-03-01", "High Terrace", "cool", "jasmine"],
    ["2026-03-02", "Low Terrace", "dry", "cedar"],
]


@pytest.fixture
def journal() -> Iterator[Journal]:
    with Journal.open(":memory:") as journal:
        yield journal


def read(path: Path, choices: Choices = HERS) -> list[tuple[str, ...]]:
    """Give day, coffee, stage and text of what lands."""
    with Journal.open(":memory:") as journal:
        plan = make_plan(path, choices, now=NOW)
        land(journal, plan)
        frame = journal.notes_frame()
        coffees = {(n, t): c for n, t, c in zip(frame["note_id"], frame["text"], frame["coffee"], strict=True)}
        assert len(coffees) == len(frame) == len(plan.entries)
        return [
            (note.written_at.date().isoformat(), coffees[note.note_id, note.text], note.stage, note.text)
            for note in reversed(journal.notes())
        ]


def to_csv(delimiter: str) -> bytes:
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=delimiter).writerows(ROWS)
    return out.getvalue().encode()


def to_book() -> bytes:
    book = openpyxl.Workbook()
    for row in ROWS:
        book.active.append([datetime.fromisoformat(cell) if cell[:2] == "20" else cell for cell in row])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


FILES: dict[str, Callable[[], bytes]] = {
    "notes.csv": lambda: to_csv(","),
    "semicolons.csv": lambda: to_csv(";"),
    "notes.tsv": lambda: to_csv("\t"),
    "unnamed": lambda: to_csv(";"),
    "notes.xlsx": to_book,
    "utf-16.csv": lambda: to_csv(",").decode().encode("utf-16"),
    "mark.csv": lambda: b"\xef\xbb\xbf" + to_csv(","),
    "notes.jsonl": lambda: "\n".join(json.dumps(dict(zip(ROWS[0], row, strict=True))) for row in ROWS[1:]).encode(),
    "notes.json": lambda: json.dumps([dict(zip(ROWS[0], row, strict=True)) for row in ROWS[1:]]).encode(),
    "notes.md": lambda: (
        b"""\
# What I tasted
## 2026-03-01
### Low Terrace
- hot: plum, clove
### High Terrace
- cool: jasmine

## Monday, 2 March 2026
| Coffee | dry |
|---|---|
| Low Terrace | cedar |
"""
    ),
    "notes.txt": lambda: (
        b"""\
1.3.2026
Coffee: Low Terrace
hot: plum, clove
coffee: High Terrace
cool: jasmine

March 2nd, 2026
Stage: dry
Low Terrace: cedar
"""
    ),
}


@pytest.mark.parametrize("name", FILES)
def test_same_notes_in_any_file(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(FILES[name]())
    assert read(tmp_path / name) == [
        ("2026-03-01", "Low Terrace", "hot", "plum, clove"),
        ("2026-03-01", "High Terrace", "cool", "jasmine"),
        ("2026-03-02", "Low Terrace", "dry", "cedar"),
    ]


def test_prose_keeps_paragraphs_and_list_items_apart(tmp_path: Path) -> None:
    (tmp_path / "diary.md").write_text(
        "before any date\n\n2026-03-01: Low Terrace: plum\n\nA long walk,\nthen quince.\n\n- fig\n  jam\n- date\n"
        "\n3 March 2026\n\n> smoke\n"
    )
    plan = make_plan(tmp_path / "diary.md", HERS, now=NOW)
    assert [(row.line, row.reason) for row in plan.refused] == [(1, "it has no date")]
    assert [(entry.line, entry.coffee, entry.text) for entry in plan.entries] == [
        (3, "Low Terrace", "plum"),
        (5, "", "A long walk,\nthen quince."),
        (8, "", "fig\njam"),
        (10, "", "date"),
        (14, "", "> smoke"),
    ]


# ---- columns


@pytest.mark.parametrize(
    ("name", "field"),
    [
        ("Tasting Notes", "note"),
        ("NOTES:", "note"),
        ("tasting", "tasting"),
        ("Café", "coffee"),
        ("roast_date", "roast_date"),
        ("Datum", "date"),
        ("rating", None),
        ("x" * 10_000, None),
    ],
)
def test_column_is_told_by_its_name(name: str, field: str | None) -> None:
    assert field_of(name) == field


def test_stage_is_told_by_its_name() -> None:
    names = ["Dry", "wet crust", "at the break", "HOT", "warm", "Cooled down", "tepid"]
    assert [stage_of(name) for name in names] == ["dry", "crust", "break", "hot", "warm", "cool", None]


def test_columns_without_names_are_told_by_what_they_hold() -> None:
    rows = [
        ["4", "1.3.2026", "plum and clove", "Ridge"],
        ["5", "2.3.2026", "fig", "Low"],
        ["5", "2.3.2026", "a fig", "Low"],
    ]
    assert not is_header(rows[0])
    assert guess_columns([], rows) == {1: "date", 2: "note"}
    assert guess_columns(["A", "B", "hot", "cool"], rows) == {1: "date", 2: "hot", 3: "cool"}


def test_column_a_stage_gives_a_note_each(tmp_path: Path) -> None:
    (tmp_path / "wide.csv").write_text(
        "date,coffee,dry,hot,colour\n2026-03-01,Ridge,cedar,plum,red\n2026-03-02,Ridge,,fig,\n"
    )
    plan = make_plan(tmp_path / "wide.csv", Choices(taster="Ines"), now=NOW)
    assert [(entry.line, entry.stage, entry.text) for entry in plan.entries] == [
        (2, "dry", "cedar"), (2, "hot", "plum"), (3, "hot", "fig"),
    ]  # fmt: skip
    assert plan.unused == ["colour"]


# ---- dates


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2026-03-04", "2026-03-04T12:00:00"),
        ("2026/3/4 07:05", "2026-03-04T07:05:00"),
        ("2026-03-04T07:05:06.5Z", "2026-03-04T07:05:06+00:00"),
        ("2026-03-04 07:05 +05:30", "2026-03-04T07:05:00+05:30"),
        ("4.3.2026", "2026-03-04T12:00:00"),
        ("4. 3. 26", "2026-03-04T12:00:00"),
        ("4/3/2026, 12:05 am", "2026-03-04T00:05:00"),
        ("4/3/2026 1:05 p.m.", "2026-03-04T13:05:00"),
        ("4 March 2026", "2026-03-04T12:00:00"),
        ("Wed, 4th March 2026", "2026-03-04T12:00:00"),
        ("March 4, 2026", "2026-03-04T12:00:00"),
        ("4. März 2026", "2026-03-04T12:00:00"),
        ("4 de marzo de 2026", "2026-03-04T12:00:00"),
        ("4 août 2026", "2026-08-04T12:00:00"),
        ("29.2.2024", "2024-02-29T12:00:00"),
    ],
)
def test_dates_as_people_write_them(text: str, said: str) -> None:
    assert read_moment(text).isoformat() == said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("29.2.2026", "no day"),
        ("31/4/2026", "no day"),
        ("0/0/2026", "no day"),
        ("yesterday", "no date"),
        ("", "no date"),
        ("3/2026", "no date"),
        ("4 Plum 2026", "no date"),
        ("4/3/20260", "no date"),
        ("9" * 10_000, "no date"),
        ("4/3/2026 25:00", "no time"),
        ("4/3/2026 at noon", "no time"),
        ("2026-03-04 07:05 +99:99", "no time"),
    ],
)
def test_what_is_no_date_is_refused(text: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        read_moment(text)


@pytest.mark.parametrize(
    ("texts", "order"),
    [
        (["3/4/2026", "13/4/2026"], "day first"),
        (["3/4/2026", "4/13/2026"], "month first"),
        (["3/4/2026"], None),
        (["13/4/2026", "4/13/2026"], None),
        (["3/3/2026", "2026-03-04", "4 March 2026", "x"], "either"),
        (["3.4.2026"], "day first"),
    ],
)
def test_day_or_month_first_is_decided_over_the_whole_column(texts: list[str], order: str | None) -> None:
    assert guess_order(texts) == order


@settings(max_examples=200, derandomize=True, database=None)
@given(st.dates(date(1900, 1, 1), date(2199, 12, 31)))
def test_every_day_is_read_in_every_writing(day: date) -> None:
    # Python's strftime, in the C locale, writes them.
    for form in ("%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y", "%d %B %Y", "%A, %d %b %Y"):
        assert read_moment(day.strftime(form)).date() == day
    assert read_moment(day.strftime("%m/%d/%Y"), "", "month first").date() == day
    assert find_date(day.strftime("%B %d, %Y then plum")) == (day.strftime("%B %d, %Y"), " then plum")


# ---- asking


@pytest.mark.parametrize(
    ("content", "choices", "field"),
    [
        ("date,note\n3/4/2026,plum\n", HERS, "order"),
        ("date,note\n2026-03-04,plum\n", Choices(stage="hot"), "taster"),
        ("date,note\n2026-03-04,plum\n", Choices(taster="Ines"), "stage"),
        ("date,note,taster\n2026-03-04,plum,\n", Choices(stage="hot"), "taster"),
        ("date,note\n,plum\n", HERS, None),
        ("coffee,note\nRidge,plum\n", HERS, "columns.date"),
        ("date,a,b\n2026-03-04,plum jam,fig jam\n", HERS, "columns.note"),
    ],
)
def test_what_cannot_be_told_is_asked(tmp_path: Path, content: str, choices: Choices, field: str | None) -> None:
    (tmp_path / "notes.csv").write_text(content)
    if field is None:
        assert make_plan(tmp_path / "notes.csv", choices, now=NOW).refused[0].reason == "it has no date"
        return
    with pytest.raises(Unclear) as asked:
        make_plan(tmp_path / "notes.csv", choices, now=NOW)
    assert asked.value.field == field


def test_answers_settle_it(tmp_path: Path) -> None:
    (tmp_path / "notes.csv").write_text("when?,a,b\n3/4/2026,plum jam,fig jam\n")
    choices = Choices({"note": "b", "coffee": "2", "date": "when?"}, taster="Ines", stage="warm", order="month first")
    assert read(tmp_path / "notes.csv", choices) == [("2026-03-04", "plum jam", "warm", "fig jam")]
    for wrong in ({"columns": {"note": "c"}}, {"columns": {"plum": "a"}}, {"stage": "tepid"}, {"order": "year first"}):
        with pytest.raises(ValueError, match="There is no"):
            make_plan(tmp_path / "notes.csv", Choices(**wrong), now=NOW)


# ---- nothing is lost, and nothing comes twice


def test_every_row_lands_or_is_listed_with_its_reason(tmp_path: Path, journal: Journal) -> None:
    path = tmp_path / "notes.csv"
    path.write_text(
        "date,coffee,stage,notes\n"
        "2026-03-01,Ridge,hot,plum\n"
        "2026-02-30,Ridge,hot,no such day\n"
        ",Ridge,hot,no date\n"
        "2026-03-01,Ridge,tepid,no such stage\n"
        "\n"
        "2026-03-01,Ridge,hot,\n"
        "2026-03-01,Ridge,hot,one,too many\n"
        "2027-03-01,Ridge,hot,=from the future\n"
        "1890-03-01,Ridge,hot,from long ago\n"
        f"2026-03-01,{'R' * 300},hot,a long name\n"
        f"2026-03-01,Ridge,hot,{'f' * 100_001}\n"
        '2026-03-01,Ridge,hot,"a quote, left open\n'
    )
    plan = make_plan(path, HERS, now=NOW)
    assert [entry.line for entry in plan.entries] == [2, 13]
    reasons = {row.line: row.reason for row in plan.refused}
    assert reasons == {
        3: "there is no day '2026-02-30', with the day first",
        4: "it has no date",
        5: "there is no stage 'tepid'; the stages are dry, crust, break, hot, warm, cool",
        7: "it has no note",
        8: "it has 5 cells, and the header 4",
        9: "its date, 2027-03-01, lies in the future",
        10: "its date, 1890-03-01, lies before 1900",
        11: "its coffee is longer than 200 characters",
        12: "its note is longer than 100,000 characters",
    }
    listed = write_refused(plan)
    assert listed == tmp_path / "notes.not-imported.csv"
    with listed.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.reader(file))
    assert rows[0][:3] == ["row", "why it was not imported", "date"]
    assert [int(row[0]) for row in rows[1:]] == list(reasons)
    assert rows[6][5] == "'=from the future"
    assert rows[8][5] == "a long name"
    land(journal, plan)
    assert len(journal.notes()) == 2


def test_list_of_refused_rows_replaces_only_itself(tmp_path: Path) -> None:
    path = tmp_path / "notes.csv"
    path.write_text("date,notes\n,plum\n")
    (tmp_path / "notes.not-imported.csv").write_text("mine")
    plan = make_plan(path, HERS, now=NOW)
    for _ in range(2):
        assert write_refused(plan) == tmp_path / "notes.not-imported-2.csv"
    assert (tmp_path / "notes.not-imported.csv").read_text() == "mine"


def test_repeated_import_adds_nothing_and_a_longer_file_its_new_rows(tmp_path: Path, journal: Journal) -> None:
    path = tmp_path / "notes.csv"
    # The second row twice: two notes, as it stands.
    path.write_text(
        "date,coffee,taster,notes\n2026-03-01,Ridge,Ines,plum\n2026-03-01,Ridge,Ines,plum\n2026-03-01,,Teo,fig\n"
    )
    first = land(journal, make_plan(path, HERS, now=NOW))
    assert (first.new, first.known, first.tasters, first.coffees, first.tastings) == (3, 0, 2, 1, 1)
    before = everything(journal)
    again = land(journal, make_plan(path, HERS, now=NOW))
    assert (again.new, again.known, again.tasters, again.coffees, again.tastings) == (0, 3, 0, 0, 0)
    assert everything(journal) == before
    edited = journal.notes()[0]
    journal.save_note(
        taster_id=edited.taster_id, serving_id=edited.serving_id, stage="hot", text="edited", note_id=edited.note_id
    )
    path.write_text(path.read_text() + "2026-03-01,RIDGE,ines,plum\n2026-03-02,Ridge,Ines,quince\n")
    longer = land(journal, make_plan(path, HERS, now=NOW))
    assert (longer.new, longer.known, longer.tasters, longer.coffees, longer.tastings) == (2, 3, 0, 0, 1)
    assert len(journal.servings()) == 3


def test_notes_of_one_moment_keep_the_order_of_the_file(tmp_path: Path) -> None:
    texts = [f"note {number}" for number in range(50)]
    (tmp_path / "notes.csv").write_text("date,notes\n" + "".join(f"2026-03-01,{text}\n" for text in texts))
    assert [row[3] for row in read(tmp_path / "notes.csv")] == texts


def test_many_coffees_on_one_day_get_three_digit_codes(tmp_path: Path, journal: Journal) -> None:
    path = tmp_path / "notes.csv"
    path.write_text("date,coffee,notes\n" + "".join(f"2026-03-01,Coffee {number},plum\n" for number in range(1000)))
    assert land(journal, make_plan(path, HERS, now=NOW)).tastings == 2
    codes = {(cup.tasting_id, cup.code) for cup in journal.servings()}
    assert len(codes) == 1000
    assert all(len(code) == 3 and code.isdigit() for _, code in codes)
    assert land(journal, make_plan(path, HERS, now=NOW)).new == 0


def test_codes_of_the_file_are_kept_where_they_are_codes(tmp_path: Path, journal: Journal) -> None:
    path = tmp_path / "notes.csv"
    path.write_text("date,code,coffee,notes\n2026-03-01,417,Ridge,plum\n2026-03-01,852,,fig\n")
    land(journal, make_plan(path, HERS, now=NOW))
    assert [(cup.code, cup.coffee_id is None) for cup in journal.servings()] == [("417", False), ("852", True)]
    path.write_text("date,code,notes\n2026-03-01,A,plum\n")
    assert any("new ones are drawn" in sentence for sentence in make_plan(path, HERS, now=NOW).said)


# ---- encodings


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1251"])
def test_encoding_is_detected_and_said(encoding: str) -> None:
    text = "date,notes\n" + "2026-03-01,слива, гвоздика, тёмный шоколад\n" * 20
    decoded, said = decode(text.encode(encoding), "x", None)
    assert decoded == text
    assert ("guess" in said) == (encoding == "cp1251")
    assert decode(text.encode("utf-16-le"), "x", "utf-16-le")[0] == text
    for wrong in ("plum", "zip", "ascii", "\0"):
        with pytest.raises(ValueError, match="cannot be read as"):
            decode(text.encode("utf-8"), "x", wrong)


def test_a_few_letters_do_not_settle_the_encoding() -> None:
    raw = "Datum;Kaffee;Notizen\n13.02.2025;Höhe;süß wie Quitte\n14.02.2025;Höhe;Feige\n".encode("cp1252")
    with pytest.raises(Unclear, match="süß") as asked:
        decode(raw, "x", None)
    assert {"mac_roman", "cp1250"} <= set(asked.value.answers)


def test_encoding_that_only_a_reader_can_tell_is_asked() -> None:
    raw = "date,notes\n2026-03-01,Crème brûlée\n".encode("cp1252")
    with pytest.raises(Unclear, match="cp1252 makes '2026-03-01,Crème' of it") as asked:
        decode(raw, "x", None)
    assert {"cp1250", "cp1252"} <= set(asked.value.answers)
    assert "Crème brûlée" in decode(raw, "x", "cp1252")[0]


def test_what_is_no_text_is_refused(tmp_path: Path) -> None:
    for content in (b"\xd0\xcf\x11\xe0 old workbook", bytes(range(256)) * 40):
        (tmp_path / "notes.csv").write_bytes(content)
        with pytest.raises(ValueError, match=r"old workbook|no text"):
            read_sheet(tmp_path / "notes.csv")


# ---- hostile files


@pytest.mark.skipif(os.name != "posix", reason="devices are POSIX's")
def test_file_without_an_end_is_refused() -> None:
    with pytest.raises(ValueError, match="zero is larger than 64 MiB"):
        read_sheet(Path("/dev/zero"))


def book_with(sheet: str, **parts: str) -> bytes:
    """Write a workbook with the XML of its sheet, and other parts, as given."""
    out, good = io.BytesIO(), zipfile.ZipFile(io.BytesIO(to_book()))
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for part in good.namelist():
            archive.writestr(part, sheet if part == "xl/worksheets/sheet1.xml" and sheet else good.read(part))
        for name, text in parts.items():
            archive.writestr(name, text)
    return out.getvalue()


SHEET = (
    '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>{}</sheetData></worksheet>'
)
ENTITIES = (
    "<!DOCTYPE x [<!ENTITY a 'aaaaaaaaaa'>"
    + "".join(f"<!ENTITY {b} '{f'&{a};' * 10}'>" for a, b in zip("abcdefgh", "bcdefghi", strict=True))
    + "]>"
)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (lambda: book_with("", **{"xl/media/bomb": "0" * (300 * 2**20)}), "unpacks to more than 256 MiB"),
        (lambda: book_with("", **{f"{n}": "" for n in range(2100)}), "unpacks to more than"),
        (lambda: book_with(ENTITIES + SHEET.format("<row><c t='str'><v>&i;</v></c></row>")), "no workbook"),
        (
            lambda: book_with("<!DOCTYPE x [<!ENTITY a SYSTEM 'file:///etc/passwd'>]>" + SHEET.format("&a;")),
            "no workbook",
        ),
        (
            lambda: book_with(SHEET.format('<row r="99999999999"><c t="str"><v>x</v></c></row>')),
            "more than 1,000,000 rows",
        ),
        (lambda: book_with(SHEET.format('<row r="1"><c r="ZZZ1" t="str"><v>x</v></c></row>')), "more than 256 columns"),
        (lambda: book_with(SHEET.format('<row r="x"><c r="?" t="s"><v>9</v></c></row>')), "no workbook"),
        (lambda: to_book()[:-200], "no workbook"),
        (lambda: b"PK\x03\x04" + b"\0" * 100, "no workbook"),
    ],
    ids=["bomb", "parts", "entities", "file entity", "far row", "far column", "wrong", "cut short", "no archive"],
)
def test_hostile_workbook_is_refused(tmp_path: Path, content: Callable[[], bytes], said: str) -> None:
    (tmp_path / "notes.xlsx").write_bytes(content())
    with pytest.raises(ValueError, match=said):
        read_sheet(tmp_path / "notes.xlsx")


def test_archive_is_no_workbook(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "notes.xlsx", "w") as archive:
        archive.writestr("../../evil.csv", "date,notes\n")
    with pytest.raises(ValueError, match="an archive, not a workbook"):
        read_sheet(tmp_path / "notes.xlsx")
    assert [file.name for file in tmp_path.iterdir()] == ["notes.xlsx"]


def test_formula_of_a_workbook_is_never_run(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.append(["date", "notes"])
    book.active.append(["2026-03-01", '=WEBSERVICE("http://x.example")'])
    book.save(tmp_path / "notes.xlsx")
    plan = make_plan(tmp_path / "notes.xlsx", HERS, now=NOW)
    assert [(row.line, row.reason) for row in plan.refused] == [(2, "it has no note")]


def test_sheet_of_a_workbook_is_asked_for(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.title = "Prices"
    for row in ROWS:
        book.create_sheet("Notes") if "Notes" not in book.sheetnames else None
        book["Notes"].append(row)
    book.save(tmp_path / "notes.xlsx")
    with pytest.raises(Unclear, match="Which sheet") as asked:
        make_plan(tmp_path / "notes.xlsx", HERS, now=NOW)
    assert asked.value.answers == ("Prices", "Notes")
    assert len(make_plan(tmp_path / "notes.xlsx", Choices(sheet="Notes", taster="Ines"), now=NOW).entries) == 3


@pytest.mark.parametrize("limit", ["FILE_LIMIT", "ROW_LIMIT", "COLUMN_LIMIT"])
@pytest.mark.parametrize("name", FILES)
def test_too_large_a_file_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, limit: str, name: str) -> None:
    monkeypatch.setattr(sheets, limit, 1)
    (tmp_path / name).write_bytes(FILES[name]())
    with pytest.raises(ValueError, match=r"larger than|more than|columns"):
        read_sheet(tmp_path / name)


@pytest.mark.parametrize("text", [*FORMULAS, *SCRIPTS, "a\x1b[31mb", "‮evil", "\x00"])
def test_hostile_text_lands_as_it_is(tmp_path: Path, journal: Journal, text: str) -> None:
    with (tmp_path / "notes.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, quoting=csv.QUOTE_ALL).writerows(
            [["date", "coffee", "taster", "tasting", "notes"], ["2026-03-01", *[f"x{text}x"] * 4]]
        )
    land(journal, make_plan(tmp_path / "notes.csv", HERS, now=NOW))
    (note,) = journal.notes()
    assert note.text == f"x{text}x"
    assert journal.tasters()[0].name == " ".join(f"x{text}x".split())
    assert [file.name for file in tmp_path.iterdir()] == ["notes.csv"]


@pytest.mark.parametrize(
    "content", ["[" * 100_000, '{"note": ' * 5000, '{"note": ' + "9" * 5000 + "}", '{"a": "\\ud800"}\n7\nx']
)
def test_hostile_json_is_refused_or_listed(tmp_path: Path, content: str) -> None:
    (tmp_path / "notes.jsonl").write_text(content)
    sheet = attempt(lambda: read_sheet(tmp_path / "notes.jsonl"))
    assert sheet == "The file begins like JSON and is none; check its end." or sheet.broken


def attempt(read: Callable[[], Any]) -> Any:
    """Give what was read, or the sentence that says why nothing was."""
    try:
        return read()
    except ValueError as error:
        return str(error)


# ---- whatever bytes: a sentence or a plan. 100 files of each kind; benchmarks/fuzz_import.py takes more time

PIECES = (
    """date|note|coffee|hot|2026-03-01|3/4/2026|13.1.26|plum|# |- |---|,|;|"|: |=1+1|{|}|"date": |[|]|null|é|07:30"""
)
grammar = st.sampled_from(
    [*PIECES.split("|"), "|", "|---|", "\t", "\n", "\r\n", "\0", "\ufeff", "Taster: ", "\n## 1 March 2026\n"]
)
built = st.lists(grammar, max_size=40).map("".join).map(lambda text: text.encode("utf-8"))
choices = st.builds(
    Choices,
    taster=st.sampled_from(["Ines", None]),
    stage=st.sampled_from(["hot", None]),
    order=st.sampled_from(["day first", "month first", None]),
    day=st.sampled_from(["2026-03-01", "x", None]),
)


@pytest.fixture(scope="module")
def filled() -> Iterator[Journal]:
    with Journal.open(":memory:") as journal:
        yield journal


@pytest.mark.parametrize("suffix", [".csv", ".jsonl", ".json", ".md", ".txt", ".xlsx", ""])
@settings(max_examples=100, derandomize=True, database=None, deadline=None, suppress_health_check=list(HealthCheck))
@given(content=st.one_of(st.binary(max_size=200), built), choices=choices)
def test_any_bytes_end_in_a_sentence_or_a_plan(
    tmp_path: Path, filled: Journal, suffix: str, content: bytes, choices: Choices
) -> None:
    path = tmp_path / f"notes{suffix}"
    path.write_bytes(content)
    plan = attempt(lambda: make_plan(path, choices, now=NOW))
    assert plan
    if isinstance(plan, str):
        return
    lines = {entry.line for entry in plan.entries}
    assert not lines & {row.line for row in plan.refused} or suffix in (".md", ".txt", "")
    if plan.entries:
        landing = land(filled, plan)
        assert landing.new + landing.known == len(plan.entries)
        assert land(filled, plan).new == 0


BOOK = to_book()


@settings(max_examples=100, derandomize=True, database=None, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_any_change_to_a_workbook_ends_in_a_sentence_or_a_plan(tmp_path: Path, data: st.DataObject) -> None:
    raw = bytearray(BOOK)
    for place in data.draw(st.lists(st.integers(0, len(raw) - 1), max_size=5)):
        raw[place] = data.draw(st.integers(0, 255))
    (tmp_path / "notes.xlsx").write_bytes(raw)
    assert attempt(lambda: make_plan(tmp_path / "notes.xlsx", HERS, now=NOW))


# ---- the command


@pytest.fixture
def command(tmp_path: Path) -> Callable[..., str]:
    def invoke(*arguments: object, code: int = 0, typed: str = "") -> str:
        result = CliRunner().invoke(app, [*map(str, arguments), "--journal", str(tmp_path / "j.db")], input=typed)
        assert result.exit_code == code, result.output
        return result.output

    return invoke


def test_dry_run_says_what_it_would_do_and_changes_nothing(tmp_path: Path, command: Callable[..., str]) -> None:
    (tmp_path / "notes.csv").write_text("date,coffee,notes,rating\n13/4/2026,Ridge,plum,4\n,Ridge,fig,5\n")
    said = command("import", tmp_path / "notes.csv", "--dry-run", "--taster", "Ines", "--stage", "hot")
    for sentence in (
        "Read as UTF-8.",
        "Dates are read with the day first.",
        "notes -> note",
        "not imported: rating",
        "row 2: 2026-04-13, Ines, Ridge, hot: plum",
        "row 3 cannot land: it has no date",
        "To import: 1 note, with 1 new taster, 1 new coffee and 1 new tasting. There already: 0 notes.",
        "Nothing was changed.",
    ):
        assert sentence in said
    assert [file.name for file in tmp_path.iterdir()] == ["notes.csv"]
    with Journal.open(tmp_path / "j.db"):
        pass
    assert command("import", tmp_path / "notes.csv", "--dry-run", "--taster", "Ines", "--stage", "hot") == said
    with Journal.open(tmp_path / "j.db") as journal:
        assert not any(everything(journal).values())
    said = command("import", tmp_path / "notes.csv", "--taster", "Ines", "--stage", "hot")
    assert "Imported: 1 note, with" in said
    assert "listed with its reason in" in said


def test_without_a_terminal_the_option_is_named(tmp_path: Path, command: Callable[..., str]) -> None:
    (tmp_path / "notes.csv").write_text("date,notes\n3/4/2026,plum\n")
    assert "Say it with --date-order ('day first', 'month first')" in command("import", tmp_path / "notes.csv", code=1)
    said = command("import", tmp_path / "notes.csv", "--date-order", "day first", code=1)
    assert "At which stage were the notes written that name none? Say it with --stage" in said


def test_in_a_terminal_it_asks(tmp_path: Path, command: Callable[..., str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(exchange, "_is_terminal", lambda: True)
    (tmp_path / "notes.csv").write_text("date,a,b\n3/4/2026,plum jam,fig jam\n")
    said = command("import", tmp_path / "notes.csv", typed="9\n3\n2\n4\nInes\ny\n")
    assert "Which column holds the note?" in said
    with Journal.open(tmp_path / "j.db") as journal:
        (note,) = journal.notes()
        assert (note.text, note.stage, note.written_at.date()) == ("fig jam", "hot", date(2026, 3, 4))
    command("import", tmp_path / "notes.csv", typed="3\n2\n4\nInes\nn\n", code=1)


def test_nothing_lands_where_the_list_cannot_be_written(tmp_path: Path, command: Callable[..., str]) -> None:
    folder = tmp_path / "in"
    folder.mkdir()
    (folder / "notes.csv").write_text("date,notes\n2026-03-01,plum\n,fig\n")
    # A folder in the way of the list, which stops root, too.
    (folder / "notes.not-imported.csv").mkdir()
    assert "cannot be used" in command("import", folder / "notes.csv", "--taster", "Ines", "--stage", "hot", code=1)
    with Journal.open(tmp_path / "j.db") as journal:
        assert journal.notes() == []


def test_export_share_and_collect_from_the_command_line(tmp_path: Path, command: Callable[..., str]) -> None:
    (tmp_path / "notes.csv").write_text("date,coffee,notes\n2026-03-01,Ridge,plum\n")
    command("import", tmp_path / "notes.csv", "--taster", "Ines", "--stage", "hot")
    assert "1 note" in command("export", tmp_path / "out")
    assert "1 note" in command("export", tmp_path / "out.jsonl")
    assert "is there already" in command("export", tmp_path / "out", code=1)
    assert "checksummed, not authenticated" in command("share", tmp_path / "ines.jsonl")
    assert "1 serving" in command("share", tmp_path / "blank.jsonl", "--tasting", "2026-03-01", "--blank")
    assert "no taster 'Teo'; it has Ines" in command("share", tmp_path / "x", "--taster", "Teo", code=1)
    said = command("collect", tmp_path / "ines.jsonl", tmp_path / "notes.csv", tmp_path / "none", code=1)
    assert "new: nothing; 5 were there" in said
    assert "notes.csv: refused, nothing of it was merged" in said
    for place in ("out", "out.jsonl"):
        result = CliRunner().invoke(app, ["import", str(tmp_path / place), "--journal", str(tmp_path / f"{place}.db")])
        assert "1 note" in result.output
        with Journal.open(tmp_path / f"{place}.db") as back, Journal.open(tmp_path / "j.db") as journal:
            assert everything(back) == everything(journal)
    assert command("import", tmp_path / "none", code=1).count("\n") == 1
