"""The first schema.

Revision ID: 0001
Revises: nothing
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

# SQLite only. A conflict clause (INSERT OR REPLACE) deletes without firing a delete trigger, so a
# repeated key is refused before the insert.
_FORBIDDEN = {
    "note_no_update": "UPDATE ON note",
    "note_no_delete": "DELETE ON note",
    "note_no_replace": """INSERT ON note WHEN EXISTS (
        SELECT 1 FROM note WHERE id = NEW.id OR (note_id = NEW.note_id AND revision = NEW.revision))""",
    "answer_no_update": "UPDATE ON answer",
    "answer_no_delete": "DELETE ON answer",
    "answer_no_replace": """INSERT ON answer WHEN EXISTS (
        SELECT 1 FROM answer WHERE id = NEW.id OR triad_id = NEW.triad_id)""",
    "triad_no_update": "UPDATE OF id, run_id, number, code_1, code_2, code_3 ON triad",
    "triad_no_second_order": """UPDATE OF "order" ON triad WHEN OLD."order" IS NOT NULL""",
    "triad_no_delete": "DELETE ON triad",
    "triad_no_replace": """INSERT ON triad WHEN EXISTS (
        SELECT 1 FROM triad WHERE id = NEW.id OR (run_id = NEW.run_id AND number = NEW.number))""",
    "triangle_run_no_update": """UPDATE OF
        id, taster_id, coffee_a_id, coffee_b_id, alpha, blinding, triads, commitment, nonce, at, utc_offset
        ON triangle_run""",
    "triangle_run_no_second_stop": """UPDATE OF stopped_at, stopped_utc_offset
        ON triangle_run WHEN OLD.stopped_at IS NOT NULL""",
    "triangle_run_no_delete": "DELETE ON triangle_run",
    "triangle_run_no_replace": """INSERT ON triangle_run WHEN EXISTS (
        SELECT 1 FROM triangle_run WHERE id = NEW.id)""",
}


def upgrade() -> None:
    """Make all tables, and on SQLite the triggers that keep notes, answers and plans as they were written."""
    _create_tables()
    if op.get_bind().dialect.name == "sqlite":
        _create_triggers()


def _create_triggers() -> None:
    for name, event in _FORBIDDEN.items():
        table = name.partition("_no_")[0]
        refusal = f"SELECT RAISE(ABORT, 'table {table} is append-only')"
        op.execute(f"CREATE TRIGGER {name} BEFORE {event} BEGIN {refusal}; END")


def _create_tables() -> None:
    op.create_table(
        "coffee",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.Column("process", sa.Text(), nullable=False),
        sa.Column("roast_date", sa.Date(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_coffee")),
    )
    op.create_index(op.f("ix_coffee_name"), "coffee", ["name"], unique=False)
    op.create_table(
        "draft",
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("utc_offset", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_draft")),
    )
    op.create_table(
        "taster",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_taster")),
        sa.UniqueConstraint("name", name=op.f("uq_taster_name")),
    )
    op.create_table(
        "tasting",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("utc_offset", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tasting")),
    )
    op.create_table(
        "drill_event",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("taster_id", sa.Text(), nullable=False),
        sa.Column("drill", sa.Text(), nullable=False),
        sa.Column("node", sa.Text(), nullable=False),
        sa.Column("asked", sa.Text(), nullable=False),
        sa.Column("answered", sa.Text(), nullable=False),
        sa.Column("correct", sa.Boolean(), nullable=True),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("utc_offset", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["taster_id"], ["taster.id"], name=op.f("fk_drill_event_taster_id_taster")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_drill_event")),
    )
    op.create_index(op.f("ix_drill_event_taster_id"), "drill_event", ["taster_id"], unique=False)
    op.create_table(
        "personal_word",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("taster_id", sa.Text(), nullable=False),
        sa.Column("word", sa.Text(), nullable=False),
        sa.Column("node", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("utc_offset", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["taster_id"], ["taster.id"], name=op.f("fk_personal_word_taster_id_taster")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_personal_word")),
        sa.UniqueConstraint("taster_id", "word", name=op.f("uq_personal_word_taster_id_word")),
    )
    op.create_table(
        "serving",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("tasting_id", sa.Text(), nullable=False),
        sa.Column("coffee_id", sa.Text(), nullable=True),
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["coffee_id"], ["coffee.id"], name=op.f("fk_serving_coffee_id_coffee")),
        sa.ForeignKeyConstraint(["tasting_id"], ["tasting.id"], name=op.f("fk_serving_tasting_id_tasting")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_serving")),
        sa.UniqueConstraint("tasting_id", "code", name=op.f("uq_serving_tasting_id_code")),
    )
    op.create_index(op.f("ix_serving_coffee_id"), "serving", ["coffee_id"], unique=False)
    op.create_table(
        "triangle_run",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("taster_id", sa.Text(), nullable=False),
        sa.Column("coffee_a_id", sa.Text(), nullable=False),
        sa.Column("coffee_b_id", sa.Text(), nullable=False),
        sa.Column("alpha", sa.Double(), nullable=False),
        sa.Column("blinding", sa.Text(), nullable=False),
        sa.Column("triads", sa.Integer(), nullable=False),
        sa.Column("commitment", sa.Text(), nullable=False),
        sa.Column("nonce", sa.Text(), nullable=False),
        sa.Column("stopped_at", sa.DateTime(), nullable=True),
        sa.Column("stopped_utc_offset", sa.Integer(), nullable=True),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("utc_offset", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["coffee_a_id"], ["coffee.id"], name=op.f("fk_triangle_run_coffee_a_id_coffee")),
        sa.ForeignKeyConstraint(["coffee_b_id"], ["coffee.id"], name=op.f("fk_triangle_run_coffee_b_id_coffee")),
        sa.ForeignKeyConstraint(["taster_id"], ["taster.id"], name=op.f("fk_triangle_run_taster_id_taster")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_triangle_run")),
    )
    op.create_index(op.f("ix_triangle_run_taster_id"), "triangle_run", ["taster_id"], unique=False)
    op.create_table(
        "line_mark",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("taster_id", sa.Text(), nullable=False),
        sa.Column("serving_id", sa.Text(), nullable=False),
        sa.Column("stage", sa.Text(), nullable=False),
        sa.Column("attribute", sa.Text(), nullable=False),
        sa.Column("mark", sa.Double(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("utc_offset", sa.Integer(), nullable=False),
        sa.CheckConstraint("mark BETWEEN 0 AND 100", name=op.f("ck_line_mark_mark_on_line")),
        sa.ForeignKeyConstraint(["serving_id"], ["serving.id"], name=op.f("fk_line_mark_serving_id_serving")),
        sa.ForeignKeyConstraint(["taster_id"], ["taster.id"], name=op.f("fk_line_mark_taster_id_taster")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_line_mark")),
    )
    op.create_index(op.f("ix_line_mark_serving_id"), "line_mark", ["serving_id"], unique=False)
    op.create_index(op.f("ix_line_mark_taster_id"), "line_mark", ["taster_id"], unique=False)
    op.create_table(
        "note",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("note_id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("taster_id", sa.Text(), nullable=False),
        sa.Column("serving_id", sa.Text(), nullable=False),
        sa.Column("stage", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("coached", sa.Boolean(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("utc_offset", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["serving_id"], ["serving.id"], name=op.f("fk_note_serving_id_serving")),
        sa.ForeignKeyConstraint(["taster_id"], ["taster.id"], name=op.f("fk_note_taster_id_taster")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_note")),
        sa.UniqueConstraint("note_id", "revision", name=op.f("uq_note_note_id_revision")),
    )
    op.create_index(op.f("ix_note_serving_id"), "note", ["serving_id"], unique=False)
    op.create_index(op.f("ix_note_taster_id"), "note", ["taster_id"], unique=False)
    op.create_table(
        "stage_event",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("tasting_id", sa.Text(), nullable=False),
        sa.Column("serving_id", sa.Text(), nullable=True),
        sa.Column("stage", sa.Text(), nullable=False),
        sa.Column("event", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("utc_offset", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["serving_id"], ["serving.id"], name=op.f("fk_stage_event_serving_id_serving")),
        sa.ForeignKeyConstraint(["tasting_id"], ["tasting.id"], name=op.f("fk_stage_event_tasting_id_tasting")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stage_event")),
    )
    op.create_index(op.f("ix_stage_event_serving_id"), "stage_event", ["serving_id"], unique=False)
    op.create_index(op.f("ix_stage_event_tasting_id"), "stage_event", ["tasting_id"], unique=False)
    op.create_table(
        "triad",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("run_id", sa.Text(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("order", sa.Text(), nullable=True),
        sa.Column("code_1", sa.Text(), nullable=False),
        sa.Column("code_2", sa.Text(), nullable=False),
        sa.Column("code_3", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["run_id"], ["triangle_run.id"], name=op.f("fk_triad_run_id_triangle_run")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_triad")),
        sa.UniqueConstraint("run_id", "number", name=op.f("uq_triad_run_id_number")),
    )
    op.create_table(
        "answer",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("triad_id", sa.Text(), nullable=False),
        sa.Column("odd_code", sa.Text(), nullable=False),
        sa.Column("guessed", sa.Boolean(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("utc_offset", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["triad_id"], ["triad.id"], name=op.f("fk_answer_triad_id_triad")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_answer")),
        sa.UniqueConstraint("triad_id", name=op.f("uq_answer_triad_id")),
    )
