"""Called by alembic with the connection that the store has opened; the transaction is the store's."""

from __future__ import annotations

from alembic import context

from tankward.store.schema import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    transactional_ddl=False,
)
context.run_migrations()
