"""Elementary eights along a road, across a road and around pylons: loops of one radius on either side.

That loops one way and then the other are an elementary eight at all is weighed against ordinary flying, each
piece of evidence as a log-odds with its reason:

* **the loops**: one loop and then another the other way are rare otherwise, more of them rarer;
* **the places**: every other loop is about the same place, over the ground or, the bank held, in the air;
* **the radii**: alike, however the wind blows;
* **the turn** of a loop: 360° but for the rolls, or some 220 to 300°;
* **the layout**: loops whose centers lie 2c apart and that are joined by straight ways turn π + 2 asin(R/c);
* **the centers**: they stay, where at constant bank they move with the wind;
* **the bank**: commonly 15-40°;
* **the height**: 600-1,000 ft above the ground.

Which of the three it was is then told from the turn of a loop, 360° along a road, where the circles touch,
and some 220 to 300° in the others; and these two, alike in their path, from the wind: it blows along the line
through the centers in eights across a road, and across it around pylons, with the middle flown downwind. In a
calm nothing tells them apart but what was said of the ground: no handbook prints how far apart the loops lie
or at what angle a road is crossed, so half of them must be named wrong, and each is said with one half. All
three compete as candidates of their own, with eights on pylons, which are weighed by their own module.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np

from groundref.angles import full_turn, quarter_turn, wrap, wrap_signed
from groundref.detection import eight_reference, ordinary
from groundref.detection.candidate import Candidate, Cut, Ground
from groundref.detection.carried import arc_drift
from groundref.detection.circling import POSITION_WANDER
from groundref.detection.evidence import LOW, climb, density, felt, height_evidence, log_ratio, size_evidence
from groundref.detection.laps import entry_of, lap_of
from groundref.detection.loop import SETTLED
from groundref.detection.loops import Row, expected_turn
from groundref.detection.maneuver import Lap, Leg, Maneuver, Reference, point_at
from groundref.estimation.mean_wind import wind_over
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.mechanics.eights import leg_tracks
from groundref.units import degree

ALONG: Final = "eights-along-a-road"
ACROSS: Final = "eights-across-a-road"
AROUND: Final = "eights-around-pylons"
ELEMENTARY: Final = (ALONG, ACROSS, AROUND)

CLIMB_LIMIT: Final = 1.7  # [m s⁻¹] 330 fpm all the way is a climb, not an error
ALTITUDE_SPREAD: Final = 75.0  # [m] standard deviation beyond which it climbs and dives
PRIOR: Final = -0.5  # two loops one way and the other, before they are looked at closer
TWO_LOOPS: Final = 2.0
EACH_FURTHER: Final = 1.0
# What radii and layout may say at most: eights on pylons are alike in both, and must not lose by it.
IN_COMMON: Final = 0.4
STEEP: Final = 38 * degree  # above it, steep turns are meant
HELD_BANK: Final = -1.5
LETS_GO: Final = 0.125  # of students: carried away; as many drift and get back between the loops; own figure
ALL_ROUND: Final = 325 * degree  # loops that turn so far are full circles, wherever their centers are
# Of elementary eights: no published figure says which is flown more often.
USUAL: Final = {ALONG: 1.0 / 3.0, ACROSS: 1.0 / 3.0, AROUND: 1.0 / 3.0}
ROUND: Final = (346.0, 11.0)  # [°] turn of a loop along a road, what rolling takes off; on simulated flights
PART: Final = (262.0, 28.0)  # [°] turn of a loop of the others
WIND_SPREAD: Final = 20.0  # [°] how well the wind lies along or across
LAID_BY: Final = 0.75  # of eights are laid by a wind that is felt; a figure of our own
TOLD: Final = 30.0  # how much oftener a place given lies there when it was flown about; a figure of our own
LEAST_LEG: Final = 4.0  # [s] of level flight that count as a straight leg
UNSURE: Final = 0.8  # share of the likelier kind below which it is said that the other may have been meant
NAMES: Final = {
    ALONG: "an eight along a road",
    ACROSS: "an eight across a road",
    AROUND: "an eight around pylons",
}


def propose(states: States, cut: Cut, ground: Ground) -> list[Candidate]:
    """Propose elementary eights: each row of loops as each of the three kinds.

    Parameters
    ----------
    states, cut
        The flight and its first cut.
    ground
        What is known about places on the ground.
    """
    return [one for row in _likeliest_rows(states, cut) for one in _candidates(states, row, ground)]


def _likeliest_rows(states: States, cut: Cut) -> list[Row]:
    """Return of the rows over the ground and those in the air that share loops the likelier ones."""
    level = [part for row in (*cut.rows, *cut.carried) if (part := level_part(states, row)) is not None]
    odds = [log_odds(states, row, wind_over(states, *samples(states, row))) for row in level]
    kept: list[Row] = []
    for row in (level[k] for k in np.argsort(odds)[::-1]):
        if all(row.start >= other.end or row.end <= other.start for other in kept):
            kept.append(row)
    return kept


def level_part(states: States, row: Row) -> Row | None:
    """Return the longest part of a row that is level, the row itself where it is; None where none is."""
    count = len(row.loops)
    parts = (row.part(k, k + size) for size in range(count, 1, -1) for k in range(count - size + 1))
    return next((part for part in parts if can_be(states, part)), None)


def samples(states: States, row: Row) -> tuple[int, int]:
    """Return the first and the last sample of a row."""
    inside = np.flatnonzero((states.time >= row.start) & (states.time <= row.end))
    return int(inside[0]), int(inside[-1])


def can_be(states: States, row: Row) -> bool:
    """Leave out what climbs, or climbs and dives."""
    if states.altitude is None:
        return True
    first, last = samples(states, row)
    level = abs(climb(states, first, last)) <= CLIMB_LIMIT
    return level and float(np.std(states.altitude[first : last + 1])) <= ALTITUDE_SPREAD


def _candidates(states: States, row: Row, ground: Ground) -> list[Candidate]:
    """Return a row of loops as each of the three kinds; what is hardly likely is left out."""
    wind = wind_over(states, *samples(states, row))
    shares = kind_shares(states, row, wind, ground)
    odds = log_odds(states, row, wind)

    def build(kind: str) -> Callable[[float], Maneuver]:
        return lambda confidence: _maneuver(states, row, wind, kind, shares, confidence, ground)

    return [
        Candidate(
            kind=kind,
            start=row.start,
            end=row.end,
            log_odds=odds + float(np.log(share)),
            build=build(kind),
        )
        for kind, share in shares.items()
        if share > 1e-3
    ]


def log_odds(states: States, row: Row, wind: Wind | None) -> float:
    """Return the log-odds that loops were flown as an elementary eight."""
    odds = PRIOR + TWO_LOOPS + EACH_FURTHER * min(len(row.loops) - 2, 2)
    odds += _places_evidence(row) + _radius_evidence(row) + _layout_evidence(row) + _turn_evidence(row)
    odds += _center_evidence(states, row, wind) + _bank_evidence(row) + size_evidence(row.radius, wind, -1.5)
    return odds + height_evidence(states, *samples(states, row), LOW)


def _places_evidence(row: Row) -> float:
    """The centers of every other loop: the same within errors, or only nearby."""
    total = 0.0
    for one, other in zip(row.loops, row.loops[2:], strict=False):
        apart = float(np.hypot(*np.subtract(one.center, other.center))) / row.radius
        total += log_ratio(density(apart, 0.0, 0.15), density(apart, 0.35, 0.35), -2.0, 2.0)
    return float(np.clip(total, -3.0, 3.0))


def _radius_evidence(row: Row) -> float:
    """How alike the radii are: ratio of one to the next, spread by 12 % against 40 %."""
    total = 0.0
    for one, other in pairwise(row.radii):
        ratio = float(np.log(other / one))
        total += log_ratio(density(ratio, 0.0, 0.17), density(ratio, 0.0, 0.57), -2.0, 1.2)
    return float(np.clip(total, -3.0, IN_COMMON))


def _layout_evidence(row: Row) -> float:
    """How well the turn of the loops goes with the distance between their centers."""
    off = (row.turn - expected_turn(row.spread)) / degree
    # Full circles that drift, and loops carried along in the air, lie as the wind will have it.
    least = -1.0 if row.in_air or row.turn > ALL_ROUND else -4.0
    return log_ratio(density(off, -8.0, 14.0), density(off, 0.0, 60.0), least, IN_COMMON)


def _turn_evidence(row: Row) -> float:
    """How far a loop turned: 360° but for the rolls, or what goes with usual ways between, or anything."""
    turn = row.turn / degree
    usual = USUAL[ALONG] * density(turn, *ROUND) + (1.0 - USUAL[ALONG]) * density(turn, *PART)
    return log_ratio(usual, density(turn, 270.0, 80.0), -2.0, 1.0)


def _center_evidence(states: States, row: Row, wind: Wind | None) -> float:
    """Whether the loops were held about places on the ground, or carried along with the air.

    Most students hold the distance; one in four lets the loops drift, wholly or in part, and does so in all
    of them. Half of those get back between the loops to where the next one begins, so that the places are
    still about the same; the others are carried away.
    """
    held = let_go = 0.0
    for loop in row.loops:
        settled = (states.time >= loop.start + SETTLED) & (states.time <= loop.end - SETTLED)
        drift = arc_drift(states.time[settled], states.east[settled], states.north[settled], wind)
        if drift is not None:
            usual = ordinary.drift_density(drift)
            held += log_ratio(drift.density(0.0, 0.15, watched=True), usual, -4.0)
            let_go += log_ratio(drift.density(0.7, 0.4, watched=True), usual, -4.0)
    drifted = float(np.log(LETS_GO) + let_go)
    total = drifted if row.in_air else float(np.logaddexp(np.log(1.0 - 2.0 * LETS_GO) + held, drifted))
    # Loops carried along at little bank, one way and then the other: a student who holds the bank.
    bank = float(np.mean([loop.bank for loop in row.loops]))
    return float(np.clip(total, -4.0 if bank > STEEP else HELD_BANK, 3.0))


def _bank_evidence(row: Row) -> float:
    total = 0.0
    for loop in row.loops:
        if np.isfinite(loop.bank):
            usual = density(loop.bank / degree, 27.0, 9.0)
            total += log_ratio(usual, ordinary.bank_density(loop.bank), most=1.0)
    return float(np.clip(total, -5.0, 1.5))


def kind_shares(states: States, row: Row, wind: Wind | None, ground: Ground) -> dict[str, float]:
    """Return the probability of each kind, given that it was an elementary eight.

    Parameters
    ----------
    states, row
        The flight, and the loops.
    wind
        Over them.
    ground
        What is known about places on the ground.
    """
    turn = row.turn / degree
    wide = density(turn, *PART)
    weight = {
        ALONG: USUAL[ALONG] * (density(turn, *ROUND) + 1e-6),
        ACROSS: USUAL[ACROSS] * (wide + 1e-6),
        AROUND: USUAL[AROUND] * (wide + 1e-6),
    }
    weight = {kind: weight[kind] * factor for kind, factor in wind_factors(states, row, wind).items()}
    for kind, factor in ground_factors(states, row, ground).items():
        weight[kind] *= factor
    total = sum(weight.values())
    return {kind: one / total for kind, one in weight.items()}


def wind_factors(states: States, row: Row, wind: Wind | None) -> dict[str, float]:
    """Return how well the wind goes with each kind; all alike in a light one, which has no direction.

    It blows across a road, so along the line through the centers, also in eights along one: the handbook
    names the wind along the road too, but explains the other (FAA-H-8083-3C, chapter 7, from memory). Around
    pylons the middle is flown downwind on both ways; who flies it upwind flies it wrong. The lighter the
    wind, the fewer lay the eight by it.

    Parameters
    ----------
    states, row, wind
        As for `kind_shares`.
    """
    alike = dict.fromkeys(ELEMENTARY, 1.0)
    if wind is None or wind.speed < 2.5 * wind.speed_sd:
        return alike
    off = abs(float(wrap_signed(2.0 * (wind.direction_to - row.axis)))) / 2.0  # 0 along the axis to 90°
    spread = float(np.hypot(WIND_SPREAD, wind.direction_sd / degree))
    even = 2.5 / 90.0
    laid = LAID_BY * felt(wind)
    along_axis = laid * density(off / degree, 0.0, spread) * 2.0 + (1.0 - laid) * even
    across_axis = laid * density(90.0 - off / degree, 0.0, spread) * 2.0 + (1.0 - laid) * even
    tracks = np.interp([0.5 * (a + b) for a, b in row.between], states.time, states.track)
    with_wind = float(np.mean(np.cos(tracks - wind.direction_to)))
    downwind = 1.0 if abs(with_wind) < 0.2 else 1.6 if with_wind > 0.0 else 0.4
    middle = 1.0 + felt(wind) * (downwind - 1.0)
    return {ALONG: along_axis, ACROSS: along_axis, AROUND: across_axis * middle}


def ground_factors(states: States, row: Row, ground: Ground) -> dict[str, float]:
    """Return what was said of the ground: pylons where the centers are, a road through the middle.

    It lifts the kinds flown about such a place, and so lowers all others; arguments as for `kind_shares`.
    """
    factors = dict.fromkeys(ELEMENTARY, 1.0)
    if eight_reference.given_pylons(row, ground) is not None:
        factors[AROUND] *= TOLD
    told = eight_reference.given_line(states, row, ground)
    if told is not None and told[1] <= eight_reference.NEAR_ENOUGH * row.radius:
        square = told[2] > quarter_turn - eight_reference.PARALLEL_ENOUGH
        factors[ALONG] *= TOLD if square else 1.0
        factors[ACROSS] *= TOLD
    return factors


def _maneuver(
    states: States,
    row: Row,
    wind: Wind | None,
    kind: str,
    shares: dict[str, float],
    confidence: float,
    ground: Ground,
) -> Maneuver:
    if kind == AROUND:
        reference, notes = eight_reference.pylons(row, ground)
    else:
        reference, notes = eight_reference.road(states, row, ground, along=kind == ALONG)
    about = reference.places if kind == AROUND else row.centers
    sd = reference.sd if kind == AROUND else eight_reference.centers_sd(row)
    points = [point_at(*about[k % 2], sd, reference.source) for k in range(len(row.loops))]
    radius = _mean_distance(states, row, points)
    first, last = samples(states, row)
    return Maneuver(
        kind=kind,
        first=first,
        last=last,
        start=row.start,
        end=row.end,
        direction="both",
        confidence=confidence,
        reference=reference,
        radius=radius,
        radius_sd=_radius_sd(row, sd),
        wind=wind,
        entry=entry_of(states, _Begun(row.start, first), points[0]),
        laps=tuple(_lap(states, row, k, points, radius) for k in range(len(points))),
        notes=(*notes, *_doubt(kind, shares)),
    )


@dataclass(frozen=True, slots=True)
class _Begun:
    """The first turn: when it began, and its first sample."""

    start: float
    first: int


def _doubt(kind: str, shares: dict[str, float]) -> list[str]:
    """Say which other kind it may have been."""
    if shares[kind] >= UNSURE:
        return []
    other = max((each for each in shares if each != kind), key=lambda each: shares[each])
    return [
        f"It may as well have been {NAMES[other]}: the path and the wind do not tell them apart; give the "
        "road or the pylons to have it told."
    ]


def _mean_distance(states: States, row: Row, points: list[Reference]) -> float:
    """Return the mean distance from the places turned about, rolls left out, each part weighing alike [m]."""
    distance, turned = [], []
    for loop, point in zip(row.loops, points, strict=True):
        inside = (states.time >= loop.start + SETTLED) & (states.time <= loop.end - SETTLED)
        part = np.flatnonzero(inside)
        distance.append(np.hypot(states.east[part] - point.east, states.north[part] - point.north))
        turned.append(np.abs(np.gradient(states.track[part])))
    return float(np.average(np.concatenate(distance), weights=np.concatenate(turned) + 1e-9))


def _radius_sd(row: Row, sd: float) -> float:
    """Return the standard deviation of the mean distance [m]; see `turns_around_a_point`.

    Of an arc of angle θ an error of its center toward the opening goes into the mean distance by the mean of
    the cosine over it, sin(θ/2)/(θ/2): nothing all the way round, a third of it over 260°.
    """
    wander = float(np.sqrt(np.mean([loop.rms**2 for loop in row.loops])))
    opening = float(np.sinc(row.turn / full_turn)) * sd
    return float(np.sqrt((0.25 * POSITION_WANDER) ** 2 + (0.2 * np.hypot(wander, sd)) ** 2 + opening**2))


def _lap(states: States, row: Row, number: int, points: list[Reference], radius: float) -> Lap:
    """Measure a loop, with the straight way that follows it where there is one."""
    loop = row.loops[number]
    lap = lap_of(states, loop.start, loop.end, points[number], radius)
    if number + 1 == len(row.loops) or row.between[number][1] - row.between[number][0] < LEAST_LEG:
        return lap
    start, end = row.between[number]
    inside = np.flatnonzero((states.time >= start) & (states.time <= end))
    leg = Leg(
        name="outward" if number % 2 == 0 else "return",
        first=int(inside[0]),
        last=int(inside[-1]),
        start=start,
        end=end,
        course=_course(row, number, points, radius),
    )
    return replace(lap, legs=(leg,))


def _course(row: Row, number: int, points: list[Reference], radius: float) -> float:
    """Return the track of the way that touches both circles [rad]; the one flown where they overlap."""
    east, north = points[1].east - points[0].east, points[1].north - points[0].north
    half = 0.5 * float(np.hypot(east, north))
    if half <= radius:
        return float(wrap(row.loops[number].track_out))
    axis = float(np.arctan2(east, north))
    there, back = leg_tracks(axis, row.loops[0].direction, radius, half)
    return float(there if number % 2 == 0 else back)
