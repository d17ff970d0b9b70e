"""Between people: one file with a checksum, merged in any order, any number of times, into the same journal."""

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from copied import answer, copied_run
from furnished import NOON, everything, furnish, run
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st
from sqlalchemy import text as sql
from sqlalchemy.exc import IntegrityError

from redolent.journal import Journal
from redolent.journal.collect import collect, keep_apart, restore
from redolent.journal.export import export
from redolent.journal.importing import Choices, land, make_plan
from redolent.journal.shared import share

# Pairs of sequences. For the figure in the README: REDOLENT_SEQUENCES=1000 pytest tests/test_collect.py -k sequence
SEQUENCES = int(os.environ.get("REDOLENT_SEQUENCES", 25))


@pytest.fixture
def journal() -> Iterator[Journal]:
    with Journal.open(":memory:") as journal:
        yield journal


def note(journal: Journal, taster: str, cup: str, text: str, minutes: int = 0, note_id: str | None = None) -> str:
    at = NOON + timedelta(minutes=minutes)
    saved = journal.save_note(taster_id=taster, serving_id=cup, stage="hot", text=text, at=at, note_id=note_id)
    return saved.note_id


# ---- share


def test_share_of_a_taster_holds_only_what_is_theirs(journal: Journal, tmp_path: Path) -> None:
    ids = furnish(journal)
    teo = furnish(journal, ("rose", "rose, tea", "leather"), name="Teo")
    other = note(journal, ids["taster"], teo["cup"], "at Teo's table")
    counts = share(journal, tmp_path / "ines", taster_id=ids["taster"])
    text = (tmp_path / "ines").read_text("ascii")
    assert counts["note"] == 4
    assert counts["taster"] == 1
    assert counts["tasting"] == 3
    assert counts["serving"] == 6
    assert counts["triad"] == 2
    assert "draft" not in counts
    assert other in text
    assert "at Teo's table" in text
    assert "leather" not in text.replace("Low leather", "")
    with Journal.open(":memory:") as educator:
        merged = collect(educator, tmp_path / "ines")
        assert merged.added == counts
        assert educator.notes() == journal.notes(ids["taster"])
        assert educator.score(ids["run"]) == journal.score(ids["run"])
        assert educator.drafts() == {}


def test_tasting_can_be_shared_whole_for_one_taster_or_blank(journal: Journal, tmp_path: Path) -> None:
    ids = furnish(journal)
    teo = journal.taster("Teo").id
    note(journal, teo, ids["cup"], "leather")
    furnish(journal, ("rose", "rose, tea", "clay"), name="Zoe")
    whole = share(journal, tmp_path / "whole", tasting_id=ids["tasting"])
    assert (whole["note"], whole["taster"], whole["serving"], whole["coffee"]) == (4, 2, 2, 1)
    assert "triangle_run" not in whole
    mine = share(journal, tmp_path / "mine", tasting_id=ids["tasting"], taster_id=teo)
    assert (mine["note"], mine["taster"], mine["serving"]) == (1, 1, 2)
    blank = share(journal, tmp_path / "blank", tasting_id=ids["tasting"], blank=True)
    assert blank == {"tasting": 1, "serving": 2, "stage_event": 2}
    assert "Low plum" not in (tmp_path / "blank").read_text("ascii")
    with Journal.open(":memory:") as other:
        collect(other, tmp_path / "blank")
        assert [cup.coffee_id for cup in other.servings(ids["tasting"])] == [None, None]


def test_sealed_run_is_not_shared(journal: Journal, tmp_path: Path) -> None:
    ids = furnish(journal)
    run(journal, ids["taster"], ids["low"], ids["high"], answers=1, note="sealed so far")
    assert share(journal, tmp_path / "file", taster_id=ids["taster"])["triangle_run"] == 1
    assert "sealed so far" not in (tmp_path / "file").read_text("ascii")


def test_share_needs_somebody_who_is_there(journal: Journal, tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="whose journal, or which tasting"):
        share(journal, tmp_path / "file")
    with pytest.raises(ValueError, match="no taster with the id 'unknown'"):
        share(journal, tmp_path / "file", taster_id="unknown")
    assert list(tmp_path.iterdir()) == []


