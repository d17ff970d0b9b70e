"""A triangle run that is answered in two copies of one journal."""

import shutil
from datetime import timedelta
from pathlib import Path

from furnished import NOON, furnish, run

from redolent.journal import Journal
from redolent.journal.shared import share


def answer(journal: Journal, run_id: str, place: int, minutes: int, stop: bool = False) -> None:
    """Answer the rest of a run, or its next triad and stop, always by the cup at one place."""
    while triad := journal.next_triad(run_id):
        journal.answer(triad.id, odd_code=triad.codes[place], at=NOON + timedelta(minutes=minutes))
        if stop:
            journal.stop_run(run_id, at=NOON + timedelta(minutes=minutes + 1))


def copied_run(place: Path, answers: int = 0) -> tuple[dict[str, str], str]:
    """Make journals "here", "first" and "second" with one run; the copies answer it after 10 and after 20 minutes."""
    with Journal.open(place / "here.db") as here:
        ids = furnish(here)
        again = run(here, ids["taster"], ids["low"], ids["high"], answers=answers)
    for number, name in enumerate(("first", "second")):
        shutil.copy(place / "here.db", place / f"{name}.db")
        with Journal.open(place / f"{name}.db") as copy:
            answer(copy, again, number + 1, 10 * (number + 1))
            copy.record_run_event(again, "prepared", name, at=NOON)
            share(copy, place / name, taster_id=ids["taster"])
    return ids, again
