"""``redolent class``: the educator's list, the class's page without names, and a page for each student."""

import json
from html.parser import HTMLParser

import pytest
from typer.testing import CliRunner

from redolent.cli.app import app
from redolent.demo import CLASS, simulate_class
from redolent.demo.classroom import LEARNS, SWAPS, WRITES_MORE
from redolent.journal import Journal
from redolent.journal.shared import share

NAMES = [taster.name for taster in CLASS]


@pytest.fixture(scope="module")
def school(tmp_path_factory) -> str:
    path = tmp_path_factory.mktemp("school") / "school.db"
    with Journal.open(path) as journal:
        simulate_class(journal)
    return str(path)


def run(*arguments: str):
    return CliRunner().invoke(app, ["class", *arguments])


class Outward(HTMLParser):
    """What a page would fetch."""

    def __init__(self):
        super().__init__()
        self.fetched = []

    def handle_starttag(self, tag, attrs):
        self.fetched += [value for name, value in attrs if name in ("src", "href") and value]
        self.fetched += [tag] if tag in ("iframe", "object", "embed", "link") else []


def test_the_class_page_reveals_the_patterns_and_names_nobody(school, tmp_path):
    page = tmp_path / "class.html"
    assert run("--journal", school, "--html", str(page)).exit_code == 0
    text = page.read_text(encoding="utf-8")
    assert not [name for name in NAMES if name in text or name.split()[0] in text or name.split()[1] in text]
    assert "1 taster learns: says more, and more of it fits the cup" in text
    assert "1 taster writes more without more of it fitting the cup" in text
    assert "One taster does not tell bitter from acid and sour" in text
    assert "Nobody is named or ranked" in text
    outward = Outward()
    outward.feed(text)
    assert outward.fetched == []


def test_the_student_pages_reveal_the_patterns_and_name_nobody_else(school, tmp_path, monkeypatch):
    # The three in whom something is planted; reviewing all twelve takes longer than it tells.
    planted = (LEARNS, WRITES_MORE, SWAPS)
    from redolent.cli import classroom

    whole = classroom._review_all

    def some(journal):
        from itertools import islice

        return islice(whole(journal), 3)

    monkeypatch.setattr(classroom, "_review_all", some)
    result = run("--journal", school, "--pages", str(tmp_path / "pages"))
    assert result.exit_code == 0, result.output
    pages = {page.stem[3:]: page.read_text(encoding="utf-8") for page in (tmp_path / "pages").iterdir()}
    assert set(pages) == set(planted)
    assert f"{LEARNS} learns: more is said, and more of it fits the cup" in pages[LEARNS]
    assert "the vocabulary grows" in pages[LEARNS]
    assert "more words are not shown to be learned ones" in pages[WRITES_MORE]
    assert "no sign that the vocabulary grows" in pages[WRITES_MORE]
    assert f"{SWAPS} does not tell bitter from acid and sour" in pages[SWAPS]
    for name, text in pages.items():
        assert [other for other in NAMES if other in text] == [name]
        assert "Discrimination" in text


def send(folder, name: str, text: str) -> None:
    with Journal.open(":memory:") as own:
        taster = own.taster(name)
        cup = own.add_serving(own.start_tasting("Week 1").id, coffee_id=own.coffee("<b>Monte</b>").id, code="417")
        own.save_note(taster_id=taster.id, serving_id=cup.id, stage="warm", text=text)
        share(own, folder / f"{len(list(folder.iterdir()))}.jsonl", taster_id=taster.id)


def test_a_folder_is_collected_and_listed(tmp_path):
    folder = tmp_path / "in"
    folder.mkdir()
    send(folder, "Ada Frith", "lemon")
    send(folder, "<script>alert(1)</script>", "lemon, jasmine")
    place = str(tmp_path / "school.db")
    result = run(str(folder), "--journal", place)
    assert result.exit_code == 0, result.output
    text = " ".join(result.output.split())
    assert "2 of 2 tasters wrote 2 notes" in text
    assert "most said lemon (2)" in text
    # The four progress findings of each.
    for finding in ("distinct descriptor", "reach a group or a descriptor", "No triangle is answered yet"):
        assert text.count(finding) >= 2
    told = json.loads(run("--journal", place, "--json").stdout, parse_constant=pytest.fail)
    assert told["tasters"] == ["<script>alert(1)</script>", "Ada Frith"]
    assert set(told["students"]) == set(told["tasters"])
    assert {"words", "precision", "consistency", "discrimination"} <= set(told["students"]["Ada Frith"]["results"])
    assert told["results"]["attendance"]["table"][1]["notes"] == 1
    run("--journal", place, "--html", str(tmp_path / "c.html"), "--pages", str(tmp_path / "pages"))
    pages = [tmp_path / "c.html", *(tmp_path / "pages").iterdir()]
    assert [page.name for page in pages[1:] if "<" in page.name] == []
    assert len(pages) == 3
    assert not [page for page in pages if "<script>alert" in page.read_text(encoding="utf-8")]
    assert "&lt;b&gt;Monte" in pages[0].read_text(encoding="utf-8")


