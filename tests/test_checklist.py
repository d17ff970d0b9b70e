"""Check-lists after the locked note: the agreement proper."""

import krippendorff
import numpy as np
import pytest

from redolent.classroom import agree_on_checks, answer_checklist, review_class
from redolent.journal import Journal
from redolent.journal.collect import collect
from redolent.journal.shared import share

SOUR, BITTER = "tongue/sour", "tongue/bitter"


@pytest.fixture
def journal():
    with Journal.open(":memory:") as opened:
        yield opened


def test_a_check_list_comes_after_the_note(journal, tmp_path):
    ada = journal.taster("Ada")
    cup = journal.add_serving(journal.start_tasting("x").id, code="417")
    with pytest.raises(ValueError, match="Write and save the note on this cup first"):
        answer_checklist(journal, ada.id, cup.id, {SOUR: True})
    journal.save_note(taster_id=ada.id, serving_id=cup.id, stage="warm", text="lemon")
    with pytest.raises(ValueError, match="places of the lexicon; 'flumph' is not one"):
        answer_checklist(journal, ada.id, cup.id, {"flumph": True})
    answer_checklist(journal, ada.id, cup.id, {SOUR: True, BITTER: False})
    share(journal, tmp_path / "ada.jsonl", taster_id=ada.id)
    with Journal.open(":memory:") as school:
        collect(school, tmp_path / "ada.jsonl")
        (kept,) = school.circumstances(kind="check-list")
        assert (kept.taster_id, kept.serving_id) == (ada.id, cup.id)


def test_the_agreement_is_krippendorffs(journal):
    """Against the krippendorff package."""
    rng = np.random.default_rng(1)
    tasting = journal.start_tasting("x")
    tasters = [journal.taster(name) for name in ("Ada", "Bo", "Cy")]
    table = np.empty((3, 12))
    for cup in range(12):
        serving = journal.add_serving(tasting.id, code=str(400 + cup), position=cup + 1)
        for row, taster in enumerate(tasters):
            yes = bool((cup % 2) ^ (rng.random() < 0.1))
            table[row, cup] = yes
            journal.save_note(taster_id=taster.id, serving_id=serving.id, stage="warm", text="x")
            answer_checklist(journal, taster.id, serving.id, {SOUR: yes, BITTER: bool(rng.random() < 0.5)})
    journal.note_circumstance("check-list", "nonsense", taster_id=tasters[0].id, serving_id=serving.id)
    found = agree_on_checks(journal.circumstances(kind="check-list"))
    sour = found.places.set_index("node").loc[SOUR]
    expected = krippendorff.alpha(reliability_data=table, level_of_measurement="nominal")
    assert sour["alpha"] == pytest.approx(expected)
    assert sour["low"] < sour["alpha"] <= sour["high"]
    from redolent.charts import lay_out_class

    (step,) = [step for step in lay_out_class(review_class(journal)) if step.name == "Mention agreement"]
    assert step.exhibits[1].finding == found.finding
    assert found.finding == "Asked yes or no, the class agrees beyond chance on acid and sour."


def test_nobody_answered(journal):
    assert agree_on_checks([]).finding == "No check-list was answered by two at one cup yet."
