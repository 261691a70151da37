"""What the workers do: recordings in, the debrief out as JSON, as a page and for the replay."""

from __future__ import annotations

from dataclasses import dataclass

from groundref.debriefing import Debrief
from groundref.record.asked import Asked, recording_of
from groundref.record.results import Own
from groundref.record.telling import decided
from groundref.record.working import work_out
from groundref.reports import html
from groundref.reports.reading import US, reading
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
    units
        That the HTML is read in.
    """

    document: bytes
    content: str
    replay: bytes
    units: str = US


def debrief(
    parts: Parts, asked: Asked, plan: bytes | None = None, own: Own | None = None, units: str = US
) -> Worked:
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
    units
        That its page is read in.

    Raises
    ------
    GroundrefError
        As reading and debriefing do.
    """
    worked = work_out(recording_of(parts, asked.columns), asked, plan)
    found = [(one["kind"], one["start"]) for one in worked.plain["maneuvers"]]
    with reading(units):
        content = html.content(worked.debrief, worked.comparison, decided(own or {}, found))
    return Worked(worked.document, content, replay(worked.debrief), units)


Flown = tuple[Parts, Asked, bytes | None, int]


def pictured(first: Flown, second: Flown, units: str = US) -> tuple[str, str]:
    """Return the pictures of two maneuvers of one kind as HTML, to be compared by eye.

    Parameters
    ----------
    first, second
        Recordings, how they are debriefed and the plan, as above, and the number of the maneuver from 1.
    units
        That they are read in.

    Raises
    ------
    GroundrefError
        As reading and debriefing do.
    """
    one = _worked(*first[:3])
    other = one if first[:3] == second[:3] else _worked(*second[:3])
    with reading(units):
        return html.pictures_alike((one, first[3]), (other, second[3]))


def _worked(parts: Parts, asked: Asked, plan: bytes | None) -> Debrief:
    return work_out(recording_of(parts, asked.columns), asked, plan).debrief
