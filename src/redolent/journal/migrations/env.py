"""Run the migrations on the connection, and in the transaction, that `redolent.journal.migration` hands over."""

from alembic import context

from redolent.journal.schema import Base

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    # SQLite alters a table by copying it. A copy loses the triggers: make them again in that migration.
    render_as_batch=True,
)

with context.begin_transaction():
    context.run_migrations()
