"""Who may do what in a school's journal on PostgreSQL: logins, row-level security, and functions for what is sealed.

A login of a taster is named after their id, so that nobody has to keep a list of which is whose. `apply` is run
after each migration and makes everything anew, for every table that there is.
"""

import re
import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from uuid import uuid4

from sqlalchemy import URL, Connection, Table, inspect, text

from redolent.journal.schema import Base

TASTERS, EDUCATORS = "redolent_taster", "redolent_educator"

# What logins may change in rows that are there; everything else that is written stays.
_UPDATES = {
    "serving": ["coffee_id"],
    "triangle_run": ["stopped_at", "stopped_utc_offset"],
    "triad": ["order"],
    "tasting_plan": ["blinding"],
}
_CHANGED = ("draft", "personal_word")
# What only functions, educators (who collect) and the administrator may write.
_NOT_INSERTED = ("answer", "taster", "collected", "set_aside", "tombstone")
_COLLECTED = ("answer", "taster", "collected", "set_aside")
# What a merge changes beyond that: labels that two have, and copies of a run that give way to another.
_RELABELLED = {"taster": ["name"], "serving": ["code"]}
_GIVES_WAY = ("triangle_run", "triad", "answer", "run_event", "collected")
# What only educators and the administrator may read.
_NOT_READ = ("tombstone",)


@dataclass(frozen=True, slots=True)
class _Guard:
    """What may be done to a row that is there: nothing, but for this.

    `once` are columns that may be set together where the first is empty; `turns` a column and the value that it may
    get at any time; `collected` a column that educators may change where the row or its cell came by `collect`.
    `run` is how a row names its triangle run (SQL over $1, the row as jsonb): what came by `collect` gives way once
    a copy of it is set aside.
    """

    once: tuple[str, ...] = ()
    turns: tuple[str, str] | None = None
    collected: str | None = None
    run: str | None = None
    events: str = "UPDATE OR DELETE"


_GUARDS = {
    "note": _Guard(),
    "set_aside": _Guard(),
    # A cup may go with its tasting, or get another code; that takes the administrator.
    "serving": _Guard(once=("coffee_id",), collected="coffee_id", events="UPDATE OF coffee_id"),
    "tasting_plan": _Guard(once=("revealed_at", "revealed_utc_offset"), turns=("blinding", "not blind")),
    "triangle_run": _Guard(once=("stopped_at", "stopped_utc_offset"), run="$1 ->> 'id'"),
    "triad": _Guard(once=("order",), run="$1 ->> 'run_id'"),
    "run_event": _Guard(run="$1 ->> 'run_id'"),
    "answer": _Guard(run="(SELECT run_id FROM triad WHERE id = $1 ->> 'triad_id')"),
}

# Ids that came from outside may be any text; of these no two make one login.
_ID = re.compile("[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")