# ---- collect


def test_repeated_collect_changes_nothing(journal: Journal, tmp_path: Path) -> None:
    with Journal.open(":memory:") as ines:
        ids = furnish(ines)
        share(ines, tmp_path / "file", taster_id=ids["taster"])
    first = collect(journal, tmp_path / "file")
    before = everything(journal)
    second = collect(journal, tmp_path / "file")
    assert everything(journal) == before
    assert (second.added, second.known, second.left_out) == ({}, sum(first.added.values()), ())


def test_edits_in_two_copies_both_stay_and_the_later_counts(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "one.db") as one:
        ids = furnish(one)
    shutil.copy(tmp_path / "one.db", tmp_path / "two.db")
    words = {"early": 10, "late": 20}
    for (text, minutes), name in zip(words.items(), ("one", "two"), strict=True):
        with Journal.open(tmp_path / f"{name}.db") as copy:
            note(copy, ids["taster"], ids["cup"], text, minutes, ids["note"])
            share(copy, tmp_path / name, taster_id=ids["taster"])
    for order in (["one", "two"], ["two", "one"]):
        with Journal.open(":memory:") as educator:
            for name in order:
                assert collect(educator, tmp_path / name).left_out == ()
            history = educator.revisions(ids["note"])
            assert [(one.revision, one.text) for one in history] == [
                (1, "plum"), (2, "plum, clove"), (3, "early"), (3, "late"),
            ]  # fmt: skip
            assert [one.text for one in educator.notes() if one.note_id == ids["note"]] == ["late"]
            frame = educator.notes_frame().set_index("note_id")
            assert list(frame.loc[[ids["note"]], "text"]) == ["late"]
            note(educator, ids["taster"], ids["cup"], "after", 30, ids["note"])
            assert educator.revisions(ids["note"])[-1].revision == 4


def test_same_name_is_kept_apart_and_stays_with_who_was_here(journal: Journal, tmp_path: Path) -> None:
    here = journal.taster("Ines").id
    ids = []
    for place in ("one", "two", "three"):
        with Journal.open(":memory:") as other:
            ids.append(furnish(other, name="Zoe" if place == "three" else "Ines")["taster"])
            share(other, tmp_path / place, taster_id=ids[-1])
        collect(journal, tmp_path / place)
    names = {taster.id: taster.name for taster in journal.tasters()}
    assert names == {here: "Ines", ids[0]: f"Ines ({ids[0][:8]})", ids[1]: f"Ines ({ids[1][:8]})", ids[2]: "Zoe"}
    assert journal.taster("Ines").id == here
    # Handed on, it goes by its own name.
    share(journal, tmp_path / "on", taster_id=ids[0])
    assert '"name": "Ines"' in (tmp_path / "on").read_text("ascii")


def test_labels_are_unlike_whatever_people_call_themselves() -> None:
    members = [("aaaaaaaa-1", "Ines"), ("bbbbbbbb-2", "ines"), ("cccccccc-3", "Ines (aaaaaaaa)"), ("dddddddd-4", "Teo")]
    labels = keep_apart(members, {"aaaaaaaa-1", "bbbbbbbb-2", "cccccccc-3", "dddddddd-4"})
    assert labels["dddddddd-4"] == "Teo"
    assert labels["aaaaaaaa-1"] == "Ines (aaaaaaaa)"
    assert labels["cccccccc-3"] == "Ines (aaaaaaaa) (cccccccc)"
    assert len({label.casefold() for label in labels.values()}) == 4
    assert keep_apart(labels.items(), set(labels)) == labels


def test_coffee_of_a_hidden_cup_is_filled_in_and_what_was_named_here_stays(journal: Journal, tmp_path: Path) -> None:
    ids = furnish(journal)
    share(journal, tmp_path / "blank", tasting_id=ids["tasting"], blank=True)
    with Journal.open(":memory:") as other:
        collect(other, tmp_path / "blank")
        coffee = other.coffee("Wrong Terrace").id
        ines = other.taster("Teo").id
        for cup in (ids["cup"], ids["hidden"]):
            other.name_serving(cup, coffee)
            note(other, ines, cup, "tea")
        share(other, tmp_path / "back", taster_id=ines)
    collect(journal, tmp_path / "back")
    assert {cup.id: cup.coffee_id for cup in journal.servings(ids["tasting"])} == {
        ids["cup"]: ids["low"],
        ids["hidden"]: coffee,
    }
    assert sorted(one.text for one in journal.notes()) == ["fig", "plum, clove", "tea", "tea"]


