"""A maneuver and its laps, as found in a flight."""

from __future__ import annotations

from dataclasses import dataclass

from groundref.estimation.wind_value import Wind


@dataclass(frozen=True, slots=True)
class Point:
    """The point on the ground that was circled, in the track's frame.

    Attributes
    ----------
    east, north
        Position [m]
    sd
        Standard deviation per axis; 0 when the point was given [m]
    source
        `fitted` or `given`.
    """

    east: float
    north: float
    sd: float
    source: str


@dataclass(frozen=True, slots=True)
class Lap:
    """One time round, 360° of track; the last may be less.

    Attributes
    ----------
    first, last
        Indices of its first and last samples in the states (``last`` inclusive).
    start, end
        Its times, between samples [s]
    turn
        Change of track, right positive [rad]
    center_east, center_north, center_sd
        Centre of the circle fitted to this lap alone, standard deviation per axis [m]
    radius, radius_sd
        Its radius [m]
    radial_rms, radial_max, radial_min
        Distance from the maneuver's point less the maneuver's radius; outside positive [m]
    """

    first: int
    last: int
    start: float
    end: float
    turn: float
    center_east: float
    center_north: float
    center_sd: float
    radius: float
    radius_sd: float
    radial_rms: float
    radial_max: float
    radial_min: float


@dataclass(frozen=True, slots=True)
class Entry:
    """How the circle was entered.

    Attributes
    ----------
    abeam_time
        When the airplane was abeam the point before or at the first turn; None if that was not flown [s]
    turn_time
        When the turn began: the bank passed half of what followed [s]
    track
        Track just before the turn began [rad]
    distance
        Distance from the point when the turn began [m]
    distance_sd
        Its standard deviation [m]
    """

    abeam_time: float | None
    turn_time: float
    track: float
    distance: float
    distance_sd: float


@dataclass(frozen=True, slots=True)
class Maneuver:
    """A maneuver found in the flight.

    Attributes
    ----------
    kind
        Such as `turns-around-a-point`.
    first, last
        Indices of its first and last samples in the states (``last`` inclusive).
    start, end
        When the turn began and ended [s]
    direction
        `left` or `right`.
    confidence
        Probability that it is what ``kind`` says.
    reference
        The point on the ground.
    radius, radius_sd
        Mean distance from the point over the whole laps [m]
    wind
        Wind over the maneuver; None when it could not be told.
    entry
        How it was entered.
    laps
        In the order flown.
    drift_east, drift_north, drift_sd
        How far the centres of the laps moved in one lap, standard deviation per axis [m]
    drifts
        Whether the laps moved downwind because bank was held rather than distance.
    notes
        One plain sentence each.
    """

    kind: str
    first: int
    last: int
    start: float
    end: float
    direction: str
    confidence: float
    reference: Point
    radius: float
    radius_sd: float
    wind: Wind | None
    entry: Entry
    laps: tuple[Lap, ...]
    drift_east: float
    drift_north: float
    drift_sd: float
    drifts: bool
    notes: tuple[str, ...] = ()
