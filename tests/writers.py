"""Many programs write to one journal at once: none of their notes is lost.

python tests/writers.py [WRITERS] [NOTES] [PATH_OR_URL]
"""

import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

from hardship import in_forks, origin

from redolent.journal import Journal


def write(place: str | Path, writers: int, notes: int) -> tuple[set[str], float]:
    """Let writers save notes of their own, and revise one note together; give what they were told, and the seconds."""
    with Journal.open(place) as journal:
        cup = journal.add_serving(journal.start_tasting().id, code="417").id
        common = {"taster_id": journal.taster("Ines").id, "serving_id": cup, "stage": "hot"}
        shared = journal.save_note(**common, text="shared").note_id

    def work(number: int) -> str:
        saved = []
        with Journal.open(place) as journal:
            journal.taster("ines")
            for turn in range(notes):
                saved.append(journal.save_note(**common, text=f"{number} {turn}").text)
                if turn % 10 == 0:
                    journal.save_note(**common, text=f"{number} {turn} shared", note_id=shared)
                    saved.append(f"{number} {turn} shared")
        return "\n".join(saved)

    begun = time.perf_counter()
    said = in_forks([lambda number=number: work(number) for number in range(writers)])
    seconds = time.perf_counter() - begun
    return {line for text in said for line in text.splitlines()}, seconds


def texts(place: str | Path) -> tuple[set[str], list[int], int]:
    """Give every text of a journal, the revisions of the shared note, and how many tasters there are."""
    with Journal.open(place) as journal:
        (shared,) = (note for note in journal.notes() if note.revision > 1)
        revisions = journal.revisions(shared.note_id)
        latest = {note.text for note in journal.notes()}
        return latest | {note.text for note in revisions}, [note.revision for note in revisions], len(journal.tasters())


def main(writers: int = 8, notes: int = 500, place: str = "") -> None:
    """Print how many notes were written by how many programs at once, and how long it took."""
    with TemporaryDirectory() as folder:
        where = place or Path(folder) / "private" / "journal.db"
        said, seconds = write(where, writers, notes)
        found, revisions, _ = texts(where)
    lost = len(said - found)
    assert revisions == list(range(1, len(revisions) + 1))
    print(origin())
    print(f"{writers} writers at once, {len(said)} notes and revisions in {seconds:.1f} s: {lost} lost.")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]), *sys.argv[3:])
