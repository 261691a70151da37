"""What the workers do: recordings in, the debrief out as JSON, as a page and for the replay."""

from __future__ import annotations

from dataclasses import dataclass

from groundref.record.asked import Asked, recording_of
from groundref.record.results import Own
from groundref.record.telling import decided
from groundref.record.working import work_out
from groundref.reports import html
from groundref.web.replay import replay

Parts = tuple[tuple[str, bytes], ...]


@dataclass(frozen=True, slots=True)
class Worked:
    """A debrief in the three forms that the server hands out.

    Attributes
    ----------
    document
        The debrief's JSON.
    content
        HTML to be set into a page.
    replay
        JSON of the flight sample by sample (see ``replay``).
    """

    document: bytes
    content: str
    replay: bytes


def debrief(parts: Parts, asked: Asked, plan: bytes | None = None, own: Own | None = None) -> Worked:
    """Debrief a flight.

    Parameters
    ----------
    parts
        Name and content of each recording.
    asked
        How.
    plan
        JSON of the plan that it is set against.
    own
        The instructor's own verdicts, as ``given_on`` reads them; None for none.

    Raises
    ------
    GroundrefError
        As reading and debriefing do.
    """
    worked = work_out(recording_of(parts, asked.columns), asked, plan)
    found = [(one["kind"], one["start"]) for one in worked.plain["maneuvers"]]
    content = html.content(worked.debrief, worked.comparison, decided(own or {}, found))
    return Worked(worked.document, content, replay(worked.debrief))


def pictured(parts: Parts, asked: Asked, plan: bytes | None, number: int, name: str) -> str:
    """Return the pictures of one maneuver as HTML, to be set beside those of another.

    Parameters
    ----------
    parts, asked, plan
        As above.
    number
        Of the maneuver, from 1.
    name
        Starts the ids of the pictures.

    Raises
    ------
    GroundrefError
        As reading and debriefing do.
    """
    worked = work_out(recording_of(parts, asked.columns), asked, plan)
    return html.pictures(worked.debrief, number, name)
