"""Put planned notes into the journal: all in one step, none twice."""

import random
import unicodedata
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import uuid4

from sqlalchemy import insert, select
from sqlalchemy.orm import Session

from redolent.journal import schema
from redolent.journal.importing.plan import Entry, Plan
from redolent.journal.journal import Journal
from redolent.journal.moment import rank

_MANY = 5000


@dataclass(frozen=True, slots=True)
class Landing:
    """What an import did: notes that are new, notes that were there, and what they brought with them."""

    new: int
    known: int
    tasters: int
    coffees: int
    tastings: int


def land(
    journal: Journal,
    plan: Plan,
    *,
    dry_run: bool = False,
    advance: Callable[[int, int], None] = lambda done, of: None,
) -> Landing:
    """Write the entries of a plan into a journal, in one transaction.

    A note that is there already, with the same taster, coffee, stage, moment and text, is not written again.

    Parameters
    ----------
    journal : Journal
    plan : Plan
    dry_run : bool
        Count, and change nothing.
    advance : callable
        Called with the number of notes placed, and of all.
    """
    if dry_run:
        with journal._read() as session:
            table = _Table(session)
            notes = _place(table, plan, advance)
            return table.count(notes, len(plan.entries))
    with journal._write() as session:
        table = _Table(session)
        notes = _place(table, plan, advance)
        for rows in (table.tasters, table.coffees, table.tastings, table.servings):
            _insert(session, rows)
        _insert(session, _New(schema.Note, notes))
        return table.count(notes, len(plan.entries))


@dataclass(slots=True)
class _New:
    table: Any
    rows: list[dict[str, Any]]


def _insert(session: Session, new: _New) -> None:
    for start in range(0, len(new.rows), _MANY):
        session.execute(insert(new.table.__table__), new.rows[start : start + _MANY])


def _place(table: "_Table", plan: Plan, advance: Callable[[int, int], None]) -> list[dict[str, Any]]:
    notes = []
    of_moment: Counter[datetime] = Counter()  # notes of one moment stay in the order of the file
    for done, entry in enumerate(plan.entries):
        if done % 1000 == 0:
            advance(done, len(plan.entries))
        if (note := table.place(entry)) is not None:
            notes.append(note | {"rank": rank(entry.at) + of_moment[entry.at]})
            of_moment[entry.at] += 1
    advance(len(plan.entries), len(plan.entries))
    return notes


