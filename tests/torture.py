"""Kill a writer of a journal at random instants, and check what it leaves.

    python tests/torture.py [KILLS] [SEED]

What a writer does is in WRITERS: each is called with the journal, a random generator and `say`, and says each thing
that it was told is saved. To have something else killed, add it there, and what must hold of it to CHECKS.
"""

import json
import os
import random
import signal
import sqlite3
import sys
import time
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from hardship import origin

from redolent.journal import Journal, backup

Say = Callable[[str, Any], None]
Writer = Callable[[Journal, random.Random, Say], None]
Said = list[tuple[str, Any]]

CODES = [("417", "852", "306"), ("529", "174", "683"), ("748", "295", "961")]
ORDERS = ["AAB", "BAB", "BAA"]


def _text(rng: random.Random) -> str:
    """Write a note that tells by itself whether it is whole."""
    token = f"{rng.getrandbits(64):016x}"
    return token + " quince" * rng.choice([1, 10, 3000]) + token


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
    runs = [run for run in journal.runs() if journal.next_triad(run.id)]
    if not runs:
        run = journal.start_run(
            taster_id=journal.taster("Teo").id, coffee_a_id=journal.coffee("Low").id,
            coffee_b_id=journal.coffee("High").id, alpha=0.05, blinding="helper", orders=ORDERS, codes=CODES,
            commitment="c0ffee", nonce=f"{rng.getrandbits(256):064x}",
        )  # fmt: skip
        say("key", [run.id, journal.pourer_key(run.id).nonce])
    else:
        triad = journal.next_triad(runs[0].id)
        assert triad is not None
        answer = journal.answer(triad.id, odd_code=rng.choice(triad.codes))
        say("answer", [runs[0].id, answer.number, answer.odd_code])


def back_up(journal: Journal, rng: random.Random, say: Say) -> None:
    """Take a backup, rarely."""
    if rng.random() < 0.05:
        say("backup", str(backup.take(Path(str(journal._engine.url.database)))))


WRITERS: list[Writer] = [save_notes, save_notes, answer_triads, back_up]


def check_notes(journal: Journal, said: Said) -> None:
    """Every note that was said to be saved is there, and none is half there."""
    with journal._read() as session:
        from redolent.journal.schema import Note

        stored = {row.id: row.text for row in session.query(Note)}
    for text in stored.values():
        assert len(text) > 32, "half a note"
        assert text[:16] == text[-16:], "half a note"
    for kind, what in said:
        if kind == "note":
            assert stored.get(what[0]) == what[1], "a saved note is gone"


def check_runs(journal: Journal, said: Said) -> None:
    """Keys and answers that were locked stay locked, and no run lacks a triad."""
    answers: dict[str, dict[int, str]] = {}
    for run in journal.runs():
        key = journal.pourer_key(run.id)
        assert key.orders == tuple(ORDERS), "half a plan"
        answers[run.id] = {answer.number: answer.odd_code for answer in journal.answers(run.id)}
    for kind, what in said:
        if kind == "key":
            assert journal.pourer_key(what[0]).nonce == what[1]
        if kind == "answer":
            assert answers[what[0]][what[1]] == what[2], "an answer is gone"


def check_file(journal: Journal, said: Said) -> None:
    """The file is whole, and so is every backup that has its name."""
    file = Path(str(journal._engine.url.database))
    for path in (file, *backup.list_backups(file)):
        with closing(sqlite3.connect(path)) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    assert backup.list_backups(file) or not any(kind == "backup" for kind, _ in said)


CHECKS: list[Callable[[Journal, Said], None]] = [check_notes, check_runs, check_file]


def kill(act: Callable[[Say], None], after: float) -> Said:
    """Run something in a fork, kill it after some seconds, and give what it said by then."""
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
    time.sleep(after)
    with suppress(ProcessLookupError):
        os.kill(child, signal.SIGKILL)
    with open(here, "rb") as pipe:
        lines = pipe.read().split(b"\n")
    os.waitpid(child, 0)
    # A line that the kill cut off was never said.
    said = [tuple(json.loads(line)) for line in lines[:-1]]
    assert not (errors := [what for kind, what in said if kind == "error"]), errors
    return said


def _tell(pipe: int, kind: str, what: Any) -> None:
    data = json.dumps([kind, what]).encode() + b"\n"
    while data:
        data = data[os.write(pipe, data) :]


def torture(path: Path, kills: int, seed: int, longest: float = 0.12) -> Said:
    """Kill a writer over and over, and check what it left each time; give all that was ever said."""
    with Journal.open(path) as journal:
        journal.add_serving(journal.start_tasting().id, code="417")
    rng = random.Random(seed)
    said: Said = []
    for number in range(kills):

        def write(say: Say, number: int = number) -> None:
            own = random.Random(f"{seed} {number}")
            with Journal.open(path) as journal:
                while True:
                    own.choice(WRITERS)(journal, own, say)

        said += kill(write, rng.uniform(0, longest))
        with Journal.open(path) as journal:
            for check in CHECKS:
                check(journal, said)
    return said


def main(kills: int = 1000, seed: int = 7) -> None:
    """Print how many kills were survived, and how much had been said to be saved."""
    with TemporaryDirectory() as folder:
        begun = time.perf_counter()
        said = torture(Path(folder) / "private" / "journal.db", kills, seed)
        seconds = time.perf_counter() - begun
    counts = {kind: sum(one == kind for one, _ in said) for kind in ("note", "key", "answer", "backup")}
    told = ", ".join(f"{number} {kind}s" for kind, number in counts.items())
    print(origin())
    print(f"{kills} kills (seed {seed}) in {seconds:.0f} s: {told} had been said to be saved; all are there.")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
