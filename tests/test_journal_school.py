"""A school's journal on PostgreSQL: real logins, each of which sees what is theirs."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from copied import copied_run
from furnished import furnish
from hardship import in_forks
from server import execute
from sqlalchemy import URL, make_url
from sqlalchemy.exc import DBAPIError
from typer.testing import CliRunner
from writers import texts, write

from redolent.cli.app import app
from redolent.journal import Journal, JournalError, Note, Plan, Run
from redolent.journal.check import check
from redolent.journal.collect import collect, restore
from redolent.journal.export import FORMATS, export
from redolent.journal.migration import _known
from redolent.journal.roles import login_of
from redolent.journal.schema import SEALED_DRAFT, Base, Taster
from redolent.journal.shared import share

pytestmark = pytest.mark.postgresql

CODES = [("417", "852", "306"), ("529", "174", "683")]
REFUSED = "this login may not do that; ask the administrator"


@dataclass
class School:
    """A journal with two tasters, and a login for each, for an educator and for the administrator."""

    administrator: URL
    ines: URL
    teo: URL
    educator: URL
    ids: dict[str, str]
    cup: str


@pytest.fixture
def school(new_school: Callable[[], URL]) -> Iterator[School]:
    url = new_school()
    with Journal.open(plain(url)) as journal:
        ids = {name: journal.taster(name).id for name in ("Ines", "Teo")}
        cup = journal.add_serving(journal.start_tasting("Class").id, code="417").id
        ines, teo, educator = (make_url(journal.add_login(one)) for one in (ids["Ines"], ids["Teo"], None))
    yield School(url, ines, teo, educator, ids, cup)
    execute(url.set(database="postgres"), f"DROP DATABASE {url.database} WITH (FORCE)")
    for login in (ines, teo, educator):
        execute(url.set(database="postgres"), f'DROP ROLE IF EXISTS "{login.username}"')


def plain(url: URL) -> str:
    return url.render_as_string(hide_password=False)


def write_note(journal: Journal, school: School, taster: str, text: str) -> Note:
    return journal.save_note(taster_id=school.ids[taster], serving_id=school.cup, stage="hot", text=text)


def start_run(journal: Journal, school: School, taster: str, **more: object) -> Run:
    plan = {
        "coffee_a_id": journal.coffee("Low").id,
        "coffee_b_id": journal.coffee("High").id,
        "alpha": 0.05,
        "blinding": "helper",
        "orders": ["AAB", "BAB"],
        "codes": CODES,
        "commitment": "c0ffee",
        "nonce": "a secret nonce",
    }
    return journal.start_run(taster_id=school.ids[taster], **plan | more)


def plan_tasting(journal: Journal, school: School, taster: str) -> Plan:
    return journal.plan_tasting(
        taster_id=school.ids[taster], name="Saturday", blinding="helper",
        coffees=[journal.coffee(name).id for name in ("Low", "High")], codes=["217", "538", "846"],
        key={"order": "ABA"}, commitment="c0ffee", nonce="a secret nonce",
    )  # fmt: skip


def test_the_key_of_a_tasting_stays_with_the_server_until_its_taster_reveals_it(school: School) -> None:
    with Journal.open(plain(school.ines)) as journal:
        made = plan_tasting(journal, school, "Ines")
        # Whoever drew it writes the pourer's sheet; nobody is handed it again.
        assert journal.pourer_plan(made.tasting_id).key == {"order": "ABA"}
    with Journal.open(plain(school.ines)) as journal:
        with pytest.raises(ValueError, match="until the reveal; until then it is on the pourer"):
            journal.pourer_plan(made.tasting_id)
        assert "permission denied" in refused(school.ines, "SELECT key FROM tasting_plan")
        assert "permission denied" in refused(school.ines, "UPDATE tasting_plan SET revealed_at = now()")
        for login in (school.teo, school.educator):
            assert "only its own taster" in refused(login, f"SELECT redolent_reveal('{made.id}', localtimestamp, 0)")
        assert journal.unblind_tasting(made.tasting_id).blinding == "not blind"
        assert journal.reveal_tasting(made.tasting_id).revealed_at is not None
        a, b = made.coffees
        assert [cup.coffee_id for cup in journal.servings(made.tasting_id)] == [a, b, a]
        assert journal.open_plan(made.tasting_id).nonce == "a secret nonce"
    with Journal.open(plain(school.educator)) as journal:
        assert journal.open_plan(made.tasting_id).key == {"order": "ABA"}
    assert "append-only" in refused(school.administrator, "UPDATE tasting_plan SET blinding = 'helper'")


def refused(url: URL, statement: str) -> str:
    """Run a statement that must fail; give what the server says."""
    with pytest.raises(DBAPIError) as caught:
        execute(url, statement)
    return str(caught.value.orig)


# ---- rows


def test_tasters_see_their_own_rows_and_the_educator_all(school: School) -> None:
    with Journal.open(plain(school.ines)) as ines, Journal.open(plain(school.teo)) as teo:
        fig = write_note(ines, school, "Ines", "fig")
        plum = write_note(teo, school, "Teo", "plum")
        revised = write_note(ines, school, "Ines", "dried fig")
        ines.add_personal_word(school.ids["Ines"], "attic", "outdoors/workshop")
        run = start_run(ines, school, "Ines")
        ines.answer(ines.next_triad(run.id).id, odd_code="306")
        assert ines.notes() == [revised, fig]
        assert teo.notes() == [plum]
        assert [taster.name for taster in ines.tasters()] == ["Ines"]
        assert (teo.runs(), teo.answers(run.id), teo.personal_words(school.ids["Ines"])) == ([], [], {})
        assert list(teo.notes_frame()["text"]) == ["plum"]
        with pytest.raises(ValueError, match="no triangle run with the id"):
            teo.next_triad(run.id)
    with Journal.open(plain(school.educator)) as educator:
        assert [note.text for note in educator.notes()] == ["dried fig", "plum", "fig"]
        assert [taster.name for taster in educator.tasters()] == ["Ines", "Teo"]
        assert [one.id for one in educator.runs()] == [run.id]
        assert len(educator.answers(run.id)) == 1


def test_nobody_writes_as_somebody_else(school: School) -> None:
    with Journal.open(plain(school.ines)) as ines:
        with pytest.raises(ValueError, match="no taster with the id"):
            write_note(ines, school, "Teo", "forged")
        with pytest.raises(JournalError, match=REFUSED):
            ines.taster("Somebody new")
    forged = (
        "INSERT INTO note (id, note_id, revision, taster_id, serving_id, stage, text, coached, at, utc_offset) "
        f"VALUES ('n', 'n', 1, '{school.ids['Teo']}', '{school.cup}', 'hot', 'forged', false, now(), 0)"
    )
    assert "row-level security policy" in refused(school.ines, forged)
    with Journal.open(plain(school.administrator)) as journal:
        assert journal.notes() == []


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE note SET text = 'other'",
        "DELETE FROM note",
        "UPDATE taster SET name = 'other'",
        "INSERT INTO answer VALUES ('a', 't', '417', false, '', now(), 0)",
        "UPDATE triangle_run SET alpha = 0.5",
        "DELETE FROM triad",
        "TRUNCATE note CASCADE",
        "DROP TABLE note",
        "ALTER TABLE note DISABLE ROW LEVEL SECURITY",
        "CREATE TABLE mine (x int)",
        "SELECT * FROM tombstone",
        "UPDATE alembic_version SET version_num = '9999'",
        "DROP POLICY taster ON note",
        "SET ROLE school_administrator",
        "SET ROLE redolent_educator",
    ],
)
def test_login_of_a_taster_cannot(school: School, statement: str) -> None:
    assert re.search("permission denied|must be owner", refused(school.ines, statement))


def test_setting_another_name_for_the_session_does_not_help(school: School) -> None:
    with Journal.open(plain(school.teo)) as teo:
        write_note(teo, school, "Teo", "plum")
    for pretence in ("SET SESSION AUTHORIZATION school_administrator", f'SET ROLE "{school.teo.username}"'):
        assert "permission denied" in refused(school.ines, pretence)
    # Once as oneself, and with a table of one's own in the way of the functions' names.
    assert execute(school.ines, "SELECT text FROM note") == []


def test_coffee_of_a_cup_is_named_once(school: School) -> None:
    with Journal.open(plain(school.ines)) as ines:
        low = ines.name_serving(school.cup, ines.coffee("Low").id)
    with Journal.open(plain(school.teo)) as teo:
        assert teo.servings() == [low]
        high = teo.coffee("High").id
    for statement in (f"UPDATE serving SET coffee_id = '{high}'", "UPDATE serving SET coffee_id = NULL"):
        assert "serving is append-only" in refused(school.teo, statement)
    assert "permission denied" in refused(school.teo, "UPDATE serving SET code = '999'")


def test_row_security_binds_the_owner_of_the_tables_too(school: School) -> None:
    rows = execute(
        school.administrator,
        "SELECT relname, relrowsecurity, relforcerowsecurity FROM pg_class WHERE relkind = 'r' "
        "AND relnamespace = 'public'::regnamespace AND relname <> 'alembic_version'",
    )
    assert {name for name, _, _ in rows} == set(Base.metadata.tables)
    assert all(on and forced for _, on, forced in rows)


def test_drafts_are_their_writers_own(school: School) -> None:
    with Journal.open(plain(school.ines)) as ines, Journal.open(plain(school.teo)) as teo:
        ines.save_draft("notes panel", "half a fig")
        teo.save_draft("notes panel", "half a plum")
        write_note(ines, school, "Ines", "fig")
        assert (ines.drafts(), teo.drafts()) == ({"notes panel": "half a fig"}, {"notes panel": "half a plum"})
        assert len(execute(school.ines, "SELECT key FROM draft")) == 1
        with Journal.open(plain(school.educator)) as educator:
            assert educator.drafts() == {}
        assert execute(school.educator, "SELECT key FROM draft") == []


# ---- what is sealed


def test_key_is_read_by_nobody_before_the_run_is_over(school: School) -> None:
    with Journal.open(plain(school.ines)) as ines:
        run = start_run(ines, school, "Ines")
        # The program that drew has seen it, and hands it to whoever pours.
        assert ines.pourer_key(run.id).orders == ("AAB", "BAB")
    for login in (school.ines, school.educator):
        assert "permission denied" in refused(login, 'SELECT "order" FROM triad')
        assert "permission denied" in refused(login, "SELECT nonce FROM triangle_run")
        assert "permission denied" in refused(login, "SELECT * FROM triad")
        # Nor by asking which rows fit a guess.
        assert "permission denied" in refused(login, """SELECT number FROM triad WHERE "order" = 'AAB'""")
        assert execute(login, "SELECT * FROM redolent_open_triads()") == []
        assert execute(login, "SELECT * FROM redolent_open_runs()") == []
        with Journal.open(plain(login)) as journal:
            with pytest.raises(JournalError, match=REFUSED):
                journal.pourer_key(run.id)
            with pytest.raises(ValueError, match="key stays sealed"):
                journal.open_key(run.id)
    with Journal.open(plain(school.ines)) as ines:
        for code in ("306", "529"):
            ines.answer(ines.next_triad(run.id).id, odd_code=code)
        assert ines.score(run.id) == (1, 2)
        assert ines.open_key(run.id).nonce == "a secret nonce"
        assert list(ines.runs_frame()["correct"]) == [1]
    with Journal.open(plain(school.educator)) as educator:
        assert educator.open_key(run.id).orders == ("AAB", "BAB")
    with Journal.open(plain(school.teo)) as teo:
        assert teo.runs_frame().empty
    assert execute(school.teo, "SELECT * FROM redolent_open_triads()") == []


def test_answers_go_through_the_function_alone_and_once(school: School) -> None:
    with Journal.open(plain(school.ines)) as ines:
        run = start_run(ines, school, "Ines")
        first = ines.next_triad(run.id)
    answer = "SELECT redolent_answer('{}', '{}', '{}', false, '', now()::timestamp, 0)"
    second = execute(school.ines, "SELECT id FROM triad WHERE number = 2")[0][0]
    assert "only its own taster answers" in refused(school.teo, answer.format("x", first.id, "306"))
    assert "only its own taster answers" in refused(school.educator, answer.format("x", first.id, "306"))
    assert "the triad is locked" in refused(school.ines, answer.format("x", second, "529"))
    assert "the triad is locked" in refused(school.ines, answer.format("x", first.id, "999"))
    execute(school.ines, answer.format("x", first.id, "306"))
    assert "the triad is locked" in refused(school.ines, answer.format("y", first.id, "417"))
    with Journal.open(plain(school.ines)) as ines:
        assert [(one.number, one.odd_code) for one in ines.answers(run.id)] == [(1, "306")]


def test_self_reported_run_goes_its_way(school: School) -> None:
    with Journal.open(plain(school.ines)) as ines:
        run = start_run(ines, school, "Ines", blinding="self-reported", orders=[None, None])
        for code in ("306", "529"):
            ines.answer(ines.next_triad(run.id).id, odd_code=code)
            triad = ines.unentered_triad(run.id)
            ines.enter_order(triad.id, "AAB")
            with pytest.raises(ValueError, match="is known and stays"):
                ines.enter_order(triad.id, "BBA")
        assert ines.score(run.id) == (1, 2)
    update = f"""UPDATE triad SET "order" = 'BBA' WHERE id = '{triad.id}'"""
    for login in (school.ines, school.administrator):
        assert "triad is append-only" in refused(login, update)


def test_not_even_the_administrator_changes_a_note(school: School) -> None:
    with Journal.open(plain(school.ines)) as ines:
        write_note(ines, school, "Ines", "fig")
    for statement in ("UPDATE note SET text = 'other'", "DELETE FROM note"):
        assert "note is append-only" in refused(school.administrator, statement)


# ---- out, in, and between people


def open_as(url: URL) -> Journal:
    return Journal.open(plain(url))


def finish_run(journal: Journal, school: School, taster: str) -> Run:
    run = start_run(journal, school, taster)
    while triad := journal.next_triad(run.id):
        journal.answer(triad.id, odd_code=triad.codes[0])
    return run


def fill_school(school: School) -> tuple[Run, Run, str]:
    """Let Ines finish a run, begin another and plan a tasting, and both write a note."""
    with open_as(school.ines) as ines, open_as(school.teo) as teo:
        write_note(ines, school, "Ines", "fig")
        write_note(teo, school, "Teo", "plum of Teo's own")
        ines.save_draft("pad", "half")
        return finish_run(ines, school, "Ines"), start_run(ines, school, "Ines"), plan_tasting(ines, school, "Ines").id


def test_taster_exports_and_shares_what_is_theirs(school: School, tmp_path: Path) -> None:
    finished, begun, plan = fill_school(school)
    with open_as(school.ines) as ines:
        counts = export(ines, tmp_path / "all.jsonl", "jsonl")
        share(ines, tmp_path / "ines", taster_id=school.ids["Ines"])
        assert counts["note"] == counts["taster"] == counts["triangle_run"] == 1
        assert counts["sealed"] == 2
        expected = ines.score(finished.id), ines.open_key(finished.id), ines.notes()
        with pytest.raises(ValueError, match="no taster with the id"):
            share(ines, tmp_path / "teo", taster_id=school.ids["Teo"])
    for name in ("all.jsonl", "ines"):
        text = (tmp_path / name).read_text("ascii")
        assert "plum" not in text
        assert school.ids["Teo"] not in text
        assert begun.id not in text
        assert plan not in text
    with Journal.open(":memory:") as own:
        restore(own, tmp_path / "all.jsonl")
        assert (own.score(finished.id), own.open_key(finished.id), own.notes()) == expected
    with open_as(school.educator) as educator:
        assert collect(educator, tmp_path / "ines").added == {}


def test_educator_exports_and_shares_all_that_is_open(school: School, tmp_path: Path) -> None:
    _, begun, plan = fill_school(school)
    with open_as(school.educator) as educator, open_as(school.administrator) as administrator:
        counts = export(educator, tmp_path / "educator", "csv")
        assert (counts["note"], counts["taster"], counts["triangle_run"], counts["sealed"]) == (2, 2, 1, 2)
        # The administrator's holds the drafts of all, and the same otherwise.
        assert export(administrator, tmp_path / "administrator", "csv") == counts | {"draft": 1}
        for one in school.ids.values():
            assert share(educator, tmp_path / one, taster_id=one)["note"] == 1
    written = b"".join(file.read_bytes() for file in (tmp_path / "educator").iterdir())
    assert b"fig" in written
    assert b"plum" in written
    assert begun.id.encode() not in written
    assert plan.encode() not in written


@pytest.mark.parametrize("format", FORMATS)
def test_key_of_jars_that_wait_leaves_the_server_with_nobody(school: School, tmp_path: Path, format: str) -> None:
    secret = "the-nonce-of-the-jars"
    with open_as(school.ines) as ines, open_as(school.educator) as educator:
        ines.save_draft(f"{SEALED_DRAFT}{school.ids['Ines']}", secret)
        ines.save_draft("pad", "half a fig")
        educator.save_draft(f"{SEALED_DRAFT}{school.ids['Teo']}", secret)
    logins = {"ines": (school.ines, 1, 1), "educator": (school.educator, 0, 1), "teo": (school.teo, 0, 0)}
    for name, (login, drafts, sealed) in (logins | {"administrator": (school.administrator, 1, 2)}).items():
        place = tmp_path / name
        with open_as(login) as journal:
            counts = export(journal, place, format)
            assert (counts["draft"], counts["sealed"]) == (drafts, sealed), name
        written = b"".join(file.read_bytes() for file in (place.iterdir() if place.is_dir() else [place]))
        assert secret.encode() not in written, name
        assert (b"half a fig" in written) == bool(drafts)
    with open_as(school.ines) as ines:
        assert ines.drafts()[f"{SEALED_DRAFT}{school.ids['Ines']}"] == secret


def test_educator_collects_and_a_taster_does_not(school: School, tmp_path: Path) -> None:
    with Journal.open(":memory:") as ines:
        ids = furnish(ines, name="Ines")
        share(ines, tmp_path / "ines", taster_id=ids["taster"])
    with open_as(school.educator) as educator:
        first = collect(educator, tmp_path / "ines")
        assert first.added["note"] == 3
        assert collect(educator, tmp_path / "ines").added == {}
        assert {taster.name for taster in educator.tasters()} == {"Ines", "Teo", f"Ines ({ids['taster'][:8]})"}
        assert educator.score(ids["run"])[1] == 2
    with open_as(school.ines) as ines, pytest.raises(JournalError, match=REFUSED):
        collect(ines, tmp_path / "ines")
    with open_as(school.administrator) as administrator:
        administrator.forget(ids["taster"])
    with open_as(school.educator) as educator:
        assert collect(educator, tmp_path / "ines").forgotten > 5


def test_educator_imports_an_export_with_its_drafts(school: School, tmp_path: Path) -> None:
    with Journal.open(":memory:") as own:
        ids = furnish(own, name="Zoe")
        drafts = own.drafts()
        export(own, tmp_path / "own", "csv")
    with open_as(school.educator) as educator:
        assert restore(educator, tmp_path / "own").added["note"] == 3
        assert educator.drafts() == drafts
        assert restore(educator, tmp_path / "own").added == {}
        assert educator.score(ids["run"])[1] == 2
    with open_as(school.ines) as ines:
        assert ines.drafts() == {}


@pytest.mark.parametrize("order", [["first", "second"], ["second", "first"]])
def test_educator_weighs_copies_of_a_run(school: School, tmp_path: Path, order: list[str]) -> None:
    _, again = copied_run(tmp_path)
    with open_as(school.educator) as educator:
        for name in order:
            collect(educator, tmp_path / name)
        assert [one.odd_code for one in educator.answers(again)] == ["852", "174"]
    ((run_id, content),) = execute(school.educator, "SELECT run_id, content FROM set_aside")
    assert run_id == again
    assert '"odd_code": "306"' in content
    # What is set aside stays, and so does a run of the school's own.
    with open_as(school.ines) as ines:
        finish_run(ines, school, "Ines")
    for statement in ("DELETE FROM answer WHERE triad_id IN (SELECT id FROM triad WHERE run_id <> '{}')",):
        assert "append-only" in refused(school.educator, statement.format(again))
    assert "append-only" in refused(school.administrator, "DELETE FROM set_aside")
    assert execute(school.ines, "SELECT * FROM set_aside") == []


def test_educator_names_a_collected_cup_again_and_no_other(school: School, tmp_path: Path) -> None:
    with open_as(school.ines) as ines:
        low, high = (ines.coffee(name).id for name in ("Low", "High"))
        ines.name_serving(school.cup, low)
    with Journal.open(":memory:") as other:
        ids = furnish(other, name="Zoe")
        share(other, tmp_path / "zoe", taster_id=ids["taster"])
    with open_as(school.educator) as educator:
        collect(educator, tmp_path / "zoe")
    execute(school.educator, f"UPDATE serving SET coffee_id = '{high}' WHERE id = '{ids['cup']}'")
    assert "append-only" in refused(
        school.educator, f"UPDATE serving SET coffee_id = '{high}' WHERE id = '{school.cup}'"
    )
    assert "append-only" in refused(school.teo, f"UPDATE serving SET coffee_id = '{low}' WHERE id = '{ids['cup']}'")


@pytest.mark.parametrize(
    "statement",
    ["INSERT INTO collected VALUES ('x')", "INSERT INTO set_aside VALUES ('x', 'y', 'z', '{}')", "DELETE FROM answer"],
)
def test_taster_marks_nothing_as_collected(school: School, statement: str) -> None:
    assert "permission denied" in refused(school.ines, statement)


# ---- the administrator's work


def run_command(*arguments: str) -> tuple[int, str]:
    done = CliRunner().invoke(app, ["journal", *arguments])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done.exit_code, done.output


def test_only_the_administrator_migrates(school: School, administrator: URL) -> None:
    execute(administrator, "CREATE DATABASE empty_school TEMPLATE template0")
    empty = administrator.set(database="empty_school")
    try:
        with pytest.raises(JournalError, match="has no tables yet; its administrator runs: redolent journal migrate"):
            Journal.open(plain(empty))
        code, said = run_command("migrate", "--journal", plain(empty))
        assert (code, said) == (0, f"The journal's schema is {_known()[0]}.\n")
        code, said = run_command("login", "Ines", "--journal", plain(empty))
        assert code == 0
        with Journal.open(said.strip().removeprefix("REDOLENT_JOURNAL=")) as journal:
            (ines,) = journal.tasters()
        assert make_url(said.strip().partition("=")[2]).username == login_of(ines.id)
        assert run_command("check", "--journal", plain(empty))[0] == 0
    finally:
        execute(administrator, "DROP DATABASE empty_school WITH (FORCE)")
        execute(administrator, f'DROP ROLE "{login_of(ines.id)}"')
    for login in (school.ines, school.educator):
        code, said = run_command("migrate", "--journal", plain(login))
        assert (code, said.rpartition(": ")[2]) == (1, f"{REFUSED} of the journal.\n")
        with Journal.open(plain(login)) as journal, pytest.raises(JournalError, match=REFUSED):
            journal.add_login()


def test_older_and_newer_journals_are_not_written(school: School) -> None:
    execute(school.administrator, "UPDATE alembic_version SET version_num = '0001'")
    with pytest.raises(JournalError, match=r"of an older version \(its schema is 0001\); its administrator runs"):
        Journal.open(plain(school.ines))
    execute(school.administrator, "UPDATE alembic_version SET version_num = '9999'")
    with Journal.open(plain(school.ines)) as journal:
        assert journal.notes() == []
        with pytest.raises(JournalError, match="written by a newer version"):
            journal.save_draft("pad", "fig")


def test_migrating_again_changes_nothing(school: School) -> None:
    query = "SELECT tablename, policyname, roles::text, qual, with_check FROM pg_policies ORDER BY 1, 2"
    before = execute(school.administrator, query)
    assert run_command("migrate", "--journal", plain(school.administrator))[0] == 0
    assert execute(school.administrator, query) == before
    assert len(before) == 3 * len(Base.metadata.tables)


def test_id_that_somebody_made_up_takes_over_no_login(school: School, tmp_path: Path) -> None:
    # A shared file may hold any id; this one would make the login of Ines, and what it wrote be hers.
    forged = school.ids["Ines"].replace("-", "")
    with Journal.open(":memory:") as mallory:
        with mallory._write() as session:
            session.add(Taster(id=forged, name="Mallory"))
        cup = mallory.add_serving(mallory.start_tasting().id, code="417").id
        mallory.save_note(taster_id=forged, serving_id=cup, stage="hot", text="forged")
        share(mallory, tmp_path / "mallory", taster_id=forged)
    with open_as(school.educator) as educator:
        assert collect(educator, tmp_path / "mallory").added["note"] == 1
    code, said = run_command("login", "Mallory", "--journal", plain(school.administrator))
    assert code == 1
    assert "makes no login" in said
    with open_as(school.ines) as ines:
        assert [taster.name for taster in ines.tasters()] == ["Ines"]
        assert ines.notes() == []
    with open_as(school.administrator) as administrator:
        administrator.forget(forged)
    with open_as(school.ines) as ines:
        assert write_note(ines, school, "Ines", "fig").text == "fig"


def test_who_is_forgotten_loses_the_login(school: School) -> None:
    with Journal.open(plain(school.ines)) as ines:
        write_note(ines, school, "Ines", "fig")
        start_run(ines, school, "Ines")
    with Journal.open(plain(school.educator)) as educator, pytest.raises(JournalError, match=REFUSED):
        educator.forget(school.ids["Ines"])
    with Journal.open(plain(school.administrator)) as journal:
        journal.forget(school.ids["Ines"])
        assert [taster.name for taster in journal.tasters()] == ["Teo"]
        assert (journal.notes(), journal.runs()) == ([], [])
    with pytest.raises(JournalError, match="cannot be used"):
        Journal.open(plain(school.ines))


def test_password_is_never_said(school: School) -> None:
    with pytest.raises(JournalError) as caught:
        Journal.open(plain(school.ines.set(password="wrong-password-1")))
    assert "wrong-password-1" not in str(caught.value)
    assert "\n" not in str(caught.value)


# ---- together


def test_writers_at_once_lose_no_note(school: School) -> None:
    said, _ = write(plain(school.administrator), writers=8, notes=20)
    assert not [line for line in said if "Error" in line]
    found, revisions, tasters = texts(plain(school.administrator))
    assert found == said | {"shared"}
    assert len(said) == 8 * 22
    assert revisions == list(range(1, 8 * 2 + 2))
    assert tasters == 2


def test_tasters_answer_at_once_each_in_their_own_run(school: School) -> None:
    def taste(name: str, url: URL) -> str:
        with Journal.open(plain(url)) as journal:
            run = start_run(journal, school, name)
            for _ in range(2):
                triad = journal.next_triad(run.id)
                journal.answer(triad.id, odd_code=triad.codes[0])
            return str(journal.score(run.id))

    assert in_forks([lambda: taste("Ines", school.ines), lambda: taste("Teo", school.teo)]) == ["(0, 2)"] * 2
    assert check(school.administrator).findings == ()
