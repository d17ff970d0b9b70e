"""The journal loses nothing: killed at any instant, on a full disk, in a damaged file; and comes back from a backup."""

import os
import random
import resource
import shutil
import sqlite3
import stat
import tempfile
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hardship import flip, in_fork, in_namespace
from torture import answer_triads, import_table, merge_shared, save_notes, torture, torture_migration
from typer.testing import CliRunner

from redolent.cli.app import app
from redolent.journal import Journal, JournalError, Note, backup
from redolent.journal.check import check
from redolent.journal.error import DamagedError
from redolent.journal.place import locate
from redolent.journal.recovery import recover

pytestmark = pytest.mark.skipif(os.name != "posix", reason="forks, signals and modes are POSIX's")

NOW = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "private" / "journal.db"


@pytest.fixture
def folder_of_anybody() -> Iterator[Path]:
    """A folder that a process without rights can reach, which a folder of pytest's is not."""
    folder = Path(tempfile.mkdtemp(prefix="redolent-"))
    folder.chmod(0o755)
    yield folder
    shutil.rmtree(folder)


def fill(journal: Journal, notes: int = 1, words: int = 1) -> list[Note]:
    """Write some notes about one cup."""
    cup = journal.add_serving(journal.start_tasting().id, code="417")
    taster = journal.taster("Ines").id
    return [
        journal.save_note(taster_id=taster, serving_id=cup.id, stage="hot", text=f"{number} quince " * words)
        for number in range(notes)
    ]


def texts(path: Path) -> list[str]:
    """Give the texts of all notes, oldest first."""
    with Journal.open(path) as journal:
        return [note.text for note in reversed(journal.notes())]


def execute(path: Path, statement: str) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute(statement)


# ---- killed


def test_whatever_was_said_to_be_saved_outlives_kill_9(path: Path) -> None:
    # `python tests/torture.py 1000` kills more often; its output is in benchmarks/results/.
    said, killed = torture(path, kills=200, seed=7)
    # Five sixths of the writers were let begin something, and a third of what they begin are notes.
    assert sum(kind == "note" for kind, _ in said) > 50
    for act in (save_notes, answer_triads, merge_shared, import_table):
        assert killed[act.__name__] >= 5, killed


def test_migration_killed_at_any_instant_leaves_the_old_schema_or_the_new(tmp_path: Path) -> None:
    left = torture_migration(tmp_path, kills=60, seed=11)
    # Otherwise the instants were not those of the migration.
    assert len(left) == 2, left


# ---- a disk, a folder, a file that refuses


FILL_DISK = """if True:
    import sys
    from pathlib import Path
    from redolent.journal import Journal, JournalError
    journal = Journal.open(Path(sys.argv[1]) / "journal.db")
    cup = journal.add_serving(journal.start_tasting().id, code="417").id
    ines = journal.taster("Ines").id
    saved = []
    try:
        while True:
            saved.append(journal.save_note(taster_id=ines, serving_id=cup, stage="hot", text="quince " * 5000).text)
    except JournalError as error:
        print(error)
    assert [note.text for note in journal.notes()] == saved
    journal.close()
    with Journal.open(Path(sys.argv[1]) / "journal.db") as journal:
        assert [note.text for note in journal.notes()] == saved
    print("all", len(saved) > 5)
"""


def test_full_disk_is_said_and_costs_no_note(tmp_path: Path) -> None:
    mount = 'mount -t tmpfs -o size=2m none "$1"; "$PY" -c "$2" "$1"'
    said = in_namespace("--mount", mount, tmp_path, FILL_DISK)
    assert said.startswith(
        f"The journal {tmp_path}/journal.db cannot be used: the disk is full; make room and try again."
    )
    assert said.endswith("all True\n")


def test_file_that_may_not_grow_is_said_and_costs_no_note(path: Path) -> None:
    with Journal.open(path) as journal:
        saved = [note.text for note in fill(journal, 3)]

    def write() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (300_000, 300_000))
        with Journal.open(path) as journal:
            fill(journal, 20, words=5000)

    assert "the disk would not read or write (it may be full, or gone); make room and try again." in in_fork(write)
    assert texts(path)[:3] == saved


