"""A maneuver and its laps, as found in a flight."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import nan
from typing import Final

from groundref.estimation.wind_value import Wind

# Every kind there is, in the words of the debrief.
KINDS: Final = (
    "turns-around-a-point",
    "s-turns",
    "rectangular-course",
    "eights-along-a-road",
    "eights-across-a-road",
    "eights-around-pylons",
    "eights-on-pylons",
    "steep-turns",
)
# Those flown as arcs of one radius about places on the ground: the same bank, crab and distance count in all.
ARCS: Final = (
    "turns-around-a-point",
    "s-turns",
    "eights-along-a-road",
    "eights-across-a-road",
    "eights-around-pylons",
)
# Flown with the throttle left alone, height being traded for speed.
AT_ONE_THROTTLE: Final = ("eights-on-pylons",)


@dataclass(frozen=True, slots=True)
class Reference:
    """What on the ground a maneuver was flown about, in the track's frame.

    Attributes
    ----------
    type
        `point`, `line`, `rectangle`, `pylons`, or `none` where there is nothing (steep turns).
    places
        The point; the two ends of the part of the line that was used; the four corners in the order flown,
        the first one ending the first leg; the two pylons, the first turned about first: east, north [m]
    sd
        Standard deviation of each place per axis, of a line that across it; 0 when given [m]
    source
        `fitted` or `given`.
    bearing, bearing_sd
        Direction of a line, [0, π), or of the first side of a rectangle as flown; NaN for others [rad]
    elevations
        Elevation of the ground at each place above mean sea level, where known [m]
    """

    type: str
    places: tuple[tuple[float, float], ...]
    sd: float
    source: str
    bearing: float = nan
    bearing_sd: float = nan
    elevations: tuple[float, ...] = ()

    @property
    def east(self) -> float:
        """East of the first place [m]."""
        return self.places[0][0]

    @property
    def north(self) -> float:
        """North of the first place [m]."""
        return self.places[0][1]


def point_at(east: float, north: float, sd: float, source: str) -> Reference:
    """Return a point on the ground [m]."""
    return Reference("point", ((east, north),), sd, source)


NOTHING: Final = Reference("none", (), 0.0, "fitted")


@dataclass(frozen=True, slots=True)
class Leg:
    """One leg of a rectangular course or a traffic pattern.

    Attributes
    ----------
    name
        Relative to the wind, `downwind`, `base`, `upwind`, `crosswind`; of a traffic pattern relative to the
        runway, with `final`.
    first, last
        Indices of its first and last samples between the turns (``last`` inclusive).
    start, end
        Its times [s]
    course
        Direction of the side of the rectangle it should run along [rad]
    """

    name: str
    first: int
    last: int
    start: float
    end: float
    course: float


@dataclass(frozen=True, slots=True)
class Lap:
    """One time round: 360° of track, a half circle of S-turns, a loop of an eight, a circuit of a course.

    Attributes
    ----------
    first, last
        Indices of its first and last samples in the states (``last`` inclusive).
    start, end
        Its times, between samples [s]
    turn
        Change of track, right positive [rad]
    center_east, center_north, center_sd
        Centre of the circle fitted to this lap alone, standard deviation per axis; NaN where the maneuver has
        no circles [m]
    radius, radius_sd
        Its radius; NaN likewise [m]
    radial_rms, radial_max, radial_min
        Distance from ``about`` less the maneuver's radius; outside positive; NaN likewise [m]
    about_east, about_north
        Place that the lap should be flown about: the point, the pylon, the middle of the half circle on the
        line; NaN where there is none [m]
    legs
        Of a circuit, in the order flown; empty for others.
    """

    first: int
    last: int
    start: float
    end: float
    turn: float
    center_east: float = nan
    center_north: float = nan
    center_sd: float = nan
    radius: float = nan
    radius_sd: float = nan
    radial_rms: float = nan
    radial_max: float = nan
    radial_min: float = nan
    about_east: float = nan
    about_north: float = nan
    legs: tuple[Leg, ...] = ()


@dataclass(frozen=True, slots=True)
class Entry:
    """How a maneuver was entered.

    Attributes
    ----------
    abeam_time
        When the airplane was abeam the point (the place it turns about first) before or at the first turn;
        None if that was not flown or there is none [s]
    turn_time
        When the turn began: the bank passed half of what followed [s]
    track
        Track just before the turn began [rad]
    distance
        Distance from the place turned about first when the turn began; NaN where there is none [m]
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
        When the first turn began and the last ended; of a rectangular course when its first leg began and
        its last ended [s]
    direction
        `left`, `right`, or `both` where it turns both ways.
    confidence
        Probability that it is what ``kind`` says.
    reference
        What on the ground it was flown about.
    radius, radius_sd
        Mean distance from the places turned about; NaN where distance is not to be held [m]
    wind
        Wind over the maneuver; None when it could not be told.
    entry
        How it was entered.
    laps
        In the order flown: laps, half circles, loops, circuits.
    drift_east, drift_north, drift_sd
        How far the centres of the laps moved in one lap, standard deviation per axis; NaN where there is but
        one, or none [m]
    drifts
        Whether the laps moved downwind because bank was held rather than distance.
    notes
        One plain sentence each.
    alternatives
        Other kinds that the same stretch may have been, with their probabilities, likeliest first.
    """

    kind: str
    first: int
    last: int
    start: float
    end: float
    direction: str
    confidence: float
    reference: Reference
    radius: float
    radius_sd: float
    wind: Wind | None
    entry: Entry
    laps: tuple[Lap, ...]
    drift_east: float = nan
    drift_north: float = nan
    drift_sd: float = nan
    drifts: bool = False
    notes: tuple[str, ...] = field(default=())
    alternatives: tuple[tuple[str, float], ...] = ()
