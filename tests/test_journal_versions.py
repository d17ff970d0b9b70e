"""Every schema that was released is brought forward with nothing lost; what a newer version wrote can be read."""

import sqlite3
import time
from contextlib import closing
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path

import pytest
from sqlalchemy import text

from redolent.journal import Journal, JournalError, backup
from redolent.journal.check import check
from redolent.journal.migration import _known
from redolent.journal.place import locate

JOURNALS = Path(__file__).parent / "journals"
RELEASED = sorted(JOURNALS.glob("*.sql"))
NOON = datetime(2026, 3, 1, 12, 0, tzinfo=timezone(timedelta(hours=-5)))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "journal.db"


def write(path: Path, dump: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(dump.read_text(encoding="utf-8"))


def execute(path: Path, statement: str) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute(statement)


def test_every_schema_up_to_this_one_is_kept() -> None:
    # A new migration needs its fixture: python tests/journals/make.py tests/journals/NNNN.sql
    assert [dump.stem for dump in RELEASED] == sorted(_known())


@pytest.mark.parametrize("dump", RELEASED, ids=lambda dump: dump.stem)
def test_released_schema_is_brought_forward(path: Path, dump: Path) -> None:
    write(path, dump)
    with Journal.open(path) as journal:
        assert journal.read_only is None
        with journal._write() as session:
            # Fixtures of one schema were made by several hands; what keeps them is the same from now on.
            guards = "SELECT name, replace(sql, '\n', ' ') FROM sqlite_master WHERE type = 'trigger' ORDER BY name"
            with Journal.open(":memory:") as fresh, fresh._read() as other:
                assert session.execute(text(guards)).all() == other.execute(text(guards)).all()
        ines, teo = journal.tasters()
        assert (ines.name, teo.name) == ("Ines", "Teo")
        # What tests/journals/make.py wrote, in that order though three fall on one instant.
        assert [note.text for note in reversed(journal.notes())] == [
            "same instant 1", "same instant 2", "same instant 3", "quince, honey", "nul \0, lone \ud800, \u241b, 🫐"
        ]  # fmt: skip
        (first,) = (note for note in journal.notes() if note.revision == 2)
        assert [(note.text, note.coached) for note in journal.revisions(first.note_id)] == [
            ("quince", False), ("quince, honey", True)
        ]  # fmt: skip
        assert first.written_at == NOON + timedelta(minutes=2)
        assert first.written_at.utcoffset() == timedelta(hours=-5)
        assert [(coffee.name, coffee.roast_date) for coffee in journal.coffees()] == [
            ("High Terrace", None), ("Low Terrace", date(2026, 2, 3))
        ]  # fmt: skip
        assert journal.drafts() == {"pad": "half a wo"}
        assert journal.personal_words(ines.id) == {"grandma's attic": "outdoors/workshop"}
        (done,), (pending,) = journal.runs(ines.id), journal.runs(teo.id)
        assert journal.score(done.id) == (1, 1)
        assert journal.pourer_key(pending.id).orders == ("ABA", "BBA")
        with pytest.raises(ValueError, match="key stays sealed"):
            journal.open_key(pending.id)
        assert journal.tombstones() == set()
    assert check(locate(path)).findings == ()
    for statement in (
        "UPDATE note SET text = 'x'",
        "DELETE FROM note",
        "DELETE FROM answer",
        "DELETE FROM triangle_run",
    ):
        with pytest.raises(sqlite3.IntegrityError, match="append-only"):
            execute(path, statement)


@pytest.mark.parametrize("dump", RELEASED[:-1], ids=lambda dump: dump.stem)
def test_backup_is_taken_before_a_journal_is_brought_forward(path: Path, dump: Path) -> None:
    write(path, dump)
    before = path.read_bytes()
    Journal.open(path).close()
    (copy,) = backup.list_backups(path)
    with closing(sqlite3.connect(copy)) as old, closing(sqlite3.connect(":memory:")) as fixture:
        fixture.executescript(dump.read_text(encoding="utf-8"))
        assert list(old.iterdump()) == list(fixture.iterdump())
    assert path.read_bytes() != before


def test_no_room_for_the_backup_leaves_an_older_journal_as_it_was(path: Path) -> None:
    write(path, RELEASED[0])
    backup.folder_of(path).write_text("in the way")
    before = path.read_bytes()
    with pytest.raises(JournalError, match="No backup can be written to"):
        Journal.open(path)
    assert path.read_bytes() == before


def test_failed_migration_leaves_an_older_journal_as_it_was(path: Path) -> None:
    write(path, RELEASED[0])
    execute(path, "CREATE TABLE tombstone (something_else)")
    with closing(sqlite3.connect(path)) as connection:
        before = list(connection.iterdump())
    with pytest.raises(JournalError, match="tombstone already exists"):
        Journal.open(path)
    with closing(sqlite3.connect(path)) as connection:
        assert list(connection.iterdump()) == before


def test_newer_journal_opens_for_reading_and_is_left_alone(path: Path) -> None:
    write(path, RELEASED[-1])
    execute(path, "ALTER TABLE note ADD COLUMN mood TEXT NOT NULL DEFAULT 'calm'")
    execute(path, "UPDATE alembic_version SET version_num = '9999'")
    before = path.read_bytes()
    with Journal.open(path) as journal:
        assert journal.read_only is not None
        assert journal.read_only.startswith(f"The journal {path} was written by a newer version of Redolent")
        assert "its schema is 9999" in journal.read_only
        assert len(journal.notes()) == 5
        note = journal.notes()[0]
        cup = {"taster_id": note.taster_id, "serving_id": note.serving_id, "stage": "hot"}
        for write_it in (
            lambda: journal.save_note(**cup, text="fig"),
            lambda: journal.save_draft("pad", "fig"),
            lambda: journal.forget(note.taster_id),
        ):
            with pytest.raises(JournalError, match="install that version to go on"):
                write_it()
    assert path.read_bytes() == before
    assert [file.name for file in path.parent.iterdir()] == [path.name]


# ---- time


def save(journal: Journal, text: str, at: datetime | None = None, **more: str) -> None:
    cups = journal.servings() or [journal.add_serving(journal.start_tasting(at=NOON).id, code="417")]
    journal.save_note(taster_id=journal.taster("Ines").id, serving_id=cups[0].id, stage="hot", text=text, at=at, **more)


def oldest_first(journal: Journal) -> list[str]:
    texts = [note.text for note in reversed(journal.notes())]
    assert texts == list(journal.notes_frame()["text"])
    return texts


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> list[datetime]:
    """The clock of the machine: a list whose last entry is now."""
    times = [NOON]

    class Clock(datetime):
        @classmethod
        def now(cls, tz: object = None) -> datetime:
            return times[-1]

    monkeypatch.setattr("redolent.journal.moment.datetime", Clock)
    return times


def test_clock_set_back_neither_reorders_nor_loses_notes(path: Path, clock: list[datetime]) -> None:
    with Journal.open(path) as journal:
        for text, hours in (("one", 0), ("two", 1), ("three", -9000), ("four", -8999), ("five", 2)):
            clock.append(NOON + timedelta(hours=hours))
            save(journal, text)
        assert oldest_first(journal) == ["one", "two", "three", "four", "five"]
        # What the clock said is kept as it said it.
        assert journal.notes()[2].written_at == NOON - timedelta(hours=9000)


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="Windows sets no zone for a process")
def test_daylight_change_neither_reorders_nor_loses_notes(
    path: Path, clock: list[datetime], monkeypatch: pytest.MonkeyPatch
) -> None:
    # In the night when summer time ends in Central Europe, 02:30 comes twice (Directive 2000/84/EC: at 01:00 UTC).
    summer, winter = timezone(timedelta(hours=2)), timezone(timedelta(hours=1))
    monkeypatch.setenv("TZ", "CET-1CEST,M3.5.0,M10.5.0/3")
    time.tzset()
    with Journal.open(path) as journal:
        for text, hour, minute, zone in (
            ("a", 2, 30, summer),
            ("b", 2, 50, summer),
            ("c", 2, 10, winter),
            ("d", 2, 30, winter),
        ):
            clock.append(datetime(2026, 10, 25, hour, minute, tzinfo=zone))
            save(journal, text)
        assert oldest_first(journal) == ["a", "b", "c", "d"]
        assert [note.written_at.utcoffset() for note in journal.notes()] == [timedelta(hours=h) for h in (1, 1, 2, 2)]
        assert [f"{note.written_at:%H:%M}" for note in journal.notes()] == ["02:30", "02:10", "02:50", "02:30"]
    monkeypatch.undo()
    time.tzset()


def test_notes_of_one_instant_keep_the_order_of_saving(path: Path, clock: list[datetime]) -> None:
    texts = [f"{number}" for number in range(30)]
    with Journal.open(path) as journal:
        for text in texts[:15]:
            save(journal, text)
        for text in texts[15:]:
            save(journal, text, at=NOON + timedelta(hours=1))
        assert oldest_first(journal) == texts


def test_note_that_is_entered_later_stands_where_it_was_written(path: Path) -> None:
    with Journal.open(path) as journal:
        save(journal, "now", at=NOON)
        save(journal, "yesterday", at=NOON - timedelta(days=1))
        save(journal, "the same instant", at=NOON.astimezone(UTC))
        assert oldest_first(journal) == ["yesterday", "now", "the same instant"]
