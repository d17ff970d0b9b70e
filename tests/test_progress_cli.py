"""``redolent progress``: the findings in the terminal, as JSON, and as one page that needs no network."""

import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from typer.testing import CliRunner

from redolent.cli.app import app
from redolent.demo import open_demo
from redolent.journal import Journal

IMPROVES, STAYS = "Ilse Varga", "Tomas Lindqvist"


@pytest.fixture(scope="module")
def demo(tmp_path_factory) -> str:
    path = tmp_path_factory.mktemp("demo") / "demo.db"
    open_demo(path).close()
    return str(path)


def run(*arguments: str):
    return CliRunner().invoke(app, ["progress", *arguments])


def test_the_findings_stand_in_the_terminal_in_steps(demo):
    result = run("--journal", demo, "--taster", IMPROVES)
    assert result.exit_code == 0
    steps = ["Words", "Precision", "Consistency", "Discrimination", "What next"]
    assert [line for line in result.output.splitlines() if line in steps] == steps
    assert "Rests on 45 notes on 40 servings in 12 tastings" in result.output
    assert "the vocabulary grows" in " ".join(result.output.split())
    assert max(map(len, result.output.splitlines())) <= 88


def test_the_taster_is_chosen_by_name(demo):
    assert run("--journal", demo, "--taster", STAYS).output.startswith(f"Progress of {STAYS}")
    nobody = run("--journal", demo, "--taster", "Nemo")
    assert nobody.exit_code == 1
    assert "Nobody in this journal is called 'Nemo'; it knows Ilse Varga, Tomas Lindqvist." in nobody.output


def test_json_holds_every_result_with_its_table(demo):
    result = run("--journal", demo, "--json", "--taster", IMPROVES)
    told = json.loads(result.output, parse_constant=pytest.fail)
    assert (told["taster"], told["notes"]) == (IMPROVES, 45)
    assert {"words", "vocabulary", "precision", "consistency", "recognition", "discrimination"} <= set(told["results"])
    assert len(told["results"]["words"]["table"]) == 40
    assert told["results"]["words"]["table"][-1]["observed"] == 49


def test_the_demo_needs_no_journal_and_leaves_none(monkeypatch, tmp_path):
    monkeypatch.setenv("REDOLENT_JOURNAL", str(tmp_path / "own.db"))
    result = run("--demo")
    assert result.exit_code == 0
    assert "Rests on" in result.output
    assert list(tmp_path.iterdir()) == []


class Outward(HTMLParser):
    """What a page would fetch."""

    def __init__(self):
        super().__init__()
        self.fetched, self.headings = [], []

    def handle_starttag(self, tag, attrs):
        self.fetched += [value for name, value in attrs if name in ("src", "href") and value]
        self.fetched += [tag] if tag in ("iframe", "object", "embed", "link") else []


def test_the_page_is_one_file_that_fetches_nothing(demo, tmp_path):
    page = tmp_path / "progress.html"
    result = run("--journal", demo, "--taster", IMPROVES, "--html", str(page))
    assert result.exit_code == 0
    text = page.read_text(encoding="utf-8")
    outward = Outward()
    outward.feed(text)
    assert outward.fetched == []
    assert text.count('class="plotly-graph-div"') == 9
    assert "@media print" in text
    assert "Rests on 45 notes" in text
    assert text.count('class="finding"') == 5


def test_names_from_people_are_text_on_the_page(tmp_path):
    hostile = '<script>alert("x")</script>'
    with Journal.open(tmp_path / "journal.db") as journal:
        taster, coffee = journal.taster(hostile), journal.coffee(hostile)
        tasting = journal.start_tasting(hostile)
        for n in range(2):
            cup = journal.add_serving(tasting.id, coffee_id=coffee.id, code=str(417 + n))
            journal.save_note(taster_id=taster.id, serving_id=cup.id, stage="warm", text="quince, florp")
        journal.add_personal_word(taster.id, "florp", "orchard/pome/pear")
    page = tmp_path / "page.html"
    assert run("--journal", str(tmp_path / "journal.db"), "--html", str(page)).exit_code == 0
    text = page.read_text(encoding="utf-8")
    assert hostile not in text
    assert "&lt;script&gt;" in text
    assert "Own words among them: “florp”." in text


def test_an_empty_journal_and_a_folder_that_is_not_there_are_said(tmp_path, demo):
    empty = run("--journal", str(tmp_path / "empty.db"))
    assert empty.exit_code == 1
    assert "There are no notes in this journal yet" in empty.output
    nowhere = run("--journal", demo, "--html", str(tmp_path / "no" / "such" / "page.html"))
    assert nowhere.exit_code == 1
    assert "cannot be written (No such file or directory)" in nowhere.output


@pytest.mark.browser
def test_the_page_draws_its_figures_without_a_network(demo, tmp_path):
    from lab_driver import blank_page

    page_file = Path(tmp_path / "progress.html")
    run("--journal", demo, "--taster", IMPROVES, "--html", str(page_file))
    with blank_page((768, 900), offline=True) as page:
        faults = []
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("request", lambda request: faults.append(request.url) if re.match("https?:", request.url) else None)
        page.goto(page_file.as_uri())
        page.wait_for_selector(".main-svg")
        assert page.locator(".plotly-graph-div .main-svg").count() >= 9
        assert page.evaluate("document.documentElement.scrollWidth") <= 768
    assert faults == []
