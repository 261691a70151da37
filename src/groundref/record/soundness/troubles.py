"""Something that is not as it should be in a record."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

BACKUP: Final = "go back to a backup with groundref record restore BACKUP"
MEND: Final = "groundref record check --mend puts it right"


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something that is not as it should be.

    Attributes
    ----------
    kind
        `database`, `shape`, `row`, `tally`, `reference`, `order`, `content`, `unused`, `figures`, `files`.
    what, where, remedy
        What is wrong, where, and what to do.
    lessons
        Numbers of the lessons that it concerns, where that can be told.
    serious
        Whether something is damaged; False for what should only be known.
    mendable
        Whether it can be put right with certainty from what is sound.
    """

    kind: str
    what: str
    where: str
    remedy: str
    lessons: tuple[int, ...] = ()
    serious: bool = True
    mendable: bool = False

    def __str__(self) -> str:
        """Say it in one sentence."""
        return f"{self.where}: {self.what}; {self.remedy}"
