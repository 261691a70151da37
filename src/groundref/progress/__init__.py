"""How a student's flying changes from lesson to lesson: figures out of debriefs, trends, evidence.

The names below are loaded when first used: who only takes figures out of a debrief needs no arithmetic.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from groundref.progress.document import to_dict as to_dict
    from groundref.progress.student import progress as progress
    from groundref.progress.told import Progress as Progress

_HOMES: Final = {
    "Progress": "groundref.progress.told",
    "progress": "groundref.progress.student",
    "to_dict": "groundref.progress.document",
}

__all__ = ["Progress", "progress", "to_dict"]


def __getattr__(name: str) -> Any:
    """Load a name when it is first used."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)
