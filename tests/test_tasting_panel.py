"""The tasting panel without a browser: what it keeps, what it hides, what it asks."""

import re
from collections import Counter
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from redolent.desk import TastingPanel
from redolent.desk.clock import due_minutes
from redolent.desk.progress import look
from redolent.desk.setting_out import SETTINGS
from redolent.journal import Journal
from redolent.lexicon import Lexicon
from redolent.tasting import STAGES, STEPS, fit_cooling

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
LEXICON = Lexicon.load()


@pytest.fixture
def journal(tmp_path: Path):
    with Journal.open(tmp_path / "journal.db") as journal:
        yield journal


@pytest.fixture
def open_panel(journal: Journal, tmp_path: Path):
    return lambda **more: TastingPanel(journal, LEXICON, tmp_path, now=lambda: NOON, **more)


def fill_in(panel: TastingPanel, *coffees: str, way: str = "helper") -> TastingPanel:
    panel.form.taster.value = "Ilse Varga"
    while len(panel.form.coffees.children) < len(coffees):
        panel.form.add_coffee()
    for row, name in zip(panel.form.coffees.children, coffees, strict=True):
        row.boxes[0].value = name
    panel.form.way.value = way
    panel.set_table()
    assert panel.trouble.value == ""
    return panel


@pytest.fixture
def panel(open_panel) -> TastingPanel:
    return fill_in(open_panel(), "Lot 3", "Lot 4", "<b>Lot 5</b>")


def everything(widget: object) -> str:
    """Give all that a widget and those under it send to the browser."""
    return repr(widget.get_state()) + "".join(everything(child) for child in getattr(widget, "children", ()))


# --- set out


def test_dose_water_and_roast_are_told_as_they_are_entered(open_panel):
    form = open_panel().form
    form.cup.value, form.altitude.value, form.scale.value = "7.5 fl oz", "3000 m", 1.0
    assert "<b>12 g</b> of coffee for 222 ml" in form.outlook.value
    assert "Water boils at 90.0 °C here, below the target" in form.outlook.value
    form.cup.value = "85 ml"
    assert "errs by 7.0 %" in form.outlook.value
    form.cup.value = "a mug"
    assert "is no volume" in form.outlook.value
    form.coffees.children[0].boxes[3].value = date(2026, 2, 1)
    assert "41 days ago" in form.coffees.children[0].note.value


def test_what_lies_ready_and_how_to_measure_and_grind_is_there_to_unfold(open_panel):
    form = open_panel().form
    for said in ("1 g is 1 ml", "errs by 4 %", "filtered", "Purge the grinder", "Grind repeats of a coffee together"):
        assert form.ready.value.count(said) == 1
    form.way.value = "helper"
    assert "others that go under the cups" not in form.ready.value
    form.way.value = "self-reported"
    assert "others that go under the cups" in form.ready.value


def test_units_are_as_chosen_and_remembered(open_panel):
    form = open_panel().form
    form.volume.value, form.mass.value, form.temperature.value = "imperial fl oz", "oz", "°F"
    form.coffees.children[1].boxes[0].value = "Lot 4"
    again = open_panel().form
    assert "0.388 oz" in again.outlook.value
    assert "7.0 imperial fl oz" in again.outlook.value
    assert "198 °F to 205 °F" in again.outlook.value
    assert again.coffees.children[1].boxes[0].value == "Lot 4"


def test_settings_that_a_later_version_does_not_know_are_passed_over(open_panel, journal):
    journal.save_draft(SETTINGS, '{"volume": "hogshead", "scale": 7, "taster": "Bo", "coffees": []}')
    assert open_panel().form.taster.value == "Bo"


@pytest.mark.parametrize(("coffees", "says"), [(("Lot 3", "Lot 3"), "two different"), (("Lot 3", ""), "two different")])
def test_a_table_needs_two_coffees(open_panel, journal, coffees, says):
    panel = open_panel()
    panel.form.taster.value = "Ilse"
    for row, name in zip(panel.form.coffees.children, coffees, strict=True):
        row.boxes[0].value = name
    panel.set_table()
    assert says in panel.trouble.value
    assert journal.tastings() == []


