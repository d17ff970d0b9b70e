"""Who is forgotten is gone, from every byte of every file; what others wrote stays."""

import json
import os
import sqlite3
import stat
from contextlib import closing
from pathlib import Path

import pytest
from typer.testing import CliRunner

from redolent.cli.app import app
from redolent.journal import Journal, backup
from redolent.journal.check import check
from redolent.journal.place import locate

PLANTED = "a-note-that-only-Bruna-wrote"
KEPT = "a-note-that-Teo-wrote"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "private" / "journal.db"


def fill(journal: Journal) -> str:
    """Let Bruna and Teo taste, and give Bruna's id."""
    bruna, teo = journal.taster("Bruna Quist"), journal.taster("Teo")
    shared, alone = journal.start_tasting("Shared"), journal.start_tasting("Only by Bruna Quist")
    low, high = journal.coffee("Low Terrace"), journal.coffee("High Terrace")
    gift = journal.coffee("Gift for Bruna Quist")
    cup = journal.add_serving(shared.id, coffee_id=low.id, code="417").id
    own = journal.add_serving(alone.id, coffee_id=gift.id, code="852").id
    journal.record_stage(alone.id, "hot", "started", own)
    for number in range(40):
        for taster, where, text in ((bruna, own, PLANTED), (bruna, cup, PLANTED), (teo, cup, KEPT)):
            journal.save_note(taster_id=taster.id, serving_id=where, stage="hot", text=f"{number} {text} " * 9)
    journal.add_personal_word(bruna.id, PLANTED, "x")
    journal.save_draft("pad", json.dumps({"taster": "bruna quist", "text": PLANTED}))
    journal.save_draft("other", json.dumps({"taster": "Teo", "text": KEPT}))
    for taster in (bruna, teo):
        run = journal.start_run(
            taster_id=taster.id, coffee_a_id=low.id, coffee_b_id=high.id, alpha=0.05, blinding="helper",
            orders=["AAB"], codes=[("417", "852", "306")], commitment="c", nonce=f"nonce of {taster.name}",
        )  # fmt: skip
        journal.answer(journal.next_triad(run.id).id, odd_code="306", note=f"{taster.name} said")
    return bruna.id


def bytes_of(folder: Path) -> bytes:
    return b"".join(file.read_bytes() for file in folder.rglob("*") if file.is_file())


def test_no_byte_of_the_forgotten_is_left_in_any_file(path: Path) -> None:
    with Journal.open(path) as journal:
        bruna = fill(journal)
        backup.take(path)
        (backup.folder_of(path) / "damaged-20260101T000000000000Z.db").write_text(PLANTED)
        assert bytes_of(path.parent).count(PLANTED.encode()) > 100
        journal.forget(bruna)
        # While it is still open, too.
        for trace in (PLANTED, "Bruna Quist", "nonce of Bruna"):
            assert trace.encode() not in bytes_of(path.parent), trace
        assert journal.tombstones() == {bruna}
        assert bytes_of(path.parent).count(bruna.encode()) >= 1
    assert PLANTED.encode() not in bytes_of(path.parent)
    assert len(backup.list_backups(path)) == 1
    assert check(locate(path)).findings == ()


def test_what_others_wrote_stays(path: Path) -> None:
    with Journal.open(path) as journal:
        bruna = fill(journal)
        before = journal.notes(journal.taster("Teo").id)
        journal.forget(bruna)
        assert [taster.name for taster in journal.tasters()] == ["Teo"]
        assert journal.notes() == before
        assert [tasting.name for tasting in journal.tastings()] == ["Shared"]
        assert [coffee.name for coffee in journal.coffees()] == ["High Terrace", "Low Terrace"]
        assert list(journal.drafts()) == ["other"]
        (run,) = journal.runs()
        assert journal.score(run.id) == (1, 1)
        assert journal.taster("Bruna Quist").id != bruna


