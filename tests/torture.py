"""Kill a writer of a journal at random instants, and check what it leaves.

    python tests/torture.py [KILLS] [SEED]

What a writer does is in WRITERS: each is called with the journal, a random generator and `say`, and says each thing
that it was told is saved. To have something else killed, add it there, and what must hold of it to CHECKS.
Migrations are killed by themselves, since each needs a journal of an older schema.
"""

import hashlib
import json
import os
import random
import re
import shutil
import signal
import sqlite3
import sys
import time
from collections import Counter
from collections.abc import Callable
from contextlib import closing, suppress
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from uuid import UUID, uuid4, uuid5

from hardship import in_fork, origin
from sqlalchemy import func, select

from redolent.journal import Journal, backup, schema
from redolent.journal.collect import collect
from redolent.journal.importing import Choices, land, make_plan
from redolent.journal.shared import share

Say = Callable[[str, Any], None]
Writer = Callable[[Journal, random.Random, Say], None]
Said = list[tuple[str, Any]]

CODES = [("417", "852", "306"), ("529", "174", "683"), ("748", "295", "961")]
ORDERS = ["AAB", "BAB", "BAA"]
MERGED, IMPORTED = 40, 60  # notes in one shared file, and in one table that is imported
JOURNALS = Path(__file__).parent / "journals"


def _text(rng: random.Random, words: int = 3000) -> str:
    """Write a note, of that many words at most, that tells by itself whether it is whole."""
    token = f"{rng.getrandbits(64):016x}"
    return token + " quince" * rng.choice([1, 10, words]) + token


def save_notes(journal: Journal, rng: random.Random, say: Say) -> None:
    """Save a note, and now and then revise it, in place of a draft."""
    cup = {"taster_id": journal.taster("Ines").id, "serving_id": journal.servings()[0].id, "stage": "hot"}
    journal.save_draft("pad", "half")
    note = journal.save_note(**cup, text=_text(rng), drop_draft="pad")
    say("note", [note.id, note.text])
    if rng.random() < 0.5:
        revised = journal.save_note(**cup, text=_text(rng), note_id=note.note_id)
        say("note", [revised.id, revised.text])


def answer_triads(journal: Journal, rng: random.Random, say: Say) -> None:
    """Plan a run, or answer the next triad of one."""
    teo = journal.taster("Teo").id
    runs = [run for run in journal.runs(teo) if journal.next_triad(run.id)]
    if not runs:
        run_id = _start_run(journal, teo, f"{rng.getrandbits(256):064x}")
        say("key", [run_id, journal.pourer_key(run_id).nonce])
    else:
        triad = journal.next_triad(runs[0].id)
        assert triad is not None
        answer = journal.answer(triad.id, odd_code=rng.choice(triad.codes))
        say("answer", [runs[0].id, answer.number, answer.odd_code])


