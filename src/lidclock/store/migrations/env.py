"""What Alembic runs: the steps, over the connection it was handed."""

from __future__ import annotations

from alembic import context

from lidclock.store.tables import metadata

context.configure(
    connection=context.config.attributes["connection"], target_metadata=metadata
)
with context.begin_transaction():
    context.run_migrations()
