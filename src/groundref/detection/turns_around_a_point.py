"""Turns around a point: told from other circling by what a point on the ground does to a circle in wind.

A stretch of turning all the way round is weighed against ordinary circling (`ordinary`), each piece of
evidence as a log-odds with its reason; steep turns and eights are weighed by their own modules and compete:

* **the centre**: around a point it stays; at constant bank it moves with the wind, W·T a lap;
* **the bank**: commonly 15-40° around a point;
* **the height**: 600-1,000 ft above the ground;
* **the distance**: held to a part of itself that an orbit to look at something is not;
* **the laps**: two or more are usual around a point, one for an orbit that makes room;
* **the entry**: downwind, where others turn from any heading.

What cannot be a turn around a point whatever the evidence (climbing or descending all the way, radius below
what a light airplane flies at 45°, a path that is no circle, a wide orbit that is not held to a fixed radius
lap after lap) is left out before. Single laps one way and then the other are hardly flown but in an eight.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.angles import full_turn, wrap_signed
from groundref.detection import ordinary
from groundref.detection.candidate import Candidate, Cut, Ground
from groundref.detection.circling import POSITION_WANDER, Circling
from groundref.detection.evidence import (
    LOW,
    climb,
    density,
    direction_density,
    felt,
    height_evidence,
    log_ratio,
    size_evidence,
)
from groundref.detection.laps import entry_of, inbound_track, lap_of
from groundref.detection.maneuver import Maneuver, Reference, point_at
from groundref.estimation.mean_wind import wind_over
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.mechanics.circle_fit import fit_circle
from groundref.units import degree, foot, nautical_mile

KIND: Final = "turns-around-a-point"
LEAST_RADIUS: Final = 75.0  # [m] 55 kt at 47°: no training airplane circles a point tighter; V²/(g tan φ)
LEAST_LAP: Final = 320 * degree
LOST: Final = 200 * foot  # standard deviation of height lost, twice what the standards allow
# 330 fpm all the way round, and 330 ft by it, are a climb and not an error. [m s⁻¹], [m]
CLIMB_LIMIT: Final = (1.7, 100.0)
ROUNDNESS: Final = 0.25  # radial rms over the radius beyond which a path is no circle
SINGLE_LAP: Final = 1.7  # laps; as many count as two
# Log-odds that a level circle is flown around a point before it is looked at closer; figures of our own.
ONE_LAP: Final = -1.5  # most single circles are flown to wait or to look
MANY_LAPS: Final = 1.7
ELSEWHERE: Final = (2000.0, 900.0)  # [ft] height at which others circle, mean and spread; a figure of our own
WIDE: Final = 4500 * foot  # radius beyond which nobody practices ...
FAR: Final = 2.5 * nautical_mile  # ... and no lake or town is looked at: calibration is flown there
PRECISE: Final = 0.006  # radial rms over the radius, in such an orbit
ROUNDEST: Final = 1.5  # laps of it
LOOP_GAP: Final = 20.0  # [s] from one loop of an eight to the next; common practice, no source
STEEP: Final = 38 * degree  # above it, steep turns are meant
CLOSELY, LOOSELY = 0.03, 0.07  # radial rms over the radius of who holds a bank, and of others, in the air
SHALLOW: Final = 12 * degree  # below it a degree more or less changes the radius by a tenth
# For each of two single laps, one way and then the other: who turns around points like that flies an eight.
HALF_AN_EIGHT: Final = -4.0
BANK_RANGE: Final = (3 * degree, 55 * degree)
DOWNWIND: Final = 0.75  # of students enter so where the wind is felt; a figure of our own
ENTRY_SPREAD: Final = 20.0  # [°] off downwind that few exceed who do: what findings mention, common practice


def propose(states: States, cut: Cut, ground: Ground) -> list[Candidate]:
    """Propose turns around a point.

    Parameters
    ----------
    states, cut
        The flight and its first cut.
    ground
        What is known about places on the ground.
    """
    soars = ordinary.soars(states, cut.circles)
    return [
        _candidate(states, cut, circle, ground.point, soars)
        for circle in cut.circles
        if _can_be(states, circle)
    ]


def _candidate(
    states: States, cut: Cut, circle: Circling, point: tuple[float, float] | None, soars: bool
) -> Candidate:
    wind = wind_over(states, circle.first, circle.last)
    return Candidate(
        kind=KIND,
        start=circle.start,
        end=circle.end,
        log_odds=_log_odds(states, circle, wind)
        + ordinary.lift_evidence(states, circle, soars)
        + (HALF_AN_EIGHT if _is_half_an_eight(circle, cut.circles) else 0.0),
        build=lambda confidence: _maneuver(states, circle, wind, confidence, point),
    )


def _can_be(states: States, circle: Circling) -> bool:
    """Leave out what cannot be a turn around a point."""
    radius = _likely_radius(circle)
    if abs(circle.turn) < LEAST_LAP:
        return False
    if radius < LEAST_RADIUS or circle.moving.rms > ROUNDNESS * radius:
        return False
    if not BANK_RANGE[0] <= circle.bank <= BANK_RANGE[1]:
        return False
    if radius > WIDE and not _is_calibration(states, circle):
        return False
    rate = abs(climb(states, circle.first, circle.last))
    return rate <= CLIMB_LIMIT[0] or rate * (circle.end - circle.start) <= CLIMB_LIMIT[1]


def _likely_radius(circle: Circling) -> float:
    """Return the radius of a circle that may move; a lap that is a spiral fits a moving one of any size."""
    moving, still = circle.moving.radius, circle.still.radius
    return moving if circle.laps > ordinary.TWICE or circle.alike else still


def _is_calibration(states: States, circle: Circling) -> bool:
    """Tell whether a wide orbit is one of precision about a radio aid, lap after lap far away from it.

    The ways in and out may bend the same way, so it is the roundest lap and a half that counts.
    """
    if circle.laps < SINGLE_LAP or circle.still.radius < FAR:
        return False
    part = slice(circle.first, circle.last + 1)
    turned = np.abs(states.track[part] - states.track[circle.first]) / full_turn
    for begin in np.arange(0.0, turned[-1] - ROUNDEST + 0.01, 0.25):
        lap = np.flatnonzero((turned >= begin) & (turned <= begin + ROUNDEST)) + circle.first
        fit = fit_circle(states.east[lap], states.north[lap])
        if fit.rms <= PRECISE * fit.radius:
            return True
    return False


def _is_half_an_eight(circle: Circling, circles: tuple[Circling, ...]) -> bool:
    """Tell whether a single lap is one loop of an eight: another, the other way, directly before or after."""
    return circle.laps < SINGLE_LAP and any(
        other.laps < SINGLE_LAP
        and other.turning.direction != circle.turning.direction
        and 0.0 <= max(circle.start - other.end, other.start - circle.end) <= LOOP_GAP
        for other in circles
    )


def _log_odds(states: States, circle: Circling, wind: Wind | None) -> float:
    """Return the log-odds that a circle was flown around a point on the ground."""
    odds = _laps_evidence(circle) + _centre_evidence(states, circle, wind) + _bank_evidence(circle)
    odds += _entry_evidence(states, circle, wind)
    odds += _level_evidence(states, circle) + size_evidence(_likely_radius(circle), wind, -1.0)
    return odds + height_evidence(states, circle.first, circle.last, LOW, ELSEWHERE)


def _centre_evidence(states: States, circle: Circling, wind: Wind | None) -> float:
    """What center and roundness say together: who lets the circle drift holds no distance from a place."""
    drift, held_round, round_in_air = ordinary.drift_of(states, circle, wind), *_roundness_evidence(circle)
    if drift is None:
        return held_round + round_in_air
    # Most students hold the distance; one in four lets the circle drift, wholly or in part.
    usual = ordinary.drift_density(drift)
    held = log_ratio(drift.density(0.0, 0.15, watched=True), usual, -4.0) + held_round
    # Who lets go holds the bank: the laps are of one radius in the air.
    in_air = circle.moving.rms / circle.moving.radius
    let_go = log_ratio(drift.density(0.7, 0.4, watched=True), usual, -4.0)
    let_go += log_ratio(_held_to(in_air, CLOSELY), _held_to(in_air, LOOSELY), -3.0, 0.0)
    # Lap after lap carried along at little bank, alike in the air: who flies that but a student who holds the
    # bank? Who waits somewhere turns now wider and now tighter.
    carried = circle.laps > SINGLE_LAP and circle.bank < STEEP and in_air < LOOSELY
    against = -1.5 if carried else -3.0
    either = float(np.logaddexp(np.log(0.75) + held, np.log(0.25) + let_go))
    return float(np.clip(either, against, 3.0)) + round_in_air


def _entry_evidence(states: States, circle: Circling, wind: Wind | None) -> float:
    """Entered downwind, as it is taught (FAA-H-8083-3C, p. 7-5), or from anywhere, as others turn."""
    inbound = inbound_track(states, circle)
    if wind is None or inbound is None:
        return 0.0
    laid = DOWNWIND * felt(wind)
    off = float(wrap_signed(inbound - wind.direction_to)) / degree
    downwind = direction_density(off, float(np.hypot(ENTRY_SPREAD, wind.direction_sd / degree)))
    return log_ratio(laid * downwind + (1.0 - laid) / 360.0, 1.0 / 360.0)


def _bank_evidence(circle: Circling) -> float:
    if circle.still.radius >= FAR:  # there the radius leaves no choice of bank
        return 0.0
    point = density(circle.bank / degree, 27.0, 9.0)
    return log_ratio(point, ordinary.bank_density(circle.bank), most=2.0)


def _roundness_evidence(circle: Circling) -> tuple[float, float]:
    """What it says how round the circle is about a place on the ground, and about one that moves."""
    if circle.still.radius >= FAR:  # told to be precise before
        return 0.0, 0.0
    # Half of the students hold the distance to a few hundredths of it, half to a tenth, drift included. With
    # more bank a circle is round by holding that, unless the wind makes it an oval.
    still = circle.still.rms / circle.still.radius
    held = log_ratio(_held_to(still, 0.1), ordinary.roundness_density(still), -1.0, 1.0)
    held = min(held, 1.0 if circle.bank < SHALLOW else 0.0)
    # Whatever drifts is a circle in the air, which a racetrack is not; each lap says it anew.
    moving = circle.moving.rms / circle.moving.radius
    in_air = log_ratio(_held_to(moving, LOOSELY), ordinary.roundness_density(moving), -1.5, 0.0)
    return held, in_air * min(max(circle.laps, 1.0), 3.0)


def _held_to(share: float, loosely: float) -> float:
    """Return how usual a radial rms over the radius is around a point: held well, or loosely."""
    return float(0.5 * np.exp(-share / CLOSELY) / CLOSELY + 0.5 * np.exp(-share / loosely) / loosely)


def _level_evidence(states: States, circle: Circling) -> float:
    """Return what climbing or descending all the way says; little where it does not."""
    if states.altitude is None:
        return 0.0
    rate = climb(states, circle.first, circle.last)
    # What a student loses who looks at the ground is a height; the quicker the lap, the faster it goes.
    held = 0.75 * density(rate, 0.0, 0.3) + 0.15 * density(rate, 0.0, 0.6)
    held += 0.1 * density(rate, 0.0, LOST / (circle.end - circle.start))
    return log_ratio(held, 0.6 * density(rate, 0.0, 0.3) + 0.4 * density(rate, 0.0, 2.5))


def _laps_evidence(circle: Circling) -> float:
    return MANY_LAPS if circle.laps > SINGLE_LAP else ONE_LAP


def _maneuver(
    states: States,
    circle: Circling,
    wind: Wind | None,
    confidence: float,
    point: tuple[float, float] | None,
) -> Maneuver:
    drifts = _drifts(states, circle, wind)
    reference, notes = _reference(states, circle, drifts, point)
    radius = _mean_distance(states, circle, reference)
    laps = tuple(
        lap_of(states, a, b, reference, radius)
        for a, b in zip(circle.bounds[:-1], circle.bounds[1:], strict=True)
    )
    if drifts:  # the distance from the point grows with every lap; what was begun is the moving circle
        radius = circle.moving.radius
        laps = tuple(lap_of(states, lap.start, lap.end, reference, radius) for lap in laps)
    return Maneuver(
        kind=KIND,
        first=circle.first,
        last=circle.last,
        start=circle.start,
        end=circle.end,
        direction="right" if circle.turn > 0 else "left",
        confidence=confidence,
        reference=reference,
        radius=radius,
        radius_sd=_radius_sd(circle, reference),
        wind=wind,
        entry=entry_of(states, circle, reference),
        laps=laps,
        drift_east=circle.drift_east,
        drift_north=circle.drift_north,
        drift_sd=circle.drift_sd,
        drifts=drifts,
        notes=tuple(notes),
    )


def _drifts(states: States, circle: Circling, wind: Wind | None) -> bool:
    """Tell whether the laps moved downwind beyond doubt, by a good part of what the air moved."""
    carried = ordinary.drift_of(states, circle, wind)
    if carried is None:
        return False
    value, sd = carried.share, carried.sd
    drift = float(np.hypot(circle.drift_east, circle.drift_north))
    if circle.laps > ordinary.TWICE:
        # Only a moving circle like the standing one means drift.
        return value > 0.25 and value > 3.0 * sd and drift > 0.08 * circle.moving.radius and circle.alike
    # The path of one drifting lap is nearly a circle: only a drift of more than half the radius shows in it.
    return value > 0.5 and value > 3.0 * sd and drift > 0.5 * circle.moving.radius


def _reference(
    states: States, circle: Circling, drifts: bool, point: tuple[float, float] | None
) -> tuple[Reference, list[str]]:
    if point is not None:
        fitted = _fitted(circle, drifts)
        off = float(np.hypot(point[0] - fitted.east, point[1] - fitted.north))
        if off < circle.moving.radius:
            return point_at(point[0], point[1], 0.0, "given"), []
        said = f"{off / nautical_mile:,.1f} NM" if off > nautical_mile else f"{off / foot:,.0f} ft"
        return fitted, [f"The given point lies {said} from the middle of these turns; it was not used here."]
    note = (
        "The laps moved downwind, so they have no common center; the point is where it was at first."
        if drifts
        else "The point was fitted to the laps; a good circle around the wrong place cannot be told from it."
    )
    return _fitted(circle, drifts), [note]


def _fitted(circle: Circling, drifts: bool) -> Reference:
    """Return the fitted point; wander once a lap moves it, so its sd holds what the wander shows."""
    fit = circle.moving
    if not drifts:
        still = circle.still
        wander = 1.2 * still.rms / np.sqrt(max(circle.laps, 1.0))
        # Laps that moved a little have their middle where the centre was half way, not where it was at first.
        moved = np.hypot(circle.drift_east, circle.drift_north) ** 2 - 2.0 * (2.0 * circle.drift_sd) ** 2
        half = 0.5 * circle.laps * np.sqrt(max(moved, 0.0)) if circle.laps > ordinary.TWICE else 0.0
        # What moves the center alone shows nowhere in the distance; a part of a spiral hides in a single lap.
        unseen = (0.004 if circle.laps > ordinary.TWICE else 0.015) * fit.radius
        sd = np.sqrt(wander**2 + (2.0 * circle.in_step) ** 2 + half**2 + unseen**2 + POSITION_WANDER**2)
        return point_at(still.x, still.y, float(sd), "fitted")
    middle = 0.5 * (circle.start + circle.end)
    back = circle.start - middle
    drift = np.hypot(circle.drift_east, circle.drift_north)
    sd = float(np.sqrt((0.15 * drift) ** 2 + (0.1 * fit.radius) ** 2 + circle.drift_sd**2))
    return point_at(fit.x + fit.rate_x * back, fit.y + fit.rate_y * back, sd, "fitted")


def _mean_distance(states: States, circle: Circling, reference: Reference) -> float:
    """Return the mean distance from the point, each part of the circle weighing alike [m]."""
    part = slice(circle.first, circle.last + 1)
    distance = np.hypot(states.east[part] - reference.east, states.north[part] - reference.north)
    turned = np.abs(np.gradient(states.track[part]))
    return float(np.average(distance, weights=turned + 1e-9))


def _radius_sd(circle: Circling, point: Reference) -> float:
    """Return the standard deviation of the mean distance from the point [m].

    A constant offset of point or positions cancels around a circle; what is left are a part of their slow
    wander and the second order of the point's own error, which grows with the wander of the pilot.
    """
    return float(np.hypot(0.25 * POSITION_WANDER, 0.13 * np.hypot(circle.still.rms, point.sd)))
