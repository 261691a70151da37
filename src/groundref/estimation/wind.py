"""Wind and true airspeed along a flight: one posterior with one covariance, whatever was recorded.

Ground velocity g, wind w and true airspeed V obey |g − w| = V. With the unit heading û = (g − w)/|g − w| of
the current estimate this is linear, û·w + V = û·g, and repeating it is Gauss-Newton for the geometric circle
through the ground velocities: centre w, radius V. On a full circle flown at steady airspeed it reaches the
Cramér-Rao bound (sd(w) = σ√(2/N)), which is far below what really limits it:

**airspeed that wanders once a lap looks exactly like wind.** So V is not a constant here but a process, and
the wind's covariance contains what that process may do:

    V' = −(V − T)/τ − c (g/V) h' − k g (n² − 1) + noise,     T slowly wandering,     w slowly wandering,

that is: the airplane returns to its trim speed T with time constant τ (the ratio of kinetic energy to the
drag's slope), trades speed for height h (energy: c = 1 at fixed power, less where the pilot makes height with
power), and loses speed where it is banked, since induced drag grows with the square of the load factor n; c
and k are unknown constants with a prior. With the throttle left alone (eights on pylons) height is paid for
as in `height_trade`; in step with the lap that looks like wind, so c is held at its prior mean there and its
spread goes into the covariance. Heights and load factors are known from the recording, so this is taken out
rather than feared; headings flown in the minutes around and repeated laps enter by themselves, since all
samples of the flight are one chain. Steps of V that are far out of proportion (power changes) are
down-weighted as draws from a Student t distribution. The scale of the noise is found by
expectation-maximisation. What a pilot does in step with the lap for other reasons remains invisible: a share
`HARMONIC` of the wander that was found is added to the wind's covariance for it.

Recorded airspeed is one more equation V(1 + ε) = measured, recorded heading one more: the air velocity has no
component across it, up to an offset β; ε and β are unknown constants with a prior.

Too little change of heading leaves the covariance large; `KNOWN_SD` says from where on the wind is unknown.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import difference
from groundref.estimation import height_trade
from groundref.mechanics.block_tridiagonal import ChainFactor, factor
from groundref.units import standard_gravity

Floats = NDArray[np.float64]

# [s] The airplane alone takes V/(2 g · drag/weight) ≈ 25 s; a pilot who tends power or pitch is quicker.
# Found on the development block of independently simulated flights; no source.
RELAXATION: Final = 7.0
INDUCED: Final = (0.03, 0.02)  # induced drag over weight in level flight, and how far airplanes differ
TRADED: Final = (0.8, 0.35)  # share of a change of height that is paid for with speed, the rest with power
AIRSPEED_WANDER: Final = 0.9  # [m s⁻¹] first guess of the airspeed's wander about trim
WANDER_BOUNDS: Final = (0.3, 3.0)  # [m s⁻¹] nobody holds it better than to half a knot
TRIM_DRIFT: Final = 1.0 / 30.0  # [m² s⁻³] the trim speed wanders 3 kt in a minute
WIND_DRIFT: Final = 4.0e-4  # [m² s⁻³] the wind at one height wanders 1 kt in ten minutes
WIND_SHEAR: Final = 0.0133  # [m² s⁻² per m] and 4 kt over 1,000 ft of climb or descent
SHEAR_CLIMB: Final = 1.5  # [m s⁻¹] climbs slower than that are wander about one height
HARMONIC: Final = 0.5  # of the wander: airspeed in step with the lap that nothing recorded tells
MEASURED_HARMONIC: Final = 0.1  # and what is left of it where airspeed was recorded
WIND_PRIOR: Final = 12.0  # [m s⁻¹] per component
SPEED_PRIOR: Final = 25.0  # [m s⁻¹]
STUDENT: Final = 4.0  # degrees of freedom of the airspeed's steps
GIVEN_HELD: Final = 1e-4  # [m s⁻¹] a given wind is used as it is, whatever the recording says
KNOWN_SD: Final = 2.0  # [m s⁻¹] a wind with more than 4 kt of uncertainty is not told
NODE_INTERVAL: Final = 3.0  # [s] errors of smoothed velocity are independent from about here on
AIRSPEED_NOISE: Final = (0.1, 0.3, 2.0)  # [m s⁻¹] a recorded airspeed, moment by moment: least, guess, most
AIRSPEED_SCALE_SD: Final = 0.03  # of position error and calibration
HEADING_NOISE: Final = (0.01, 0.03, 0.2)  # [rad] a recorded heading and sideslip, likewise
HEADING_OFFSET_SD: Final = 0.26  # [rad] variation and mounting: 15°
COARSE_STEP: Final = 3  # the first iterations use every third node
COARSE_ITERATIONS: Final = 4
ITERATIONS: Final = 2

_EAST, _NORTH, _SPEED, _TRIM, _INDUCED, _TRADED, _SCALE, _OFFSET = range(8)


@dataclass(frozen=True, slots=True)
class AirData:
    """What is known at the nodes of the chain, arrays of one length.

    Attributes
    ----------
    time
        [s]
    piece
        Number of the gapless piece.
    velocity_east, velocity_north, velocity_sd
        Smoothed ground velocity and its standard deviation per axis [m s⁻¹]
    height_step_sd
        Standard deviation of the change of altitude since the node before [m]
    altitude
        NaN where not known [m]
    load_excess
        n² − 1 from the horizontal acceleration.
    flying
        Where the airplane flies; elsewhere nothing is learnt.
    one_throttle
        Where the throttle is left alone and height is traded for speed.
    true_airspeed, heading
        As measured, None when not; NaN where missing [m s⁻¹], [rad]
    airspeed_noise, heading_noise
        Standard deviations of their errors from moment to moment [m s⁻¹], [rad]
    """

    time: Floats
    piece: NDArray[np.int64]
    velocity_east: Floats
    velocity_north: Floats
    velocity_sd: Floats
    altitude: Floats
    height_step_sd: float
    load_excess: Floats
    flying: NDArray[np.bool_]
    one_throttle: NDArray[np.bool_]
    true_airspeed: Floats | None
    heading: Floats | None
    airspeed_noise: float = AIRSPEED_NOISE[1]
    heading_noise: float = HEADING_NOISE[1]


@dataclass(frozen=True, slots=True)
class AirMotion:
    """Wind and true airspeed at the nodes.

    Attributes
    ----------
    time
        [s]
    piece
        Number of the gapless piece.
    east, north
        Velocity of the air, where it moves *to* [m s⁻¹]
    east_variance, north_variance, covariance
        [m² s⁻²]
    true_airspeed, true_airspeed_sd
        [m s⁻¹]
    wander
        Scale found for the airspeed's wander about its trim [m s⁻¹]
    heading_offset
        β, None when no heading was recorded [rad]
    airspeed_scale
        ε, None when no airspeed was recorded.
    """

    time: Floats
    piece: NDArray[np.int64]
    east: Floats
    north: Floats
    east_variance: Floats
    north_variance: Floats
    covariance: Floats
    true_airspeed: Floats
    true_airspeed_sd: Floats
    wander: float
    heading_offset: float | None
    airspeed_scale: float | None


@dataclass(frozen=True, slots=True)
class _Steps:
    """The process between nodes: x' = F x with independent noise of the given precision."""

    transition: Floats
    precision: Floats