def test_drafts_go_with_their_taster_and_no_other_does(path: Path) -> None:
    words = "a-word-of-Zoë's"
    with Journal.open(path) as journal:
        zoe, big = journal.taster("Zoë"), journal.taster("Big Zoë")
        coffees = [journal.coffee(name).id for name in ("Low", "High")]
        plan = journal.plan_tasting(
            taster_id=zoe.id, name="Saturday", blinding="helper", coffees=coffees, codes=["217", "538"],
            key={"order": "AB"}, commitment="c", nonce="n",
        )  # fmt: skip
        (cup, _) = journal.servings(plan.tasting_id)
        # As the panels keep them; JSON writes the name in ASCII.
        theirs = {
            "note": json.dumps({"taster": "ZOË ", "text": words}),
            f"tasting {cup.id} hot": words,
            f"tasting step {plan.tasting_id}": "hot",
            f"practice name {zoe.id}": json.dumps({"typed": words}),
            f"taster_{zoe.id.replace('-', '')}/pad": words,
            f"exercise words {plan.tasting_id[::-1]} Zoë": json.dumps({"orchard": words}),
        }
        others = {
            "other": json.dumps({"taster": "Teo", "text": "Zoë said quince"}),
            f"exercise words {plan.tasting_id[::-1]} Big Zoë": json.dumps({"orchard": "mine"}),
            f"practice name {big.id}": "[" * 100_000,
        }
        for key, text in {**theirs, **others}.items():
            journal.save_draft(key, text)
        journal.forget(zoe.id)
        assert journal.drafts() == others
    assert json.dumps(words)[1:-1].encode() not in bytes_of(path.parent)
    assert words.encode() not in bytes_of(path.parent)


def test_database_lets_only_the_forgotten_go(path: Path) -> None:
    with Journal.open(path) as journal:
        journal.forget(fill(journal))
    with closing(sqlite3.connect(path)) as connection:
        for table in ("note", "answer", "triad", "triangle_run"):
            with pytest.raises(sqlite3.IntegrityError, match=f"{table} is append-only"):
                connection.execute(f"DELETE FROM {table}")


def test_unknown_taster_cannot_be_forgotten(path: Path) -> None:
    with Journal.open(path) as journal:
        fill(journal)
        backup.take(path)
        with pytest.raises(ValueError, match="no taster with the id 'nobody'"):
            journal.forget("nobody")
        assert len(backup.list_backups(path)) == 1


def run(*arguments: object, answer: str = "") -> tuple[int, str]:
    done = CliRunner().invoke(app, ["journal", "forget", *map(str, arguments)], input=answer)
    return done.exit_code, done.output


def test_command_tells_asks_and_then_forgets(path: Path) -> None:
    with Journal.open(path) as journal:
        fill(journal)
    backup.take(path)
    code, said = run("Bruna Quist", "--journal", path, answer="n\n")
    assert code == 1
    assert "80 notes and 1 triangle runs" in said
    assert "Its 1 backups are deleted" in said
    assert "It cannot be undone." in said
    assert PLANTED.encode() in bytes_of(path.parent)
    code, said = run("bruna quist", "--journal", path, answer="y\n")
    assert code == 0
    assert "Forgotten: Bruna Quist." in said
    assert PLANTED.encode() not in bytes_of(path.parent)
    assert run("Bruna Quist", "--journal", path, "--yes")[0] == 1


@pytest.mark.skipif(os.name != "posix", reason="Windows has no modes")
def test_every_file_is_private_to_the_user(path: Path) -> None:
    before = os.umask(0)
    try:
        with Journal.open(path) as journal:
            fill(journal)
            backup.take(path)
            modes = {file.name: stat.S_IMODE(file.stat().st_mode) for file in path.parent.rglob("*")}
    finally:
        os.umask(before)
    folder = backup.folder_of(path).name
    assert modes.pop(folder) == 0o700
    assert len(modes) == 4
    assert set(modes.values()) == {0o600}
