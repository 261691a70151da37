"""Eights on pylons: loops one way and the other, each about a place that stayed on the wing line.

What tells them from turns of other flying:

* **abeam**: one place stays square to the heading, where a turn at one bank is carried along by the air;
* **the same places**: odd loops share one such place and even loops the other;
* **the loops**: 220 to 340° of turn with some seconds straight between, at least one whole eight;
* **the bank**: 30 to 40° at the steepest.

What tells them from elementary eights, and this is little: a circle about a point in wind is to first order
an ellipse with a pylon at its focus, W/V of the radius aside, and the path differs by (W/V)²/4 of the radius
only, 1 % in a wind of a fifth of the airspeed. So path and bank say nothing, but

* **following**: in wind altitude goes up and down with the pivotal height, where elsewhere it is held;
* **the height**: the pivotal height of the airspeed, where the ground is known, against anything from 600 to
  1,000 ft;
* **the given pylons**, where they are: abeam the heading, or abeam the track.

In calm air without given heights the two are one and the same, and both are said.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import wrap
from groundref.detection.candidate import Candidate, Cut, Ground, Place
from groundref.detection.circling import POSITION_WANDER, rolled_in_and_out
from groundref.detection.evidence import ANY, density, log_ratio
from groundref.detection.laps import INBOUND
from groundref.detection.maneuver import Entry, Lap, Maneuver, Reference
from groundref.detection.pylon_fit import PylonFit, fit_pylon
from groundref.detection.segments import Turning
from groundref.detection.traded import AirMotion, air_motion
from groundref.estimation.states import States
from groundref.mechanics.pylon import pivotal_height_from_velocity
from groundref.mechanics.pylon_sight import ahead_of_abeam
from groundref.units import degree, foot, nautical_mile

Floats = NDArray[np.float64]

KIND: Final = "eights-on-pylons"

# What cannot be a loop of one whatever the evidence.
TURN_RANGE: Final = (185 * degree, 400 * degree)
BANK_RANGE: Final = (12 * degree, 58 * degree)  # largest bank of a loop
LONGEST_GAP: Final = 25.0  # [s] from one loop to the next
SETTLED: Final = 3.0  # [s] after half the roll, until the bank stands
SAME_PYLON: Final = 0.6  # of the distance: pylons of every other loop farther apart are not the same
OFF_ABEAM: Final = 22 * degree  # root mean square beyond which the place is no pylon
NEAR: Final = 0.5  # of the distance: given pylons farther from those found are others
LEAST_APART: Final = 0.8  # of the distance, from one pylon to the other

PRIOR: Final = 0.0  # one loop and then another the other way is seldom flown but for eights
CARRIED: Final = 0.65  # of W/V: how far a turn at one bank is from having a place abeam, root mean square
SKILL: Final = 3.0  # [°] how far the pylon stands off abeam in practice, root mean square; no source
FOLLOWED: Final = (90.0, 260.0)  # [ft] off the pivotal height: of most, and of the one in four who are wrong
WRONG: Final = 0.25
ALTITUDE_WANDER: Final = 25.0 * foot  # [m] in a loop, whatever is meant; common practice, no source


@dataclass(frozen=True, slots=True)
class Loop:
    """One loop.

    Attributes
    ----------
    start, end
        The middles of rolling in and out [s]
    first, last
        Its samples, ``last`` inclusive.
    turn
        Change of track, right positive [rad]
    bank
        Largest bank that lasted, its magnitude [rad]
    """

    start: float
    end: float
    first: int
    last: int
    turn: float
    bank: float


@dataclass(frozen=True, slots=True)
class Eight:
    """Loops one way and the other about two pylons.

    Attributes
    ----------
    loops
        In the order flown.
    air
        Motion through the air from the first loop to the last.
    pylons
        The first turned about first.
    """

    loops: tuple[Loop, ...]
    air: AirMotion
    pylons: tuple[PylonFit, PylonFit]

    @property
    def first(self) -> int:
        """First sample."""
        return self.loops[0].first

    @property
    def last(self) -> int:
        """Last sample."""
        return self.loops[-1].last

    @property
    def distance(self) -> float:
        """Mean distance from the pylons [m]."""
        return 0.5 * (self.pylons[0].distance + self.pylons[1].distance)


def propose(states: States, cut: Cut, ground: Ground) -> list[Candidate]:
    """Propose eights on pylons.

    Parameters
    ----------
    states, cut
        The flight and its first cut.
    ground
        What is known about places on the ground.
    """
    loops = [loop for one in cut.turnings if (loop := _loop(states, one)) is not None]
    return [_candidate(states, eight, ground) for eight in _eights(states, loops)]


def _loop(states: States, turning: Turning) -> Loop | None:
    """See a stretch of turning as a loop; None when it cannot be one."""
    if not TURN_RANGE[0] - 0.2 <= abs(turning.turn) <= TURN_RANGE[1] + 0.2:
        return None
    ends = rolled_in_and_out(states, turning)
    if ends is None:
        return None
    inside = np.flatnonzero((states.time >= ends[0]) & (states.time <= ends[1]))
    if inside.size < 2 * 3:
        return None
    first, last = int(inside[0]), int(inside[-1])
    tracks = np.interp(ends, states.time, states.track)
    turn, bank = float(tracks[1] - tracks[0]), states.bank[first : last + 1]
    if not TURN_RANGE[0] <= abs(turn) <= TURN_RANGE[1] or not np.isfinite(bank).all():
        return None
    steepest = float(np.percentile(np.abs(bank), 90))
    if not BANK_RANGE[0] <= steepest <= BANK_RANGE[1]:
        return None
    return Loop(ends[0], ends[1], first, last, turn, steepest)


def _eights(states: States, loops: list[Loop]) -> list[Eight]:
    """Return the longest rows of loops that share two pylons."""
    found: list[Eight] = []
    begin = 0
    while begin + 1 < len(loops):
        best, length = None, 2
        while begin + length <= len(loops) and _one_after_the_other(states, loops[begin : begin + length]):
            eight = _eight(states, tuple(loops[begin : begin + length]))
            if eight is None:
                break
            best, length = eight, length + 1
        if best is None:
            begin += 1
        else:
            found.append(best)
            begin += len(best.loops)
    return found


def _one_after_the_other(states: States, loops: list[Loop]) -> bool:
    """Return whether the last of some loops follows the one before the other way, without a gap."""
    before, after = loops[-2], loops[-1]
    return (
        before.turn * after.turn < 0.0
        and after.start - before.end <= LONGEST_GAP
        and states.piece[before.first] == states.piece[after.last]
    )


def _eight(states: States, loops: tuple[Loop, ...]) -> Eight | None:
    """See loops as eights on two pylons; None when the pylons are not the same ones each time."""
    first, last = loops[0].first, loops[-1].last
    air = air_motion(states, first, last)
    if not air.known:
        return None
    one, other = _pylon(states, loops[0::2], air, first), _pylon(states, loops[1::2], air, first)
    if one is None or other is None:
        return None
    distance = 0.5 * (one.distance + other.distance)
    if np.hypot(one.east - other.east, one.north - other.north) < LEAST_APART * distance:
        return None
    for loop, pylon in zip(loops, (one, other) * len(loops), strict=False):
        own = _pylon(states, (loop,), air, first)
        if own is None or own.ahead > OFF_ABEAM:
            return None
        if np.hypot(own.east - pylon.east, own.north - pylon.north) > SAME_PYLON * distance:
            return None
    return Eight(loops, air, (one, other))


def settled(states: States, start: float, end: float) -> NDArray[np.int64]:
    """Return the samples of a loop between rolling in and rolling out."""
    inside = (states.time >= start + SETTLED) & (states.time <= end - SETTLED)
    return np.flatnonzero(inside)


def _pylon(states: States, loops: tuple[Loop, ...], air: AirMotion, first: int) -> PylonFit | None:
    """Find the pylon of some loops together."""
    index = np.concatenate([settled(states, loop.start, loop.end) for loop in loops])
    wind_sd = float(np.sqrt(max(np.linalg.eigvalsh(air.covariance)[-1], 0.0)))
    return fit_pylon(
        states.time[index],
        states.east[index],
        states.north[index],
        air.heading[index - first],
        wind_sd / float(np.mean(air.airspeed)),
    )


def _candidate(states: States, eight: Eight, ground: Ground) -> Candidate:
    return Candidate(
        kind=KIND,
        start=eight.loops[0].start,
        end=eight.loops[-1].end,
        log_odds=log_odds(states, eight, ground),
        build=lambda confidence: _maneuver(states, eight, confidence, ground),
    )


def log_odds(states: States, eight: Eight, ground: Ground) -> float:
    """Return the log-odds that loops were flown on pylons, against ordinary flying."""
    return (
        PRIOR
        + _loops_evidence(eight)
        + _turn_evidence(eight)
        + _places_evidence(states, eight)
        + _abeam_evidence(eight)
        + _given_evidence(states, eight, ground)
        + _height_evidence(states, eight, ground)
        + _following_evidence(states, eight)
        + _bank_evidence(eight)
    )


def _loops_evidence(eight: Eight) -> float:
    """Two loops the other way round each other are rare in ordinary flying, more of them rarer."""
    return 1.0 + 1.0 * min(len(eight.loops) - 1, 3)


def _turn_evidence(eight: Eight) -> float:
    """Loops that begin and end on slanting ways, not the full circles of eights along a road or steep turns."""
    turn = float(np.mean([abs(loop.turn) for loop in eight.loops])) / degree
    return log_ratio(density(turn, 285.0, 35.0), density(turn, 270.0, 80.0), -2.0, 1.0)


def _places_evidence(states: States, eight: Eight) -> float:
    """The pylons of every other loop: the same within errors, or anywhere near where nothing is looked at."""
    total, distance = 0.0, eight.distance
    for loop, pylon in zip(eight.loops[2:], (*eight.pylons, *eight.pylons) * len(eight.loops), strict=False):
        own = _pylon(states, (loop,), eight.air, eight.first)
        if own is not None:
            apart = float(np.hypot(own.east - pylon.east, own.north - pylon.north)) / distance
            total += log_ratio(density(apart, 0.0, 0.12), density(apart, 0.3, 0.3), -2.0, 2.0)
    return float(np.clip(total, -3.0, 3.0))


def _abeam_evidence(eight: Eight) -> float:
    """One place square to the heading all the way, or a turn that the air carries along."""
    wind = eight.air.wind
    if wind is None:
        return 0.0
    ratio, ratio_sd = wind.speed / wind.true_airspeed, wind.speed_sd / wind.true_airspeed
    ahead = float(np.degrees(np.hypot(eight.pylons[0].ahead, eight.pylons[1].ahead) / np.sqrt(2.0)))
    on = density(ahead, 0.0, SKILL)
    # The place closest to the wing lines of a turn at one bank: found on simulated flights.
    carried = float(np.degrees(CARRIED * ratio)), float(np.hypot(SKILL, np.degrees(CARRIED * ratio_sd)))
    return log_ratio(on, 0.7 * density(ahead, *carried) + 0.3 * on, -3.0, 3.0)


def _given_evidence(states: States, eight: Eight, ground: Ground) -> float:
    """The given pylons abeam the heading, or, for elementary eights, abeam the track; 0 without such."""
    wind, pylons = eight.air.wind, _given_near(eight, ground)
    if wind is None or pylons is None:
        return 0.0
    off = []
    for n, loop in enumerate(eight.loops):
        index = settled(states, loop.start, loop.end)
        east, north = pylons[n % 2][0] - states.east[index], pylons[n % 2][1] - states.north[index]
        heading = eight.air.heading[index - eight.first]
        off.append(ahead_of_abeam(east, north, heading, np.sign(loop.turn)))
    ahead = float(np.degrees(np.sqrt(np.mean(np.concatenate(off) ** 2))))
    crab = float(np.degrees(0.7 * wind.speed / wind.true_airspeed))
    spread = float(np.hypot(SKILL, np.degrees(0.7 * wind.speed_sd / wind.true_airspeed)))
    return log_ratio(density(ahead, 0.0, SKILL), density(ahead, crab, spread), -3.0, 3.0)


def _height_evidence(states: States, eight: Eight, ground: Ground) -> float:
    """The pivotal height, or any height; 0 where the ground is not known."""
    above = height_above_pylons(states, eight, ground)
    if above is None:
        return 0.0
    height, sd, pivotal = above[0] / foot, above[1] / foot, float(np.mean(_pivotal(states, eight))) / foot
    on = (1.0 - WRONG) * density(height, pivotal, float(np.hypot(FOLLOWED[0], sd)))
    on += WRONG * density(height, pivotal, float(np.hypot(FOLLOWED[1], sd)))
    return log_ratio(on, density(height, ANY[0], float(np.hypot(ANY[1], sd))), -3.0, 3.0)


def height_above_pylons(states: States, eight: Eight, ground: Ground) -> tuple[float, float] | None:
    """Return the mean height above the pylons in the loops and its standard deviation; None if not known."""
    index = _in_loops(states, eight)
    if ground.pylon_elevations is not None and states.altitude is not None and states.altitude_datum == "msl":
        return float(np.mean(states.altitude[index]) - np.mean(ground.pylon_elevations)), 6.0
    if states.height is None or states.height_sd is None:
        return None
    height, sd = float(np.mean(states.height[index])), float(np.mean(states.height_sd[index]))
    return (height, sd) if np.isfinite(height + sd) else None


def _following_evidence(states: States, eight: Eight) -> float:
    """How much of the pivotal height's changes the altitude makes; 0 where it hardly changes."""
    if states.altitude is None:
        return 0.0
    index = _in_loops(states, eight)
    pivotal, altitude = _pivotal(states, eight), states.altitude[index]
    pivotal, altitude = pivotal - pivotal.mean(), altitude - altitude.mean()
    spread = float(np.std(pivotal))
    if not np.isfinite(spread) or spread < 1.0:
        return 0.0
    share = float(np.mean(pivotal * altitude)) / spread**2
    # Altitude wanders slowly: a loop or two hold few independent looks at it.
    sd = ALTITUDE_WANDER / spread / np.sqrt(len(eight.loops))
    on = (1.0 - WRONG) * density(share, 0.9, float(np.hypot(0.25, sd)))
    on += WRONG * density(share, 0.4, float(np.hypot(0.4, sd)))
    return log_ratio(on, density(share, 0.0, float(np.hypot(0.15, sd))), -3.0, 3.0)


