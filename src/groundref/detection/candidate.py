"""What each kind of maneuver proposes as an explanation of a stretch of the flight."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from groundref.detection.circling import Circling
from groundref.detection.loops import Row
from groundref.detection.maneuver import Maneuver
from groundref.detection.segments import Turning
from groundref.detection.straights import Chain

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Ground:
    """What the user said about places on the ground, in the track's frame; None where nothing was said.

    Attributes
    ----------
    point
        The point turned about: east, north [m]
    line
        Two places on the line, the road [m]
    corners
        The four corners of the rectangle, in order round it [m]
    pylons
        The two pylons [m]
    pylon_elevations
        Elevation of the ground at each pylon above mean sea level [m]
    """

    point: Place | None = None
    line: tuple[Place, Place] | None = None
    corners: tuple[Place, Place, Place, Place] | None = None
    pylons: tuple[Place, Place] | None = None
    pylon_elevations: tuple[float, float] | None = None


NOTHING_GIVEN: Final = Ground()


@dataclass(frozen=True, slots=True)
class Cut:
    """The first cut of a flight, made once and used by all kinds.

    Attributes
    ----------
    turnings
        Stretches of turning one way by 45° and more, straight legs cut off, in the order flown.
    circles
        Those of about a lap and more, seen as circles.
    rows
        Loops one way and the other, in rows over the ground.
    carried
        Likewise in the air mass, where it moves enough to make a difference.
    chains
        Straight legs at right angles with turns one way between them; readings of one stretch compete.
    """

    turnings: tuple[Turning, ...]
    circles: tuple[Circling, ...]
    rows: tuple[Row, ...]
    carried: tuple[Row, ...]
    chains: tuple[Chain, ...]


@dataclass(frozen=True, slots=True)
class Candidate:
    """One explanation of a stretch of the flight.

    Attributes
    ----------
    kind
        The kind of maneuver; for ordinary flying that looks like one, what it is in own words.
    start, end
        The stretch that it explains [s]
    log_odds
        Logarithm of how much likelier the evidence is when this was flown than when the stretch was ordinary
        flying, how often each is flown counted in.
    build
        Makes the maneuver, given its confidence; None for ordinary flying, which is not reported.
    """

    kind: str
    start: float
    end: float
    log_odds: float
    build: Callable[[float], Maneuver] | None = field(default=None)
