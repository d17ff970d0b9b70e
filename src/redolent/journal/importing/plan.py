"""What an import will do, row by row, before it does it."""

import unicodedata
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from redolent.journal import runs
from redolent.journal.importing.columns import NAMES, guess_columns, stage_of
from redolent.journal.importing.dates import ORDERS, guess_order, read_day, read_moment
from redolent.journal.importing.sheet import Sheet, read_sheet
from redolent.journal.importing.unclear import Unclear
from redolent.journal.moment import split
from redolent.journal.rows import STAGES

NOTE_LIMIT = 100_000  # characters
NAME_LIMIT = 200  # characters
_FIRST = datetime(1900, 1, 1, tzinfo=UTC)
_SAMPLE = 2000  # rows by which columns are guessed


@dataclass(frozen=True, slots=True)
class Choices:
    """What the person says, where the file does not.

    Attributes
    ----------
    columns : mapping of str to str
        By field (note, date, coffee ...) or stage, the name or the number of its column.
    taster, stage : str, optional
        For rows that name none.
    day : str, optional
        The date of rows that name none.
    order : {"day first", "month first"}, optional
    encoding, sheet : str, optional
    """

    columns: Mapping[str, str] = field(default_factory=dict)
    taster: str | None = None
    stage: str | None = None
    day: str | None = None
    order: str | None = None
    encoding: str | None = None
    sheet: str | None = None


@dataclass(frozen=True, slots=True)
class Entry:
    """A note that is to land; `at` is UTC."""

    line: int
    taster: str
    coffee: str
    origin: str
    process: str
    roast_date: date | None
    tasting: str
    code: str
    day: date
    at: datetime
    utc_offset: int
    stage: str
    text: str


@dataclass(frozen=True, slots=True)
class Refused:
    """A row that cannot land: its number, why, and its cells."""

    line: int
    reason: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """What an import will do.

    Attributes
    ----------
    path : Path
    columns : tuple of str
        Of the file.
    used : dict of str to str
        By column, the field that it holds.
    entries : list of Entry
    refused : list of Refused
    said : tuple of str
        How the file was read, a sentence each.
    """

    path: Path
    columns: tuple[str, ...]
    used: dict[str, str]
    entries: list[Entry]
    refused: list[Refused]
    said: tuple[str, ...]

    @property
    def unused(self) -> list[str]:
        """The columns that hold nothing that a journal keeps."""
        return [name for name in self.columns if name not in self.used]


def make_plan(
    path: Path,
    choices: Choices | None = None,
    *,
    now: datetime | None = None,
    advance: Callable[[int, int], None] = lambda done, of: None,
) -> Plan:
    """Read a file and decide what becomes of each of its rows.

    Parameters
    ----------
    path : Path
    choices : Choices, optional
    now : datetime, optional
        Aware. A note from later than a day after it is refused.
    advance : callable
        Called with the number of rows read, and of all.

    Raises
    ------
    Unclear
        Where something must be asked.
    ValueError
        Where the file cannot be read.
    """
    choices = choices or Choices()
    if choices.stage is not None and choices.stage not in STAGES:
        raise ValueError(f"There is no stage {choices.stage!r}; the stages are {', '.join(STAGES)}.")
    if choices.order is not None and choices.order not in ORDERS:
        raise ValueError(f"There is no order {choices.order!r}; it is one of {', '.join(ORDERS)}.")
    sheet = read_sheet(path, encoding=choices.encoding, sheet=choices.sheet)
    if not sheet.lines:
        refused = [Refused(number, reason, (text,)) for number, reason, text in sheet.broken]
        return Plan(path, sheet.columns, {}, [], refused, (*sheet.said, "It holds no rows."))
    width = len(sheet.lines[0][1])
    names = sheet.columns or tuple(f"column {place + 1}" for place in range(width))
    fields = _choose_columns(names, sheet, choices)
    reader = _Reader(sheet, fields, choices, (now or datetime.now(UTC)) + timedelta(days=1))
    entries: list[Entry] = []
    refused = [Refused(number, reason, (text,)) for number, reason, text in sheet.broken]
    for done, (number, cells) in enumerate(sheet.lines):
        if done % 1000 == 0:
            advance(done, len(sheet.lines))
        try:
            entries += reader.read(number, cells)
        except ValueError as error:
            refused.append(Refused(number, str(error), cells))
    advance(len(sheet.lines), len(sheet.lines))
    used = {names[place]: wanted for place, wanted in fields.items()}
    refused.sort(key=lambda row: row.line)
    return Plan(path, names, used, entries, refused, (*sheet.said, *reader.said))


def _choose_columns(names: Sequence[str], sheet: Sheet, choices: Choices) -> dict[int, str]:
    rows = [cells for _, cells in sheet.lines[:_SAMPLE]]
    guessed = guess_columns(sheet.columns, rows)
    for wanted, name in choices.columns.items():
        if wanted not in (*NAMES, *STAGES):
            raise ValueError(f"There is no field {wanted!r}; the fields are {', '.join((*NAMES, *STAGES))}.")
        place = _place(names, name)
        guessed = {other: held for other, held in guessed.items() if held != wanted} | {place: wanted}
    if "date" not in guessed.values() and choices.day is None:
        raise Unclear("columns.date", "Which column holds the date?", tuple(names))
    if not {"note", *STAGES} & set(guessed.values()):
        raise Unclear("columns.note", "Which column holds the note?", tuple(names))
    return guessed


