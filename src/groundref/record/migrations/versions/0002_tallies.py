"""Tallies of the rows that are read together."""

from __future__ import annotations

from hashlib import blake2b

import msgspec
import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

# As they stood when this shape was made; later shapes change them in steps of their own.
_TALLIED = (
    ("person", ""),
    ("airplane", ""),
    ("site", ""),
    ("lesson", "date"),
    ("lesson", "student_id"),
    ("recording", "sha256"),
    ("part", "lesson_id"),
    ("result", "lesson_id"),
    ("maneuver", "result_id"),
    ("element", "maneuver_id"),
    ("fault", "maneuver_id"),
    ("own_verdict", "lesson_id"),
)


def upgrade() -> None:
    """Make the table and count what there is."""
    tally = op.create_table(
        "tally",
        sa.Column("counted", sa.Text(), nullable=False),
        sa.Column("whose", sa.Text(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("mark", sa.String(length=32), nullable=False),
        sa.Column("seal", sa.String(length=32), nullable=False),
        sa.PrimaryKeyConstraint("counted", "whose", name=op.f("pk_tally")),
        sqlite_with_rowid=False,
    )
    counted = [
        _sealed(f"{table}.{column}" if column else table, whose, number, f"{mark:032x}")
        for table, column in _TALLIED
        for whose, (number, mark) in _counted(table, column).items()
    ]
    op.bulk_insert(tally, counted)
    op.create_index("ix_lesson_date", "lesson", ["date"], unique=False)


def _counted(table: str, column: str) -> dict[str, tuple[int, int]]:
    """Return number and mark of each tally of a table by a column."""
    values: sa.ColumnClause[str] = sa.column(column or "id")
    seal: sa.ColumnClause[str] = sa.column("seal")
    rows = op.get_bind().execute(sa.select(values, seal).select_from(sa.table(table, values, seal)))
    found: dict[str, tuple[int, int]] = {}
    for row in rows:
        if row[0] is not None:
            whose = row[0] if column else ""
            number, mark = found.get(whose, (0, 0))
            found[whose] = (number + 1, mark ^ int(row[1], 16))
    return found


def _sealed(counted: str, whose: str, number: int, mark: str) -> dict[str, object]:
    row: dict[str, object] = {"counted": counted, "mark": mark, "number": number, "whose": whose}
    digest = blake2b(msgspec.json.encode(("tally", row)), digest_size=16).hexdigest()
    return {**row, "seal": digest}
