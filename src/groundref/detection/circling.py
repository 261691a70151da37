"""A stretch of turning seen as a circle: where it begins and ends, its laps, centre, radius, drift."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import full_turn
from groundref.detection.segments import Turning
from groundref.errors import NoSolutionError
from groundref.estimation.states import States
from groundref.mechanics.circle_fit import CircleFit, fit_circle, fit_moving_circle
from groundref.units import degree

Floats = NDArray[np.float64]

WHOLE_LAP: Final = (
    330 * degree
)  # turned about that much, a lap counts as whole; roll-in and roll-out take the rest
LEAST_TURNED: Final = 300 * degree  # a circle that was left too early is still one
LEAST_PART: Final = 90 * degree  # a part of a lap shorter than that is no lap
# [s] Straight and turning flight looked at about a corner, first as far as the first cut can be off, then
# closer: with a longer look the wind bends the track of the turn.
CORNER_WINDOWS: Final = ((9.0, 13.0), (6.0, 8.0))
LOOK_ROUND: Final = 150 * degree  # of the turn at most, so that a quick one is not seen from its other end
# [s] after the middle of the roll-in until the bank stands, and what must do where samples are few: a circle
# at 55 kt and 50° lasts 15 s.
SETTLED: Final = (4.0, 2.5, 1.5)
LEAST_INNER: Final = 6  # samples of the turn, rolls and all
LEAST_SAMPLES: Final = 5  # of settled turning; a moving circle has five unknowns, a sample two coordinates
# The way out may bend the same way. A circle was left when the path at last lies so much of the radius off
# the whole laps before, and it ends where the path lay on them, give or take a little, before it strayed.
LEFT: Final = 0.35
ASTRAY: Final = 0.1
ON_IT: Final = 0.05
ABOUT_WHOLE: Final = 30 * degree
ALIKE: Final = 0.75  # of the radius
POSITION_WANDER: Final = (
    2.5  # [m] slow error of a phone's position per axis: 5 m within 87 %, common practice
)


@dataclass(frozen=True, slots=True)
class Circling:
    """A stretch of turning seen as a circle.

    Attributes
    ----------
    turning
        The stretch.
    start, end
        When the turn began and ended: the middles of roll-in and roll-out [s]
    first, last
        Indices of the samples from ``start`` to ``end``.
    turn
        Change of track from before ``start`` to after ``end``, right positive [rad]
    bounds
        Times at which a lap ends and the next begins, ``start`` and ``end`` included [s]
    still, moving
        The circle fitted with a standing and with a moving centre.
    lap_time
        Mean time of a whole lap [s]
    drift_east, drift_north, drift_sd
        Motion of the centre in one lap and its standard deviation per axis [m]
    in_step
        Part of the distance's wander that repeats from lap to lap, root mean square [m]
    bank
        Mean of the bank's magnitude between roll-in and roll-out [rad]
    """

    turning: Turning
    start: float
    end: float
    first: int
    last: int
    turn: float
    bounds: tuple[float, ...]
    still: CircleFit
    moving: CircleFit
    lap_time: float
    drift_east: float
    drift_north: float
    drift_sd: float
    in_step: float
    bank: float

    @property
    def laps(self) -> float:
        """How often it went round."""
        return abs(self.turn) / full_turn

    @property
    def alike(self) -> bool:
        """Whether the moving circle is about as large as the standing one."""
        return ALIKE < self.moving.radius / self.still.radius < 1.0 / ALIKE


def circling(states: States, turning: Turning) -> Circling | None:
    """See a stretch of turning as a circle; None when it is less than a lap or no circle fits."""
    ends = rolled_in_and_out(states, turning)
    if ends is None:
        return None
    start, end = ends
    end = _left(states, start, end, turning.direction)
    inner = np.flatnonzero((states.time >= start) & (states.time <= end))
    if inner.size < LEAST_INNER:
        return None
    first, last = int(inner[0]), int(inner[-1])
    turn = _track_at(states, end) - _track_at(states, start)
    if abs(turn) < LEAST_TURNED:
        return None
    parts = (_within(states, inner, start + wait, end - wait) for wait in SETTLED)
    settled = next((part for part in parts if part.size >= LEAST_SAMPLES), None)
    if settled is None:
        return None
    east, north, time = states.east[settled], states.north[settled], states.time[settled]
    lap_time = _lap_time(states, settled, turning.direction) or (end - start) * full_turn / abs(turn)
    try:
        still = fit_circle(east, north)
        moving = fit_moving_circle(time, east, north)
    except NoSolutionError:
        return None
    laps = abs(turn) / full_turn
    # Radial wander in step with the lap moves the centre of a lap as much as it wanders; a slope over n laps
    # takes the difference of two such centres over about n − 1/2 laps.
    wander = np.sqrt(2.0) * moving.rms / max(laps - 0.5, 0.5) / np.sqrt(max(laps, 1.0))
    return Circling(
        turning=turning,
        start=start,
        end=end,
        first=first,
        last=last,
        turn=float(turn),
        bounds=_lap_bounds(states, start, end, turning.direction),
        still=still,
        moving=moving,
        lap_time=float(lap_time),
        drift_east=moving.rate_x * lap_time,
        drift_north=moving.rate_y * lap_time,
        drift_sd=float(np.hypot(wander, POSITION_WANDER)),
        in_step=_in_step(np.abs(states.track[settled] - states.track[settled[0]]), still.residual),
        bank=float(np.mean(np.abs(states.bank[settled]))),
    )


def _lap_time(states: States, settled: NDArray[np.intp], direction: int) -> float | None:
    """Return the mean time of the whole laps in settled turning; None where there is none [s].

    The track turns at an uneven rate: slowest flying downwind, where the ground speed is highest. So what is
    left over beyond whole laps would lengthen or shorten the time of a lap, and so would the rolls.
    """
    turned = np.maximum.accumulate(direction * (states.track[settled] - states.track[settled[0]]))
    whole = int(turned[-1] // full_turn)
    if whole < 1:
        return None
    time = states.time[settled]
    return float(np.interp(whole * full_turn, turned, time) - time[0]) / whole


def _within(states: States, index: NDArray[np.intp], start: float, end: float) -> NDArray[np.intp]:
    """Return those of some samples that lie between two times."""
    return index[(states.time[index] > start) & (states.time[index] < end)]


def _left(states: States, start: float, end: float, direction: int) -> float:
    """Return when a circle of two whole laps and more was left; ``end`` when not before [s]."""
    index = np.flatnonzero((states.time >= start) & (states.time <= end))
    turned = direction * (states.track[index] - states.track[index[0]])
    whole = int(turned[-1] // full_turn)
    if whole < 2:
        return end
    laps = index[turned <= whole * full_turn]
    try:
        circle = fit_moving_circle(states.time[laps], states.east[laps], states.north[laps])
    except NoSolutionError:
        return end
    since = states.time[index] - states.time[laps].mean()
    away = np.hypot(
        states.east[index] - circle.x - circle.rate_x * since,
        states.north[index] - circle.y - circle.rate_y * since,
    )
    off = np.abs(away - circle.radius)
    if off[-1] < LEFT * circle.radius:
        return end
    strayed = np.flatnonzero((off > ASTRAY * circle.radius) & (turned > whole * full_turn - ABOUT_WHOLE))
    on = np.flatnonzero(off[: strayed[0]] <= max(ON_IT * circle.radius, 2.0 * circle.rms))
    return float(states.time[index[on[-1]]]) if on.size else end


def _in_step(turned: Floats, residual: Floats) -> float:
    """Return how much of the residuals repeats from lap to lap, root mean square.

    An error at the same place of every lap is not averaged away by laps, and what of it is once a lap has
    already moved the fitted centre. The mean pattern over the laps holds it, and 1/laps of the variance that
    does not repeat. One lap alone cannot tell; half of its wander is taken to repeat.
    """
    laps = int(turned[-1] // full_turn)
    if laps < 2:
        return 0.5 * float(np.sqrt(np.mean(residual**2)))
    places = max(min(24, residual.size // (2 * laps)), 3)
    whole = turned < laps * full_turn
    lap = (turned[whole] // full_turn).astype(np.int64)
    place = np.minimum(turned[whole] % full_turn / full_turn * places, places - 1).astype(np.int64)
    cell = lap * places + place
    count = np.bincount(cell, minlength=laps * places)
    mean = np.bincount(cell, residual[whole], minlength=laps * places) / np.maximum(count, 1)
    table = mean.reshape(laps, places)
    pattern = table.mean(axis=0)
    rest = float(np.sum((table - pattern) ** 2)) / ((laps - 1) * places)
    return float(np.sqrt(max(float(np.mean(pattern**2)) - rest / laps, 0.0)))


def rolled_in_and_out(states: States, turning: Turning) -> tuple[float, float] | None:
    """Return when the turn began and ended [s].

    A roll-in of a few seconds leaves the track as if the whole bank had come at its middle, when it passes
    half of what it then is. So the moment is where a straight track and one that turns at a steady rate meet:
    the corner of the two lines that fit the track best around it. That averages over all samples near the
    corner, where a crossing of the bank itself would follow every gust.
    """
    time = states.time
    inside = (time >= time[turning.first]) & (time <= time[turning.last])
    inside &= states.piece == states.piece[turning.first]
    if np.count_nonzero(inside) < LEAST_INNER:
        return None
    lasted = float(time[turning.last] - time[turning.first])
    longest = LOOK_ROUND * lasted / abs(turning.turn)
    start = _corner(states, float(time[turning.first]), 1.0, longest)
    end = _corner(states, float(time[turning.last]), -1.0, longest)
    return (start, end) if end > start else None


def _corner(states: States, near: float, way: float, longest: float) -> float:
    """Return the time of the corner between straight and turning track; ``way`` −1 looks back in time.

    Of the turning no more than ``longest`` is looked at [s].
    """
    for before, after in CORNER_WINDOWS:
        near = _corner_in(states, near, way, before, min(after, longest))
    return near


def _corner_in(states: States, near: float, way: float, before: float, after: float) -> float:
    """Return the corner within a window about ``near``: least squares of track = a + b·max(x − corner, 0)."""
    clock = way * (states.time - near)
    window = (clock >= -before) & (clock <= after)
    window &= states.piece == states.piece[int(np.argmin(np.abs(clock)))]
    x, track = clock[window], states.track[window]
    if x.size < 4:
        return near
    corners = np.arange(max(-0.7 * before, float(x.min())), 0.7 * after, 0.1)
    ramp = np.maximum(x - corners[:, None], 0.0)
    ramp -= ramp.mean(axis=1, keepdims=True)
    off_track = track - track.mean()
    # The sum of squares that the ramp explains; the rest is the misfit.
    explained = (ramp @ off_track) ** 2 / np.maximum((ramp**2).sum(axis=1), 1e-12)
    return near + way * float(corners[int(np.argmax(explained))])


def _track_at(states: States, time: float) -> float:
    return float(np.interp(time, states.time, states.track))


def _lap_bounds(states: States, start: float, end: float, direction: int) -> tuple[float, ...]:
    """Return the times between laps: each 360° of track from the start."""
    inner = (states.time >= start) & (states.time <= end)
    time = np.concatenate([[start], states.time[inner], [end]])
    turned = np.maximum.accumulate(
        direction * (np.interp(time, states.time, states.track) - _track_at(states, start))
    )
    total = float(turned[-1])
    whole = int((total + full_turn - WHOLE_LAP) // full_turn)
    inside = [float(np.interp(k * full_turn, turned, time)) for k in range(1, whole) if k * full_turn < total]
    rest = total - whole * full_turn
    if whole and rest >= LEAST_PART:
        inside.append(float(np.interp(whole * full_turn, turned, time)))
    return (start, *inside, end)