def _place(names: Sequence[str], name: str) -> int:
    if name in names:
        return list(names).index(name)
    if name.isascii() and name.isdigit() and 1 <= int(name[:6]) <= len(names):
        return int(name) - 1
    raise ValueError(f"There is no column {name!r}; the columns are {', '.join(names)[:500]}.")


class _Reader:
    """Makes entries of rows, once for the whole column what one row cannot tell."""

    def __init__(self, sheet: Sheet, fields: dict[int, str], choices: Choices, latest: datetime) -> None:
        self.places = {held: place for place, held in fields.items()}
        self.choices, self.latest = choices, latest
        self.said: list[str] = []
        self.order = self._choose_order(sheet)
        self.stages = [stage for stage in STAGES if stage in self.places]
        if "note" in self.places and self._lacks(sheet, "stage", choices.stage):
            raise Unclear("stage", "At which stage were the notes written that name none?", STAGES)
        if self._lacks(sheet, "taster", choices.taster):
            raise Unclear("taster", "Whose notes are these, where the file does not say?")
        codes = self._column(sheet, "code")
        if any(codes) and not all(runs.CODE.fullmatch(code) for code in codes if code):
            self.said.append("The codes of the cups are not all of three digits; new ones are drawn.")
            del self.places["code"]

    def read(self, number: int, cells: tuple[str, ...]) -> list[Entry]:
        """Make the entries of one row; a ValueError says why there are none."""
        texts = [(stage, self._cell(cells, stage)) for stage in self.stages]
        if text := self._cell(cells, "note"):
            texts.append((self._stage(cells), text))
        texts = [(stage, text) for stage, text in texts if text]
        if not texts:
            raise ValueError("it has no note")
        if any(len(text) > NOTE_LIMIT for _, text in texts):
            raise ValueError(f"its note is longer than {NOTE_LIMIT:,} characters")
        moment = self._moment(cells)
        at, utc_offset = split(moment)
        common = {name: self._name(cells, name) for name in ("coffee", "origin", "process", "tasting", "code")}
        roast = self._cell(cells, "roast_date")
        return [
            Entry(
                line=number,
                taster=self._name(cells, "taster") or _tidy(self.choices.taster or ""),
                roast_date=read_day(roast, self.order) if roast else None,
                day=moment.date(),
                at=at,
                utc_offset=utc_offset,
                stage=stage,
                text=text,
                **common,
            )
            for stage, text in texts
        ]

    def _moment(self, cells: tuple[str, ...]) -> datetime:
        text = self._cell(cells, "date") or self.choices.day or ""
        if not text:
            raise ValueError("it has no date")
        moment = read_moment(text, self._cell(cells, "time"), self.order)
        aware = moment if moment.tzinfo else moment.astimezone()
        if aware > self.latest:
            raise ValueError(f"its date, {moment.date()}, lies in the future")
        if aware < _FIRST:
            raise ValueError(f"its date, {moment.date()}, lies before 1900")
        return moment

    def _stage(self, cells: tuple[str, ...]) -> str:
        text = self._cell(cells, "stage")
        stage = stage_of(text) if text else self.choices.stage
        if stage is None:
            raise ValueError(f"there is no stage {text[:40]!r}; the stages are {', '.join(STAGES)}")
        return stage

    def _name(self, cells: tuple[str, ...], held: str) -> str:
        name = _tidy(self._cell(cells, held))
        if len(name) > NAME_LIMIT:
            raise ValueError(f"its {held} is longer than {NAME_LIMIT} characters")
        return name

    def _cell(self, cells: tuple[str, ...], held: str) -> str:
        place = self.places.get(held)
        return "" if place is None else cells[place]

    def _column(self, sheet: Sheet, held: str) -> list[str]:
        place = self.places.get(held)
        return [] if place is None else [cells[place] for _, cells in sheet.lines]

    def _lacks(self, sheet: Sheet, held: str, choice: str | None) -> bool:
        if choice is not None and choice.strip():
            return False
        return held not in self.places or not all(self._column(sheet, held))

    def _choose_order(self, sheet: Sheet) -> str:
        if self.choices.order is not None:
            return self.choices.order
        dates = Counter(cell for held in ("date", "roast_date") for cell in self._column(sheet, held))
        order = guess_order([*dates, self.choices.day or ""])
        if order is None:
            example = next(cell for cell in dates if guess_order([cell]) != "either")
            raise Unclear("order", f"Dates are written like {example[:40]!r}: is the day first, or the month?", ORDERS)
        if order != "either":
            self.said.append(f"Dates are read with the {order}.")
        return "day first" if order == "either" else order


def _tidy(name: str) -> str:
    return " ".join(unicodedata.normalize("NFC", name).split())
