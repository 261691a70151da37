"""Eights on pylons: loops one way and the other, each about a place that stayed on the wing line.

That there are loops about two places is what any eight shows (`eights.log_odds`). What tells eights on pylons
from elementary ones is little: a circle about a point in wind is to first order an ellipse with a pylon at
its focus, W/V of the radius aside, and the path differs by (W/V)²/4 of the radius only, 1 % in a wind of a
fifth of the airspeed. So the path says nothing, but

* **following**: in wind altitude goes up and down with the pivotal height, where elsewhere it is held;
* **the height**: the pivotal height of the airspeed, where the ground is known, against anything from 600 to
  1,000 ft;
* **the given pylons**, where they are: abeam the heading, or abeam the track;
* **the bank**: 30 to 40° at the steepest;
* **the layout**: as around pylons, across the wind, with slanting ways between.

In calm air where the pivotal height is a usual one the two are one and the same, and both are said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import wrap
from groundref.detection import eights
from groundref.detection.candidate import Candidate, Cut, Ground, Place
from groundref.detection.circling import POSITION_WANDER
from groundref.detection.evidence import LOW, density, log_ratio
from groundref.detection.laps import INBOUND
from groundref.detection.loops import Loop, Row
from groundref.detection.maneuver import Entry, Lap, Maneuver, Reference
from groundref.detection.pylon_fit import PylonFit, fit_pylon
from groundref.detection.traded import AirMotion, air_motion
from groundref.estimation.mean_wind import wind_over
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.mechanics.pylon import pivotal_height_from_velocity
from groundref.mechanics.pylon_sight import ahead_of_abeam
from groundref.units import degree, foot, nautical_mile

Floats = NDArray[np.float64]

KIND: Final = "eights-on-pylons"

SETTLED: Final = 3.0  # [s] after half the roll, until the bank stands
OFF_ABEAM: Final = 22 * degree  # root mean square beyond which the place is no pylon
NEAR: Final = 0.5  # of the distance: given pylons farther from those found are others
LEAST_APART: Final = 0.8  # of the distance, from one pylon to the other

SKILL: Final = 3.0  # [°] how far the pylon stands off abeam in practice, root mean square; no source
FOLLOWED: Final = (90.0, 260.0)  # [ft] off the pivotal height: of most, and of the one in four who are wrong
TURN: Final = (305.0, 27.0)  # [°] of a loop, with 3 to 5 s between; found on simulated flights
SELDOMER: Final = -0.7  # half as often as the three elementary ones together; a figure of our own
SPREAD: Final = (1.12, 0.15)  # of the pylons over twice the distance, with 3 to 5 s between the loops
TOUCHING: Final = (1.0, 0.08)  # likewise along a road
APART: Final = (1.3, 0.2)  # and across a road and around pylons
WRONG: Final = 0.25
ALTITUDE_WANDER: Final = 25.0 * foot  # [m] in a loop, whatever is meant; common practice, no source


@dataclass(frozen=True, slots=True)
class Eight:
    """Loops one way and the other about two pylons.

    Attributes
    ----------
    row
        The loops.
    first, last
        Their samples, ``last`` inclusive.
    air
        Motion through the air from the first loop to the last.
    pylons
        The first turned about first.
    """

    row: Row
    first: int
    last: int
    air: AirMotion
    pylons: tuple[PylonFit, PylonFit]

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
    found = (_eight(states, row) for row in cut.rows if eights.can_be(states, row))
    return [_candidate(states, cut, eight, ground) for eight in found if eight is not None]


def _eight(states: States, row: Row) -> Eight | None:
    """See loops as eights on two pylons; None when no place stayed abeam."""
    first, last = eights.samples(states, row)
    air = air_motion(states, first, last)
    if not air.known:
        return None
    one, other = (_pylon(states, row.loops[k::2], air, first) for k in (0, 1))
    if one is None or other is None or max(one.ahead, other.ahead) > OFF_ABEAM:
        return None
    apart = np.hypot(one.east - other.east, one.north - other.north)
    if apart < LEAST_APART * 0.5 * (one.distance + other.distance):
        return None
    return Eight(row, first, last, air, (one, other))


def settled(states: States, start: float, end: float) -> NDArray[np.int64]:
    """Return the samples of a loop between rolling in and rolling out."""
    inside = (states.time >= start + SETTLED) & (states.time <= end - SETTLED)
    return np.flatnonzero(inside)


def _pylon(states: States, loops: Sequence[Loop], air: AirMotion, first: int) -> PylonFit | None:
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


def _candidate(states: States, cut: Cut, eight: Eight, ground: Ground) -> Candidate:
    return Candidate(
        kind=KIND,
        start=eight.row.start,
        end=eight.row.end,
        log_odds=log_odds(states, cut, eight, ground),
        build=lambda confidence: _maneuver(states, eight, confidence, ground),
    )


def log_odds(states: States, cut: Cut, eight: Eight, ground: Ground) -> float:
    """Return the log-odds that loops were flown on pylons, against ordinary flying.

    Parameters
    ----------
    states, cut
        The flight and its first cut.
    eight
        The loops.
    ground
        What is known about places on the ground.
    """
    wind = wind_over(states, eight.first, eight.last)
    any_eight = eights.log_odds(states, cut, eight.row, wind)
    return any_eight + apart_from_elementary(states, eight, wind, ground)


def apart_from_elementary(states: States, eight: Eight, wind: Wind | None, ground: Ground) -> float:
    """Return the logarithm of how much likelier the evidence is on pylons than in any elementary eight.

    Parameters
    ----------
    states, eight, ground
        The flight, the loops, and what is known about the ground.
    wind
        As elementary eights take it.
    """
    shares = eights.kind_shares(states, eight.row, wind, ground)
    usual = eights.USUAL
    # Of the two that slanting ways join, that which lies to the wind as pylons do.
    around = shares[eights.AROUND] / (shares[eights.AROUND] + shares[eights.ACROSS])
    layout = log_ratio(
        around, usual[eights.AROUND] / (usual[eights.AROUND] + usual[eights.ACROSS]), -2.0, 1.0
    )
    return (
        SELDOMER
        + layout
        + _turn_evidence(eight)
        + _spread_evidence(eight)
        + _given_evidence(states, eight, ground)
        + _height_evidence(states, eight, ground)
        + _following_evidence(states, eight)
        + _bank_evidence(states, eight)
    )


def _turn_evidence(eight: Eight) -> float:
    """How far a loop turns: the ways between are short, so more than in other eights with such ways."""
    turn, part = eight.row.turn / degree, 1.0 - eights.USUAL[eights.ALONG]
    other = eights.USUAL[eights.ALONG] * density(turn, *eights.ROUND) + part * density(turn, *eights.PART)
    return log_ratio(density(turn, *TURN), other, -3.0, 1.0)


def _spread_evidence(eight: Eight) -> float:
    """How far apart the middles of the loops lie, over twice their radius.

    On pylons they lie W/V of the radius nearer each other than the pylons, so in wind the loops overlap; the
    loops of elementary eights touch along a road and lie farther apart in others.
    """
    wind, spread = eight.air.wind, eight.row.spread
    nearer = 0.0 if wind is None else wind.speed / wind.true_airspeed
    along, part = eights.USUAL[eights.ALONG], 1.0 - eights.USUAL[eights.ALONG]
    other = along * density(spread, *TOUCHING) + part * density(spread, *APART)
    return log_ratio(density(spread, SPREAD[0] - nearer, SPREAD[1]), other, -2.0, 2.0)


def _given_evidence(states: States, eight: Eight, ground: Ground) -> float:
    """The given pylons abeam the heading, or, for elementary eights, abeam the track; 0 without such."""
    wind, pylons = eight.air.wind, _given_near(eight, ground)
    if wind is None or pylons is None:
        return 0.0
    off = []
    for n, loop in enumerate(eight.row.loops):
        index = settled(states, loop.start, loop.end)
        east, north = pylons[n % 2][0] - states.east[index], pylons[n % 2][1] - states.north[index]
        heading = eight.air.heading[index - eight.first]
        off.append(ahead_of_abeam(east, north, heading, float(loop.direction)))
    ahead = float(np.degrees(np.sqrt(np.mean(np.concatenate(off) ** 2))))
    crab = float(np.degrees(0.7 * wind.speed / wind.true_airspeed))
    spread = float(np.hypot(SKILL, np.degrees(0.7 * wind.speed_sd / wind.true_airspeed)))
    return log_ratio(density(ahead, 0.0, SKILL), density(ahead, crab, spread), -3.0, 3.0)


def _height_evidence(states: States, eight: Eight, ground: Ground) -> float:
    """The pivotal height, or what is usual in work about the ground; 0 where the ground is not known."""
    above = height_above_pylons(states, eight, ground)
    if above is None:
        return 0.0
    height, sd, pivotal = above[0] / foot, above[1] / foot, float(np.mean(_pivotal(states, eight))) / foot
    on = (1.0 - WRONG) * density(height, pivotal, float(np.hypot(FOLLOWED[0], sd)))
    on += WRONG * density(height, pivotal, float(np.hypot(FOLLOWED[1], sd)))
    return log_ratio(on, density(height, LOW[0], float(np.hypot(LOW[1], sd))), -3.0, 3.0)


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
    sd = ALTITUDE_WANDER / spread / np.sqrt(len(eight.row.loops))
    on = (1.0 - WRONG) * density(share, 0.9, float(np.hypot(0.25, sd)))
    on += WRONG * density(share, 0.4, float(np.hypot(0.4, sd)))
    return log_ratio(on, density(share, 0.0, float(np.hypot(0.15, sd))), -3.0, 3.0)


def _bank_evidence(states: States, eight: Eight) -> float:
    bank = np.abs(states.bank[_in_loops(states, eight)])
    if not np.isfinite(bank).all():
        return 0.0
    steepest = float(np.percentile(bank, 90)) / degree
    return log_ratio(density(steepest, 33.0, 5.0), density(steepest, 31.0, 8.0), -3.0, 1.0)


def _in_loops(states: States, eight: Eight) -> NDArray[np.int64]:
    return np.concatenate([settled(states, loop.start, loop.end) for loop in eight.row.loops])


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
    row = eight.row
    return Maneuver(
        kind=KIND,
        first=eight.first,
        last=eight.last,
        start=row.start,
        end=row.end,
        direction="both",
        confidence=confidence,
        reference=reference,
        radius=np.nan,
        radius_sd=np.nan,
        wind=eight.air.wind,
        entry=_entry(states, row.start, eight.first, reference),
        laps=tuple(_lap(states, loop, reference.places[n % 2]) for n, loop in enumerate(row.loops)),
        notes=tuple(notes),
    )


def _lap(states: States, loop: Loop, pylon: Place) -> Lap:
    inside = np.flatnonzero((states.time >= loop.start) & (states.time <= loop.end))
    return Lap(
        first=int(inside[0]),
        last=int(inside[-1]),
        start=loop.start,
        end=loop.end,
        turn=loop.track_out - loop.track_in,
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


def _entry(states: States, start: float, first: int, reference: Reference) -> Entry:
    """Measure how the first loop was entered, from the straight flight just before it."""
    before = np.flatnonzero(
        (states.time >= start - INBOUND[0])
        & (states.time <= start - INBOUND[1])
        & (states.piece == states.piece[first])
    )
    index = before if before.size else np.array([first])
    east, north = float(np.mean(states.velocity_east[index])), float(np.mean(states.velocity_north[index]))
    at = (
        float(np.interp(start, states.time, states.east)) - reference.east,
        float(np.interp(start, states.time, states.north)) - reference.north,
    )
    return Entry(
        abeam_time=start if before.size else None,
        turn_time=start,
        track=float(wrap(np.arctan2(east, north))),
        distance=float(np.hypot(*at)),
        distance_sd=float(np.sqrt(reference.sd**2 + states.position_sd[first] ** 2 + POSITION_WANDER**2)),
    )