@pytest.mark.parametrize("answers", [0, 1])
@pytest.mark.parametrize("order", [["first", "second"], ["second", "first"], ["second", "first", "second"]])
@pytest.mark.parametrize("where", ["elsewhere", "here"])
def test_of_a_run_answered_in_two_copies_the_first_answers_count_and_the_rest_is_set_aside(
    tmp_path: Path, where: str, order: list[str], answers: int
) -> None:
    _, again = copied_run(tmp_path, answers)
    with Journal.open(tmp_path / "here.db" if where == "here" else ":memory:") as educator:
        locked = educator.answers(again) if where == "here" else []
        merges = [collect(educator, tmp_path / name) for name in order]
        assert [bool(merge.left_out) for merge in merges] == [False, True, True][: len(order)]
        assert merges[1].left_out == (
            f"The triangle run {again} was answered otherwise in another copy; what was answered first counts, "
            "what was answered here before all, and the rest is set aside.",
        )
        given = educator.answers(again)
        assert [one.odd_code for one in given][answers:] == ["852", "174"][answers:]
        assert given[: len(locked)] == locked
        assert sorted(one.detail for one in educator.run_events(again)) == ["first", "second"]
        (aside,) = everything(educator)["set_aside"]
        kept = json.loads(aside["content"])
        assert [row["odd_code"] for row in kept["answer"]][answers:] == ["306", "683"][answers:]
        assert aside["run_id"] == again
        assert educator.score(again)[1] == 2
        with educator._write() as session, pytest.raises(IntegrityError, match="append-only"):
            session.execute(sql("DELETE FROM set_aside"))


def test_answers_locked_here_are_never_moved(tmp_path: Path) -> None:
    _, again = copied_run(tmp_path)
    with Journal.open(tmp_path / "here.db") as educator:
        answer(educator, again, 0, 30)
        before = everything(educator)
        for name in ("second", "first"):
            assert collect(educator, tmp_path / name).left_out
        after = everything(educator)
        assert {name for name in after if after[name] != before[name]} == {"set_aside", "run_event"}
        assert len(after["set_aside"]) == 2
        # They are locked as before, though copies of the run are set aside.
        for table in ("answer", "triad", "triangle_run"):
            with educator._write() as session, pytest.raises(IntegrityError, match="append-only"):
                session.execute(sql(f"DELETE FROM {table}"))


def test_run_of_another_plan_is_left_out_and_said(tmp_path: Path) -> None:
    _, again = copied_run(tmp_path)
    head, *lines = [json.loads(line) for line in (tmp_path / "second").read_text("ascii").splitlines()]
    for line in lines:
        if line["table"] == "triangle_run" and line["row"]["id"] == again:
            line["row"]["nonce"] = "forged"
    seal(tmp_path / "forged", head, lines)
    with Journal.open(":memory:") as educator:
        collect(educator, tmp_path / "first")
        before = everything(educator)
        assert collect(educator, tmp_path / "forged").left_out
        after = everything(educator)
        assert {name for name in after if after[name] != before[name]} <= {"run_event"}


@pytest.mark.parametrize("order", [["older", "newer"], ["newer", "older"]])
def test_dropped_word_does_not_come_back(tmp_path: Path, order: list[str]) -> None:
    with Journal.open(":memory:") as ines:
        ids = furnish(ines)
        ines.add_personal_word(ids["taster"], "attic", "wood")
        share(ines, tmp_path / "older", taster_id=ids["taster"])
        ines.drop_personal_word(ids["taster"], "attic")
        share(ines, tmp_path / "newer", taster_id=ids["taster"])
        for back in (tmp_path / "older", tmp_path / "newer"):
            collect(ines, back)
            assert ines.personal_words(ids["taster"]) == {"attic plum, clove": "wood"}
        ines.add_personal_word(ids["taster"], "attic", "dust")
        assert ines.personal_words(ids["taster"])["attic"] == "dust"
    with Journal.open(":memory:") as educator:
        for name in order:
            collect(educator, tmp_path / name)
        assert educator.personal_words(ids["taster"]) == {"attic plum, clove": "wood"}


