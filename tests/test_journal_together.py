"""Several programs on one journal at once: no lost update, no "database is locked"."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from hardship import in_forks
from writers import texts, write

from redolent.journal import Journal

pytestmark = pytest.mark.skipif(os.name != "posix", reason="forks are POSIX's")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "private" / "journal.db"


def test_writers_at_once_lose_no_note(path: Path) -> None:
    # `python tests/writers.py 8 500` writes them all; its output is in benchmarks/results/.
    said, _ = write(path, writers=8, notes=60)
    assert not [line for line in said if "Error" in line]
    assert len(said) == 8 * 66
    found, revisions, tasters = texts(path)
    assert found == said | {"shared"}
    # Revisions of one note by all of them: none took another's number.
    assert revisions == list(range(1, 8 * 6 + 2))
    assert tasters == 1


def test_two_notebooks_answer_a_run_and_no_answer_is_given_twice(path: Path) -> None:
    with Journal.open(path) as journal:
        run = journal.start_run(
            taster_id=journal.taster("Ines").id, coffee_a_id=journal.coffee("Low").id,
            coffee_b_id=journal.coffee("High").id, alpha=0.05, blinding="helper", orders=["AAB"] * 30,
            codes=[("417", "852", "306")] * 30, commitment="c", nonce="n",
        )  # fmt: skip

    def answer() -> int:
        given = 0
        with Journal.open(path) as journal:
            while triad := journal.next_triad(run.id):
                try:
                    journal.answer(triad.id, odd_code="306")
                    given += 1
                except ValueError as error:
                    if "is locked: it has its answer" not in str(error):
                        raise
        return given

    assert sum(map(int, in_forks([answer, answer]))) == 30
    with Journal.open(path) as journal:
        assert [answer.number for answer in journal.answers(run.id)] == list(range(1, 31))


def test_command_backs_up_beside_two_notebooks_that_write(path: Path) -> None:
    command = "import sys; from redolent.cli import main; sys.argv[1:] = ['journal', *sys.argv[1:]]; main()"
    Journal.open(path).close()

    def back_up() -> list[int]:
        steps = ["backup", "check"] * 2
        calls = [[sys.executable, "-c", command, step, "--journal", str(path)] for step in steps]
        return [subprocess.run(call, capture_output=True, timeout=60).returncode for call in calls]

    def note() -> str:
        return str(sorted(write(path, writers=2, notes=60)[0]))

    told, codes = in_forks([note, back_up])
    assert "Error" not in told
    assert told.count("shared") == 12
    assert codes == "[0, 0, 0, 0]"