def estimate_wind(data: AirData, given: tuple[float, float, float] | None = None) -> AirMotion:
    """Estimate wind and true airspeed along a flight.

    Parameters
    ----------
    data
        What is known at the nodes.
    given
        A wind known beforehand: east, north, standard deviation [m s⁻¹]
    """
    size = 8 if data.true_airspeed is not None or data.heading is not None else 6
    speed = np.hypot(data.velocity_east, data.velocity_north)
    usual = float(np.median(speed[data.flying])) if data.flying.any() else float(np.median(speed))
    coarse = _every(data, COARSE_STEP)
    state = np.zeros((coarse.time.size, size))
    state[:, _SPEED] = state[:, _TRIM] = usual
    state[:, _INDUCED], state[:, _TRADED] = INDUCED[0], TRADED[0]
    if given is not None:
        state[:, _EAST], state[:, _NORTH] = given[:2]
    wander = AIRSPEED_WANDER
    weight = np.ones(coarse.time.size - 1)
    for _ in range(COARSE_ITERATIONS):
        state, _, wander, weight = _iterate(coarse, state, wander, weight, usual, given)
    state = np.column_stack([np.interp(data.time, coarse.time, column) for column in state.T])
    data = _with_noise(data, state)
    weight = np.interp(data.time[1:], coarse.time[1:], weight) if weight.size else np.ones(data.time.size - 1)
    for _ in range(ITERATIONS):
        state, covariance, wander, weight = _iterate(data, state, wander, weight, usual, given)
    share = HARMONIC if data.true_airspeed is None else MEASURED_HARMONIC
    extra = (wander * share) ** 2 + (height_trade.HIDDEN * data.one_throttle) ** 2
    if given is not None:
        extra = np.full(data.time.size, given[2] ** 2)
    return AirMotion(
        time=data.time,
        piece=data.piece,
        east=state[:, _EAST],
        north=state[:, _NORTH],
        east_variance=covariance[:, _EAST, _EAST] + extra,
        north_variance=covariance[:, _NORTH, _NORTH] + extra,
        covariance=covariance[:, _EAST, _NORTH],
        true_airspeed=state[:, _SPEED],
        true_airspeed_sd=np.sqrt(covariance[:, _SPEED, _SPEED] + extra),
        wander=wander,
        heading_offset=float(np.median(state[:, _OFFSET])) if data.heading is not None else None,
        airspeed_scale=float(np.median(state[:, _SCALE])) if data.true_airspeed is not None else None,
    )