def _bank_evidence(eight: Eight) -> float:
    steepest = float(np.mean([loop.bank for loop in eight.loops])) / degree
    return log_ratio(density(steepest, 33.0, 5.0), density(steepest, 30.0, 11.0), -3.0, 1.0)


def _in_loops(states: States, eight: Eight) -> NDArray[np.int64]:
    return np.concatenate([settled(states, loop.start, loop.end) for loop in eight.loops])


def _pivotal(states: States, eight: Eight) -> Floats:
    """Return the pivotal height in the loops [m]."""
    index = _in_loops(states, eight)
    own = index - eight.first
    return pivotal_height_from_velocity(
        states.velocity_east[index],
        states.velocity_north[index],
        eight.air.wind_east[own],
        eight.air.wind_north[own],
    )


def _maneuver(states: States, eight: Eight, confidence: float, ground: Ground) -> Maneuver:
    reference, notes = _reference(eight, ground)
    loops = eight.loops
    return Maneuver(
        kind=KIND,
        first=eight.first,
        last=eight.last,
        start=loops[0].start,
        end=loops[-1].end,
        direction="both",
        confidence=confidence,
        reference=reference,
        radius=np.nan,
        radius_sd=np.nan,
        wind=eight.air.wind,
        entry=_entry(states, loops[0], reference),
        laps=tuple(_lap(loop, reference.places[n % 2]) for n, loop in enumerate(loops)),
        notes=tuple(notes),
    )


