"""Journals with something in every table, for the tests of export, share and collect."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta, timezone
from typing import Any

from hypothesis import strategies as st
from sqlalchemy import insert, select

from redolent.journal import Journal, schema, tables
from redolent.journal.moment import split
from redolent.journal.text import ESCAPE

NOON = datetime(2026, 3, 1, 12, 0, tzinfo=timezone(timedelta(hours=-5)))
FORMULAS = [
    '=HYPERLINK("http://x.example","y")',
    "+1+1",
    "-2+3|cmd",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "\n=1",
    "'=1",
    "'",
    "＝1",
]
SCRIPTS = ["<script>alert(1)</script>", "'); DROP TABLE note; --", "../../etc/passwd", "a,b;c\t\"d\"\r\n''e\r"]
hostile = st.one_of(
    st.text(st.one_of(st.characters(), st.sampled_from(f"\0{ESCAPE}\ud83d\ude00\udfff0024b1,;'\"=+-@\t\r\n"))),
    st.sampled_from(FORMULAS + SCRIPTS),
)


def furnish(
    journal: Journal, texts: Sequence[str] = ("plum", "plum, clove", "fig"), name: str = "Ines"
) -> dict[str, str]:
    """Put a row in every table; give ids by what they are."""
    first, second, third = texts
    ines = journal.taster(name)
    low = journal.coffee(f"Low {first}", origin=second, process="washed", roast_date=date(2026, 2, 1))
    high = journal.coffee("High Terrace")
    tasting = journal.start_tasting(first, at=NOON)
    cup = journal.add_serving(tasting.id, coffee_id=low.id, code="417", position=1)
    hidden = journal.add_serving(tasting.id, code="852", position=2)
    journal.record_stage(tasting.id, "break", f"started {second}", cup.id, at=NOON)
    journal.record_stage(tasting.id, "hot", "started", at=NOON + timedelta(minutes=8))
    words = {"taster_id": ines.id, "serving_id": cup.id, "stage": "hot"}
    note = journal.save_note(text=first, at=NOON, **words)
    journal.save_note(text=second, at=NOON + timedelta(minutes=1), note_id=note.note_id, coached=True, **words)
    journal.save_note(text=third, at=NOON, **words | {"serving_id": hidden.id, "stage": "cool"})
    journal.save_draft(f"pad {first}", third)
    journal.add_personal_word(ines.id, f"attic {second}", "wood")
    finished = run(journal, ines.id, low.id, high.id, note=third)
    journal.record_run_event(finished, "prepared", third, at=NOON)
    planned = journal.plan_tasting(
        taster_id=ines.id, name=second, blinding="helper", coffees=[low.id, high.id], codes=["417", "852"],
        key={"order": "BA"}, commitment="c0ffee", nonce=f"nonce {third}", setup={"said": first}, at=NOON,
    )  # fmt: skip
    journal.reveal_tasting(planned.tasting_id, at=NOON)
    journal.note_circumstance("room", "smoke", tasting_id=tasting.id, taster_id=ines.id, at=NOON)
    with journal._write() as session:
        moment = dict(zip(("at", "utc_offset"), split(NOON), strict=True))
        session.add(
            schema.LineMark(taster_id=ines.id, serving_id=cup.id, stage="hot", attribute=first, mark=1 / 3, **moment)
        )
        session.add(
            schema.DrillEvent(
                taster_id=ines.id, drill=first, node="n", asked=second, answered=third, correct=None, **moment
            )
        )
    return {
        "taster": ines.id,
        "tasting": tasting.id,
        "cup": cup.id,
        "hidden": hidden.id,
        "note": note.note_id,
        "run": finished,
        "low": low.id,
        "high": high.id,
    }


def run(
    journal: Journal, taster: str, low: str, high: str, *, answers: int = 2, note: str = "", self_reported: bool = False
) -> str:
    """Plan a run of two triads and answer some."""
    planned = journal.start_run(
        taster_id=taster,
        coffee_a_id=low,
        coffee_b_id=high,
        alpha=0.05,
        blinding="self-reported" if self_reported else "helper",
        orders=["AAB", "BAB"],
        codes=[("417", "852", "306"), ("529", "174", "683")],
        commitment="c0ffee",
        nonce=f"secret {note}",
        at=NOON,
    )
    for _ in range(answers):
        triad = journal.next_triad(planned.id)
        assert triad is not None
        journal.answer(triad.id, odd_code=triad.codes[0], note=note, at=NOON)
    return planned.id


def fill_rest(journal: Journal, text: str) -> None:
    """Put a row, made from the schema, in every table that `furnish` does not know."""
    values = {
        "text": text,
        "integer": 3,
        "number": 1 / 3,
        "boolean": True,
        "date": date(2026, 2, 1),
        "moment": split(NOON)[0],
    }
    with journal._write() as session:
        for table in tables.ordered():
            if table.name in ("collected", "tombstone") or session.execute(select(table).limit(1)).first():
                continue
            row = {column.name: values[tables.kind(column)] for column in table.c} | {
                tables.key(table): f"a {table.name}"
            }
            for column, other in tables.references(table):
                row[column] = session.scalars(select(tables.by_name()[other].c.id)).first()
            session.execute(insert(table), [row | ({"stage": "hot"} if "stage" in row else {})])


def everything(journal: Journal) -> dict[str, list[dict[str, Any]]]:
    """Read every row of every table, sealed or not, by key."""
    with journal._read() as session:
        return {
            table.name: [
                dict(row) for row in session.execute(select(table).order_by(table.c[tables.key(table)])).mappings()
            ]
            for table in tables.ordered()
        }
