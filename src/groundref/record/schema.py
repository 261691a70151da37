"""The tables of the record.

Every row has an `id` of its own that stays the same when the record moves to another computer, and a `seal`,
the digest of all its other values (see ``sealed``). Times are UTC as in the JSON, `2026-05-01T12:00:00.000Z`;
days are `2026-05-01`. What is large (a recording, a debrief, a plan) lies once in `content` under the SHA-256
of what it is. Units stand in the names of columns.

`maneuver` holds the figures of each result, so that progress needs no debrief to be read; all of it stands in
the debrief too. Its elements and faults are read whole or not at all, so they lie in it as JSON: as rows of
their own they made four fifths of all rows. `tally` counts the rows that are read together.
"""

from __future__ import annotations

from typing import Final

from sqlalchemy import (
    Boolean,
    Column,
    Float,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

METADATA: Final = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)
_ID: Final = String(32)
_SHA256: Final = String(64)


def _id() -> Column[str]:
    return Column("id", _ID, primary_key=True)


def _seal() -> Column[str]:
    return Column("seal", String(32), nullable=False)


def _to(table: str, name: str | None = None, *, needed: bool = True) -> Column[str]:
    """Return a column that refers to a row of another table."""
    return Column(name or f"{table}_id", _ID, ForeignKey(f"{table}.id"), nullable=not needed, index=True)


def _figure(name: str) -> Column[float]:
    return Column(name, Float(53))


person: Final = Table(
    "person",
    METADATA,
    _id(),
    Column("name", Text, nullable=False, unique=True),
    Column("added", Text, nullable=False),
    _seal(),
)

airplane: Final = Table(
    "airplane",
    METADATA,
    _id(),
    Column("name", Text, nullable=False, unique=True),
    Column("document", Text, nullable=False),  # its data file, as it was
    _seal(),
)

site: Final = Table(
    "site",
    METADATA,
    _id(),
    Column("name", Text, nullable=False, unique=True),
    Column("type", Text, nullable=False),  # point, line, rectangle or pylons
    Column("places", Text, nullable=False),  # JSON: [[latitude, longitude], ...] in degrees
    _figure("ground_ft"),
    Column("remarks", Text, nullable=False),
    _seal(),
)

content: Final = Table(
    "content",
    METADATA,
    Column("id", _SHA256, primary_key=True),  # SHA-256 of what it is, unpacked
    Column("size", Integer, nullable=False),  # bytes, unpacked
    Column("packed", LargeBinary, nullable=False),  # gzip
)


def _content(name: str, *, needed: bool = True) -> Column[str]:
    return Column(name, _SHA256, ForeignKey("content.id"), nullable=not needed, index=True)


recording: Final = Table(
    "recording",
    METADATA,
    _id(),
    _content("content_id"),
    Column("sha256", _SHA256, nullable=False, unique=True),  # as it was brought
    Column("name", Text, nullable=False),  # of the file
    Column("altered", Boolean, nullable=False),  # whether a name was taken out
    _seal(),
)

lesson: Final = Table(
    "lesson",
    METADATA,
    _id(),
    Column("number", Integer, nullable=False, unique=True),
    Column("date", Text, nullable=False),
    Column("start", Text, nullable=False),
    Column("end", Text, nullable=False),
    _to("person", "student_id", needed=False),
    _to("person", "instructor_id", needed=False),
    _to("airplane", needed=False),
    _to("site", needed=False),
    _content("plan_id", needed=False),
    Column("asked", Text, nullable=False),  # JSON: how the debrief is asked for
    Column("remarks", Text, nullable=False),
    _to("person", "signed_by_id", needed=False),
    Column("signed_at", Text),
    Column("signed_turn", Integer),  # the result that was signed
    Column("added", Text, nullable=False),
    _seal(),
)
Index("ix_lesson_date", lesson.c.date)
Index("ix_lesson_student_id_date", lesson.c.student_id, lesson.c.date)

part: Final = Table(
    "part",
    METADATA,
    _id(),
    _to("lesson"),
    Column("place", Integer, nullable=False),  # from 1
    _to("recording"),
    _seal(),
    UniqueConstraint("lesson_id", "place"),
)

result: Final = Table(
    "result",
    METADATA,
    _id(),
    _to("lesson"),
    Column("turn", Integer, nullable=False),  # from 1; the highest is the one in force
    Column("version", Text, nullable=False),  # of the program that worked it out
    Column("computed", Text, nullable=False),
    Column("standard", Text, nullable=False),
    _content("document_id"),  # the debrief's JSON
    _seal(),
    UniqueConstraint("lesson_id", "turn"),
)

maneuver: Final = Table(
    "maneuver",
    METADATA,
    _id(),
    _to("result"),
    Column("number", Integer, nullable=False),  # from 1
    Column("kind", Text, nullable=False),
    Column("direction", Text, nullable=False),
    _figure("confidence"),
    Column("start", Text, nullable=False),
    Column("end", Text, nullable=False),
    Column("laps", Integer, nullable=False),
    _figure("wind_from_deg"),
    _figure("wind_kt"),
    _figure("wind_sd_kt"),
    _figure("tas_kt"),
    _figure("radius_ft"),
    _figure("radius_sd_ft"),
    # JSON: [{"code": ..., "what": ..., ...}, ...] in the order of the standard; as in ``progress.flown``
    Column("elements", Text, nullable=False, server_default="[]"),
    Column("faults", Text, nullable=False, server_default="[]"),  # JSON, likewise
    _seal(),
    UniqueConstraint("result_id", "number"),
)

own_verdict: Final = Table(
    "own_verdict",
    METADATA,
    _id(),
    _to("lesson"),
    Column("maneuver_start", Text, nullable=False),  # names the maneuver, also in a later result
    Column("kind", Text, nullable=False),
    Column("code", Text, nullable=False),
    Column("quantity", Text, nullable=False),
    Column("verdict", Text, nullable=False),
    Column("reason", Text, nullable=False),
    _to("person", needed=False),
    Column("given", Text, nullable=False),
    _seal(),
    UniqueConstraint("lesson_id", "maneuver_start", "code", "quantity"),
)

tally: Final = Table(
    "tally",
    METADATA,
    Column("counted", Text, primary_key=True),  # rows of which table, by which column; see ``tallies``
    Column("whose", Text, primary_key=True),  # those with this value in it
    Column("number", Integer, nullable=False),
    Column("mark", String(32), nullable=False),  # exclusive or of the seals
    _seal(),
    sqlite_with_rowid=False,
)