def _every(data: AirData, step: int) -> AirData:
    """Return every ``step``-th node, the first and last of each piece included."""
    cut = np.diff(data.piece) != 0
    ends = np.append(cut, True) | np.concatenate([[True], cut])
    node = np.flatnonzero(ends | (np.arange(data.time.size) % step == 0))
    picked: dict[str, Any] = {
        field.name: value[node]
        for field in fields(data)
        if isinstance(value := getattr(data, field.name), np.ndarray)
    }
    return replace(data, **picked)


def _with_noise(data: AirData, state: Floats) -> AirData:
    """Return the data with the noise of airspeed and heading as they scatter about a first solution."""
    east, north = data.velocity_east - state[:, _EAST], data.velocity_north - state[:, _NORTH]
    if data.true_airspeed is not None:
        off = data.true_airspeed / (1.0 + state[:, _SCALE]) - np.hypot(east, north)
        data = replace(data, airspeed_noise=_scatter(off[data.flying], AIRSPEED_NOISE))
    if data.heading is not None:
        turn = difference(data.heading + state[:, _OFFSET], np.arctan2(east, north))
        data = replace(data, heading_noise=_scatter(turn[data.flying], HEADING_NOISE))
    return data


def _scatter(off: Floats, bounds: tuple[float, float, float]) -> float:
    """Return a robust standard deviation within bounds: 1.4826 times the median absolute deviation."""
    off = off[np.isfinite(off)]
    if off.size < 8:
        return bounds[1]
    return float(np.clip(1.4826 * np.median(np.abs(off - np.median(off))), bounds[0], bounds[2]))