def merge_shared(journal: Journal, rng: random.Random, say: Say) -> None:
    """Merge what somebody shared whom the journal does not know yet."""
    fresh = UUID(int=rng.getrandbits(128))
    head, body = _shared()
    body = re.sub(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", lambda old: str(uuid5(fresh, old[0])), body)
    seal = head | {"sha256": hashlib.sha256(body.encode("ascii")).hexdigest()}
    path = _beside(journal, f"{fresh}.jsonl")
    path.write_text(json.dumps(seal) + "\n" + body, "ascii")
    collect(journal, path)
    taster = next(line["row"] for line in map(json.loads, body.splitlines()) if line["table"] == "taster")
    say("merge", taster["name"])


def import_table(journal: Journal, rng: random.Random, say: Say) -> None:
    """Import a table of notes of a new taster."""
    name = f"Imported {rng.getrandbits(64):016x}"
    path = _beside(journal, f"{name}.csv")
    path.write_text("date,notes\n" + "".join(f"2026-03-01,{_text(rng, 30)}\n" for _ in range(IMPORTED)))
    land(journal, make_plan(path, Choices(taster=name, stage="hot")))
    say("import", name)


@cache
def _shared() -> tuple[dict[str, Any], str]:
    """Share a taster's journal once: its first line, and the rest, whose ids are then made anew for each merge."""
    rng = random.Random(0)
    with TemporaryDirectory() as folder, Journal.open(":memory:") as journal:
        taster = journal.taster(f"Merged {uuid4()}").id
        cup = journal.add_serving(journal.start_tasting().id, code="417").id
        for _ in range(MERGED):
            journal.save_note(taster_id=taster, serving_id=cup, stage="hot", text=_text(rng, 30))
        run_id = _start_run(journal, taster, "nonce")
        while triad := journal.next_triad(run_id):
            journal.answer(triad.id, odd_code=triad.codes[0])
        share(journal, path := Path(folder, "shared"), taster_id=taster)
        head, _, body = path.read_text("ascii").partition("\n")
    return json.loads(head), body


def _start_run(journal: Journal, taster_id: str, nonce: str) -> str:
    return journal.start_run(
        taster_id=taster_id, coffee_a_id=journal.coffee("Low").id, coffee_b_id=journal.coffee("High").id,
        alpha=0.05, blinding="helper", orders=ORDERS, codes=CODES, commitment="c0ffee", nonce=nonce,
    ).id  # fmt: skip


def _beside(journal: Journal, name: str) -> Path:
    folder = _file(journal).parent / "inbox"
    folder.mkdir(exist_ok=True)
    return folder / name


def _file(journal: Journal) -> Path:
    return Path(str(journal._engine.url.database))


def back_up(journal: Journal, rng: random.Random, say: Say) -> None:
    """Take a backup, rarely."""
    if rng.random() < 0.05:
        say("backup", str(backup.take(_file(journal))))


WRITERS: list[Writer] = [save_notes, save_notes, answer_triads, merge_shared, import_table, back_up]


def check_notes(journal: Journal, said: Said) -> None:
    """Every note that was said to be saved is there, and none is half there."""
    with journal._read() as session:
        stored = {key: text for key, text in session.execute(select(schema.Note.id, schema.Note.text))}
    for text in stored.values():
        assert len(text) > 32, "half a note"
        assert text[:16] == text[-16:], "half a note"
    for kind, what in said:
        if kind == "note":
            assert stored.get(what[0]) == what[1], "a saved note is gone"


def check_runs(journal: Journal, said: Said) -> None:
    """Keys and answers that were locked stay locked, and no run lacks a triad."""
    answers: dict[str, dict[int, str]] = {}
    for run in journal.runs(journal.taster("Teo").id):
        key = journal.pourer_key(run.id)
        assert key.orders == tuple(ORDERS), "half a plan"
        answers[run.id] = {answer.number: answer.odd_code for answer in journal.answers(run.id)}
    for kind, what in said:
        if kind == "key":
            assert journal.pourer_key(what[0]).nonce == what[1]
        if kind == "answer":
            assert answers[what[0]][what[1]] == what[2], "an answer is gone"


def check_wholes(journal: Journal, said: Said) -> None:
    """A merge and an import are all there or not at all, with every answer; what was said to be done is there."""
    name = schema.Taster.name
    with journal._read() as session:
        notes = select(name, func.count(schema.Note.id)).outerjoin(schema.Note).group_by(name)
        counts = {taster: count for taster, count in session.execute(notes)}
        runs = select(name, func.count(schema.Answer.id)).join_from(schema.Taster, schema.TriangleRun)
        answered = session.execute(runs.join(schema.Triad).join(schema.Answer).group_by(name))
        answers = {taster: count for taster, count in answered}
    merged = {taster: count for taster, count in counts.items() if taster.startswith("Merged")}
    imported = {taster: count for taster, count in counts.items() if taster.startswith("Imported")}
    assert set(merged.values()) <= {MERGED}, "half a merge"
    assert {answers.get(taster) for taster in merged} <= {len(ORDERS)}, "half a run"
    assert set(imported.values()) <= {IMPORTED}, "half an import"
    assert {what for kind, what in said if kind == "merge"} <= merged.keys(), "a merge is gone"
    assert {what for kind, what in said if kind == "import"} <= imported.keys(), "an import is gone"


def check_file(journal: Journal, said: Said) -> None:
    """The file is whole, and so are the newest backups; those before them were looked at when they were new."""
    file = _file(journal)
    for path in (file, *backup.list_backups(file)[:2]):
        with closing(sqlite3.connect(path)) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    assert backup.list_backups(file) or not any(kind == "backup" for kind, _ in said)


CHECKS: list[Callable[[Journal, Said], None]] = [check_notes, check_runs, check_wholes, check_file]


def kill(act: Callable[[Say], None], after: float, words: int = 0) -> Said:
    """Run something in a fork, kill it some seconds after it has said some things, and give all that it said."""
    here, there = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(here)
            act(lambda kind, what: _tell(there, kind, what))
        except BaseException as error:
            _tell(there, "error", f"{type(error).__name__}: {error}")
        finally:
            os._exit(0)
    os.close(there)
    with open(here, "rb") as pipe:
        lines = [pipe.readline() for _ in range(words)]
        time.sleep(after)
        with suppress(ProcessLookupError):
            os.kill(child, signal.SIGKILL)
        lines += pipe.readlines()
    os.waitpid(child, 0)
    # A line that the kill cut off was never said.
    said = [tuple(json.loads(line)) for line in lines if line.endswith(b"\n")]
    assert not (errors := [what for kind, what in said if kind == "error"]), errors
    return said


def _tell(pipe: int, kind: str, what: Any) -> None:
    data = json.dumps([kind, what]).encode() + b"\n"
    while data:
        data = data[os.write(pipe, data) :]


def torture(path: Path, kills: int, seed: int) -> tuple[Said, Counter[str]]:
    """Kill a writer over and over, and check what it left each time.

    The instant is counted from the last of some things that it said, so that a slow machine does not kill it before
    it has begun; with none of them it dies as it opens the journal.

    Returns
    -------
    said : list
        All that was ever said to be saved.
    killed : Counter
        How many kills fell within each of WRITERS, by its name, and within `open`.
    """
    _shared()
    with Journal.open(path) as journal:
        journal.add_serving(journal.start_tasting().id, code="417")
    rng = random.Random(seed)
    said: Said = []
    killed: Counter[str] = Counter()
    for number in range(kills):

        def write(say: Say, number: int = number) -> None:
            own = random.Random(f"{seed} {number}")
            with Journal.open(path) as journal:
                while True:
                    act = own.choice(WRITERS)
                    say("begun", act.__name__)
                    act(journal, own, say)

        told = kill(write, rng.uniform(0, 0.06), words=rng.randrange(6))
        killed[next((what for kind, what in reversed(told) if kind == "begun"), "open")] += 1
        said += [(kind, what) for kind, what in told if kind != "begun"]
        with Journal.open(path) as journal:
            for check in CHECKS:
                check(journal, said)
    return said, killed


def torture_migration(folder: Path, kills: int, seed: int) -> Counter[str]:
    """Kill the migration of a journal of the first schema; count the schemas that it left."""
    old = folder / "old.db"
    with closing(sqlite3.connect(old)) as connection:
        connection.executescript((JOURNALS / "0001.sql").read_text(encoding="utf-8"))
        connection.execute("PRAGMA journal_mode = WAL")
        for number in range(300):
            connection.execute(
                "INSERT INTO note SELECT ?, ?, 1, taster_id, serving_id, stage, ?, coached, at, utc_offset "
                "FROM note WHERE text = 'quince'",
                (f"i{number}", f"n{number}", "fig " * 500),
            )
        connection.commit()
        before = connection.execute("SELECT id, text FROM note ORDER BY id").fetchall()
    begun = time.perf_counter()
    shutil.copy(old, folder / "whole.db")
    in_fork(lambda: Journal.open(folder / "whole.db").close())
    longest = time.perf_counter() - begun
    rng, left = random.Random(seed), Counter[str]()
    for number in range(kills):
        path = folder / f"{number}" / "journal.db"
        path.parent.mkdir()
        shutil.copy(old, path)
        kill(lambda say, path=path: Journal.open(path).close(), after=rng.uniform(0, 1.3 * longest))
        with closing(sqlite3.connect(path)) as connection:
            (found,) = connection.execute("SELECT version_num FROM alembic_version").fetchone()
            assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            has_rank = "rank" in [column[1] for column in connection.execute("PRAGMA table_info(note)")]
            assert has_rank == (found != "0001")
            assert connection.execute("SELECT id, text FROM note ORDER BY id").fetchall() == before
        for copy in backup.list_backups(path):
            assert not backup.is_damaged(copy)
        with Journal.open(path) as journal:
            # One of the rows is a revision.
            assert len(journal.notes()) == len(before) - 1
            assert journal.read_only is None
        left[found] += 1
        # Aim at its end, however busy the machine is by now.
        longest *= 1.1 if found == "0001" else 0.9
        shutil.rmtree(path.parent)
    return left


def main(kills: int = 1000, seed: int = 7) -> None:
    """Print how many kills were survived, what they hit, and how much had been said to be saved."""
    print(origin())
    with TemporaryDirectory() as folder:
        begun = time.perf_counter()
        said, killed = torture(Path(folder) / "private" / "journal.db", kills, seed)
        seconds = time.perf_counter() - begun
    counts = {
        kind: sum(one == kind for one, _ in said) for kind in ("note", "key", "answer", "merge", "import", "backup")
    }
    told = ", ".join(f"{number} {kind}s" for kind, number in counts.items())
    print(f"{kills} kills (seed {seed}) in {seconds:.0f} s: {told} had been said to be saved; all are there.")
    print("They fell within", ", ".join(f"{act} {number}" for act, number in killed.most_common()) + ".")
    with TemporaryDirectory() as folder:
        left = torture_migration(Path(folder), kills // 4, seed)
    schemas = ", ".join(f"{schema} {number}" for schema, number in sorted(left.items()))
    print(f"{kills // 4} kills of a migration from 0001 left the schemas {schemas}, every note, and whole backups.")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
