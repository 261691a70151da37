"""Where the record lies: a file of one's own, or a school's PostgreSQL server."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import Final
from urllib.parse import urlsplit

from groundref.errors import UsageError

VARIABLE: Final = "GROUNDREF_RECORD"
FILE_NAME: Final = "training-record.sqlite"
_SERVERS: Final = ("postgresql", "postgres")


@dataclass(frozen=True, slots=True)
class Place:
    """Where a record lies.

    Attributes
    ----------
    path
        The file; None on a server.
    server
        Address of a PostgreSQL database, `postgresql://user@host/database`; None for a file.
    """

    path: Path | None = None
    server: str | None = None

    def __str__(self) -> str:
        """Name it in messages, without a password."""
        if self.server is None:
            return str(self.path)
        parts = urlsplit(self.server)
        host = parts.netloc.rpartition("@")[2]
        user = parts.username
        return f"postgresql://{user + '@' if user else ''}{host}{parts.path}"


def place_of(named: str | None) -> Place:
    """Return where the record lies.

    Parameters
    ----------
    named
        A file or the address of a PostgreSQL database. Where None, the variable `GROUNDREF_RECORD` names it,
        and without that it is a file in the user's own data folder.

    Raises
    ------
    UsageError
        When it is an address of something else, or empty.
    """
    words = named if named is not None else os.environ.get(VARIABLE)
    if words is None:
        return Place(path=data_folder() / FILE_NAME)
    where = "--record" if named is not None else VARIABLE
    if not words.strip():
        raise UsageError("it is empty", where, "name a file or a PostgreSQL address")
    scheme, mark, _ = words.partition("://")
    if not mark:
        return Place(path=Path(words).expanduser())
    if scheme not in _SERVERS:
        raise UsageError(
            f"{scheme}:// is no address of a record", where, "name a file or postgresql://user@host/database"
        )
    return Place(server=words)


def data_folder() -> Path:
    """Return the user's own folder for what this program keeps."""
    from platformdirs import user_data_path

    return user_data_path("groundref", appauthor=False)
