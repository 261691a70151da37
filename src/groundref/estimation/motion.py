"""Motion over the ground from a track: smoothed position, velocity and acceleration with their covariance.

The recorder's noise is taken from the data (`smoother.noise`). One jerk density does not fit a flight: the
airplane rolls into a turn within seconds and then holds it for a minute. So the path is smoothed twice: once
with the density of greatest likelihood, and once with a density that follows the local jerk of that first
path. It makes the steady parts smoother, the roll-ins sharper and the stated deviations true in both.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.mechanics.smoother import FASTEST_JERK, Smoothed, noise, smooth
from groundref.track.clean import FLYING_SPEED
from groundref.track.fineness import SELDOM, position_step
from groundref.track.track import Track

Floats = NDArray[np.float64]

WINDOW: Final = 120  # samples in a window from which the noise is estimated
WINDOWS: Final = 3
USUAL: Final = (2.0, 1.0)  # [m], [m² s⁻⁵] where no eight samples in a row tell: a phone's error, a brisk turn
JERK_SPAN: Final = 2.0  # [s] half width over which the local jerk is averaged: the time of a roll-in
JERK_TIME: Final = 0.4  # [s] for how long jerk keeps its direction; found on simulated flights, no source
STEADY_JERK: Final = 0.07  # [m² s⁻⁵] floor: light chop in level flight; found on simulated flights, no source
MEASURED_VELOCITY_NOISE: Final = (
    0.05  # [m s⁻¹] best receiver velocity, check against IS-GPS practice: 0.05-0.1
)


@dataclass(frozen=True, slots=True)
class Motion:
    """Smoothed motion in the track's frame, arrays over its samples.

    Attributes
    ----------
    smoothed
        State and covariance; axes are east and north.
    velocity_noise
        Standard deviation found for the recorder's own velocities, None when it has none [m s⁻¹]
    """

    smoothed: Smoothed
    velocity_noise: float | None


def motion(track: Track) -> Motion:
    """Smooth a track.

    The steps in which positions are written are an error that lasts from one step to the next, so likelihood
    takes it for motion: the noise is never below that of the steps. Between samples that are more than
    `SELDOM` apart a turn is over before it is seen; the deviations grow with the time between them.
    """
    position = np.column_stack([track.east, track.north])
    sigma, density = _noise_of(track, position)
    sigma = max(sigma, position_step(track.recording) / np.sqrt(12.0))
    velocity = _measured_velocity(track)
    compares = velocity is not None
    first = smooth(track.time, position, track.piece, sigma, density, with_covariance=compares)
    local = _local_density(track, first)
    if velocity is None:
        smoothed, velocity_noise = smooth(track.time, position, track.piece, sigma, local), None
    else:
        velocity_noise = _velocity_noise(velocity, first)
        smoothed = smooth(track.time, position, track.piece, sigma, local, velocity, velocity_noise)
    seldom = max(track.interval / SELDOM, 1.0)
    return Motion(replace(smoothed, covariance=smoothed.covariance * seldom**2), velocity_noise)


def _noise_of(track: Track, position: Floats) -> tuple[float, float]:
    """Estimate noise from a few windows spread over the part of the flight that was flown."""
    speed = np.hypot(np.gradient(track.east, track.time), np.gradient(track.north, track.time))
    flown = np.flatnonzero(speed > FLYING_SPEED)
    if flown.size == 0:
        return USUAL
    span = min(WINDOW, flown.size)
    starts = flown[np.unique(np.linspace(0, flown.size - span, WINDOWS + 2).astype(int)[1:-1])]
    windows = []
    for start in starts.tolist():
        stop = min(start + span, track.time.size)
        same = track.piece[start:stop] == track.piece[start]
        stop = start + int(np.argmin(same)) if not same.all() else stop
        if stop - start >= 8:
            windows.append((track.time[start:stop], position[start:stop]))
    if not windows:
        return USUAL
    return noise(windows)


def _local_density(track: Track, path: Smoothed) -> Floats:
    """Return the jerk density of each step from the jerk of a first path around it."""
    step = np.diff(track.time)
    jerk = np.sum(np.diff(path.state[:, 2], axis=0) ** 2, axis=1) / (2 * step**2)
    # Running mean over time, not samples: the integral of jerk² is interpolated at both ends of the span.
    integral = np.concatenate([[0.0], np.cumsum(jerk * step)])
    middle = track.time[:-1] + 0.5 * step
    reach = np.maximum(JERK_SPAN, step)
    upper = np.minimum(middle + reach, track.time[-1])
    lower = np.maximum(middle - reach, track.time[0])
    mean = (np.interp(upper, track.time, integral) - np.interp(lower, track.time, integral)) / (upper - lower)
    density = np.maximum(JERK_TIME, 0.4 * step) * mean
    return np.asarray(np.clip(density, STEADY_JERK, FASTEST_JERK), dtype=np.float64)


def _measured_velocity(track: Track) -> Floats | None:
    speed, direction = track.recording.ground_speed, track.recording.track
    if speed is None or direction is None:
        return None
    velocity = np.column_stack([speed * np.sin(direction), speed * np.cos(direction)])
    return velocity if bool(np.isfinite(velocity).all(axis=1).any()) else None


def _velocity_noise(velocity: Floats, path: Smoothed) -> float:
    """Estimate the noise of measured velocities from how they scatter about the path of positions alone.

    The scatter is the sum of both variances; its median resists a few bad values.
    """
    off = np.sum((velocity - path.state[:, 1]) ** 2, axis=1)
    has = np.isfinite(off)
    # The median of a sum of two squared normal deviates of variance v is 2 v ln 2.
    total = float(np.median(off[has])) / (2 * np.log(2))
    own = float(np.median(path.covariance[has, 1, 1]))
    return float(np.sqrt(max(total - own, MEASURED_VELOCITY_NOISE**2, 0.1 * total)))