def test_what_was_tapped_is_kept_beside_the_notes(open_panel, journal):
    panel = open_panel()
    panel.form.state.taps["taster", "a cold"].value = panel.form.state.taps["room", "noise"].value = True
    fill_in(panel, "Lot 3", "Lot 4")
    kept = [(c.kind, c.value) for c in journal.circumstances(panel.plan.tasting_id)]
    assert sorted(kept) == [("room", "noise"), ("taster", "a cold")]


def test_how_the_taster_and_the_room_are_is_corrected_while_tasting(open_panel, journal):
    panel = open_panel()
    panel.form.state.taps["taster", "hungry"].value = True
    fill_in(panel, "Lot 3", "Lot 4")
    assert panel.state.tapped() == [("taster", "hungry")]
    panel.state.taps["room", "noise"].value = True
    panel.state.taps["taster", "hungry"].value = False
    kept = [(c.kind, c.value) for c in journal.circumstances(panel.plan.tasting_id)]
    assert sorted(kept) == [("room", "noise"), ("taster", "hungry"), ("taster, over", "hungry")]
    # The next panel shows what holds now, and notes nothing by showing it.
    assert open_panel().state.tapped() == [("room", "noise")]
    assert len(journal.circumstances(panel.plan.tasting_id)) == 3


def test_what_is_hot_is_cautioned_of_at_its_step(panel):
    said = {}
    for step in STEPS:
        panel.step.value = step.name
        said[step.name] = panel.task.value
    assert [name for name, text in said.items() if "<b>" in text] == ["pour", "crust", "break", "skim", "hot"]
    assert "Boiling water and steam burn" in said["pour"]
    assert "Above 65 °C wait" in said["hot"]


def test_at_the_pour_dose_and_water_are_told_as_they_were_set_out(open_panel):
    panel = open_panel()
    panel.form.altitude.value = "3000 m"
    fill_in(panel, "Lot 3", "Lot 4")
    panel.step.value = "pour"
    assert "Each cup: 11 g of coffee and 200 ml of water. Water boils at 90.0 °C here" in panel.task.value


def test_the_tasting_speaks_in_the_chosen_units(open_panel, tmp_path):
    panel = open_panel()
    panel.form.temperature.value, panel.form.mass.value, panel.form.volume.value = "°F", "oz", "US fl oz"
    assert "°C" not in panel.form.outlook.value + panel.form.cautions.value
    fill_in(panel, "Lot 3", "Lot 4")
    panel.step.value = "hot"
    # By hand: 60 °C are 140 °F, 65 °C are 149 °F; 11 g are 0.388 oz, 200 ml are 6.8 US fl oz.
    assert "at about 140 °F" in panel.task.value
    assert "Above 149 °F wait" in panel.task.value
    table, key = (path.read_text(encoding="utf-8") for path in sorted(tmp_path.glob("*.html"), reverse=True))
    assert "0.388 oz" in key
    assert "6.8 US fl oz" in key
    for sheet in (table, key):
        assert "above 149 °F wait" in sheet
        assert "°C" not in sheet


def test_a_grind_trial_ends_in_a_verdict_and_a_next_step(open_panel, journal):
    form = open_panel().form
    form._keep_verdict()
    assert "Choose the cup" in form.next_step.value
    form.verdict.value = "finer"
    form._keep_verdict()
    assert "one step finer" in form.next_step.value
    assert [c.value for c in journal.circumstances(kind="grind")] == ["finer"]


def test_no_adult_figure_is_shown_to_a_minor(open_panel):
    form = open_panel().form
    form.who.value = "a healthy adult"
    assert "400 mg a day" in form.cautions.value
    form.who.value = "under age"
    assert "mg" not in form.cautions.value


# --- blind