def _lap(loop: Loop, pylon: tuple[float, float]) -> Lap:
    return Lap(
        first=loop.first,
        last=loop.last,
        start=loop.start,
        end=loop.end,
        turn=loop.turn,
        about_east=pylon[0],
        about_north=pylon[1],
    )


def _reference(eight: Eight, ground: Ground) -> tuple[Reference, list[str]]:
    """Return the pylons: the given ones where they lie near those that were turned about."""
    one, other = eight.pylons
    sd = float(np.hypot(one.sd, other.sd) / np.sqrt(2.0))
    fitted = Reference("pylons", ((one.east, one.north), (other.east, other.north)), sd, "fitted")
    if ground.pylons is None:
        return fitted, []
    nearer, far = _nearer_order(eight, ground.pylons)
    if far > NEAR * eight.distance:
        said = f"{far / nautical_mile:,.1f} NM" if far > nautical_mile else f"{far / foot:,.0f} ft"
        return fitted, [
            f"A given pylon lies {said} from the nearest place turned about; the given ones were not used."
        ]
    elevations = (ground.pylon_elevations or ())[:: -1 if nearer else 1]
    places = ground.pylons[::-1] if nearer else ground.pylons
    return Reference("pylons", places, 0.0, "given", elevations=elevations), []


def _nearer_order(eight: Eight, pylons: tuple[Place, Place]) -> tuple[int, float]:
    """Return whether given pylons were turned about in the other order, and how far off the farther is."""
    found = [(pylon.east, pylon.north) for pylon in eight.pylons]
    orders = (pylons, pylons[::-1])
    off = [max(np.hypot(*np.subtract(a, b)) for a, b in zip(o, found, strict=True)) for o in orders]
    nearer = int(np.argmin(off))
    return nearer, float(off[nearer])


