"""A school's journal on PostgreSQL: how long what a class page asks takes, with 200 tasters of 500 notes each.

    python benchmarks/journal_school.py [TASTERS] [NOTES]

It starts a cluster of its own on the loopback. Each query is asked as the educator, under row-level security, the
median of five; the SQL at the end by a fresh connection, with the plans, which show which index serves each. Of every
note as a table it says where the time goes: the server's own, the driver's, and the making of the table.
"""

import statistics
import sys
import time
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

from hardship import origin
from server import execute, make_database, running_server
from sqlalchemy import URL, create_engine, event, insert, make_url

from redolent.journal import Journal, frames, schema
from redolent.journal.migration import migrate
from redolent.journal.moment import rank
from redolent.journal.store import connect

BEGUN = datetime(2026, 1, 5, 9, 0)
CUPS, DAYS = 5, 100


def fill(url: URL, tasters: int, notes: int) -> tuple[list[str], list[str]]:
    """Enter the tasters, a tasting a day, and their notes and triangle runs; give the ids of tasters and tastings."""
    ids = [str(uuid4()) for _ in range(tasters)]
    tastings, coffees = [str(uuid4()) for _ in range(DAYS)], [str(uuid4()) for _ in range(20)]
    cups = [(str(uuid4()), day, cup) for day in range(DAYS) for cup in range(CUPS)]
    rows = {
        schema.Taster: [{"id": one, "name": f"Taster {n}"} for n, one in enumerate(ids)],
        schema.Coffee: [{"id": one, "name": f"Lot {n}", "origin": "", "process": ""} for n, one in enumerate(coffees)],
        schema.Tasting: [
            {"id": one, "name": f"Day {n}", "at": BEGUN + timedelta(days=n), "utc_offset": 0}
            for n, one in enumerate(tastings)
        ],
        schema.Serving: [
            {
                "id": one, "tasting_id": tastings[day], "coffee_id": coffees[(day + cup) % 20],
                "code": f"{100 + cup}", "position": cup + 1,
            }
            for one, day, cup in cups
        ],
        schema.Note: [
            {
                "id": (key := str(uuid4())), "note_id": key, "revision": 1, "taster_id": one,
                "serving_id": cups[n % len(cups)][0], "stage": "hot", "coached": False, "utc_offset": 0,
                "text": "No smoke at all, but a hint of blueberry, lemon zest and a syrupy body; longer as it cools",
                "at": (at := BEGUN + timedelta(days=cups[n % len(cups)][1], seconds=n)), "rank": rank(at),
            }
            for one in ids
            for n in range(notes)
        ],
    }  # fmt: skip
    engine = create_engine(url)
    with engine.begin() as connection:
        for table, values in rows.items():
            connection.execute(insert(table), values)
    engine.dispose()
    with Journal.open(url.render_as_string(hide_password=False)) as journal:
        for one in ids:
            run = journal.start_run(
                taster_id=one, coffee_a_id=coffees[0], coffee_b_id=coffees[1], alpha=0.05, blinding="helper",
                orders=["AAB"] * 6, codes=[("417", "852", "306")] * 6, commitment="c", nonce="n", at=BEGUN,
            )  # fmt: skip
            while triad := journal.next_triad(run.id):
                journal.answer(triad.id, odd_code="306", at=BEGUN)
    execute(url, "ANALYZE")
    return ids, tastings


QUERIES = {
    "tasters with their number of notes and when each wrote last": (
        "SELECT taster.name, count(*), max(note.at) FROM taster JOIN note ON note.taster_id = taster.id "
        "GROUP BY taster.id, taster.name"
    ),
    "notes of one tasting, all tasters": (
        "SELECT note.* FROM note JOIN serving ON serving.id = note.serving_id WHERE serving.tasting_id = '{tasting}'"
    ),
    "newest 20 notes of the class": "SELECT * FROM note ORDER BY rank DESC, id LIMIT 20",
    "all notes of one taster": "SELECT * FROM note WHERE taster_id = '{taster}' ORDER BY rank DESC, id",
}