def test_nothing_that_the_browser_gets_depends_on_the_key(journal, tmp_path, monkeypatch):
    from redolent.desk import tasting
    from redolent.tasting import TableDesign

    seen = []
    for order in ("ABCA", "CABC"):
        design = TableDesign(order, ("217", "538", "846", "392"), 0)
        monkeypatch.setattr(tasting, "design_tasting", lambda *_, design=design, **__: design)
        panel = TastingPanel(journal, LEXICON, tmp_path, now=lambda: NOON)
        fill_in(panel, "Lot 3", "Lot 4", "Lot 5")
        shown = []
        for step in STEPS:
            panel.step.value = step.name
            shown.append(everything(panel))
        for serving in panel.servings:
            shown = [text.replace(serving.id, serving.code) for text in shown]
        shown = [text.replace(panel.plan.tasting_id, "this") for text in shown]
        seen.append([_without_ids(text) for text in shown])
        panel.reveal()
    assert seen[0] == seen[1]
    assert all("Lot 3" not in text for text in seen[0])


def _without_ids(text: str) -> str:
    import re

    return re.sub(r"[0-9a-f]{32}", "id", text)


def test_a_helper_gets_the_key_as_a_file_and_the_table_has_codes_only(panel, tmp_path, journal):
    table, key = (path.read_text(encoding="utf-8") for path in sorted(tmp_path.glob("*.html"), reverse=True))
    assert all(serving.code in table and serving.code in key for serving in panel.servings)
    assert "&lt;b&gt;Lot 5&lt;/b&gt;" in key
    assert "Lot" not in table
    assert journal.pourer_plan(panel.plan.tasting_id).nonce not in table
    assert "11 g of coffee and 200 ml of water" in key


def test_a_known_seed_and_a_look_under_a_cup_are_not_blind(open_panel, panel, journal):
    assert panel.plan.blinding == "helper"
    panel.look()
    assert journal.plans()[0].blinding == "not blind"
    assert "Not blind" in panel.before.value
    panel.reveal()
    seeded = fill_in(open_panel(seed=1), "Lot 3", "Lot 4", "Lot 5")
    assert seeded.plan.blinding == "not blind"


def test_a_tasting_that_is_not_blind_is_kept_out_of_consistency(open_panel, journal, monkeypatch):
    from redolent.desk import tasting
    from redolent.tasting import TableDesign

    design = TableDesign("ABA", ("217", "538", "846"), 0)
    monkeypatch.setattr(tasting, "design_tasting", lambda *_, **__: design)
    found = []
    for looks in (False, True):
        panel = fill_in(open_panel(), "Lot 3", "Lot 4")
        panel.step.value = "hot"
        for pad, text in zip(panel.table.children, ("lemon", "cedar", "lemon"), strict=True):
            pad.text = text
        if looks:
            panel.look()
        panel.reveal()
        steps = look(journal, journal.taster("Ilse Varga").id, LEXICON)
        found.append({step.name: step.finding for step in steps}["Consistency"])
    assert "2 more tastings with a repeat might" in found[0]  # one is there, and the other does not count
    assert found[1] == found[0]


def test_alone_what_stood_there_is_entered_at_the_reveal(open_panel, journal, tmp_path):
    panel = fill_in(open_panel(), "Lot 3", "Lot 4", way="self-reported")
    assert not list(tmp_path.glob("*key*"))
    assert any(f"{cups} × Lot 3" in panel.before.value for cups in (1, 2, 3))
    # It is read before the first cup is smelled, and folded from then on.
    assert "<details open>" in panel.before.value
    panel.step.value = "hot"
    assert panel.before.value == ""
    assert "<details>" in panel.how.value
    assert panel.looked.description == "I looked under a cup"
    panel.step.value = "reveal"
    assert panel.looked.description == "I looked before I had written"
    panel.reveal()
    assert "Look under each cup" in panel.trouble.value
    truth = ["A", "B", "A", "B"][: len(panel.stood)]
    for box, letter in zip(panel.stood, truth, strict=True):
        box.value = letter
    panel.reveal()
    names = {coffee.id: coffee.name for coffee in journal.coffees()}
    stood = [names[s.coffee_id] for s in journal.servings(panel.plan.tasting_id)]
    assert stood == [{"A": "Lot 3", "B": "Lot 4"}[letter] for letter in truth]
    assert "Self-reported." in panel.revealed.value