def test_a_refused_file_is_said_and_the_exit_tells(tmp_path):
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "x.jsonl").write_text("nonsense")
    send(tmp_path / "in", "Ada", "lemon")
    result = run(str(tmp_path / "in"), "--journal", str(tmp_path / "s.db"), "--html", str(tmp_path / "c.html"))
    assert result.exit_code == 1
    assert "x.jsonl: refused, nothing of it was merged" in result.output
    assert (tmp_path / "c.html").exists()


def test_no_folder_and_an_empty_journal_are_said(tmp_path):
    nowhere = run(str(tmp_path / "no"), "--journal", str(tmp_path / "s.db"))
    assert nowhere.exit_code == 1
    assert "is no folder" in nowhere.output
    empty = run("--journal", str(tmp_path / "s.db"))
    assert empty.exit_code == 0
    assert "Nobody is in this class yet" in empty.output


EXERCISE = """
title = "Week 1"
instructions = "Take your time."
[[task]]
kind = "tasting"
coffees = ["Monte", "Selva"]
[[task]]
kind = "words"
places = ["tongue/sour"]
"""


def command(*arguments: str):
    return CliRunner().invoke(app, list(arguments))


def test_an_exercise_is_set_shared_opened_and_sent_back(tmp_path):
    toml, out, back = tmp_path / "one.toml", tmp_path / "out.jsonl", tmp_path / "in" / "ada.jsonl"
    toml.write_text(EXERCISE, encoding="utf-8")
    back.parent.mkdir()
    school, home = str(tmp_path / "school.db"), str(tmp_path / "home.db")
    told = command("exercise", str(toml), "--journal", school)
    assert told.exit_code == 0, told.output
    assert "Set: Week 1" in told.output
    assert "Monte (for whoever labels the samples)" in told.output
    assert command("share", str(out), "--tasting", "Week 1", "--blank", "--journal", school).exit_code == 0

    opened = command("exercise", str(out), "--journal", home)
    assert opened.exit_code == 0, opened.output
    assert "Take your time." in opened.output
    assert "for whoever labels" not in opened.output
    with Journal.open(home) as journal:
        ada = journal.taster("Ada")
        cups = journal.servings()
        for cup in cups:
            journal.save_note(taster_id=ada.id, serving_id=cup.id, stage="warm", text="lemon")
    listed = command("exercise", "--journal", home).output
    assert "Taste Monte, Selva, coded" in listed
    assert "for whoever labels" not in listed
    assert f"Ada: tasting {len(cups)} of {len(cups)}, words 0 of 1" in listed
    assert command("share", str(back), "--taster", "Ada", "--journal", home).exit_code == 0

    assert run(str(back.parent), "--journal", school, "--html", str(tmp_path / "c.html")).exit_code == 0
    assert f"Ada: tasting {len(cups)} of {len(cups)}" in command("exercise", "--journal", school).output


def test_a_wrong_exercise_is_said(tmp_path):
    wrong = tmp_path / "wrong.toml"
    wrong.write_text("title = 'x'", encoding="utf-8")
    refused = command("exercise", str(wrong), "--journal", str(tmp_path / "s.db"))
    assert refused.exit_code == 1
    assert "An exercise has instructions" in refused.output
    wrong.write_bytes(b"\xff\xfe\x00")
    assert "no text in UTF-8" in command("exercise", str(wrong), "--journal", str(tmp_path / "s.db")).output
    assert "No exercise is set" in command("exercise", "--journal", str(tmp_path / "s.db")).output