def median(act: Callable[[], object]) -> float:
    """Time it five times."""
    times = []
    for _ in range(5):
        begun = time.perf_counter()
        act()
        times.append(time.perf_counter() - begun)
    return statistics.median(times)


def split_up(url: URL) -> dict[str, float]:
    """Say where the time of `Journal.notes_frame` goes."""
    with Journal.open(url.render_as_string(hide_password=False)) as journal, journal._read() as session:
        asked: list[tuple[str, Any]] = []
        event.listen(journal._engine, "before_cursor_execute", lambda *called: asked.append(called[2:4]))
        frames.notes(session)
        whole = median(lambda: frames.notes(session))
        statement, values = max(asked, key=lambda one: len(one[0]))
        connection = session.connection()

        def serve() -> float:
            (plan,) = connection.exec_driver_sql(
                f"EXPLAIN (ANALYZE, TIMING OFF, FORMAT JSON) {statement}", values
            ).one()
            return plan[0]["Planning Time"] / 1000 + plan[0]["Execution Time"] / 1000

        server = statistics.median(serve() for _ in range(5))
        driver = median(lambda: connection.exec_driver_sql(statement, values).fetchall())
    return {
        "in all, of which": whole,
        "PostgreSQL's own": server,
        "sending, and the driver's reading": driver - server,
        "texts as they were typed, rows, and the table of pandas": whole - driver,
    }


def main(tasters: int = 200, notes: int = 500) -> None:
    """Print the times and the plans."""
    print(origin())
    with running_server() as administrator:
        url = make_database(administrator, "school")
        engine = connect(url)
        migrate(engine)
        engine.dispose()
        ids, tastings = fill(url, tasters, notes)
        with Journal.open(url.render_as_string(hide_password=False)) as journal:
            educator, taster = make_url(journal.add_login()), make_url(journal.add_login(ids[7]))
        version = execute(educator, "SHOW server_version")[0][0]
        print(f"{tasters} tasters of {notes} notes each, PostgreSQL {version}; seconds, median of five\n")
        with Journal.open(educator.render_as_string(hide_password=False)) as journal:
            tasting = tastings[50]
            for name, act in {
                "journal.tasters()": journal.tasters,
                "journal.servings(one tasting)": lambda: journal.servings(tasting),
                "journal.notes(limit=20)": lambda: journal.notes(limit=20),
                "journal.notes(one taster)": lambda: journal.notes(ids[7]),
                "journal.notes_frame(one taster)": lambda: journal.notes_frame(ids[7]),
                "journal.runs_frame()": journal.runs_frame,
                "journal.notes_frame(), every note as a table": journal.notes_frame,
                "journal.marks_frame()": journal.marks_frame,
                "journal.all_personal_words()": journal.all_personal_words,
                "journal.circumstances(check-lists)": lambda: journal.circumstances(kind="check-list"),
            }.items():
                print(f"{median(act):8.3f}  educator  {name}")
        with Journal.open(taster.render_as_string(hide_password=False)) as journal:
            print(f"{median(lambda: journal.notes(limit=20)):8.3f}  taster    journal.notes(limit=20)")
            print(f"{median(journal.notes_frame):8.3f}  taster    journal.notes_frame()")
            print("\nevery note as a table, as the educator")
        for name, seconds in split_up(educator).items():
            print(f"{seconds:8.3f}  {name}")
        print()
        queries = {name: query.format(tasting=tasting, taster=ids[7]) for name, query in QUERIES.items()}
        for name, query in queries.items():
            print(f"{median(lambda query=query: execute(educator, query)):8.3f}  educator  {name}")
        for name, query in queries.items():
            print(
                f"\n{name}\n  " + "\n  ".join(str(row[0]) for row in execute(educator, f"EXPLAIN (COSTS OFF) {query}"))
            )


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