def test_orders_are_balanced_over_the_tables_of_a_taster(open_panel, journal):
    rows = []
    for _ in range(6):
        panel = fill_in(open_panel(), "Lot 3", "Lot 4", "Lot 5")
        rows.append(journal.pourer_plan(panel.plan.tasting_id).key["row"])
        panel.reveal()
    # The square of three coffees has six rows: each is served once.
    assert Counter(rows) == dict.fromkeys(range(6), 1)


# --- taste


def test_what_is_typed_is_kept_and_found_by_the_next_panel(panel, open_panel, journal):
    panel.step.value = "hot"
    panel.table.children[1].text = "lemon and a touch of ced"
    assert panel.table.children[1].kept == "lemon and a touch of ced"
    assert panel.table.children[1].state == "draft"
    again = open_panel()
    assert again.step.value == "hot"
    assert again.table.children[1].text == "lemon and a touch of ced"
    assert again.table.children[0].text == ""
    assert journal.notes() == []


def test_a_locked_note_is_measured_and_what_comes_later_is_coached(panel, journal):
    panel.step.value = "hot"
    panel.table.children[0].text = "fruity"
    assert panel.coach.value == ""
    panel.lock_stage()
    assert "orchard" in panel.coach.value
    assert "✓" in dict((name, label) for label, name in panel.step.options)["hot"]
    assert panel.table.children[0].state == "locked 12:00"
    panel.lock_stage()
    assert "Nothing has changed since" in panel.trouble.value
    panel.table.children[0].text = "fruity, plum"
    assert "not kept yet" in panel.table.children[0].state
    panel.lock_stage()
    (note,) = journal.notes()
    assert [(n.text, n.coached) for n in journal.revisions(note.note_id)] == [("fruity", False), ("fruity, plum", True)]
    assert [key for key in journal.drafts() if "hot" in key] == []


def test_the_coach_is_quiet_while_a_note_is_open_and_when_told_so(panel):
    panel.step.value = "warm"
    first, second, *_ = panel.table.children
    first.text = "fruity"
    panel.lock_stage()
    assert "Why this question" in panel.coach.value
    second.text = "floral"
    assert panel.coach.value == ""
    panel.lock_stage()
    assert panel.coach.value.count("Why this question") == 2
    panel.silence_coach()
    assert panel.coach.value == ""
    panel.step.value = "cool"
    panel.table.children[0].text = "fruity"
    panel.lock_stage()
    assert panel.coach.value == ""


def test_the_coach_asks_first_about_what_this_taster_confuses(panel, open_panel, journal):
    lemon, lime = LEXICON.find("lemon").id, LEXICON.find("lime").id
    jar = {"drill": "jars", "node": lemon, "asked": "jar", "answered": "lime", "correct": False}
    journal.record_drills(journal.taster("Ilse Varga").id, [jar])
    again = open_panel()
    again.step.value = "hot"
    again.table.children[0].text = "floral, citrus"
    again.lock_stage()
    assert "You wrote “citrus”" in again.coach.value
    assert "You have taken these for one another before: " in again.coach.value
    assert {LEXICON[lemon].label, LEXICON[lime].label} <= set(re.findall(r"lemon|lime", again.coach.value))


def test_hostile_words_are_escaped_in_the_coachs_question(panel):
    panel.step.value = "hot"
    panel.table.children[0].text = '<img src=x onerror="a"> zorbly'
    panel.lock_stage()
    assert "<img" not in panel.coach.value


