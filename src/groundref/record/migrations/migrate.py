"""Bring a record to today's shape."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection

from groundref.record.migrations import NEWEST

_FOLDER: Final = Path(__file__).parent


def configuration(connection: Connection | None = None) -> Config:
    """Return Alembic's settings for a connection that is in a transaction."""
    config = Config()
    config.set_main_option("script_location", str(_FOLDER).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config


def migrate(connection: Connection, to: str = NEWEST) -> None:
    """Bring a record, or an empty database, to a shape; the caller's transaction makes it whole or not at
    all.

    Parameters
    ----------
    connection
        In a transaction that writes.
    to
        The shape; today's unless said.
    """
    command.upgrade(configuration(connection), to)
