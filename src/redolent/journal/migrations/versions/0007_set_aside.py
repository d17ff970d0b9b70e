"""A triangle run that was answered in two copies of a journal: the one that counts, and the others, set aside.

Revision ID: 0007
Revises: 0006
"""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

_FORGOTTEN = "SELECT 1 FROM tombstone WHERE id = {taster}"
_OF_RUN = "(SELECT taster_id FROM triangle_run WHERE id = {run})"
# What came by `collect` may give way to another copy of it, once it is set aside itself.
_KEPT = """SELECT 1 FROM set_aside JOIN collected ON collected.id IN (set_aside.run_id, OLD.id)
    WHERE set_aside.run_id = {run}"""
_RUN_OF_ANSWER = "(SELECT run_id FROM triad WHERE id = OLD.triad_id)"

# SQLite only; see 0001 and 0002.
_FORBIDDEN = {
    "set_aside_no_update": "UPDATE ON set_aside",
    "set_aside_no_delete": f"DELETE ON set_aside WHEN NOT EXISTS ({_FORGOTTEN.format(taster='OLD.taster_id')})",
    "set_aside_no_replace": "INSERT ON set_aside WHEN EXISTS (SELECT 1 FROM set_aside WHERE id = NEW.id)",
    # Some journals of 0006 let no plan go, not even that of somebody who was forgotten.
    "tasting_plan_no_delete": f"DELETE ON tasting_plan WHEN NOT EXISTS ({_FORGOTTEN.format(taster='OLD.taster_id')})",
}
_RUNS = {"triangle_run": "OLD.id", "triad": "OLD.run_id", "run_event": "OLD.run_id", "answer": _RUN_OF_ANSWER}


def upgrade() -> None:
    """Add the table, and on SQLite let what is set aside go."""
    op.create_table(
        "set_aside",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("taster_id", sa.Text(), nullable=False),
        sa.Column("run_id", sa.Text(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["taster_id"], ["taster.id"], name=op.f("fk_set_aside_taster_id_taster")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_set_aside")),
    )
    op.create_index(op.f("ix_set_aside_run_id"), "set_aside", ["run_id"], unique=False)
    op.create_index(op.f("ix_set_aside_taster_id"), "set_aside", ["taster_id"], unique=False)
    if op.get_bind().dialect.name == "sqlite":
        for name, event in _FORBIDDEN.items():
            _make(name, event)
        for table, run in _RUNS.items():
            taster = "OLD.taster_id" if table == "triangle_run" else _OF_RUN.format(run=run)
            kept = f"{_FORGOTTEN.format(taster=taster)} UNION ALL {_KEPT.format(run=run)}"
            _make(f"{table}_no_delete", f"DELETE ON {table} WHEN NOT EXISTS ({kept})")


def _make(name: str, event: str) -> None:
    op.execute(f"DROP TRIGGER IF EXISTS {name}")
    refusal = f"SELECT RAISE(ABORT, 'table {name.partition('_no_')[0]} is append-only')"
    op.execute(f"CREATE TRIGGER {name} BEFORE {event} BEGIN {refusal}; END")