@pytest.mark.parametrize("fresh", [True, False])
def test_read_only_folder_is_said_and_left_alone(folder_of_anybody: Path, fresh: bool) -> None:
    path = folder_of_anybody / "journal.db"
    before = {}
    if not fresh:
        with Journal.open(path) as journal:
            fill(journal)
        path.chmod(0o444)
        before = {file.name: file.read_bytes() for file in folder_of_anybody.iterdir()}
    folder_of_anybody.chmod(0o555)

    def open_it() -> None:
        if os.geteuid() == 0:
            os.seteuid(65534)
        Journal.open(path)

    said = in_fork(open_it)
    assert said.startswith("JournalError: The journal ")
    assert "choose another place" in said or "choose a folder that you may write to" in said
    assert {file.name: file.read_bytes() for file in folder_of_anybody.iterdir()} == before


def test_file_locked_by_a_backup_program_is_said_and_then_written(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("redolent.journal.store._WAIT", 0.05)
    said = "another program is writing to it; close that program and try again"
    with Journal.open(path) as journal:
        note = fill(journal)[0]
        with closing(sqlite3.connect(path, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            with pytest.raises(JournalError, match=said):
                journal.taster("Teo")
            assert journal.notes() == [note]
        assert journal.taster("Teo").name == "Teo"
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        # Not even reading goes on beside this one.
        other.execute("PRAGMA locking_mode = EXCLUSIVE")
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(JournalError, match=said):
            Journal.open(path)
    assert texts(path) == [note.text]


# ---- a damaged file


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[str]]:
    """A journal of some pages, closed, and the texts that are in it."""
    path = tmp_path_factory.mktemp("sound") / "journal.db"
    with Journal.open(path) as journal:
        saved = [note.text for note in fill(journal, 80, words=30)]
    return path, saved


def test_flipped_bytes_are_said_or_do_no_harm(sound: tuple[Path, list[str]], tmp_path: Path) -> None:
    original, saved = sound
    rng, said, size = random.Random(3), set(), original.stat().st_size
    for number in range(120):
        path = tmp_path / f"{number}.db"
        shutil.copy(original, path)
        # Headers and page heads as often as the rest, since they are where a flip does most.
        page = rng.randrange(size // 4096) * 4096
        for _ in range(rng.choice([1, 1, 8])):
            flip(path, page + rng.choice([rng.randrange(4096), rng.randrange(100)]), 1 << rng.randrange(8))
        before = path.read_bytes()
        try:
            found = texts(path)
        except JournalError as error:
            said.add(str(error).partition(": ")[2])
            # Left as it was.
            assert path.read_bytes() == before
        except ValueError as error:
            pytest.fail(f"{number}: {error!r}")
        else:
            # No page checksum tells of a letter that has become another; `check` does, by the backup.
            assert len(found) == len(saved)
            assert len(set(saved) - set(found)) <= 8, number
    assert any("the file is damaged" in reason for reason in said)
    assert all(reason.endswith(".") and "Traceback" not in reason for reason in said)


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("text", "CAST(text AS BLOB)"),
        ("at", "replace(at, '-', ':')"),
        ("at", "x'00'"),
        ("utc_offset", "99999"),
        ("text", "CAST(x'ff' AS TEXT)"),
    ],
)
def test_value_that_became_something_else_is_said_and_left_out_of_the_copy(path: Path, column: str, value: str) -> None:
    # One flipped bit makes a text a blob, or a time none; no page tells of it.
    with Journal.open(path) as journal:
        fill(journal, 3)
    execute(path, "DROP TRIGGER note_no_update")
    execute(path, f"UPDATE note SET {column} = {value} WHERE text LIKE '1%'")
    before = path.read_bytes()
    with pytest.raises(DamagedError, match="the file is damaged; bring back a copy"):
        texts(path)
    code, said = run("check", "--journal", path)
    assert code == 1
    assert "the file is damaged" in said or "The table note holds what cannot be read" in said
    assert path.read_bytes() == before
    found = recover(path)
    # What is no UTF-8 is kept as far as it is.
    rest = [text for text in texts(found.path) if text != "\ufffd"]
    assert rest == ["0 quince ", "2 quince "]
    assert found.lost == (0 if "ff" in value else 1)
    assert check(locate(found.path)).findings == ()


def test_damaged_schema_that_no_text_can_quote_is_said(path: Path) -> None:
    with Journal.open(path) as journal:
        fill(journal)
    raw = path.read_bytes()
    flip(path, raw.index(b"(serving_id)", raw.index(b"CREATE INDEX ix_note_serving_id")) + 7, 0x80)
    with pytest.raises(JournalError, match="the file is damaged"):
        Journal.open(path)
    assert backup.is_damaged(path)


def test_letter_that_became_another_is_found_by_the_backup(path: Path) -> None:
    with Journal.open(path) as journal:
        fill(journal, 5)
    backup.take(path)
    assert check(locate(path)).findings == ()
    raw = path.read_bytes()
    flip(path, raw.index(b"3 quince") + 2, 1)
    (finding,) = check(locate(path)).findings
    assert finding.startswith("1 rows of the table note differ from the backup 2")


def test_damaged_journal_is_recovered_as_far_as_it_can_be_read(sound: tuple[Path, list[str]], tmp_path: Path) -> None:
    path, saved = tmp_path / "journal.db", sound[1]
    shutil.copy(sound[0], path)
    raw = path.read_bytes()
    page = raw.index(saved[40].encode()) // 4096 * 4096
    path.write_bytes(raw[:page] + b"\xa5" * 4096 + raw[page + 4096 :])
    before = path.read_bytes()
    with pytest.raises(JournalError, match="the file is damaged; bring back a copy"):
        Journal.open(path)
    found = recover(path)
    assert path.read_bytes() == before
    rest = texts(found.path)
    # A page of 4096 bytes holds a dozen or so of these notes of 240 to 300 bytes.
    assert 80 - 20 < len(rest) < 80
    assert [text for text in saved if text in rest] == rest
    assert found.notes == len(rest)
    assert check(locate(found.path)).findings == ()


def test_damaged_journal_with_a_backup_is_recovered_whole(sound: tuple[Path, list[str]], tmp_path: Path) -> None:
    path = tmp_path / "journal.db"
    shutil.copy(sound[0], path)
    backup.take(path)
    with Journal.open(path) as journal:
        later = journal.save_note(
            taster_id=journal.taster("Ines").id, serving_id=journal.servings()[0].id, stage="cool", text="later"
        )
    raw = path.read_bytes()
    page = raw.index(sound[1][40].encode()) // 4096 * 4096
    path.write_bytes(raw[:page] + b"\xa5" * 4096 + raw[page + 4096 :])
    found = recover(path)
    assert texts(found.path) == [*sound[1], later.text]
    # The notes of the damaged page came from the backup, and the rest did, too: it was checked.
    assert found.kept >= 80


def test_nothing_to_recover_is_said(tmp_path: Path) -> None:
    path = tmp_path / "journal.db"
    path.write_bytes(b"Dear diary, " * 1000)
    with pytest.raises(JournalError, match="Nothing can be read of"):
        recover(path)
    assert path.read_bytes() == b"Dear diary, " * 1000


# ---- backups


def test_backup_holds_what_was_saved_and_is_private(path: Path) -> None:
    with Journal.open(path) as journal:
        saved = [note.text for note in fill(journal, 3)]
        copy = backup.take(path)
        fill(journal, 2)
    assert [file.name for file in copy.parent.iterdir()] == [copy.name]
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    assert stat.S_IMODE(copy.parent.stat().st_mode) == 0o700
    assert texts(copy) == saved


def test_old_backups_are_thinned_to_the_newest_seven_and_one_a_month(path: Path) -> None:
    Journal.open(path).close()
    first = backup.take(path, now=NOW - timedelta(days=100))
    for days in range(1, 100):
        shutil.copy(first, first.with_name(f"{NOW - timedelta(days=days):%Y%m%dT%H%M%S%fZ}.db"))
    backup.take(path, now=NOW)
    # From 1 March back: the newest seven days, then the last day of January, and of December.
    kept = [file.name[:8] for file in backup.list_backups(path)]
    assert kept == [
        "20260301", "20260228", "20260227", "20260226", "20260225", "20260224", "20260223", "20260131", "20251231",
        "20251130",
    ]  # fmt: skip


def test_opening_takes_a_backup_once_a_day(path: Path) -> None:
    with Journal.open(path) as journal:
        fill(journal)
    assert backup.list_backups(path) == []
    for _ in range(2):
        Journal.open(path).close()
        assert len(backup.list_backups(path)) == 1
    (only,) = backup.list_backups(path)
    only.rename(only.with_name("20260101T000000000000Z.db"))
    Journal.open(path).close()
    assert len(backup.list_backups(path)) == 2


def test_no_room_for_a_backup_keeps_nobody_from_writing(path: Path) -> None:
    with Journal.open(path) as journal:
        fill(journal)
    backup.folder_of(path).write_text("in the way")
    with pytest.raises(JournalError, match="No backup can be written"):
        backup.take(path)
    with Journal.open(path) as journal:
        assert journal.taster("Teo").name == "Teo"


def test_restored_journal_is_seen_by_those_who_have_it_open(path: Path) -> None:
    with Journal.open(path) as journal:
        first = fill(journal)
        copy = backup.take(path)
        later = fill(journal)
        replaced = backup.restore(path, copy)
        assert journal.notes() == first
        more = journal.save_note(
            taster_id=first[0].taster_id, serving_id=first[0].serving_id, stage="cool", text="after"
        )
        assert journal.notes() == [more, *first]
    assert replaced is not None
    assert set(texts(replaced)) == {first[0].text, later[0].text}


def test_damaged_journal_is_replaced_and_kept(path: Path) -> None:
    with Journal.open(path) as journal:
        first = fill(journal)
    copy = backup.take(path)
    damage = b"\xa5" * path.stat().st_size
    path.write_bytes(damage)
    replaced = backup.restore(path, copy)
    assert replaced is not None
    assert replaced.read_bytes() == damage
    assert texts(path) == [note.text for note in first]


def test_damaged_backup_is_refused(path: Path, tmp_path: Path) -> None:
    with Journal.open(path) as journal:
        first = fill(journal)
    (tmp_path / "bad.db").write_bytes(b"\xa5" * 8192)
    with pytest.raises(JournalError, match="not a journal"):
        backup.restore(path, tmp_path / "bad.db")
    assert texts(path) == [note.text for note in first]


# ---- the check


@pytest.mark.parametrize(
    ("statements", "said"),
    [
        (["DROP TRIGGER note_no_update"], "triggers"),
        (["DROP TRIGGER note_no_delete", "DELETE FROM note WHERE revision = 1"], "1 of the notes lack one"),
        (["PRAGMA foreign_keys = OFF", "DELETE FROM serving"], "2 rows refer to something that is not there"),
        (["DROP TRIGGER triad_no_delete", "DELETE FROM triad WHERE number = 2"], "1 of the triangle runs lack"),
    ],
)
def test_check_says_what_does_not_hold_together(path: Path, statements: list[str], said: str) -> None:
    with Journal.open(path) as journal:
        note = fill(journal)[0]
        cup = {"taster_id": note.taster_id, "serving_id": note.serving_id, "stage": "hot"}
        journal.save_note(**cup, text="revised", note_id=note.note_id)
        coffees = {"coffee_a_id": journal.coffee("Low").id, "coffee_b_id": journal.coffee("High").id}
        journal.start_run(
            taster_id=note.taster_id, alpha=0.05, blinding="helper", orders=["AAB", "ABA"],
            codes=[("417", "852", "306")] * 2, commitment="c", nonce="n", **coffees,
        )  # fmt: skip
    assert check(locate(path)).findings == ()
    for statement in statements:
        execute(path, statement)
    assert any(said in finding for finding in check(locate(path)).findings)


# ---- the commands


def run(*arguments: object) -> tuple[int, str]:
    done = CliRunner().invoke(app, ["journal", *map(str, arguments)])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done.exit_code, done.output


def test_commands_back_up_list_check_and_restore(path: Path) -> None:
    with Journal.open(path) as journal:
        first = fill(journal)
    code, said = run("backup", "--journal", path)
    (copy,) = backup.list_backups(path)
    assert (code, said) == (0, f"Backed up to {copy}\n")
    assert run("backup", "--list", "--journal", path) == (0, f"{copy}\n")
    assert run("check", "--journal", path) == (
        0,
        f"The journal is sound: 1 tasters, 1 notes with every revision, 0 triangle runs; compared with {copy}.\n",
    )
    path.write_bytes(b"\xa5" * 8192)
    code, said = run("check", "--journal", path)
    assert code == 1
    assert "not a journal" in said
    assert run("restore", "--journal", path, "--yes")[0] == 0
    assert texts(path) == [note.text for note in first]


def test_commands_refuse_what_is_not_there(path: Path) -> None:
    for command in ("backup", "check", "recover"):
        code, said = run(command, "--journal", path)
        assert (code, said) == (1, f"There is no journal at {path}; name the one that you mean with --journal.\n")
    assert run("restore", "--journal", path, "--yes")[0] == 1
    assert run("backup", "--journal", "sqlite://")[0] == 1
    assert not path.exists()


def test_command_recovers_into_a_copy(path: Path) -> None:
    with Journal.open(path) as journal:
        fill(journal, 5)
    code, said = run("recover", "--journal", path)
    assert code == 0
    # A taster, a tasting, a cup and five notes.
    assert said.startswith("Recovered 8 rows, 5 of them notes, 0 of them from the backup; 0 places could not be read.")