@pytest.mark.parametrize("column", ["text", "taster_id", "note_id"])
def test_file_cannot_change_a_note_that_is_here(journal: Journal, tmp_path: Path, column: str) -> None:
    ids = furnish(journal)
    with Journal.open(":memory:") as thief:
        share(journal, tmp_path / "table", tasting_id=ids["tasting"])
        collect(thief, tmp_path / "table")
        mallory = thief.taster("Mallory").id
        note(thief, mallory, ids["cup"], "theirs")
        share(thief, tmp_path / "forged", tasting_id=ids["tasting"])

    def forge(row: dict) -> dict:
        if row["note_id"] == ids["note"]:
            row |= {"text": "forged"} if column == "text" else {}
            row |= {"taster_id": mallory} if column == "taster_id" else {}
            row |= {"id": f"new {row['revision']}"} if column == "note_id" else {}
        return row

    reseal(tmp_path / "forged", forge)
    before = [one for one in everything(journal)["note"]]
    merged = collect(journal, tmp_path / "forged")
    assert merged.left_out
    after = {row["id"]: row for row in everything(journal)["note"]}
    assert [after[row["id"]] for row in before] == before
    assert [row["text"] for row in after.values() if row not in before] == ["theirs"]
    assert [one.text for one in journal.revisions(ids["note"])] == ["plum", "plum, clove"]


def reseal(path: Path, change) -> None:
    """Change the notes of a shared file, and make the checksum fit: it protects from damage, not from forgers."""
    head, *lines = [json.loads(line) for line in path.read_text("ascii").splitlines()]
    for line in lines:
        if line["table"] == "note":
            line["row"] = change(line["row"])
    seal(path, head, lines)


def seal(path: Path, head: dict, lines: list[dict]) -> None:
    body = "".join(json.dumps(line) + "\n" for line in lines)
    head["sha256"] = hashlib.sha256(body.encode("ascii")).hexdigest()
    path.write_text(json.dumps(head) + "\n" + body, "ascii")


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "Line 1 is not JSON"),
        (b"PK\x03\x04", "Line 1 is not JSON"),
        (b"[" * 100_000, "Line 1 is not JSON"),
        (b'{"redolent": "other"}\n', "does not begin as a file made by redolent share or export"),
        (b'{"redolent": ["share"]}\n', "does not begin as"),
        (b'{"redolent": "share", "version": 2}\n', "newer version"),
        (b'{"redolent": "share", "version": 1, "sha256": "0"}\n{}\n', "is damaged"),
    ],
)
def test_what_is_no_shared_file_is_refused(journal: Journal, tmp_path: Path, content: bytes, said: str) -> None:
    (tmp_path / "file").write_bytes(content)
    with pytest.raises(ValueError, match=said):
        collect(journal, tmp_path / "file")
    assert not any(everything(journal).values())


def test_forgotten_taster_does_not_come_back(journal: Journal, tmp_path: Path) -> None:
    with Journal.open(":memory:") as ines:
        ids = furnish(ines)
        note(ines, ines.taster("Teo").id, furnish(ines, ("a", "b", "c"), name="Teo")["cup"], "tea")
        share(ines, tmp_path / "ines", taster_id=ids["taster"])
        share(ines, tmp_path / "teo", taster_id=ines.taster("Teo").id)
    collect(journal, tmp_path / "ines")
    journal.forget(ids["taster"])
    before = everything(journal)
    merged = collect(journal, tmp_path / "ines")
    assert everything(journal) == before
    assert merged.forgotten > 5
    assert collect(journal, tmp_path / "teo").added["note"] == 4
    assert [taster.name for taster in journal.tasters()] == ["Teo"]


# ---- on either engine


