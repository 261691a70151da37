"""Steep turns: full circles at one steep bank, mostly one way and then the other, carried along by the air.

Each circle is weighed against ordinary circling (`ordinary`), every piece as a log-odds with its reason:

* **the bank**: meant to be 45° for private and 50° for commercial applicants;
* **the turn**: rolled out near the heading of the start, after one circle, seldom after two;
* **the centre**: moves with the wind, W·T a lap, where around a point it stays;
* **the climb**: none is meant;
* **the height**: 1,500 ft above the ground and more, hardly lower;
* **the other way**: ordinary flying seldom makes a second circle the other way within a minute.

Circles that follow each other within a minute are one set of steep turns.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Final

import numpy as np

from groundref.angles import full_turn, wrap
from groundref.detection import ordinary
from groundref.detection.candidate import Candidate, Cut, Ground
from groundref.detection.circling import POSITION_WANDER, Circling, circling
from groundref.detection.evidence import climb, density, height_evidence, log_ratio
from groundref.detection.laps import INBOUND
from groundref.detection.maneuver import NOTHING, Entry, Lap, Maneuver
from groundref.detection.segments import Turning
from groundref.estimation.mean_wind import wind_over
from groundref.estimation.states import States
from groundref.units import degree, foot, knot

KIND: Final = "steep-turns"

# What cannot be a steep turn whatever the evidence.
BANK_RANGE: Final = (33 * degree, 70 * degree)
TURN_RANGE: Final = (300 * degree, 780 * degree)  # one circle, or two
ROUNDNESS: Final = 0.25  # radial rms over the radius, the drift taken out
SLOWEST: Final = 48 * knot  # true airspeed; what circles slower so steeply is a sailplane
FASTEST: Final = 250 * knot

NEXT: Final = 60.0  # [s] from one circle to the next of the set; common practice, no source
# Mean and spread above the ground [ft]; standards ask for 1,500 ft and more (from memory), few go far above,
# and below that few by more than they misjudge the ground. Who circles lower does it for what is down there.
HEIGHT: Final = (2500.0, 700.0)
LOWEST: Final = 1500.0
MISJUDGED: Final = 200.0
TOO_LOW: Final = -7.0  # log-odds, at most, of a set flown too low
WANDERS: Final = 3.0  # times as much as a bank held by hand, 6°: the standards allow 5°
PRIOR: Final = -1.4  # circles are flown for many reasons, but few so steeply
OTHER_WAY: Final = 2.5  # for a circle the other way in the same set
SET: Final = 2  # circles that one set has
# Of the usual bank, and for so many seconds [s]: less is level between one turn and the next.
LEVEL: Final = 0.25
LEVEL_TIME: Final = 3.0
LEAST: Final = -1.0  # evidence from which a circle is taken into a set
# Between the middles of the rolls the track turns by some degrees less than from heading to heading, because
# the bank follows the roll with a corner that is no corner; found on simulated flights.
ROLLED: Final = 350.0  # [°]


def propose(states: States, cut: Cut, ground: Ground) -> list[Candidate]:
    """Propose steep turns.

    Parameters
    ----------
    states, cut
        The flight and its first cut.
    ground
        What is known about places on the ground; nothing of it belongs to steep turns.
    """
    soars = ordinary.soars(states, cut.circles)
    circles = (_steep_part(states, circle) for circle in cut.circles)
    seen = [
        (circle, _log_odds(states, circle, soars))
        for circle in sorted(circles, key=lambda each: each.start)
        if _can_be(states, circle)
    ]
    turns = [each for each in seen if each[1] > LEAST or _answers(each, seen)]
    return [_candidate(states, members) for members in _sets(turns)]


def _answers(turn: tuple[Circling, float], seen: list[tuple[Circling, float]]) -> bool:
    """Tell whether a poor turn belongs to a good one the other way: their being a pair says more than it."""
    circle, odds = turn
    return odds > -OTHER_WAY and any(
        good > LEAST
        and other.turning.direction != circle.turning.direction
        and 0.0 <= max(circle.start - other.end, other.start - circle.end) <= NEXT
        for other, good in seen
    )


def _sets(turns: list[tuple[Circling, float]]) -> list[list[tuple[Circling, float]]]:
    """Join circles that follow each other within a minute."""
    sets: list[list[tuple[Circling, float]]] = []
    for turn in turns:
        if sets and turn[0].start - sets[-1][-1][0].end <= NEXT:
            sets[-1].append(turn)
        else:
            sets.append([turn])
    return sets


def _candidate(states: States, members: list[tuple[Circling, float]]) -> Candidate:
    circles = tuple(circle for circle, _ in members)
    other_way = OTHER_WAY if len({circle.turning.direction for circle in circles}) > 1 else 0.0
    # One each way is a set. What further ones are like says little more: whoever banked the first two so,
    # for whatever it is that goes on, banks them so, too.
    own = sum(odds for _, odds in members) * min(SET / len(members), 1.0)
    height = _height_evidence(states, circles[0].first, circles[-1].last)
    return Candidate(
        kind=KIND,
        start=circles[0].start,
        end=circles[-1].end,
        log_odds=PRIOR + own + other_way + height,
        build=lambda confidence: _maneuver(states, circles, confidence),
    )


def _steep_part(states: States, circle: Circling) -> Circling:
    """Return the circle less what was turned the same way before its roll-in or after its roll-out.

    Steep turns are over in twenty seconds: a few seconds of level flight before the next turn, too short to
    end a circle about the ground, end them.
    """
    turning = circle.turning
    part = np.arange(turning.first, turning.last + 1)
    bank = turning.direction * states.bank[part]
    if not np.isfinite(bank).all() or bank.max() < BANK_RANGE[0]:
        return circle
    turned = np.abs(np.gradient(states.track[part]))
    usual = float(np.average(bank, weights=turned))
    edges = np.flatnonzero(np.diff(bank < LEVEL * usual)) + 1
    runs = np.split(part, edges)
    inner = [
        run
        for run in runs[1:-1]
        if bank[run[0] - part[0]] < LEVEL * usual
        and states.time[run[-1] + 1] - states.time[run[0] - 1] >= LEVEL_TIME
    ]
    bounds = [part[0], *(int(run[run.size // 2]) for run in inner), part[-1]]
    for first, last in pairwise(bounds):
        turn = float(states.track[last] - states.track[first])
        if inner and turning.direction * turn >= TURN_RANGE[0]:
            return circling(states, Turning(int(first), int(last), turn)) or circle
    return circle


def _can_be(states: States, circle: Circling) -> bool:
    """Leave out what cannot be a steep turn."""
    if not BANK_RANGE[0] <= circle.bank <= BANK_RANGE[1]:
        return False
    if not TURN_RANGE[0] <= abs(circle.turn) <= TURN_RANGE[1]:
        return False
    if circle.moving.rms > ROUNDNESS * circle.moving.radius:
        return False
    return SLOWEST <= ordinary.airspeed_over(states, circle) <= FASTEST


def _log_odds(states: States, circle: Circling, soars: bool) -> float:
    """Return what one circle says for a steep turn, the height aside."""
    odds = ordinary.lift_evidence(states, circle, soars)
    odds += _bank_evidence(circle) + _turn_evidence(circle) + _drift_evidence(states, circle)
    return odds + _climb_evidence(states, circle)


def _height_evidence(states: States, first: int, last: int) -> float:
    """Return what the height above the ground says; 0 where it is not known."""
    usual = height_evidence(states, first, last, HEIGHT)
    if states.height is None or states.height_sd is None:
        return usual
    part = slice(first, last + 1)
    height, sd = float(np.mean(states.height[part])) / foot, float(np.mean(states.height_sd[part])) / foot
    if not height < LOWEST:  # nor where it is not known
        return usual
    off = (LOWEST - height) / float(np.hypot(MISJUDGED, sd))
    return max(usual - 0.5 * off**2, TOO_LOW)


def _bank_evidence(circle: Circling) -> float:
    steep = density(circle.bank / degree, 47.0, 5.0)
    return log_ratio(steep, ordinary.bank_density(circle.bank))


def _turn_evidence(circle: Circling) -> float:
    turn = abs(circle.turn) / degree
    # One student in six misses the heading by more.
    once = 0.7 * density(turn, ROLLED, 14.0) + 0.15 * density(turn, ROLLED, 35.0)
    steep = once + 0.15 * density(turn, ROLLED + 360.0, 18.0)
    return log_ratio(steep, density(turn, 450.0, 180.0), most=2.0)


def _drift_evidence(states: States, circle: Circling) -> float:
    drift = ordinary.drift_of(states, circle, wind_over(states, circle.first, circle.last))
    if drift is None:
        return 0.0
    # One student in four does not hold the bank: it wanders thrice as far, and the circle with it.
    unsteady = replace(drift, unsteady=WANDERS * drift.unsteady)
    steep = 0.75 * drift.density(1.0, 0.2) + 0.25 * unsteady.density(1.0, 0.2)
    return log_ratio(steep, ordinary.drift_density(drift))


def _climb_evidence(states: States, circle: Circling) -> float:
    if states.altitude is None:
        return 0.0
    rate = climb(states, circle.first, circle.last)
    # One student in three does not hold it, and of those a few end in a dive: too much bank, too little pull.
    held = 0.7 * density(rate, 0.0, 0.6) + 0.25 * density(rate, 0.0, 2.5) + 0.05 * density(rate, 0.0, 8.0)
    return log_ratio(held, 0.8 * density(rate, 0.0, 2.5) + 0.2 * density(rate, 0.0, 8.0))


def _maneuver(states: States, circles: tuple[Circling, ...], confidence: float) -> Maneuver:
    first, last = circles[0], circles[-1]
    ways = {circle.turning.direction for circle in circles}
    whole = [circle.turn / full_turn for circle in circles]
    return Maneuver(
        kind=KIND,
        first=first.first,
        last=last.last,
        start=first.start,
        end=last.end,
        direction="both" if len(ways) > 1 else "right" if 1 in ways else "left",
        confidence=confidence,
        reference=NOTHING,
        radius=float("nan"),
        radius_sd=float("nan"),
        wind=wind_over(states, first.first, last.last),
        entry=_entry(states, first),
        laps=tuple(_lap(circle) for circle in circles),
        drift_east=float(np.average([c.drift_east for c in circles], weights=np.abs(whole))),
        drift_north=float(np.average([c.drift_north for c in circles], weights=np.abs(whole))),
        drift_sd=float(np.mean([c.drift_sd for c in circles]) / np.sqrt(len(circles))),
    )


def _lap(circle: Circling) -> Lap:
    """Return one turn; its circle is the one over the ground, drift and all."""
    return Lap(
        first=circle.first,
        last=circle.last,
        start=circle.start,
        end=circle.end,
        turn=circle.turn,
        center_east=circle.still.x,
        center_north=circle.still.y,
        center_sd=float(np.hypot(circle.still.rms, POSITION_WANDER)),
        radius=circle.still.radius,
        radius_sd=float(np.hypot(0.5 * circle.still.rms, 0.5 * POSITION_WANDER)),
    )


def _entry(states: States, circle: Circling) -> Entry:
    """Return the track just before the first turn."""
    before = (states.time >= circle.start - INBOUND[0]) & (states.time <= circle.start - INBOUND[1])
    before &= states.piece == states.piece[circle.first]
    index = np.flatnonzero(before) if before.any() else np.array([circle.first])
    east, north = float(np.mean(states.velocity_east[index])), float(np.mean(states.velocity_north[index]))
    return Entry(
        abeam_time=None,
        turn_time=circle.start,
        track=float(wrap(np.arctan2(east, north))),
        distance=float("nan"),
        distance_sd=float("nan"),
    )