class _Table:
    """What the journal holds, by what tells it apart, and what is to be added to it."""

    def __init__(self, session: Session) -> None:
        self.tasters = _New(schema.Taster, [])
        self.coffees = _New(schema.Coffee, [])
        self.tastings = _New(schema.Tasting, [])
        self.servings = _New(schema.Serving, [])
        self._taster = {_fold(name): key for key, name in session.execute(select(schema.Taster.id, schema.Taster.name))}
        lots = select(
            schema.Coffee.id, schema.Coffee.name, schema.Coffee.origin, schema.Coffee.process, schema.Coffee.roast_date
        ).order_by(schema.Coffee.id.desc())
        self._coffee = {
            _lot(name, origin, process, roasted): key for key, name, origin, process, roasted in session.execute(lots)
        }
        self._tasting: dict[tuple[date, str], str] = {}
        for row in session.execute(
            select(schema.Tasting.id, schema.Tasting.name, schema.Tasting.at, schema.Tasting.utc_offset)
        ):
            self._tasting.setdefault(((row.at + timedelta(minutes=row.utc_offset)).date(), row.name), row.id)
        self._serving: dict[tuple[str, str | None], str] = {}
        self._codes: dict[str, set[str]] = {}
        for key, tasting, coffee, code in session.execute(
            select(schema.Serving.id, schema.Serving.tasting_id, schema.Serving.coffee_id, schema.Serving.code)
        ):
            self._serving.setdefault((tasting, coffee), key)
            self._serving.setdefault((tasting, f"code {code}"), key)
            self._codes.setdefault(tasting, set()).add(code)
        self._notes = Counter(
            tuple(row)
            for row in session.execute(
                select(
                    schema.Note.taster_id,
                    schema.Serving.coffee_id,
                    schema.Note.stage,
                    schema.Note.at,
                    schema.Note.text,
                )
                .join(schema.Serving, schema.Serving.id == schema.Note.serving_id)
                .where(schema.Note.revision == 1)
            )
        )
        self._draw = random.Random(0)

    def place(self, entry: Entry) -> dict[str, Any] | None:
        """Give the row of a note, or None where the note is there."""
        taster = self._find_taster(entry.taster)
        coffee = self._find_coffee(entry) if entry.coffee else None
        identity = taster, coffee, entry.stage, entry.at, entry.text
        if self._notes[identity] > 0:
            self._notes[identity] -= 1
            return None
        return {
            "id": str(uuid4()),
            "note_id": str(uuid4()),
            "revision": 1,
            "taster_id": taster,
            "serving_id": self._find_serving(entry, coffee),
            "stage": entry.stage,
            "text": entry.text,
            "coached": False,
            "at": entry.at,
            "utc_offset": entry.utc_offset,
        }

    def count(self, notes: list[dict[str, Any]], entries: int) -> Landing:
        """Say what is new."""
        return Landing(
            len(notes), entries - len(notes), len(self.tasters.rows), len(self.coffees.rows), len(self.tastings.rows)
        )

    def _find_taster(self, name: str) -> str:
        key = self._taster.get(_fold(name))
        if key is None:
            key = self._taster[_fold(name)] = str(uuid4())
            self.tasters.rows.append({"id": key, "name": name})
        return key

    def _find_coffee(self, entry: Entry) -> str:
        lot = _lot(entry.coffee, entry.origin, entry.process, entry.roast_date)
        key = self._coffee.get(lot)
        if key is None:
            key = self._coffee[lot] = str(uuid4())
            self.coffees.rows.append(
                {
                    "id": key,
                    "name": entry.coffee,
                    "origin": entry.origin,
                    "process": entry.process,
                    "roast_date": entry.roast_date,
                }
            )
        return key

    def _find_serving(self, entry: Entry, coffee: str | None) -> str:
        # As the notes panel names the tasting of a day.
        name = entry.tasting or f"{entry.day.day} {entry.day:%B %Y}"
        for number in range(1, 10_000):
            tasting = self._find_tasting(entry, name if number == 1 else f"{name} ({number})")
            wanted = coffee if coffee or not entry.code else f"code {entry.code}"
            key = self._serving.get((tasting, wanted))
            if key is not None:
                return key
            if len(self._codes.setdefault(tasting, set())) < 900:
                return self._set_out(tasting, coffee, entry.code)
        raise ValueError(f"There are too many coffees on {entry.day}; give the tastings names.")

    def _find_tasting(self, entry: Entry, name: str) -> str:
        key = self._tasting.get((entry.day, name))
        if key is None:
            key = self._tasting[entry.day, name] = str(uuid4())
            self.tastings.rows.append({"id": key, "name": name, "at": entry.at, "utc_offset": entry.utc_offset})
        return key

    def _set_out(self, tasting: str, coffee: str | None, code: str) -> str:
        taken = self._codes[tasting]
        while not code or code in taken:
            code = str(self._draw.randint(100, 999))
        key = str(uuid4())
        taken.add(code)
        self._serving[tasting, coffee] = self._serving[tasting, f"code {code}"] = key
        self.servings.rows.append(
            {"id": key, "tasting_id": tasting, "coffee_id": coffee, "code": code, "position": len(taken)}
        )
        return key


def _lot(name: str, origin: str, process: str, roast_date: date | None) -> tuple[Any, ...]:
    return _fold(name), _fold(origin), _fold(process), roast_date


def _fold(name: str) -> str:
    return unicodedata.normalize("NFC", name).strip().casefold()
