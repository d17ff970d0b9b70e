"""Planned tastings in the journal: sealed until the reveal, append-only, and covariates beside the notes."""

import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy.exc import InvalidRequestError

from redolent.blind import Seal, verify
from redolent.journal import Journal, Plan
from redolent.journal.schema import TastingPlan

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
CODES = ("417", "538", "846")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "journal.db"


@pytest.fixture
def journal(path: Path):
    with Journal.open(path) as journal:
        yield journal


def plan(journal: Journal, **changes) -> Plan:
    coffees = [journal.coffee(name).id for name in ("Lot 3", "Lot 4")]
    given = {
        "taster_id": journal.taster("Ilse").id,
        "name": "Saturday",
        "blinding": "helper",
        "coffees": coffees,
        "codes": CODES,
        "key": {"codes": list(CODES), "order": "ABA", "row": 0},
        "commitment": "c",
        "nonce": "n",
        "setup": {"cup_ml": 200},
        "at": NOON,
    }
    return journal.plan_tasting(**(given | changes))


def test_before_the_reveal_no_query_of_the_taster_holds_the_key(journal: Journal):
    made = plan(journal)
    assert made == journal.plans()[0]
    assert made.setup == {"cup_ml": 200}
    assert [s.coffee_id for s in journal.servings(made.tasting_id)] == [None] * 3
    assert [s.code for s in journal.servings(made.tasting_id)] == list(CODES)
    assert "ABA" not in repr((made, journal.servings(), journal.notes_frame().to_dict()))
    with pytest.raises(ValueError, match="stays sealed until the reveal"):
        journal.open_plan(made.tasting_id)
    with journal._read() as session:
        row = session.query(TastingPlan).one()
        with pytest.raises(InvalidRequestError):
            _ = row.key


def test_the_reveal_gives_each_cup_its_coffee_once(journal: Journal):
    made = plan(journal)
    revealed = journal.reveal_tasting(made.tasting_id, at=NOON)
    assert revealed.revealed_at == NOON
    a, b = made.coffees
    assert [s.coffee_id for s in journal.servings(made.tasting_id)] == [a, b, a]
    assert journal.open_plan(made.tasting_id).key["order"] == "ABA"
    again = journal.reveal_tasting(made.tasting_id, order="BBB")
    assert again == revealed
    assert [s.coffee_id for s in journal.servings(made.tasting_id)] == [a, b, a]


def test_alone_the_order_is_entered_at_the_reveal(journal: Journal):
    made = plan(journal, blinding="self-reported", key={"codes": list(CODES), "repeats": "B"})
    for wrong in (None, "AB", "ABC", "AB "):
        with pytest.raises(ValueError, match="Say for each cup"):
            journal.reveal_tasting(made.tasting_id, order=wrong)
    assert journal.plans()[0].revealed_at is None
    journal.reveal_tasting(made.tasting_id, order="BAB")
    a, b = made.coffees
    assert [s.coffee_id for s in journal.servings(made.tasting_id)] == [b, a, b]


def test_who_looked_is_not_blind_for_good(journal: Journal, path: Path):
    made = plan(journal)
    assert journal.unblind_tasting(made.tasting_id).blinding == "not blind"
    with sqlite3.connect(path) as raw, pytest.raises(sqlite3.IntegrityError, match="append-only"):
        raw.execute("UPDATE tasting_plan SET blinding = 'helper'")


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE tasting_plan SET key = '{}'",
        "UPDATE tasting_plan SET revealed_at = NULL",
        "DELETE FROM tasting_plan",
        "INSERT OR REPLACE INTO tasting_plan SELECT * FROM tasting_plan",
    ],
)
def test_a_plan_is_append_only(journal: Journal, path: Path, statement: str):
    made = plan(journal)
    journal.reveal_tasting(made.tasting_id)
    with sqlite3.connect(path) as raw, pytest.raises(sqlite3.IntegrityError, match="append-only"):
        raw.execute(statement)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"blinding": "x"}, "no blinding"),
        ({"codes": ("417", "417", "846")}, "code of its own"),
        ({"codes": ("41", "418", "846")}, "code of its own"),
        ({"coffees": ["x"]}, "two coffees or more"),
        ({"coffees": ["x", "y"]}, "no coffee with the id"),
        ({"taster_id": "x"}, "no taster with the id"),
    ],
)
def test_a_plan_that_does_not_hold_together_leaves_nothing_behind(journal: Journal, changes, says):
    with pytest.raises(ValueError, match=says):
        plan(journal, **changes)
    assert journal.tastings() == []
    assert journal.servings() == []


def test_covariates_and_line_marks_are_kept(journal: Journal):
    made = plan(journal)
    cup = journal.servings(made.tasting_id)[0]
    journal.note_circumstance("taster", "a cold", tasting_id=made.tasting_id, taster_id=made.taster_id, at=NOON)
    journal.note_circumstance("reading", "71.5", tasting_id=made.tasting_id, serving_id=cup.id)
    journal.note_circumstance("grind", "finer", taster_id=made.taster_id)
    assert [one.value for one in journal.circumstances(made.tasting_id)] == ["a cold", "71.5"]
    assert [one.value for one in journal.circumstances(kind="grind")] == ["finer"]
    with pytest.raises(ValueError, match="no tasting with the id"):
        journal.note_circumstance("taster", "tired", tasting_id="x")
    journal.mark_line(taster_id=made.taster_id, serving_id=cup.id, stage="hot", attribute="sweetness", mark=62)
    assert [(m.attribute, m.mark) for m in journal.line_marks(made.tasting_id)] == [("sweetness", 62.0)]
    for mark in (-1, 101, float("nan")):
        with pytest.raises(ValueError, match="from 0 to 100"):
            journal.mark_line(taster_id=made.taster_id, serving_id=cup.id, stage="hot", attribute="body", mark=mark)


def test_a_key_that_comes_back_from_the_journal_is_the_one_that_was_sealed(journal: Journal):
    from redolent.blind import seal

    key = {"codes": list(CODES), "order": "ABA", "row": 0}
    sealed = seal(key)
    made = plan(journal, key=key, commitment=sealed.commitment, nonce=sealed.nonce)
    kept = journal.pourer_plan(made.tasting_id)
    assert verify(kept.key, Seal(made.commitment, kept.nonce))
