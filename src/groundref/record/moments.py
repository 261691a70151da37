"""The clock, as the record writes it."""

from __future__ import annotations

from datetime import UTC, datetime


def now() -> str:
    """Return the moment as `2026-05-01T12:00:00.000Z`; nothing in the record is put in order by it."""
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
