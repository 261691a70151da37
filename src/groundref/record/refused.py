"""What a database says when it refuses, in one sentence with what to do."""

from __future__ import annotations

from typing import Final

from sqlalchemy.exc import DBAPIError

from groundref.errors import DamagedError, RecordError
from groundref.record.place import Place

# Parts of what SQLite and PostgreSQL say, what that means and what to do. SQLite's texts are those of its
# result codes (sqlite.org/rescode.html); PostgreSQL's are told by SQLSTATE (documentation, appendix A).
_SQLITE: Final = (
    ("database is locked", "another program is writing to it", "wait until it is done and try again"),
    ("database or disk is full", "the disk is full", "make room and try again; nothing was lost"),
    (
        "readonly database",
        "it may only be read",
        "give yourself the right to write to the file and its folder",
    ),
    ("unable to open", "it cannot be opened", "look whether the folder is there and may be written to"),
    (
        "disk i/o error",
        "the disk fails",
        "copy the file to another disk and run groundref record check there",
    ),
)
_DAMAGED: Final = (
    "malformed",
    "encrypted",
    "could not decode",
    "no such column",
    "no such table",
)
_BACKUP: Final = "run groundref record check, and go back to a backup with groundref record restore BACKUP"
_STATES: Final = {
    "08": ("the server cannot be reached", "look whether it runs and whether the address is right"),
    "28": ("the server does not let you in", "look at user and password in the address"),
    "3D": ("there is no such database on the server", "make it with createdb"),
    "42501": ("you may not do this on the server", "ask who looks after it for the right to write"),
    "53": ("the server has run out of room", "make room there and try again; nothing was lost"),
    "55P03": ("another program is writing to it", "wait until it is done and try again"),
    "57": ("the server is shutting down", "try again when it runs"),
}


def sentence(problem: DBAPIError, place: Place) -> RecordError:
    """Return what to tell the user of a refusal.

    Parameters
    ----------
    problem
        From the database.
    place
        Of the record.
    """
    said = " ".join(str(problem.orig).split())
    state = getattr(problem.orig, "sqlstate", None) or ""
    if place.path is None:
        for beginning, (what, remedy) in _STATES.items():
            if state.startswith(beginning):
                return RecordError(what, str(place), remedy)
        if not state:
            return RecordError("the server cannot be reached", str(place), _STATES["08"][1])
    low = said.lower()
    if "not a database" in low:
        return DamagedError(
            f"it is no training record, or its beginning is damaged ({said})", str(place), _BACKUP
        )
    if any(word in low for word in _DAMAGED):
        return DamagedError(f"it is damaged ({said})", str(place), _BACKUP)
    for part, what, remedy in _SQLITE:
        if part in low:
            return RecordError(what, str(place), remedy)
    return RecordError(f"the database refused ({said})", str(place), "run groundref record check")


def unreadable(place: Place) -> DamagedError:
    """Return what to tell the user when not even what the database says can be read."""
    return DamagedError("it is damaged (the names in it cannot be read)", str(place), _BACKUP)