def test_notes_come_in_and_go_out_on_either_engine(place: str, tmp_path: Path) -> None:
    (tmp_path / "notes.csv").write_text("date,coffee,notes\n2026-03-01,Ridge,plum\n2026-03-01,,nul \0\n")
    with Journal.open(":memory:") as other:
        ids = furnish(other)
        share(other, tmp_path / "ines", taster_id=ids["taster"])
    with Journal.open(place) as journal:
        ids = furnish(journal, ("=1+1", "\0", "\ud800"))
        plan = make_plan(tmp_path / "notes.csv", Choices(taster="Ines", stage="hot"))
        assert land(journal, plan).new == 2
        assert land(journal, plan).known == 2
        assert collect(journal, tmp_path / "ines").left_out == ()
        before = everything(journal)
        assert collect(journal, tmp_path / "ines").added == {}
        assert everything(journal) == before
        run(journal, ids["taster"], ids["low"], ids["high"], answers=1)
        assert export(journal, tmp_path / "out")["sealed"] == 1
        with Journal.open(":memory:") as back:
            restore(back, tmp_path / "out")
            assert everything(back) == before


# ---- hostile cells, behind a checksum that fits

anything = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(),
        st.sampled_from([2**31, 2**62, -(2**63), 10**400, 0.5, -1.0, 1e308, float("nan"), float("inf")]),
        st.text(max_size=20),
        st.sampled_from(["", "=1", "<script>", "../x", "x" * 2_000_000]),
        st.sampled_from(["0001-01-01T00:00:00.000000Z", "9999-12-31T23:59:59.999999Z"]),
    ),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=5), inner, max_size=3)),
    max_leaves=5,
)


@pytest.fixture(scope="module")
def shared_lines(tmp_path_factory: pytest.TempPathFactory) -> list[dict]:
    path = tmp_path_factory.mktemp("shared") / "file"
    with Journal.open(":memory:") as journal:
        share(journal, path, taster_id=furnish(journal)["taster"])
    return [json.loads(line) for line in path.read_text("ascii").splitlines()]


@settings(max_examples=80, derandomize=True, database=None, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_any_cell_of_a_shared_file_ends_in_a_sentence_or_a_journal_that_reads(
    tmp_path: Path, shared_lines: list[dict], data: st.DataObject
) -> None:
    head, *lines = json.loads(json.dumps(shared_lines))
    for _ in range(data.draw(st.integers(1, 3))):
        row = data.draw(st.sampled_from(lines))["row"]
        row[data.draw(st.sampled_from([*row, "other"]))] = data.draw(anything)
    seal(tmp_path / "file", head, lines)
    with Journal.open(":memory:") as journal:
        try:
            collect(journal, tmp_path / "file")
        except ValueError as error:
            assert len(str(error)) < 500  # noqa: PT017
            assert not any(everything(journal).values())
            return
        frame, runs = journal.notes_frame(), journal.runs_frame()
        assert len(frame) == len(journal.notes()) == len(set(frame["note_id"]))
        assert len(runs) == len(journal.runs())
        assert [journal.score(run.id) for run in journal.runs()]
        assert journal.tastings()
        assert journal.servings()
        assert [journal.open_plan(plan.tasting_id) for plan in journal.plans()]
        for taster in journal.tasters():
            assert journal.personal_words(taster.id)


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("setup", "plum"),
        ("setup", "[]"),
        ("setup", "[" * 100_000),
        ("coffees", "7"),
        ("coffees", "[7]"),
        ("key", '"AB"'),
        ("blinding", "none"),
    ],
)
def test_plan_that_nobody_could_read_is_refused(
    tmp_path: Path, shared_lines: list[dict], column: str, value: str
) -> None:
    head, *lines = json.loads(json.dumps(shared_lines))
    next(line["row"] for line in lines if line["table"] == "tasting_plan")[column] = value
    seal(tmp_path / "file", head, lines)
    with Journal.open(":memory:") as journal:
        with pytest.raises(ValueError, match=r"is no JSON|holds what no plan does"):
            collect(journal, tmp_path / "file")
        assert journal.plans() == []


# ---- any merges of any subset in any order


