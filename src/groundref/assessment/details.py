"""What is particular to one kind of maneuver, beside what all have in common."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Crossing:
    """One crossing of the line of S-turns, or of the road of an eight.

    Attributes
    ----------
    time
        When the line was crossed [s]
    off_square, off_square_sd
        Track less the direction square to the line, right positive, and its standard deviation [rad]
    bank, bank_sd
        Bank there, right positive; NaN where it cannot be told [rad]
    along
        Where along the line, from its first place [m]
    """

    time: float
    off_square: float
    off_square_sd: float
    bank: float
    bank_sd: float
    along: float


@dataclass(frozen=True, slots=True)
class LineFlown:
    """How a line was crossed.

    Attributes
    ----------
    crossings
        In the order flown.
    """

    crossings: tuple[Crossing, ...]


@dataclass(frozen=True, slots=True)
class LegFlown:
    """One leg of a rectangular course or a traffic pattern.

    Attributes
    ----------
    lap
        Number of the circuit, from 1.
    name
        Such as `downwind`.
    start, end
        Between the turns [s]
    course
        Direction of the side it should run along [rad]
    off_course, off_course_sd
        Mean track less ``course``, right positive [rad]
    weave
        How far the track went to and fro about its mean, root mean square [rad]
    distance, distance_sd
        Mean distance outside the boundary; of a fitted rectangle outside the mean of what was flown [m]
    distance_max, distance_min
        Its extremes [m]
    crab, crab_needed, crab_sd
        Mean heading less ``course``, the crab that holds the course in this wind, and its standard deviation,
        nose right positive; NaN where the wind cannot be told [rad]
    ground_speed
        Mean [m s⁻¹]
    """

    lap: int
    name: str
    start: float
    end: float
    course: float
    off_course: float
    off_course_sd: float
    weave: float
    distance: float
    distance_sd: float
    distance_max: float
    distance_min: float
    crab: float
    crab_needed: float
    crab_sd: float
    ground_speed: float


@dataclass(frozen=True, slots=True)
class CornerFlown:
    """One turn from a leg to the next.

    Attributes
    ----------
    lap
        Number of the circuit, from 1.
    name
        Such as `downwind to base`.
    start, end
        [s]
    track_turn
        Change of track, right positive [rad]
    heading_turn, heading_turn_needed
        Change of heading flown, and the one that goes from crab to crab; NaN where not known [rad]
    bank_max
        Largest bank into the turn; NaN where not known [rad]
    overshoot, overshoot_sd
        How far the airplane went beyond the next leg's line, short of it negative [m]
    """

    lap: int
    name: str
    start: float
    end: float
    track_turn: float
    heading_turn: float
    heading_turn_needed: float
    bank_max: float
    overshoot: float
    overshoot_sd: float


@dataclass(frozen=True, slots=True)
class CourseFlown:
    """How a rectangular course was flown.

    Attributes
    ----------
    legs, corners
        In the order flown.
    entry_angle, entry_angle_sd
        Angle between the track of the entry and the first leg; NaN where there was no straight entry [rad]
    outside
        Distance outside the boundary of the leg flown, sample by sample over the maneuver; NaN in turns [m]
    """

    legs: tuple[LegFlown, ...]
    corners: tuple[CornerFlown, ...]
    entry_angle: float
    entry_angle_sd: float
    outside: Floats


@dataclass(frozen=True, slots=True)
class EightFlown:
    """How an elementary eight was flown between its loops.

    Attributes
    ----------
    legs
        The straight ways, in the order flown; ``lap`` is the loop before.
    """

    legs: tuple[LegFlown, ...]


@dataclass(frozen=True, slots=True)
class Segment:
    """A straight stretch between two loops.

    Attributes
    ----------
    start, end
        Wings level between them [s]
    weave
        How far the track went to and fro about its mean, root mean square [rad]
    """

    start: float
    end: float
    weave: float


@dataclass(frozen=True, slots=True)
class PivotalFlown:
    """How a wing was held on the pylons; arrays over the samples of the maneuver, NaN outside the loops.

    Attributes
    ----------
    height, height_sd
        Above the pylon's ground [m]; None without a ground elevation
    pivotal, pivotal_sd
        Pivotal height from the actual airspeed and heading, V·G·cos(crab)/g [m]
    handbook
        The handbook's rule from the ground speed alone, GS²/g [m]
    ahead, ahead_sd
        Angle of the pylon ahead of the wing line, behind it negative [rad]
    segments
        Straight stretches between the loops.
    first_into_wind
        Angle between the first turn and one straight into the wind, 0 when the first turn is into the wind,
        π when away from it; NaN where the wind cannot be told [rad]
    """

    height: Floats | None
    height_sd: Floats | None
    pivotal: Floats
    pivotal_sd: Floats
    handbook: Floats
    ahead: Floats
    ahead_sd: Floats
    segments: tuple[Segment, ...]
    first_into_wind: float


@dataclass(frozen=True, slots=True)
class SteepTurn:
    """One steep turn.

    Attributes
    ----------
    lap
        Its number, from 1.
    bank, bank_sd
        Mean bank between rolling in and out, into the turn [rad]
    heading_in, heading_out
        Heading before rolling in and after rolling out; NaN where not known [rad]
    off_heading, off_heading_sd
        Heading after the turn less that before it, beyond positive, short negative [rad]
    drift, drift_expected
        How far the turn was carried over the ground, and what the wind carries in its time [m]
    """

    lap: int
    bank: float
    bank_sd: float
    heading_in: float
    heading_out: float
    off_heading: float
    off_heading_sd: float
    drift: float
    drift_expected: float


@dataclass(frozen=True, slots=True)
class SteepFlown:
    """How steep turns were flown.

    Attributes
    ----------
    turns
        In the order flown.
    """

    turns: tuple[SteepTurn, ...]


Details = LineFlown | CourseFlown | EightFlown | PivotalFlown | SteepFlown