def _given_near(eight: Eight, ground: Ground) -> tuple[Place, ...] | None:
    """Return the given pylons in the order turned about; None where there are none near."""
    if ground.pylons is None:
        return None
    nearer, far = _nearer_order(eight, ground.pylons)
    if far > NEAR * eight.distance:
        return None
    return ground.pylons[::-1] if nearer else ground.pylons


def _entry(states: States, loop: Loop, reference: Reference) -> Entry:
    """Measure how the first loop was entered, from the straight flight just before it."""
    before = np.flatnonzero(
        (states.time >= loop.start - INBOUND[0])
        & (states.time <= loop.start - INBOUND[1])
        & (states.piece == states.piece[loop.first])
    )
    index = before if before.size else np.array([loop.first])
    east, north = float(np.mean(states.velocity_east[index])), float(np.mean(states.velocity_north[index]))
    at = (
        float(np.interp(loop.start, states.time, states.east)) - reference.east,
        float(np.interp(loop.start, states.time, states.north)) - reference.north,
    )
    return Entry(
        abeam_time=loop.start if before.size else None,
        turn_time=loop.start,
        track=float(wrap(np.arctan2(east, north))),
        distance=float(np.hypot(*at)),
        distance_sd=float(
            np.sqrt(reference.sd**2 + states.position_sd[loop.first] ** 2 + POSITION_WANDER**2)
        ),
    )