def _iterate(
    data: AirData,
    state: Floats,
    wander: float,
    weight: Floats,
    usual: float,
    given: tuple[float, float, float] | None,
) -> tuple[Floats, Floats, float, Floats]:
    """Solve once about ``state``; return state, covariance, and the scale and weights for the next time."""
    steps = _steps(data, state, wander, weight, given is not None)
    chain, right = _posterior(data, state, steps, usual, given)
    # Beside the solution, how it goes with the share that is held, the same for all stretches.
    by_share = np.zeros_like(right)
    by_share[height_trade.bounds(data.one_throttle)[0], _TRADED] = (
        height_trade.SHARE[1] / height_trade.HELD**2
    )
    solved = chain.solve(np.concatenate([right, by_share], axis=2))
    state = solved[..., 0]
    covariance, beside = chain.covariances()
    wander, weight = _scale(data, state, covariance, beside, steps, wander)
    covariance = covariance + solved[:, :, None, 1] * solved[:, None, :, 1]
    return state, covariance, wander, weight


def _steps(data: AirData, state: Floats, wander: float, weight: Floats, fixed: bool) -> _Steps:
    step = np.diff(data.time)
    count, size = step.size, state.shape[1]
    stay = np.exp(-step / RELAXATION)
    speed = np.maximum(state[:-1, _SPEED], 10.0)
    climb = np.nan_to_num(np.diff(data.altitude))

    transition = np.zeros((count, size, size))
    transition[:, range(size), range(size)] = 1.0
    transition[:, _SPEED, _SPEED] = stay
    transition[:, _SPEED, _TRIM] = 1.0 - stay
    load = 0.5 * (data.load_excess[1:] + data.load_excess[:-1])
    transition[:, _SPEED, _INDUCED] = -standard_gravity * load * RELAXATION * (1.0 - stay)
    answered = -standard_gravity / speed * climb * 0.5 * (1.0 + stay)
    paid = height_trade.gained(data.time, data.piece, climb, speed)
    alone = data.one_throttle[1:] & data.one_throttle[:-1]
    transition[:, _SPEED, _TRADED] = np.where(alone, paid[1:] - stay * paid[:-1], answered)

    shear = WIND_SHEAR * np.abs(climb) * (np.abs(climb) > SHEAR_CLIMB * step)
    wind = np.full(count, 1e-12) * step if fixed else WIND_DRIFT * step + shear
    variance = np.empty((count, size))
    variance[:, _EAST] = variance[:, _NORTH] = wind
    traded = (standard_gravity / speed * data.height_step_sd) ** 2
    variance[:, _SPEED] = wander**2 * (1.0 - stay**2) / weight + traded
    variance[:, _TRIM] = TRIM_DRIFT * step / weight
    variance[:, _INDUCED:] = 1e-10 * step[:, None]
    precision = 1.0 / variance
    precision[np.diff(data.piece) != 0] = 0.0
    precision[np.diff(data.one_throttle), _TRADED] = 0.0
    return _Steps(transition, precision)


def _posterior(
    data: AirData, state: Floats, steps: _Steps, usual: float, given: tuple[float, float, float] | None
) -> tuple[ChainFactor, Floats]:
    count, size = state.shape
    pulled = np.swapaxes(steps.transition, 1, 2) * steps.precision[:, None, :]
    diagonal = np.zeros((count, size, size))
    diagonal[:-1] += pulled @ steps.transition
    diagonal[1:, range(size), range(size)] += steps.precision
    right = np.zeros((count, size))

    start = np.concatenate([[True], np.diff(data.piece) != 0])
    mean, sd = _prior(size, usual, given)
    diagonal[start] += np.diag(sd**-2)
    right[start] += mean * sd**-2

    begins, ends = height_trade.bounds(data.one_throttle)
    for node, (share, spread) in ((begins, (height_trade.SHARE[0], height_trade.HELD)), (ends, TRADED)):
        diagonal[node, _TRADED, _TRADED] += spread**-2
        right[node, _TRADED] += share * spread**-2

    for row, value, variance in _equations(data, state):
        precision = np.where(np.isfinite(value), 1.0 / variance, 0.0)
        weighted = row * precision[:, None]
        diagonal += weighted[:, :, None] * row[:, None, :]
        right += weighted * np.nan_to_num(value)[:, None]
    return factor(diagonal, -pulled), right[..., None]


