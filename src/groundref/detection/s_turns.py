"""S-turns across a line: half circles on alternating sides, told from ordinary turns one way and the other.

Two or more turnings of about 180° in alternate directions, with hardly more between them than the roll from
one bank to the other, are weighed as one hypothesis, each piece of evidence as a log-odds with its reason:

* **the number**: two half circles are also flown to look around, four in a row hardly;
* **the turns**: 180° each; around pylons they turn further, on the way somewhere less;
* **the radii**: alike, however the wind blows;
* **the reversals**: from bank to bank at the line; search and survey lines have legs between their turns;
* **the line**: usually square to the wind, and crossed at a right angle;
* **the height**: 600-1,000 ft above the ground.

What cannot be S-turns whatever the evidence is left out before: half circles that climb or are no circles,
that are tighter than a light airplane flies or wider than anyone practices, and one half circle alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import half_turn, wrap_signed
from groundref.detection import line
from groundref.detection.candidate import Candidate, Cut, Ground
from groundref.detection.circling import POSITION_WANDER
from groundref.detection.evidence import LOW, climb, density, height_evidence, log_ratio
from groundref.detection.half_circles import SETTLED, Half, Series, runs, series_of
from groundref.detection.laps import entry_of
from groundref.detection.line import Line
from groundref.detection.maneuver import Lap, Maneuver, Reference, point_at
from groundref.estimation.mean_wind import wind_over
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.units import degree, foot, nautical_mile

Floats = NDArray[np.float64]

KIND: Final = "s-turns"
CLIMB_LIMIT: Final = 1.7  # [m s⁻¹] 330 fpm all the way is a climb, not an error
ALTITUDE_SPREAD: Final = 75.0  # [m] standard deviation beyond which it is a climbing and diving turn
# Of the mean radius, by which each half circle lies at least on from the one before: two are usual, and one
# that is blown back, or tighter than the others, less. Who turns on the spot comes back by as much.
ONWARD: Final = 0.6
NEAR_ENOUGH: Final = 0.7  # of the radius, within which a given line is the one that was flown along
PARALLEL_ENOUGH: Final = 20 * degree
# With the bank held the line lies upwind of where it seems, by that share of the way of the air in the time
# of a half circle; found on simulated flights. And how much of that a well flown one may seem to show.
CARRIED: Final = 0.45
ROLLED_SHAPE: Final = 0.01  # of the radius; found on flights of an independent simulator
HELD_UNNOTICED: Final = 0.35
FELT: Final = 0.07  # of the airspeed, from which wind on the bank can be told
UNEQUAL: Final = 0.2  # of students turn wider on one side of the line than on the other; a figure of our own


def propose(states: States, cut: Cut, ground: Ground) -> list[Candidate]:
    """Propose S-turns.

    Parameters
    ----------
    states, cut
        The flight and its first cut.
    ground
        What is known about places on the ground.
    """
    found = [series for halves in runs(states, cut.turnings) for series in _onward(states, halves)]
    return [_candidate(states, one, ground) for one in found if _can_be(states, one)]


def _candidate(states: States, series: Series, ground: Ground) -> Candidate:
    wind = wind_over(states, series.first, series.last)
    return Candidate(
        kind=KIND,
        start=series.start,
        end=series.end,
        log_odds=_log_odds(states, series, wind),
        build=lambda confidence: _maneuver(states, series, wind, confidence, ground),
    )


def _onward(states: States, halves: Sequence[Half]) -> list[Series]:
    """Return what works along its line: all of a run, or its parts before and after where it comes back."""
    if len(halves) < 2:
        return []
    series = series_of(states, halves)
    places = np.array([half.about for half in halves])
    steps = np.diff(series.line.along(places[:, 0], places[:, 1]))
    worst = int(np.argmin(steps))
    if steps[worst] > ONWARD * np.mean([half.width for half in halves]):
        return [series]
    return _onward(states, halves[: worst + 1]) + _onward(states, halves[worst + 1 :])


def _can_be(states: States, series: Series) -> bool:
    """Leave out what climbs."""
    if states.altitude is None:
        return True
    altitude = states.altitude[series.first : series.last + 1]
    steady = abs(climb(states, series.first, series.last)) <= CLIMB_LIMIT
    return steady and float(np.std(altitude)) <= ALTITUDE_SPREAD


def _log_odds(states: States, series: Series, wind: Wind | None) -> float:
    """Return the log-odds that S-turns were flown."""
    odds = _number_evidence(series) + _turn_evidence(series) + _radius_evidence(series)
    odds += _reversal_evidence(series) + _wind_evidence(series, wind) + _crossing_evidence(states, series)
    odds += _held_evidence(states, series, wind)
    return odds + height_evidence(states, series.first, series.last, LOW)


def _number_evidence(series: Series) -> float:
    """Two half circles may be a look around before a maneuver; each further one is hardly flown otherwise."""
    return (-5.0, -1.3, 0.7, 1.7)[min(len(series.halves) - 2, 3)]


def _turn_evidence(series: Series) -> float:
    """How far each turned: about 180°, less or more where the wind was misjudged."""
    total = 0.0
    for half in series.halves:
        turn = abs(half.turning.turn) / degree
        here = 0.6 * density(turn, 178.0, 9.0) + 0.4 * density(turn, 170.0, 25.0)
        total += log_ratio(here, 1.0 / 130.0 * 2.5, -2.0, 0.9)  # of turns from 45° to 255° all are as usual
    return float(np.clip(total, -4.0, 3.0))


def _radius_evidence(series: Series) -> float:
    """How alike the radii are: all of them, or those of either side, larger on the one than on the other."""
    radii = series.radii
    each_side = _alike(radii[0::2]) + _alike(radii[1::2])
    either = np.logaddexp(np.log(1.0 - UNEQUAL) + _alike(radii), np.log(UNEQUAL) + each_side)
    return float(np.clip(either, -3.0, 2.5))


def _alike(radii: Floats) -> float:
    """Return what the ratios of one radius to the next say: spread by 15 % against 45 %."""
    ratios = np.diff(np.log(radii))
    return sum(
        log_ratio(density(ratio, 0.0, 0.15 * 2**0.5), density(ratio, 0.0, 0.45 * 2**0.5), -2.0, 1.2)
        for ratio in ratios.tolist()
    )


def _reversal_evidence(series: Series) -> float:
    """How long the wings were nearly level between half circles, over the time of one."""
    lasted = (series.end - series.start) / len(series.halves)
    total = 0.0
    for flat in series.flat:
        share = flat / lasted
        total += log_ratio(density(share, 0.12, 0.10), density(share, 0.45, 0.35), -2.5, 1.2)
    return float(np.clip(total, -4.0, 2.5))


def _wind_evidence(series: Series, wind: Wind | None) -> float:
    """How nearly the line is square to the wind; a light wind has no direction to go by."""
    if wind is None or wind.speed < 2.5 * wind.speed_sd:
        return 0.0
    off = abs(float(wrap_signed(2.0 * (series.line.bearing - wind.direction_to)))) / 2.0
    off_square = 90.0 - off / degree
    here = 0.75 * density(off_square, 0.0, 17.0) + 0.25 * 2.5 / 90.0
    return log_ratio(here, 2.5 / 90.0, -1.4, 1.2)


def _held_evidence(states: States, series: Series, wind: Wind | None) -> float:
    """Who turns for no line holds the bank; of students some do, but most vary it with the wind."""
    if wind is None or wind.speed < max(2.5 * wind.speed_sd, FELT * wind.true_airspeed):
        return 0.0
    share = _held_share(states, series)
    student = 0.7 * density(share, 0.1, 0.25) + 0.3 * density(share, 0.8, 0.4)
    return log_ratio(student, 0.85 * density(share, 1.0, 0.3) + 0.15 * density(share, 0.3, 0.4), -0.9, 1.3)


def _crossing_evidence(states: States, series: Series) -> float:
    """How square the tracks between half circles are to the line that the centers show."""
    centers = np.array([half.about for half in series.halves])
    total = 0.0
    for time, one, (a, b) in zip(series.levels, series.halves, pairwise(centers), strict=False):
        # The line joining two centers slants by what rolling takes on both sides.
        slant = np.arctan2(2.0 * series.line.beyond, max(float(np.hypot(*(b - a))), 1.0))
        joining = np.arctan2(b[0] - a[0], b[1] - a[1]) - one.direction * slant
        track = float(np.interp(time, states.time, states.track)) - one.direction * 0.5 * half_turn
        off = float(wrap_signed(track - joining)) / degree
        total += log_ratio(density(off, 0.0, 12.0), density(off, 0.0, 35.0), -2.0, 1.0)
    return float(np.clip(total, -3.0, 2.0))


def _maneuver(
    states: States, series: Series, wind: Wind | None, confidence: float, ground: Ground
) -> Maneuver:
    used, reference, notes = _reference(_widened(states, series, wind), ground)
    spans = list(pairwise(_bounds(states, series, used)))
    flown = [_flown(states, half, *span, used) for half, span in zip(series.halves, spans, strict=True)]
    radius = float(np.mean([each.radius for each in flown]))
    laps = tuple(
        _lap(states, half, *span, each, radius)
        for half, span, each in zip(series.halves, spans, flown, strict=True)
    )
    inside = np.flatnonzero((states.time >= series.start) & (states.time <= series.end))
    begun = point_at(laps[0].about_east, laps[0].about_north, used.sd, reference.source)
    return Maneuver(
        kind=KIND,
        first=int(inside[0]),
        last=int(inside[-1]),
        start=series.start,
        end=series.end,
        direction="both",
        confidence=confidence,
        reference=reference,
        radius=radius,
        radius_sd=float(np.mean([each.radius_sd for each in flown])),
        wind=wind,
        entry=entry_of(states, series, begun),
        laps=laps,
        notes=tuple(notes),
    )


def _widened(states: States, series: Series, wind: Wind | None) -> Series:
    """Return the series with the line as uncertain as what the bank did leaves it.

    With the bank held all half circles are carried downwind alike, and nothing in the flight but the bank
    itself shows that the line lies upwind of them.
    """
    if wind is None:
        return series
    lasted = (series.end - series.start) / len(series.halves)
    carried = CARRIED * wind.speed * lasted * max(_held_share(states, series) - HELD_UNNOTICED, 0.0)
    return replace(series, line=replace(series.line, sd=float(np.hypot(series.line.sd, carried))))


def _held_share(states: States, series: Series) -> float:
    """Return how much of the needed variation of bank was not made: 0 none, 1 the bank was held.

    At a held bank the radius of the path goes with the square of the ground speed, ln r₁/r₂ = 2 ln G₁/G₂ for
    two parts of a half circle; on a half circle it stays. What rolling makes of that at both ends shifts the
    one and shrinks the other, as found on simulated flights.
    """
    seen, expected = [], []
    for half in series.halves:
        samples = np.arange(half.turning.first, half.turning.last + 1)
        time = states.time[samples]
        part = (time - time[0]) / max(time[-1] - time[0], 1.0)
        early, late = samples[(part > 0.2) & (part < 0.45)], samples[(part > 0.55) & (part < 0.8)]
        if not early.size or not late.size:
            continue
        speed = [np.median(states.ground_speed[each]) for each in (early, late)]
        turn = [np.median(np.abs(states.track_rate[each])) for each in (early, late)]
        seen.append(np.log(speed[0] * turn[1] / (speed[1] * turn[0])))
        expected.append(2.0 * np.log(speed[0] / speed[1]))
    square = float(np.dot(expected, expected))
    if square < 1e-4:
        return 0.0
    return float(np.clip((np.dot(seen, expected) / square + 0.3) / 0.95, 0.0, 1.2))


def _reference(series: Series, ground: Ground) -> tuple[Line, Reference, list[str]]:
    """Return the line to go by, and how it is told."""
    flown = series.line
    if ground.line is not None:
        given = line.through(ground.line, flown.bearing)
        note = _far(flown, given, float(series.radii.mean()))
        if note is None:
            beyond = _beyond(series, given)
            used = Line(given.east, given.north, given.bearing, beyond=beyond)
            return used, _line_reference(used, series, "given"), []
        return flown, _line_reference(flown, series, "fitted"), [note]
    note = "The line was fitted to the half circles; S-turns well flown along another line look the same."
    return flown, _line_reference(flown, series, "fitted"), [note]


def _far(flown: Line, given: Line, radius: float) -> str | None:
    """Return why a given line was not the one flown along; None when it was."""
    off = abs(float(given.right(flown.east, flown.north)))
    turned = abs(float(wrap_signed(given.bearing - flown.bearing)))
    if turned > PARALLEL_ENOUGH:
        return (
            f"The given line runs {turned / degree:.0f}° off the one that these half circles were flown "
            "along; it was not used here."
        )
    if off <= NEAR_ENOUGH * radius:
        return None
    said = f"{off / nautical_mile:,.1f} NM" if off > nautical_mile else f"{off / foot:,.0f} ft"
    return f"The given line lies {said} from the middle of these half circles; it was not used here."


def _beyond(series: Series, used: Line) -> float:
    """Return how far beyond a given line the centers lie on the mean of both sides, not negative [m]."""
    centers = np.array([half.center for half in series.halves])
    out = -np.array([half.direction for half in series.halves]) * used.right(centers[:, 0], centers[:, 1])
    left = [float(out[[half.direction == side for half in series.halves]].mean()) for side in (1, -1)]
    return max(0.5 * (left[0] + left[1]), 0.0)


def _line_reference(used: Line, series: Series, source: str) -> Reference:
    """Return the part of the line that was used, a radius beyond the outermost centers."""
    centers = np.array([half.center for half in series.halves])
    along = used.along(centers[:, 0], centers[:, 1])
    reach = float(series.radii.mean())
    return Reference(
        type="line",
        places=(used.place(float(along.min()) - reach), used.place(float(along.max()) + reach)),
        sd=used.sd,
        source=source,
        bearing=float(np.mod(used.bearing, half_turn)),
        bearing_sd=used.bearing_sd,
    )


def _bounds(states: States, series: Series, used: Line) -> tuple[float, ...]:
    """Return when each half circle begins and ends: where the line is crossed, the start and the end."""
    return (
        series.start,
        *(_crossing(states, series, used, number) for number in range(len(series.levels))),
        series.end,
    )


def _crossing(states: States, series: Series, used: Line, number: int) -> float:
    """Return when the line was crossed between two half circles; when level, where it was not crossed [s]."""
    a = (series.halves[number].turning.first + series.halves[number].turning.last) // 2
    b = (series.halves[number + 1].turning.first + series.halves[number + 1].turning.last) // 2
    right = used.right(states.east[a : b + 1], states.north[a : b + 1])
    change = np.flatnonzero(right[1:] * right[:-1] <= 0.0)
    if change.size == 0:
        return series.levels[number]
    i = int(change[np.argmin(np.abs(states.time[a + change] - series.levels[number]))])
    part = right[i] / (right[i] - right[i + 1]) if right[i] != right[i + 1] else 0.0
    return float(states.time[a + i] + part * (states.time[a + i + 1] - states.time[a + i]))


@dataclass(frozen=True, slots=True)
class _Flown:
    """The place that a half circle was flown about, and the mean distance from it [m]."""

    about: tuple[float, float]
    radius: float
    radius_sd: float


def _flown(states: States, half: Half, start: float, end: float, used: Line) -> _Flown:
    """Return about which place on the line a half circle was flown, and its radius.

    The place is the middle between its two crossings, moved out from the line by what rolling takes on the
    mean of all: so much every half circle that is level at the line lies beyond it. The radius is the mean
    distance from it, each part of the turn weighing alike. A circle of its own would tell neither: an arc of
    some 150° leaves its radius and the place of its center, one against the other, all but free.
    """
    ends = used.along(
        np.interp([start, end], states.time, states.east), np.interp([start, end], states.time, states.north)
    )
    about = used.place(float(ends.mean()), -half.direction * used.beyond)
    inside = np.flatnonzero((states.time >= start) & (states.time <= end))
    away = np.hypot(states.east[inside] - about[0], states.north[inside] - about[1])
    weight = np.abs(np.gradient(states.track[inside])) + 1e-9
    radius = float(np.average(away, weights=weight))
    wander = float(np.sqrt(np.average((away - radius) ** 2, weights=weight)))
    # What the rolls at both ends leave of a half circle is known to a hundredth; what is not round in it
    # stands in every half circle alike, so the mean of many is known no better than one.
    shape = float(np.hypot(0.3 * wander, ROLLED_SHAPE * radius))
    return _Flown(about, radius, float(np.hypot(shape, 0.4 * POSITION_WANDER)))


def _lap(states: States, half: Half, start: float, end: float, flown: _Flown, radius: float) -> Lap:
    """Measure one half circle against the radius to hold."""
    about = flown.about
    index = np.flatnonzero((states.time >= start) & (states.time <= end))
    time = states.time[index]
    round_it = index[(time > start + SETTLED) & (time < end - SETTLED)]
    round_it = round_it if round_it.size else index
    off = np.hypot(states.east[round_it] - about[0], states.north[round_it] - about[1]) - radius
    tracks = np.interp([start, end], states.time, states.track)
    return Lap(
        first=int(index[0]),
        last=int(index[-1]),
        start=start,
        end=end,
        turn=float(tracks[1] - tracks[0]),
        center_east=half.center[0],
        center_north=half.center[1],
        center_sd=float(np.hypot(half.rms, POSITION_WANDER)),
        radius=flown.radius,
        radius_sd=flown.radius_sd,
        radial_rms=float(np.sqrt(np.mean(off**2))),
        radial_max=float(off.max()),
        radial_min=float(off.min()),
        about_east=about[0],
        about_north=about[1],
    )
