"""Run by Alembic: takes the steps on the connection it was given, all in one transaction."""

from __future__ import annotations

from alembic import context

from slackwater.store.tables import metadata

context.configure(connection=context.config.attributes["connection"], target_metadata=metadata)
with context.begin_transaction():
    context.run_migrations()
