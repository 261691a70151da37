"""The shapes that the record has had, one file for each change, and how an older one becomes today's."""

from __future__ import annotations

from typing import Final

# Oldest first. A record that names another was written by a newer groundref.
REVISIONS: Final = ("0001", "0002", "0003")
NEWEST: Final = REVISIONS[-1]
