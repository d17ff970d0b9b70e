"""Write a journal of the schema of this checkout as SQL, once for each released schema.

    python tests/journals/make.py tests/journals/NNNN.sql

The files that lie here are never made again: each is what that version wrote.
"""

import sqlite3
import sys
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path
from tempfile import TemporaryDirectory

from redolent.journal import Journal

NOON = datetime(2026, 3, 1, 12, 0, tzinfo=timezone(timedelta(hours=-5)))


def fill(journal: Journal) -> None:
    """Write a little of everything; the texts say what a test may expect of them."""
    ines, teo = journal.taster("Ines"), journal.taster("Teo")
    low = journal.coffee("Low Terrace", origin="Sunda", process="washed", roast_date=date(2026, 2, 3))
    high = journal.coffee("High Terrace")
    tasting = journal.start_tasting("Morning", at=NOON)
    cup = journal.add_serving(tasting.id, coffee_id=low.id, code="417")
    hidden = journal.add_serving(tasting.id, code="852", position=2)
    journal.record_stage(tasting.id, "break", "started", cup.id, at=NOON + timedelta(minutes=4))
    common = {"taster_id": ines.id, "serving_id": cup.id, "stage": "hot"}
    first = journal.save_note(**common, text="quince", at=NOON)
    for number in range(1, 4):
        journal.save_note(**common, text=f"same instant {number}", at=NOON + timedelta(minutes=1))
    journal.save_note(
        **common, text="quince, honey", at=NOON + timedelta(minutes=2), note_id=first.note_id, coached=True
    )
    journal.save_note(
        taster_id=teo.id, serving_id=hidden.id, stage="cool", text="nul \0, lone \ud800, \u241b, 🫐",
        at=datetime(2026, 3, 1, 18, 30, tzinfo=UTC),
    )  # fmt: skip
    journal.save_draft("pad", "half a wo")
    journal.add_personal_word(ines.id, "grandma's attic", "outdoors/workshop")
    plan = {"coffee_a_id": low.id, "coffee_b_id": high.id, "alpha": 0.05, "commitment": "c0ffee", "nonce": "secret"}
    done = journal.start_run(
        taster_id=ines.id, blinding="helper", orders=["AAB"], codes=[("417", "852", "306")], at=NOON, **plan
    )
    journal.answer(journal.next_triad(done.id).id, odd_code="306", guessed=True, note="thin", at=NOON)
    journal.start_run(
        taster_id=teo.id, blinding="helper", orders=["ABA", "BBA"],
        codes=[("417", "852", "306"), ("529", "174", "683")], at=NOON, **plan,
    )  # fmt: skip
    planned = journal.plan_tasting(
        taster_id=ines.id, name="Planned", blinding="helper", coffees=[low.id, high.id], codes=["417", "852"],
        key={"order": "BA"}, commitment="c0ffee", nonce="secret", at=NOON,
    )  # fmt: skip
    journal.note_circumstance("room", "smoke", tasting_id=planned.tasting_id, taster_id=ines.id, at=NOON)
    journal.record_run_event(done.id, "prepared", "{}", at=NOON)


def main(target: Path) -> None:
    """Make the journal and dump it."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "journal.db"
        with Journal.open(path) as journal:
            fill(journal)
        connection = sqlite3.connect(path)
        target.write_text("\n".join(connection.iterdump()) + "\n", encoding="utf-8")
        connection.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
