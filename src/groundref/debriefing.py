"""The one pipeline: from a recording to a debrief."""

from __future__ import annotations

from dataclasses import dataclass

from groundref.aircraft.aircraft import Aircraft
from groundref.assessment.assessed import Assessed
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.standards.standard import Standard
from groundref.track.track import Track


@dataclass(frozen=True, slots=True)
class Debrief:
    """Everything that was concluded from a recording, traceable to its samples.

    Attributes
    ----------
    track
        Clean samples.
    states
        Motion at each of them.
    winds
        Wind along the flight where it could be told.
    maneuvers
        In the order flown.
    standard
        The standard used.
    aircraft
        The airplane, None when none was named.
    """

    track: Track
    states: States
    winds: tuple[Wind, ...]
    maneuvers: tuple[Assessed, ...]
    standard: Standard
    aircraft: Aircraft | None