_FUNCTIONS = """
CREATE OR REPLACE FUNCTION redolent_me() RETURNS text LANGUAGE sql STABLE SECURITY DEFINER
SET search_path = public, pg_temp AS $$
    SELECT id FROM taster WHERE id = array_to_string(
        regexp_match(session_user::text, '^taster_(.{8})(.{4})(.{4})(.{4})(.{12})$'), '-')
$$;

CREATE OR REPLACE FUNCTION redolent_may_see(whose text) RETURNS boolean LANGUAGE sql STABLE SECURITY DEFINER
SET search_path = public, pg_temp AS $$
    SELECT whose = redolent_me() OR pg_has_role(session_user, 'redolent_educator', 'MEMBER')
        OR pg_has_role(session_user, current_user, 'MEMBER')
$$;

-- Runs that are over, with what was sealed: nobody else reads it before.
CREATE OR REPLACE FUNCTION redolent_open_runs() RETURNS TABLE (run_id text, nonce text)
LANGUAGE sql STABLE SECURITY DEFINER SET search_path = public, pg_temp AS $$
    SELECT run.id, run.nonce FROM triangle_run AS run
    WHERE redolent_may_see(run.taster_id)
        AND (run.stopped_at IS NOT NULL OR NOT EXISTS (SELECT 1 FROM triad WHERE triad.run_id = run.id
            AND NOT EXISTS (SELECT 1 FROM answer WHERE answer.triad_id = triad.id)))
        AND NOT EXISTS (SELECT 1 FROM triad JOIN answer ON answer.triad_id = triad.id
            WHERE triad.run_id = run.id AND triad."order" IS NULL)
$$;

CREATE OR REPLACE FUNCTION redolent_open_triads() RETURNS TABLE (triad_id text, "order" text)
LANGUAGE sql STABLE SECURITY DEFINER SET search_path = public, pg_temp AS $$
    SELECT triad.id, triad."order" FROM triad JOIN redolent_open_runs() AS run ON run.run_id = triad.run_id
$$;

-- Triads of which nobody has entered what stood where; it tells nothing of the others.
CREATE OR REPLACE FUNCTION redolent_unentered() RETURNS TABLE (triad_id text)
LANGUAGE sql STABLE SECURITY DEFINER SET search_path = public, pg_temp AS $$
    SELECT triad.id FROM triad JOIN triangle_run AS run ON run.id = triad.run_id
    WHERE triad."order" IS NULL AND redolent_may_see(run.taster_id)
$$;

-- The one way to answer: only the run's own taster (or the administrator), only its next triad, only once.
CREATE OR REPLACE FUNCTION redolent_answer(
    answer_id text, triad text, odd text, guess boolean, remark text, moment timestamp, minutes integer
) RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = public, pg_temp AS $$
DECLARE whose text; following text; codes text[];
BEGIN
    SELECT run.taster_id, ARRAY[one.code_1, one.code_2, one.code_3],
        (SELECT other.id FROM triad AS other WHERE other.run_id = run.id AND run.stopped_at IS NULL
            AND NOT EXISTS (SELECT 1 FROM answer WHERE answer.triad_id = other.id) ORDER BY other.number LIMIT 1)
    INTO whose, codes, following
    FROM triad AS one JOIN triangle_run AS run ON run.id = one.run_id WHERE one.id = triad;
    IF (whose = redolent_me() OR pg_has_role(session_user, current_user, 'MEMBER')) IS NOT TRUE OR whose IS NULL THEN
        RAISE insufficient_privilege USING MESSAGE = 'only its own taster answers a triad';
    END IF;
    IF following IS DISTINCT FROM triad OR NOT odd = ANY (codes) THEN
        RAISE check_violation USING MESSAGE = 'the triad is locked, or has no such cup';
    END IF;
    INSERT INTO answer (id, triad_id, odd_code, guessed, note, at, utc_offset)
    VALUES (answer_id, triad, odd, guess, remark, moment, minutes);
END $$;

-- Plans of tastings that are revealed, with what was sealed.
CREATE OR REPLACE FUNCTION redolent_open_plans() RETURNS TABLE (plan_id text, key text, nonce text)
LANGUAGE sql STABLE SECURITY DEFINER SET search_path = public, pg_temp AS $$
    SELECT id, key, nonce FROM tasting_plan WHERE redolent_may_see(taster_id) AND revealed_at IS NOT NULL
$$;

-- The one way to reveal: only the plan's own taster (or the administrator), only once.
CREATE OR REPLACE FUNCTION redolent_reveal(plan text, moment timestamp, minutes integer) RETURNS void
LANGUAGE plpgsql SECURITY DEFINER SET search_path = public, pg_temp AS $$
BEGIN
    UPDATE tasting_plan SET revealed_at = moment, revealed_utc_offset = minutes
    WHERE id = plan AND revealed_at IS NULL
        AND (taster_id = redolent_me() OR pg_has_role(session_user, current_user, 'MEMBER'));
    IF NOT FOUND THEN
        RAISE insufficient_privilege USING MESSAGE = 'only its own taster reveals a tasting, and only once';
    END IF;
END $$;

-- The guard's arguments say, in SQL over the row before ($1) and after ($2), when it may change and when it may go.
CREATE OR REPLACE FUNCTION redolent_append_only() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER
SET search_path = public, pg_temp AS $$
DECLARE allowed boolean;
BEGIN
    IF TG_OP = 'UPDATE' THEN
        EXECUTE 'SELECT ' || TG_ARGV[0] INTO allowed USING to_jsonb(OLD), to_jsonb(NEW);
        IF allowed THEN
            RETURN NEW;
        END IF;
    ELSE
        EXECUTE 'SELECT ' || TG_ARGV[1] INTO allowed USING to_jsonb(OLD);
        IF allowed THEN
            RETURN OLD;
        END IF;
    END IF;
    RAISE integrity_constraint_violation USING MESSAGE = 'table ' || TG_TABLE_NAME || ' is append-only';
END $$;
"""


