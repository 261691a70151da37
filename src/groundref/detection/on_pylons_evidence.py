"""What tells eights on pylons from elementary ones, as log-odds.

The path about a pylon says little: a circle about a point in wind is to first order an ellipse with a pylon
at its focus, W/V of the radius aside, and they differ by (W/V)²/4 of the radius only, 1 % in a wind of a
fifth of the airspeed. What is left is

* **following**: in wind altitude goes up and down with the pivotal height, where elsewhere it is held. The
  pivotal height of the moment falls by twice as much as an airplane climbs, since climbing costs speed; so
  the altitude is set against the one that is pivotal once the speed has settled (`height_with_speed_traded`);
* **the height**: the pivotal height of the airspeed, where the ground is known, against anything from 600 to
  1,000 ft;
* **the straight way between**: 3 to 5 s, where along a road one rolls from loop to loop and elsewhere flies
  some radii;
* **how far a loop turns, how far apart the loops lie**: what goes with such a way between, which the turn
  shows better than the bank does; loops on pylons that are let grow leave no way between, and overlap;
* **the wind**: pylons are chosen across it, a road that it blows across;
* **the given places**: pylons speak for both kinds flown about such, a road for the others; and pylons stand
  abeam the heading, or abeam the track;
* **the bank**: 30 to 40° at the steepest.

Each is weighed for every kind by itself and the three elementary kinds are then summed, as what is usual for
one of them need not be for another. In calm air where the pivotal height is a usual one, or is not followed,
little but the straight way is left, and both kinds are said.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.detection import eights
from groundref.detection.candidate import Ground
from groundref.detection.eight_evidence import ACROSS, ALONG, AROUND, LETS_GO, PART, USUAL, samples
from groundref.detection.eight_evidence import log_odds as log_odds_of_any
from groundref.detection.evidence import LOW, density, log_ratio
from groundref.detection.loop import Loop
from groundref.detection.loops import Row
from groundref.detection.pylon_eight import Eight, given_near, in_loops, settled
from groundref.estimation.height import ABOVE_SEA, above_sea_sd
from groundref.estimation.mean_wind import wind_over
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.mechanics.pylon import height_with_speed_traded
from groundref.mechanics.pylon_sight import ahead_of_abeam
from groundref.units import degree, foot, standard_gravity

Floats = NDArray[np.float64]
Figures = tuple[float, float]  # mean and standard deviation

KIND: Final = "eights-on-pylons"

SKILL: Final = 3.0  # [°] how far the pylon stands off abeam in practice, root mean square; no source
FOLLOWED: Final = (90.0, 260.0)  # [ft] off the pivotal height: of most, and of the one in four who are wrong
# Little oftener than each of the three elementary ones, together 1: it alone is asked of applicants for a
# certificate (FAA-S-ACS-7, CA.V.E), but no published figure says how often each is flown.
AS_OFTEN: Final = 0.4
WRONG: Final = 0.25  # of those who fly them do not do what is meant
ALTITUDE_WANDER: Final = 15.0 * foot  # [m] whatever is meant, at least; common practice, no source
LOOKS: Final = 2.0  # independent ones at a slow wander of the altitude, in a loop
MOST: Final = 5.0  # that all pieces of the path together may say
LEAST_SWING: Final = 1.0  # [m] of the pivotal height, below which nobody can follow it

ROLLING: Final = 8.0  # [°] what rolling in and out takes off the turn of a loop; on simulated flights
# [s] from half the bank of a loop to half that of the next, on pylons: the 3 to 5 s of the handbook
# (FAA-H-8083-3C, p. 7-17, from memory) with the rolls; common practice, no source.
STRAIGHT: Final = (6.0, 1.8)
AS_IF: Final = (6.7, 2.2)  # [s] straight, as the turn of the loops has it; found on simulated flights
# Along a road one rolls straight over, at 10 to 15° a second. The loops then turn as if a part of the time
# from half of one bank to half of the other were flown straight; found on simulated flights.
ROLL_RATE: Final = 12 * degree  # [rad s⁻¹]
ROLLED_OVER_SD: Final = 0.6  # [s]
STRAIGHT_PART: Final = 0.55
ROUGHLY: Final = 4.0  # [°] how well the turn of a loop shows the way to the next one
# Of those who do otherwise, turn [°] and distance of the centers over twice the radius: along a road loops
# wider or steeper than meant; on pylons loops grown so wide that no straight way is left between, or a way
# [s] that is far longer; found on simulated flights.
LOOSELY: Final = ((346.0, 15.0), (0.92, 0.1))
GROWN: Final = ((352.0, 12.0), (0.78, 0.12))
FAR_OVER: Final = (7.5, 3.5)
LATE: Final = (0.5, 1.2)  # [s] later than rolled straight over
LEG: Final = (2.1, 0.7)  # of the radius: the ways across a road and between pylons
OTHERWISE: Final = (4.5, 3.0)  # whatever is meant
# What path is left to whoever does something else altogether, of all turns [°], distances and times: where no
# kind goes with a path, it tells none from another.
ANYHOW: Final = 1e-6


def log_odds(states: States, eight: Eight, carried: Row | None, ground: Ground) -> float:
    """Return the log-odds that loops were flown on pylons, against ordinary flying.

    Parameters
    ----------
    states
        The flight.
    eight, carried
        The loops, and the same as carried along with the air; None where that makes no difference.
    ground
        What is known about places on the ground.
    """
    wind = wind_over(states, eight.first, eight.last)
    any_eight = log_odds_of_any(states, eight.row, wind)
    return any_eight + apart_from_elementary(states, eight, carried, wind, ground)


def apart_from_elementary(
    states: States, eight: Eight, carried: Row | None, wind: Wind | None, ground: Ground
) -> float:
    """Return the logarithm of how much likelier the evidence is on pylons than in any elementary eight.

    Parameters
    ----------
    states, eight, carried, ground
        The flight, the loops, the same in the air, and what is known about the ground.
    wind
        As elementary eights take it.
    """
    return (
        _path_evidence(states, eight, carried, wind, ground)
        + _given_evidence(states, eight, ground)
        + _height_evidence(states, eight, ground)
        + _following_evidence(states, eight)
        + _bank_evidence(states, eight)
    )


def _path_evidence(
    states: States, eight: Eight, carried: Row | None, wind: Wind | None, ground: Ground
) -> float:
    """Turn, spread, straight ways and how they lie to the wind: each kind by itself, then summed.

    Of elementary eights the one in four whose loops are let drift has them laid out in the air.
    """
    row = eight.row
    by_wind, told = eights.wind_factors(states, row, wind), eights.ground_factors(states, row, ground)
    path = path_densities(states, row)
    if carried is not None:
        let_go = path_densities(states, carried)
        for kind in by_wind:
            path[kind] += 2.0 * LETS_GO * (let_go[kind] - path[kind])
    elementary = sum(USUAL[kind] * by_wind[kind] * told[kind] * path[kind] for kind in by_wind)
    # Pylons are chosen across the wind for either kind of eight, and speak for both where they are given.
    pylons = by_wind[AROUND] * max(told[AROUND], _told(eight, ground))
    return log_ratio(AS_OFTEN * pylons * path[KIND], elementary, -MOST, MOST)


def _told(eight: Eight, ground: Ground) -> float:
    """Return what pylons given where the wing pointed say: in wind they are not the centers of the loops."""
    return 1.0 if given_near(eight, ground) is None else eights.TOLD


def path_densities(states: States, row: Row) -> dict[str, float]:
    """Return how usual the path is in each kind.

    How far a loop turns, how far apart the loops lie over twice their radius, and how long the way between is
    flown straight: of those who do as meant, and of those who do not, in whom all three go wrong together. A
    way of t seconds between loops of radius R at the speed G makes them turn π + 2 atan(2R/Gt).
    Rolled straight over from one bank φ to the other, φ from R and G, it lasts φ over the rate of the roll.

    Parameters
    ----------
    states, row
        The flight, and the loops.
    """
    turn, spread, lasted = row.turn / degree, row.spread, straight_times(states, row)
    gap = float(np.median(lasted)) if lasted.size else None
    speed = float(np.mean(states.ground_speed[slice(*samples(states, row))]))
    leg = row.radius / speed
    rolled_over = float(np.arctan(speed**2 / (standard_gravity * row.radius))) / ROLL_RATE
    blur = 0.4 * float(np.median(np.diff(states.time)))  # a crossing of half the bank between two samples
    laid_out = _spread_for(turn)

    def path(turned: Figures, apart: Figures, straight: Figures) -> float:
        level = 1.0 if gap is None else density(gap, straight[0], float(np.hypot(straight[1], blur)))
        return density(turn, *turned) * density(spread, *apart) * level

    def either(meant: float, otherwise: float) -> float:
        return (1.0 - WRONG) * meant + WRONG * otherwise

    long_way = (LEG[0] * leg, LEG[1] * leg)
    # Ways that are no straight lines are over sooner, the circles as they were meant or not.
    wide = either(
        path(PART, (laid_out, 0.1), long_way),
        0.5 * path(PART, (laid_out, 0.1), OTHERWISE) + 0.5 * path((262.0, 35.0), (laid_out, 0.25), OTHERWISE),
    )
    along = either(
        path(
            _turned(leg, STRAIGHT_PART * rolled_over, ROLLED_OVER_SD),
            (1.0, 0.04),
            (rolled_over, ROLLED_OVER_SD),
        ),
        path(*LOOSELY, (rolled_over + LATE[0], LATE[1])),
    )
    on = either(
        path(_turned(leg, *AS_IF), (laid_out, 0.1), STRAIGHT),
        0.5 * path(_turned(leg, *FAR_OVER), (laid_out, 0.2), FAR_OVER)
        + 0.5 * path(*GROWN, (rolled_over, 1.0)),
    )
    densities = {ALONG: along, ACROSS: wide, AROUND: wide, KIND: on}
    return {kind: density_of + ANYHOW for kind, density_of in densities.items()}


def _turned(leg: float, straight: float, sd: float) -> Figures:
    """Return how far loops turn with a straight way of so many seconds between them, mean and spread [°].

    π + 2 atan(2R/Gt), which changes with t by 4 R/G / (t² + 4 R²/G²).
    """
    turn = 180.0 + 2.0 * float(np.degrees(np.arctan(2.0 * leg / straight)))
    each_second = float(np.degrees(4.0 * leg / (straight**2 + 4.0 * leg**2)))
    return turn, float(np.hypot(ROUGHLY, each_second * sd))


def _spread_for(turn: float) -> float:
    """Return how far apart loops lie that turn so far [°], over twice their radius: see `expected_turn`."""
    half = 0.5 * np.radians(np.clip(turn + ROLLING, 200.0, 360.0) - 180.0)
    return float(1.0 / np.sin(half))


def straight_times(states: States, row: Row) -> Floats:
    """Return the times from half the bank of a loop to half that of the next [s], where they can be told.

    Parameters
    ----------
    states, row
        The flight, and the loops.
    """
    found = (_straight_time(states, one, other) for one, other in pairwise(row.loops))
    return np.array([lasted for lasted in found if lasted is not None])


def _straight_time(states: States, one: Loop, other: Loop) -> float | None:
    middle = 0.5 * (one.start + one.end), 0.5 * (other.start + other.end)
    index = np.flatnonzero((states.time >= middle[0]) & (states.time <= middle[1]))
    time, bank = states.time[index], one.direction * states.bank[index]
    rolled_in = np.flatnonzero(bank < -0.5 * other.bank)
    if rolled_in.size == 0 or not np.isfinite(bank).all():
        return None
    last = int(rolled_in[0])
    turning = np.flatnonzero(bank[:last] > 0.5 * one.bank)
    if turning.size == 0:
        return None
    first = int(turning[-1])
    leaves = _crossed(time, bank, first, 0.5 * one.bank)
    return _crossed(time, bank, last - 1, -0.5 * other.bank) - leaves


def _crossed(time: Floats, bank: Floats, before: int, level: float) -> float:
    """Return when the bank passed a level on its way from one sample down to the next [s]."""
    share = (bank[before] - level) / (bank[before] - bank[before + 1])
    return float(time[before] + share * (time[before + 1] - time[before]))


def _given_evidence(states: States, eight: Eight, ground: Ground) -> float:
    """The given pylons abeam the heading, or, for elementary eights, abeam the track; 0 without such."""
    wind, pylons = eight.air.wind, given_near(eight, ground)
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
    height, sd, pivotal = above[0] / foot, above[1] / foot, float(np.mean(_settled_height(eight))) / foot
    on = (1.0 - WRONG) * density(height, pivotal, float(np.hypot(FOLLOWED[0], sd)))
    on += WRONG * density(height, pivotal, float(np.hypot(FOLLOWED[1], sd)))
    return log_ratio(on, density(height, LOW[0], float(np.hypot(LOW[1], sd))), -3.0, 4.0)


def height_above_pylons(states: States, eight: Eight, ground: Ground) -> tuple[float, float] | None:
    """Return the mean height above the pylons in the loops and its standard deviation; None if not known."""
    index = in_loops(states, eight)
    datum = states.altitude_datum
    if ground.pylon_elevations is not None and states.altitude is not None and datum in ABOVE_SEA:
        above = states.altitude[index] - float(np.mean(ground.pylon_elevations))
        wander = 0.0 if states.altitude_sd is None else states.altitude_sd[index]
        return float(np.mean(above)), float(np.mean(np.hypot(wander, above_sea_sd(datum, above))))
    if states.height is None or states.height_sd is None:
        return None
    height, sd = float(np.mean(states.height[index])), float(np.mean(states.height_sd[index]))
    return (height, sd) if np.isfinite(height + sd) else None


def _following_evidence(states: States, eight: Eight) -> float:
    """How much of the pivotal height's changes the altitude makes; 0 where it hardly changes."""
    if states.altitude is None:
        return 0.0
    index = in_loops(states, eight)
    pivotal, altitude = _settled_height(eight)[index - eight.first], states.altitude[index]
    pivotal, altitude = pivotal - pivotal.mean(), altitude - altitude.mean()
    swing = float(np.std(pivotal))
    if not np.isfinite(swing) or swing < LEAST_SWING:
        return 0.0
    share = float(np.mean(pivotal * altitude)) / swing**2
    # Altitude wanders slowly: a loop or two hold few independent looks at it.
    wander = max(ALTITUDE_WANDER, float(np.std(altitude - share * pivotal)))
    sd = wander / swing / np.sqrt(LOOKS * len(eight.row.loops))
    on = (1.0 - WRONG) * density(share, 0.9, float(np.hypot(0.25, sd)))
    on += WRONG * density(share, 0.5, float(np.hypot(0.35, sd)))
    return log_ratio(on, density(share, 0.0, float(np.hypot(0.15, sd))), -3.0, 4.0)


def _settled_height(eight: Eight) -> Floats:
    """Return the height that is pivotal at each heading once the speed has settled to it [m]."""
    air = eight.air
    along = air.wind_east * np.sin(air.heading) + air.wind_north * np.cos(air.heading)
    _, height = height_with_speed_traded(float(np.mean(air.airspeed)), along)
    return height


def _bank_evidence(states: States, eight: Eight) -> float:
    bank = np.abs(states.bank[in_loops(states, eight)])
    if not np.isfinite(bank).all():
        return 0.0
    steepest = float(np.percentile(bank, 90)) / degree
    return log_ratio(density(steepest, 33.0, 5.0), density(steepest, 31.0, 8.0), -3.0, 1.0)
