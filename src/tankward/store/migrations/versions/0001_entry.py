"""The first form: one table of entries that only grows."""

from __future__ import annotations

from alembic import op

from tankward.store.schema import TRIGGERS

revision = "0001"
down_revision = None

TABLE = """
create table entry (
    seq integer not null primary key autoincrement,
    id text not null unique,
    at text not null,
    tank text not null,
    kind text not null,
    version integer not null,
    body text not null
) strict
"""


def upgrade() -> None:
    """Make the table and what keeps it whole."""
    op.execute(TABLE)
    op.execute("create index ix_entry_at on entry (at)")
    op.execute("create index ix_entry_tank on entry (tank)")
    for trigger in TRIGGERS:
        op.execute(trigger)