def lift(connection: Connection) -> None:
    """Take the guards off, so that a migration may change what nobody else may."""
    for table in _GUARDS:
        if inspect(connection).has_table(table):
            connection.execute(text(f"DROP TRIGGER IF EXISTS {table}_append_only ON {table}"))


def apply(connection: Connection) -> None:
    """Make the groups, functions, guards, grants and policies anew, as the administrator who owns the tables."""
    for group in (TASTERS, EDUCATORS):
        if not connection.scalar(text("SELECT 1 FROM pg_roles WHERE rolname = :group"), {"group": group}):
            connection.execute(text(f"CREATE ROLE {group} NOLOGIN"))
    connection.exec_driver_sql(_FUNCTIONS)
    for statement in _statements():
        connection.exec_driver_sql(statement)


def add_login(connection: Connection, taster_id: str | None = None) -> URL:
    """Make the login of a taster, or of an educator where none is named; a taster's old password ends.

    Returns
    -------
    URL
        The journal for them, with their password.
    """
    name = f"educator_{uuid4().hex}" if taster_id is None else login_of(taster_id)
    password = secrets.token_urlsafe(24)
    verb = "ALTER" if _is_login(connection, name) else "CREATE"
    # Both are made of letters, digits, - and _ here; neither holds anything that people typed.
    connection.exec_driver_sql(f"""{verb} ROLE "{name}" LOGIN PASSWORD '{password}'""")
    connection.exec_driver_sql(f'GRANT {EDUCATORS if taster_id is None else TASTERS} TO "{name}"')
    return connection.engine.url.set(username=name, password=password)


def drop_login(connection: Connection, taster_id: str) -> None:
    """Remove the login of a taster, where there is one."""
    if _ID.fullmatch(taster_id) and _is_login(connection, name := login_of(taster_id)):
        connection.exec_driver_sql(f'DROP ROLE "{name}"')


def login_of(taster_id: str) -> str:
    """Name the login of a taster.

    Raises
    ------
    ValueError
        Where the id is not such as the journal gives.
    """
    if not _ID.fullmatch(taster_id):
        raise ValueError(f"The taster's id {taster_id!r} makes no login; it is not such as a journal gives.")
    return f"taster_{taster_id.replace('-', '')}"


def _is_login(connection: Connection, name: str) -> bool:
    return bool(connection.scalar(text("SELECT 1 FROM pg_roles WHERE rolname = :name"), {"name": name}))


def _statements() -> Iterator[str]:
    yield "REVOKE CREATE ON SCHEMA public FROM PUBLIC"
    yield f"GRANT USAGE ON SCHEMA public TO {TASTERS}, {EDUCATORS}"
    yield "REVOKE EXECUTE ON ALL FUNCTIONS IN SCHEMA public FROM PUBLIC"
    yield f"GRANT EXECUTE ON ALL FUNCTIONS IN SCHEMA public TO {TASTERS}, {EDUCATORS}"
    yield f"GRANT SELECT ON alembic_version TO {TASTERS}, {EDUCATORS}"
    for table in Base.metadata.sorted_tables:
        yield from _guard(table)
        yield from _grant(table)
        yield from _policies(table)


def _guard(table: Table) -> Iterator[str]:
    if (guard := _GUARDS.get(table.name)) is not None:
        name = f"{table.name}_append_only"
        said = ", ".join("'" + sql.replace("'", "''") + "'" for sql in (_may_change(guard), _may_go(table, guard)))
        yield f"DROP TRIGGER IF EXISTS {name} ON {table.name}"
        yield (
            f"CREATE TRIGGER {name} BEFORE {guard.events} ON {table.name} "
            f"FOR EACH ROW EXECUTE FUNCTION redolent_append_only({said})"
        )


def _may_change(guard: _Guard) -> str:
    allowed = []
    if guard.once:
        allowed.append(f"$1 ->> '{guard.once[0]}' IS NULL AND {_only(*guard.once)}")
    if guard.turns:
        column, value = guard.turns
        allowed.append(f"$2 ->> '{column}' = '{value}' AND {_only(column)}")
    if guard.collected:
        cell = f"$1 ->> 'id' || '/{guard.collected}'"
        came = f"EXISTS (SELECT 1 FROM collected WHERE id IN ($1 ->> 'id', {cell}))"
        allowed.append(f"redolent_may_see(NULL) AND {came} AND {_only(guard.collected)}")
    return " OR ".join(f"({one})" for one in allowed) or "false"


