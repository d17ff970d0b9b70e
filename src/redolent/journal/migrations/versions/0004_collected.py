"""What came by `collect`; and two revisions of one number, written in two copies of a journal, may both stay.

Revision ID: 0004
Revises: 0003
"""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

# SQLite only, as they stood before: altering the table copied it, without its triggers.
_FORBIDDEN = {
    "note_no_update": "UPDATE ON note",
    "note_no_delete": "DELETE ON note WHEN NOT EXISTS (SELECT 1 FROM tombstone WHERE id = OLD.taster_id)",
    "note_no_replace": "INSERT ON note WHEN EXISTS (SELECT 1 FROM note WHERE id = NEW.id)",
}


def upgrade() -> None:
    """Add the table, let go of the constraint, and on SQLite make the note's triggers again."""
    op.create_table(
        "collected",
        sa.Column("id", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_collected")),
    )
    with op.batch_alter_table("note") as note:
        note.drop_constraint("uq_note_note_id_revision", type_="unique")
        note.create_index(op.f("ix_note_note_id_revision"), ["note_id", "revision"])
    if op.get_bind().dialect.name == "sqlite":
        for name, event in _FORBIDDEN.items():
            op.execute(
                f"CREATE TRIGGER {name} BEFORE {event} BEGIN SELECT RAISE(ABORT, 'table note is append-only'); END"
            )
