"""What was forgotten leaves a tombstone; notes have an order that no clock can change.

Revision ID: 0002
Revises: 0001
"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

# A row may be deleted only once the tombstone of its taster stands.
_FORGOTTEN = {
    "note": "SELECT 1 FROM tombstone WHERE id = OLD.taster_id",
    "triangle_run": "SELECT 1 FROM tombstone WHERE id = OLD.taster_id",
    "triad": """SELECT 1 FROM tombstone JOIN triangle_run ON tombstone.id = triangle_run.taster_id
        WHERE triangle_run.id = OLD.run_id""",
    "answer": """SELECT 1 FROM tombstone JOIN triangle_run ON tombstone.id = triangle_run.taster_id
        JOIN triad ON triad.run_id = triangle_run.id WHERE triad.id = OLD.triad_id""",
}
# Notes of one instant keep the order in which they were saved.
_RANK = {
    "sqlite": """UPDATE note SET rank = counted.rank FROM (
        SELECT id, CAST(strftime('%s', at) AS INTEGER) * 1000000 + CAST(substr(at, 21, 6) AS INTEGER)
            + row_number() OVER (PARTITION BY at ORDER BY rowid) - 1 AS rank FROM note) AS counted
        WHERE counted.id = note.id""",
    "postgresql": """UPDATE note SET rank = counted.rank FROM (
        SELECT id, (extract(epoch FROM at) * 1000000)::bigint
            + row_number() OVER (PARTITION BY at ORDER BY revision, id) - 1 AS rank FROM note) AS counted
        WHERE counted.id = note.id""",
}


def upgrade() -> None:
    """Add the table of tombstones and the rank of notes."""
    op.create_table(
        "tombstone",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("utc_offset", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tombstone")),
    )
    op.add_column("note", sa.Column("rank", sa.BigInteger(), server_default="0", nullable=False))
    sqlite = op.get_bind().dialect.name == "sqlite"
    if sqlite:
        _replace_trigger("note_no_update", "UPDATE ON note", when="FALSE")
    op.execute(_RANK[op.get_bind().dialect.name])
    op.create_index(op.f("ix_note_rank"), "note", ["rank"])
    op.create_index(op.f("ix_note_at"), "note", ["at"])
    if sqlite:
        _replace_trigger("note_no_update", "UPDATE ON note", when="TRUE")
        for table, forgotten in _FORGOTTEN.items():
            _replace_trigger(f"{table}_no_delete", f"DELETE ON {table}", when=f"NOT EXISTS ({forgotten})")


def _replace_trigger(name: str, event: str, *, when: str) -> None:
    table = name.partition("_no_")[0]
    op.execute(f"DROP TRIGGER {name}")
    op.execute(
        f"CREATE TRIGGER {name} BEFORE {event} WHEN {when} "
        f"BEGIN SELECT RAISE(ABORT, 'table {table} is append-only'); END"
    )