def _only(*columns: str) -> str:
    """Whether nothing but these columns is changed."""
    names = ", ".join(f"'{name}'" for name in columns)
    return f"$1 - ARRAY[{names}] = $2 - ARRAY[{names}]"


def _may_go(table: Table, guard: _Guard) -> str:
    allowed = [f"EXISTS (SELECT 1 FROM tombstone WHERE id = {_whose(table)})"]
    if guard.run:
        kept = "SELECT 1 FROM set_aside JOIN collected ON collected.id IN (set_aside.run_id, $1 ->> 'id')"
        allowed.append(f"EXISTS ({kept} WHERE set_aside.run_id = {guard.run})")
    return " OR ".join(allowed)


def _whose(table: Table, row: str = "$1 ->> '{}'") -> str:
    """Give the taster of a row, in SQL; NULL where it is nobody's."""
    if "taster_id" in table.c:
        return row.format("taster_id")
    for reference in table.foreign_keys:
        parent = reference.column.table
        if (whose := _whose(parent, f"{parent.name}.{{}}")) != "NULL":
            return f"(SELECT {whose} FROM {parent.name} WHERE {parent.name}.id = {row.format(reference.parent.name)})"
    return "NULL"


def _grant(table: Table) -> Iterator[str]:
    name, everybody = table.name, f"{TASTERS}, {EDUCATORS}"
    readers = EDUCATORS if name in _NOT_READ else everybody
    writers = everybody if name not in _NOT_INSERTED else EDUCATORS if name in _COLLECTED else ""
    yield f"REVOKE ALL ON {name} FROM {everybody}"
    yield f"GRANT SELECT ({_quoted(_unsealed(table))}) ON {name} TO {readers}"
    if writers:
        yield f"GRANT INSERT ON {name} TO {writers}"
    if name in _UPDATES:
        yield f"GRANT UPDATE ({_quoted(_UPDATES[name])}) ON {name} TO {everybody}"
    if name in _CHANGED:
        yield f"GRANT UPDATE, DELETE ON {name} TO {everybody}"
    if name in _RELABELLED:
        yield f"GRANT UPDATE ({_quoted(_RELABELLED[name])}) ON {name} TO {EDUCATORS}"
    if name in _GIVES_WAY:
        yield f"GRANT DELETE ON {name} TO {EDUCATORS}"


def _policies(table: Table) -> Iterator[str]:
    name, own = table.name, _own(table)
    yield f"ALTER TABLE {name} ENABLE ROW LEVEL SECURITY"
    yield f"ALTER TABLE {name} FORCE ROW LEVEL SECURITY"
    for policy, group, condition in (
        ("administrator", "CURRENT_USER", "true"),
        ("educator", EDUCATORS, own if name == "draft" else "true"),
        ("taster", TASTERS, own),
    ):
        yield f"DROP POLICY IF EXISTS {policy} ON {name}"
        yield f"CREATE POLICY {policy} ON {name} TO {group} USING ({condition}) WITH CHECK ({condition})"


def _own(table: Table) -> str:
    """Say when a row is a taster's own; what is nobody's own is everybody's."""
    if table.name == "draft":
        return "starts_with(key, session_user || '/')"
    if table.name == "taster":
        return "id = (SELECT redolent_me())"
    if "taster_id" in table.c:
        nobody = "taster_id IS NULL OR " if table.c.taster_id.nullable else ""
        return f"{nobody}taster_id = (SELECT redolent_me())"
    for reference in table.foreign_keys:
        if _own(reference.column.table) != "true":
            # The policy of that table decides there.
            parent = reference.column.table.name
            return f"{reference.parent.name} IN (SELECT {reference.column.name} FROM {parent})"
    return "true"


def _unsealed(table: Table) -> list[str]:
    (mapper,) = (mapper for mapper in Base.registry.mappers if mapper.local_table is table)
    return [attribute.columns[0].name for attribute in mapper.column_attrs if not attribute.raiseload]


def _quoted(names: list[str]) -> str:
    return ", ".join(f'"{name}"' for name in names)
