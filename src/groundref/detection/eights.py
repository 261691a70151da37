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
from typing import Final

import numpy as np

from groundref.angles import full_turn, quarter_turn, wrap, wrap_signed
from groundref.detection import eight_reference
from groundref.detection.candidate import Candidate, Cut, Ground
from groundref.detection.circling import POSITION_WANDER
from groundref.detection.eight_evidence import (
    ACROSS,
    ALONG,
    AROUND,
    ELEMENTARY,
    PART,
    ROUND,
    USUAL,
    log_odds,
    samples,
)
from groundref.detection.eight_rows import likeliest_rows
from groundref.detection.evidence import (
    density,
    direction_density,
    felt,
)
from groundref.detection.laps import entry_of, lap_of
from groundref.detection.loop import SETTLED
from groundref.detection.loops import Row
from groundref.detection.maneuver import Lap, Leg, Maneuver, Reference, point_at
from groundref.estimation.mean_wind import wind_over
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.mechanics.eights import leg_tracks
from groundref.units import degree

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
    return [one for row in likeliest_rows(states, cut) for one in _candidates(states, row, ground)]


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
    """Return how well the wind goes with each kind; all alike where its direction is not known.

    It blows across a road, so along the line through the centers, also in eights along one: the handbook
    names the wind along the road too, but explains the other (FAA-H-8083-3C, chapter 7, from memory). Around
    pylons the middle is flown downwind on both ways; who flies it upwind flies it wrong. The lighter the
    wind, the fewer lay the eight by it.

    Parameters
    ----------
    states, row, wind
        As for `kind_shares`.
    """
    if wind is None:
        return dict.fromkeys(ELEMENTARY, 1.0)
    # An axis has no direction along it, so its angle counts twice.
    off = 2.0 * float(wrap_signed(wind.direction_to - row.axis)) / degree
    spread = 2.0 * float(np.hypot(WIND_SPREAD, wind.direction_sd / degree))
    laid = LAID_BY * felt(wind)
    along_axis, across_axis = (
        laid * direction_density(off - least, spread) * 360.0 + 1.0 - laid for least in (0.0, 180.0)
    )
    tracks = np.interp([0.5 * (a + b) for a, b in row.between], states.time, states.track)
    with_wind = float(np.mean(np.cos(tracks - wind.direction_to)))
    downwind = 1.0 if abs(with_wind) < 0.2 else 1.6 if with_wind > 0.0 else 0.4
    told = felt(wind) * float(np.exp(-0.5 * wind.direction_sd**2))
    middle = 1.0 + told * (downwind - 1.0)
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
