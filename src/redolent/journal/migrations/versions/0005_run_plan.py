"""What a triangle run was planned to find, how it was prepared, and whether it was looked at on the way.

Revision ID: 0005
Revises: 0004
"""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

# SQLite only; see 0001. A trigger of its own for the new columns leaves those of older migrations as they are.
_FORBIDDEN = {
    "triangle_run_no_other_plan": "UPDATE OF aim, beta, pd, sitting, pair ON triangle_run",
    "run_event_no_update": "UPDATE ON run_event",
    # As in 0002: a row goes only once the tombstone of its taster stands.
    "run_event_no_delete": """DELETE ON run_event WHEN NOT EXISTS (
        SELECT 1 FROM tombstone JOIN triangle_run ON tombstone.id = triangle_run.taster_id
        WHERE triangle_run.id = OLD.run_id)""",
    "run_event_no_replace": "INSERT ON run_event WHEN EXISTS (SELECT 1 FROM run_event WHERE id = NEW.id)",
}


def upgrade() -> None:
    """Add the plan to the runs, the table of what happened to them, and on SQLite the triggers that keep both."""
    op.add_column("triangle_run", sa.Column("aim", sa.Text(), server_default="difference", nullable=False))
    op.add_column("triangle_run", sa.Column("beta", sa.Double(), nullable=True))
    op.add_column("triangle_run", sa.Column("pd", sa.Double(), nullable=True))
    op.add_column("triangle_run", sa.Column("sitting", sa.Integer(), nullable=True))
    op.add_column("triangle_run", sa.Column("pair", sa.Text(), nullable=True))
    op.create_table(
        "run_event",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("run_id", sa.Text(), nullable=False),
        sa.Column("event", sa.Text(), nullable=False),
        sa.Column("detail", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("utc_offset", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["run_id"], ["triangle_run.id"], name=op.f("fk_run_event_run_id_triangle_run")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_run_event")),
    )
    op.create_index(op.f("ix_run_event_run_id"), "run_event", ["run_id"], unique=False)
    if op.get_bind().dialect.name == "sqlite":
        for name, event in _FORBIDDEN.items():
            refusal = f"SELECT RAISE(ABORT, 'table {name.partition('_no_')[0]} is append-only')"
            op.execute(f"CREATE TRIGGER {name} BEFORE {event} BEGIN {refusal}; END")
