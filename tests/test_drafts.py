"""Drafts that came with an import may hold anything: a panel takes up what it knows, and passes over the rest."""

import json
from pathlib import Path

import pytest
from furnished import run

from redolent.desk.notes import DRAFT, NotesPanel
from redolent.desk.odd_cup import OddCupPanel
from redolent.desk.practice import PracticePanel
from redolent.desk.run_preparation import find_flaws
from redolent.desk.setting_out import SETTINGS
from redolent.desk.tasting import TastingPanel
from redolent.journal import SEALED_DRAFT, Journal
from redolent.journal.collect import restore
from redolent.journal.export import write_lines
from redolent.journal.schema import Base
from redolent.lexicon import Lexicon

LEXICON = Lexicon.load()
QUINCE = "orchard/pome/quince"
SETTING = {"taster": 7, "who": {}, "cups": [], "coffees": [7, {"name": 7}, {"roast_date": "soon"}]}
JARS = {"goal": "", "key": {"417": QUINCE}, "texts": {}, "commitment": "c", "nonce": "n", "typed": "", "told": None}
HOSTILE = [
    "plum",
    "7",
    "[]",
    "{}",
    "[" * 100_000,
    json.dumps({"asked": {}, "typed": 7, "text": {}, "taster": [], "triad": {}, "coffees": 7}),
    json.dumps({"asked": [], "typed": "x", "text": 7, "taster": "<script>", "cup": 7, "stage": "x"}),
    json.dumps(SETTING),
    json.dumps(JARS | {"key": {"417": "no/such/place"}, "way": "helper"}),
    json.dumps(JARS | {"way": "no such way"}),
    json.dumps(JARS | {"way": "helper", "texts": {"417": 7}}),
    json.dumps(JARS | {"way": "helper", "told": [1]}),
]


@pytest.mark.parametrize("text", HOSTILE)
def test_drafts_of_an_import_do_no_harm(tmp_path: Path, text: str) -> None:
    with Journal.open(":memory:") as journal:
        taster = journal.taster("Ilse").id
        begun = run(journal, taster, journal.coffee("Low").id, journal.coffee("High").id, answers=0)
        keys = [DRAFT, SETTINGS, f"{SEALED_DRAFT}{taster}", f"odd cup {begun}"]
        keys += [f"practice {drill} {taster}" for drill in ("name", "sharpen", "jars")]
        moment = {"at": journal.runs()[0].started_at.replace(tzinfo=None), "utc_offset": 0}
        content = {table: [] for table in Base.metadata.tables}
        content["draft"] = [{"key": key, "text": text, **moment} for key in keys]
        write_lines(tmp_path / "export", content, "export")
        restore(journal, tmp_path / "export")
        assert set(journal.drafts()) == set(keys)

        notes = NotesPanel(journal, LEXICON)
        notes.taster.value, notes.cup.value, notes.pad.text = "Ilse", "Low", "quince"
        notes.save.click()
        assert [note.text for note in journal.notes()] == ["quince"]
        assert len(TastingPanel(journal, LEXICON, folder=tmp_path).form.coffees.children) >= 2
        practice = PracticePanel(journal, LEXICON, folder=tmp_path, seed=5)
        for drill in ("name", "sharpen", "jars"):
            practice.drill.value = drill
            practice.begin.click()
            assert practice.jars.picked is None
            practice.choose()
        odd = OddCupPanel(journal, folder=tmp_path)
        odd.go_on(journal.runs()[0])
        assert odd.trouble.value == ""
        journal.record_run_event(begun, "prepared", text)
        assert find_flaws(journal, journal.runs()[0]) == ()


def test_jars_that_came_with_an_import_are_taken_up(tmp_path: Path) -> None:
    # As an export of before they were kept out of it holds them.
    with Journal.open(":memory:") as journal:
        taster = journal.taster("Ilse").id
        journal.save_draft(
            f"{SEALED_DRAFT}{taster}", json.dumps(JARS | {"way": "helper", "texts": {"417": ["fig", 2]}})
        )
        practice = PracticePanel(journal, LEXICON, folder=tmp_path, seed=5)
        practice.drill.value = "jars"
        practice.begin.click()
        assert list(journal.drills_frame(taster)["node"]) == [QUINCE]


def test_jars_wait_for_an_answer_where_the_draft_holds_an_empty_one(tmp_path: Path) -> None:
    with Journal.open(":memory:") as journal:
        taster = journal.taster("Ilse").id
        journal.save_draft(f"{SEALED_DRAFT}{taster}", json.dumps(JARS | {"way": "helper", "told": []}))
        practice = PracticePanel(journal, LEXICON, folder=tmp_path, seed=5)
        practice.drill.value = "jars"
        practice.begin.click()
        assert "Jar 417 (1 of 1)" in practice.jars.question.value