@pytest.fixture(scope="module")
def class_files(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Path]]:
    """An educator's journal, and what its class hands in: namesakes, copies, common tables, contrary coffees."""
    place = tmp_path_factory.mktemp("class")
    files: list[Path] = []

    def hand_in(journal: Journal, **what: str) -> None:
        files.append(place / f"{len(files)}.jsonl")
        share(journal, files[-1], **what)

    with Journal.open(place / "educator.db") as educator:
        ids = furnish(educator)
        share(educator, place / "blank", tasting_id=ids["tasting"], blank=True)
        # Runs of the educator's own: one that is answered here, one that is begun, one that is planned.
        begun = [run(educator, ids["taster"], ids["low"], ids["high"], answers=answers) for answers in (2, 1, 0)]
    for number in range(3):
        copy = place / f"educator-{number}.db"
        shutil.copy(place / "educator.db", copy)
        with Journal.open(copy) as elsewhere:
            for planned in begun:
                answer(elsewhere, planned, number, 60 - number)
            if number == 2:
                elsewhere.drop_personal_word(ids["taster"], "attic plum, clove")
            hand_in(elsewhere, taster_id=ids["taster"])
    for name in ("Ines", "Ines", "Teo"):
        first, second = place / f"{len(files)}.db", place / f"{len(files)}-copy.db"
        with Journal.open(first) as one:
            collect(one, place / "blank")
            own = furnish(one, (f"{name} {len(files)}", "quince", "fig"), name=name)
            for cup in (ids["cup"], ids["hidden"]):
                note(one, own["taster"], cup, "at the class table")
                one.name_serving(cup, own["low"])
            # Everybody puts one more cup on the table, and calls it the same.
            more = one.add_serving(ids["tasting"], code="999", coffee_id=own["high"]).id
            note(one, own["taster"], more, "one more")
            one.add_personal_word(own["taster"], "cellar", "wood")
            hand_in(one, taster_id=own["taster"])
            contested = run(one, own["taster"], own["low"], own["high"], answers=0)
        shutil.copy(first, second)
        for minutes, path in ((40, first), (30, second)):
            with Journal.open(path) as copy:
                note(copy, own["taster"], own["cup"], f"edited after {minutes}", minutes, own["note"])
                copy.add_personal_word(own["taster"], "attic", f"meaning {minutes}")
                run(copy, own["taster"], own["low"], own["high"], note=str(minutes))
                answer(copy, contested, minutes // 20, minutes, stop=minutes == 30)
                copy.record_run_event(contested, "prepared", str(minutes), at=NOON)
                if minutes == 40:
                    copy.drop_personal_word(own["taster"], "cellar")
                hand_in(copy, taster_id=own["taster"])
                if minutes == 30:
                    hand_in(copy, tasting_id=ids["tasting"])
    return place / "educator.db", files


@settings(
    max_examples=SEQUENCES, derandomize=True, database=None, deadline=None, suppress_health_check=list(HealthCheck)
)
@given(data=st.data())
def test_any_sequence_of_merges_of_a_subset_ends_in_the_same_journal(class_files, data: st.DataObject) -> None:
    start, files = class_files
    subset = data.draw(st.lists(st.sampled_from(files), min_size=1, max_size=len(files), unique=True))
    again = data.draw(st.lists(st.sampled_from(subset), max_size=4))
    one = data.draw(st.permutations(subset))
    two = data.draw(st.permutations(subset + again))
    event(f"{len(subset)} files")
    with tempfile.TemporaryDirectory() as place:
        ends = []
        for name, sequence in (("one.db", one), ("two.db", two)):
            shutil.copy(start, Path(place, name))
            with Journal.open(Path(place, name)) as journal:
                start_rows = everything(journal)
                before = {table: {row["id"]: row for row in start_rows[table]} for table in ("note", "triad", "answer")}
                for file in sequence:
                    said = collect(journal, file).left_out
                    assert all("was answered otherwise in another copy" in sentence for sentence in said)
                ends.append(everything(journal))
        assert ends[0] == ends[1]
        for table, rows in before.items():
            after = {row["id"]: row for row in ends[0][table]}
            assert {key: after[key] for key in rows} == rows