def _prior(size: int, usual: float, given: tuple[float, float, float] | None) -> tuple[Floats, Floats]:
    mean = np.array([0.0, 0.0, usual, usual, INDUCED[0], TRADED[0], 0.0, 0.0])
    constants = [INDUCED[1], TRADED[1], AIRSPEED_SCALE_SD, HEADING_OFFSET_SD]
    sd = np.array([WIND_PRIOR, WIND_PRIOR, SPEED_PRIOR, SPEED_PRIOR, *constants])
    if given is not None:
        mean[:2] = given[:2]
        sd[:2] = GIVEN_HELD
    return mean[:size], sd[:size]


def _equations(data: AirData, state: Floats) -> list[tuple[Floats, Floats, Floats]]:
    """Return the observation equations row · x = value, each with its variance, linear about ``state``."""
    count, size = state.shape
    air_east, air_north = data.velocity_east - state[:, _EAST], data.velocity_north - state[:, _NORTH]
    airspeed = np.maximum(np.hypot(air_east, air_north), 1.0)
    unit_east, unit_north = air_east / airspeed, air_north / airspeed
    row = np.zeros((count, size))
    row[:, _EAST], row[:, _NORTH], row[:, _SPEED] = unit_east, unit_north, 1.0
    along = unit_east * data.velocity_east + unit_north * data.velocity_north
    equations = [(row, np.where(data.flying, along, np.nan), data.velocity_sd**2)]
    if data.true_airspeed is not None:
        row = np.zeros((count, size))
        row[:, _SPEED] = 1.0 + state[:, _SCALE]
        row[:, _SCALE] = state[:, _SPEED]
        # (1 + ε)V is bilinear: its linearisation about (ε̂, V̂) leaves ε̂V̂ on the other side.
        value = data.true_airspeed + state[:, _SCALE] * state[:, _SPEED]
        equations.append((row, np.where(data.flying, value, np.nan), np.full(count, data.airspeed_noise**2)))
    if data.heading is not None:
        true_heading = data.heading + state[:, _OFFSET]
        right_east, right_north = np.cos(true_heading), -np.sin(true_heading)
        row = np.zeros((count, size))
        row[:, _EAST], row[:, _NORTH] = right_east, right_north
        # A small further turn of the nose by δβ moves the air velocity's right component by −V δβ.
        row[:, _OFFSET] = airspeed
        value = (
            right_east * data.velocity_east + right_north * data.velocity_north + airspeed * state[:, _OFFSET]
        )
        variance = (data.heading_noise * airspeed) ** 2 + data.velocity_sd**2
        equations.append((row, np.where(data.flying, value, np.nan), variance))
    return equations


def _scale(
    data: AirData, state: Floats, covariance: Floats, beside: Floats, steps: _Steps, wander: float
) -> tuple[float, Floats]:
    """Return the next scale of the airspeed's wander and the weights of its steps (Student t, by EM)."""
    row = steps.transition[:, _SPEED]
    innovation = state[1:, _SPEED] - np.sum(row * state[:-1], axis=1)
    pulled = np.einsum("ni,nij->nj", row, covariance[:-1])
    spread = (
        covariance[1:, _SPEED, _SPEED]
        + np.sum(pulled * row, axis=1)
        - 2.0 * np.sum(row * beside[:, :, _SPEED], axis=1)
    )
    square = innovation**2 + np.maximum(spread, 0.0)
    unit = 1.0 - np.exp(-2.0 * np.diff(data.time) / RELAXATION)
    weight = (STUDENT + 1.0) / (STUDENT + square / (wander**2 * unit))
    used = data.flying[1:] & data.flying[:-1] & (np.diff(data.piece) == 0)
    if not used.any():
        return wander, weight
    found = float(np.sqrt(np.mean((weight * square / unit)[used])))
    return float(np.clip(found, *WANDER_BOUNDS)), np.minimum(weight, 1.0)
