"""The class panel, driven without a browser."""

import pytest

from redolent.demo import CLASS, simulate_class
from redolent.demo.classroom import LEARNS, SWAPS
from redolent.desk import ClassPanel
from redolent.journal import Journal
from redolent.journal.shared import share


@pytest.fixture(scope="module")
def school():
    with Journal.open(":memory:") as journal:
        simulate_class(journal)
        yield journal


def test_the_class_stands_with_names_or_without(school):
    panel = ClassPanel(school)
    assert panel.shown.label == "the class"
    assert panel.findings["Learning"].startswith(f"{LEARNS} learns")
    panel.names.value = False
    assert panel.findings["Learning"].startswith("1 taster learns")
    shown = " ".join(child.value for step in panel.steps.children for child in step.children)
    assert not [taster.name for taster in CLASS if taster.name in shown]
    assert "<table" in shown


def test_one_student_is_looked_at(school):
    panel = ClassPanel(school)
    panel.shown.value = school.find_taster(SWAPS).id
    assert list(panel.findings)[:2] == ["Beside the class", "Words"]
    assert panel.findings["Beside the class"].startswith(SWAPS)
    panel.look_again()
    assert panel.shown.label == SWAPS


def test_the_class_page_is_written(school, tmp_path):
    panel = ClassPanel(school)
    panel.page.value = str(tmp_path / "class.html")
    panel.write.click()
    assert "1 taster learns" in (tmp_path / "class.html").read_text(encoding="utf-8")
    assert "Written, without names" in panel.written.value
    panel.page.value = str(tmp_path / "no" / "class.html")
    panel.write.click()
    assert "cannot be written (No such file or directory); name another file" in panel.trouble.value


def test_a_folder_is_collected_and_names_are_text(tmp_path):
    hostile = "<script>alert(1)</script>"
    with Journal.open(":memory:") as own:
        taster = own.taster(hostile)
        cup = own.add_serving(own.start_tasting("Week 1").id, coffee_id=own.coffee("Monte").id, code="417")
        own.save_note(taster_id=taster.id, serving_id=cup.id, stage="warm", text="lemon")
        share(own, tmp_path / "a.jsonl", taster_id=taster.id)
    with Journal.open(":memory:") as school:
        panel = ClassPanel(school)
        assert "Nobody is in this journal yet" in panel.steps.children[0].value
        panel.collect.click()
        assert "Name the folder" in panel.trouble.value
        panel.folder.value = str(tmp_path)
        panel.collect.click()
        assert panel.trouble.value == ""
        assert "a.jsonl: 5 new rows" in panel.collected.value
        assert "1 of 1 taster wrote 1 note" in panel.findings["Who has done what"]
        shown = " ".join(child.value for step in panel.steps.children for child in step.children)
        assert hostile not in shown
        assert "&lt;script&gt;" in shown