def test_each_cup_has_its_own_pour_and_it_can_be_taken_back(panel, open_panel, journal):
    first, second = (s.code for s in panel.servings[:2])
    at = round(NOON.timestamp() * 1000)
    panel.clock.pours = {first: {"at": at, "set": at}}
    panel.clock.pours = {first: {"at": at, "set": at}, second: {"at": at + 30_000, "set": at + 30_000}}
    panel.clock.pours = {**panel.clock.pours, first: {"at": None, "set": at + 40_000}}
    events = [(e.event, e.serving_id) for e in journal.stage_events(panel.plan.tasting_id)]
    ids = {s.code: s.id for s in panel.servings}
    assert events == [("pour", ids[first]), ("pour", ids[second]), ("pour taken back", ids[first])]
    again = open_panel()
    assert again.clock.pours[second]["at"] == at + 30_000
    assert again.clock.pours[first]["at"] is None


def test_a_pour_of_a_cup_that_is_not_on_the_table_is_passed_over(panel, journal):
    panel.clock.pours = {"000": {"at": 1, "set": 1}}
    assert journal.stage_events(panel.plan.tasting_id) == []


def test_thermometer_readings_shape_what_is_expected(panel, journal):
    code = panel.servings[0].code
    panel.note_reading()
    assert "pour first" in panel.trouble.value
    poured = NOON - timedelta(minutes=10)
    panel.clock.pours = {code: {"at": round(poured.timestamp() * 1000), "set": 1}}
    panel.warmth.cup.value, panel.warmth.reading.value, panel.warmth.room.value = code, 70.0, 20.0
    panel.note_reading()
    assert panel.trouble.value == ""
    panel._now = lambda: NOON + timedelta(minutes=10)
    panel.warmth.reading.value = 45.0
    panel.note_reading()
    # By hand: from 50 to 25 °C above the room in 10 minutes, half an hour after the pour 12.5 above it.
    assert "From 2 readings" in panel.warmth.sureness.value
    assert panel.clock.temperatures[30] in (32, 33)
    assert [c.kind for c in journal.circumstances(panel.plan.tasting_id)].count("reading") == 2


def test_above_65_degrees_no_stage_is_due():
    for cooling in (fit_cooling(), fit_cooling([(3, 80), (9, 70)]), fit_cooling([(2, 64), (9, 55)])):
        due = due_minutes(cooling)
        assert due["break"] == 4
        assert min(due[stage] for stage in ("hot", "warm", "cool")) >= due["safe"]
        assert cooling.temperature(due["hot"])[0] <= 65


def test_marks_on_lines_are_kept(panel, journal):
    panel.step.value = "warm"
    panel.note_lines()
    assert "Move a mark" in panel.trouble.value
    panel.marks.lines.marks = {"sweetness": 62.5}
    panel.note_lines()
    (mark,) = journal.line_marks(panel.plan.tasting_id)
    assert (mark.stage, mark.attribute, mark.mark) == ("warm", "sweetness", 62.5)
    panel.marks.cup.value = panel.servings[1].code
    assert panel.marks.lines.marks == {}


# --- reveal


def test_the_reveal_locks_what_stands_lays_the_cups_open_and_is_saved(panel, journal, tmp_path):
    panel.step.value = "hot"
    for pad in panel.table.children:
        pad.text = "lemon"
    panel.step.value = "reveal"
    panel.reveal()
    assert len(journal.notes()) == len(panel.servings)
    assert "The key is the one that was sealed" in panel.revealed.value
    assert "&lt;b&gt;Lot 5&lt;/b&gt;" in panel.revealed.value
    assert "<b>Lot 5" not in panel.revealed.value
    panel.save_reveal()
    page = (tmp_path / "tasting 2026-03-14 120000.html").read_text(encoding="utf-8")
    assert "What was in the cups" in page
    assert "Saved notes" in page


def test_a_revealed_tasting_is_over(panel, open_panel):
    panel.reveal()
    again = open_panel()
    assert again.plan is None
    assert again.form.taster.value == "Ilse Varga"


def test_the_stage_bar_holds_every_stage_that_is_written():
    assert tuple(step.stage for step in STEPS if step.stage) == STAGES
    assert [step.name for step in STEPS] == "dry pour crust break skim hot warm cool reveal".split()
