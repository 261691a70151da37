"""A lesson worked out from its recordings: the debrief, its JSON, and what the plan said."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from groundref import documents
from groundref.comparison.compare import Comparison, compare, with_plan
from groundref.comparison.document import to_dict
from groundref.comparison.reading import parse_plan
from groundref.debriefing import Debrief
from groundref.record.asked import Asked, concluded
from groundref.track.recording import Recording


@dataclass(frozen=True, slots=True)
class Worked:
    """A debrief with its JSON.

    Attributes
    ----------
    debrief
        What was concluded.
    comparison
        It and the plan, where there is one.
    plain
        Its JSON as plain data.
    """

    debrief: Debrief
    comparison: Comparison | None
    plain: dict[str, Any]

    @property
    def document(self) -> bytes:
        """Its JSON."""
        return documents.to_json(self.plain)


def work_out(recording: Recording, asked: Asked, plan: bytes | None = None) -> Worked:
    """Debrief a lesson, and set its plan against it.

    Parameters
    ----------
    recording
        All its parts, joined.
    asked
        How.
    plan
        The plan's JSON, where one was kept.

    Raises
    ------
    InputError, NothingToWorkOnError, UsageError
        As debriefing does, or when the plan is none.
    """
    planned = None if plan is None else parse_plan(plan, "plan")
    debrief = concluded(recording, asked)
    if planned is None:
        return Worked(debrief, None, debrief.to_dict())
    comparison = compare(debrief, planned)
    shown = with_plan(debrief, comparison)
    return Worked(shown, comparison, {**shown.to_dict(), "plan": to_dict(comparison)})
