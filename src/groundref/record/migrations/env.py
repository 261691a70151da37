"""What Alembic runs: the migrations, on the connection and in the transaction that it is given."""

from __future__ import annotations

from alembic import context

from groundref.record.schema import METADATA

# SQLite keeps changes of tables in the transaction like all others, so that a migration is whole or not at
# all.
context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    render_as_batch=True,
    transactional_ddl=True,
)
context.run_migrations()
