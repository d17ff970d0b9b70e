"""The plan of a tasting with its sealed key, and what was observed beside the notes.

Revision ID: 0003
Revises: 0002
"""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

# SQLite only; see 0001. A plan can turn "not blind", be revealed once and nothing else.
_FORBIDDEN = {
    "tasting_plan_no_update": """UPDATE OF id, tasting_id, taster_id, setup, coffees, commitment, key, nonce
        ON tasting_plan""",
    "tasting_plan_no_blinder": "UPDATE OF blinding ON tasting_plan WHEN NEW.blinding <> 'not blind'",
    "tasting_plan_no_second_reveal": """UPDATE OF revealed_at, revealed_utc_offset
        ON tasting_plan WHEN OLD.revealed_at IS NOT NULL""",
    # As in 0002: a row goes only once the tombstone of its taster stands.
    "tasting_plan_no_delete": """DELETE ON tasting_plan WHEN NOT EXISTS (
        SELECT 1 FROM tombstone WHERE id = OLD.taster_id)""",
    "tasting_plan_no_replace": """INSERT ON tasting_plan WHEN EXISTS (
        SELECT 1 FROM tasting_plan WHERE id = NEW.id OR tasting_id = NEW.tasting_id)""",
}


def upgrade() -> None:
    """Make both tables, and on SQLite the triggers that keep a plan as it was drawn."""
    op.create_table(
        "tasting_plan",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("tasting_id", sa.Text(), nullable=False),
        sa.Column("taster_id", sa.Text(), nullable=False),
        sa.Column("blinding", sa.Text(), nullable=False),
        sa.Column("setup", sa.Text(), nullable=False),
        sa.Column("coffees", sa.Text(), nullable=False),
        sa.Column("commitment", sa.Text(), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("nonce", sa.Text(), nullable=False),
        sa.Column("revealed_at", sa.DateTime(), nullable=True),
        sa.Column("revealed_utc_offset", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["taster_id"], ["taster.id"], name=op.f("fk_tasting_plan_taster_id_taster")),
        sa.ForeignKeyConstraint(["tasting_id"], ["tasting.id"], name=op.f("fk_tasting_plan_tasting_id_tasting")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tasting_plan")),
        sa.UniqueConstraint("tasting_id", name=op.f("uq_tasting_plan_tasting_id")),
    )
    op.create_index(op.f("ix_tasting_plan_taster_id"), "tasting_plan", ["taster_id"], unique=False)
    op.create_table(
        "circumstance",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("tasting_id", sa.Text(), nullable=True),
        sa.Column("taster_id", sa.Text(), nullable=True),
        sa.Column("serving_id", sa.Text(), nullable=True),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("utc_offset", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["serving_id"], ["serving.id"], name=op.f("fk_circumstance_serving_id_serving")),
        sa.ForeignKeyConstraint(["taster_id"], ["taster.id"], name=op.f("fk_circumstance_taster_id_taster")),
        sa.ForeignKeyConstraint(["tasting_id"], ["tasting.id"], name=op.f("fk_circumstance_tasting_id_tasting")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_circumstance")),
    )
    op.create_index(op.f("ix_circumstance_tasting_id"), "circumstance", ["tasting_id"], unique=False)
    if op.get_bind().dialect.name == "sqlite":
        for name, event in _FORBIDDEN.items():
            refusal = "SELECT RAISE(ABORT, 'table tasting_plan is append-only')"
            op.execute(f"CREATE TRIGGER {name} BEFORE {event} BEGIN {refusal}; END")
