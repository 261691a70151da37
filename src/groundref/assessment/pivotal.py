"""Eights on pylons as flown: height and pivotal height, the pylon and the wing line, the ways between.

The pivotal height is that of the airspeed and heading of the moment, V·G·cos(crab)/g, not of an airspeed that
was meant. Where the pylon stood is taken from position, heading, bank and height; without a height above the
pylon from position and heading alone, as the angle ahead of abeam. Nose up or down tilts the wing line, which
no recording of positions shows: it is kept as a standard deviation.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import difference, quarter_turn
from groundref.assessment.assessed import Profile
from groundref.assessment.details import PivotalFlown, Segment
from groundref.detection.maneuver import Lap, Maneuver
from groundref.detection.pylon_eight import settled
from groundref.detection.traded import AirMotion, as_estimated
from groundref.estimation.height import ABOVE_SEA, above_sea_sd
from groundref.estimation.states import States
from groundref.mechanics.pylon import handbook_height, pivotal_height_from_velocity, pivotal_height_sd
from groundref.mechanics.pylon_sight import ahead_of_abeam, pylon_from_wing
from groundref.units import degree

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

# [rad]  bank below which wings count as level; one derived from positions is smoothed and rolls more slowly.
# At 5.5° the time between is right on the average of flights in six degrees of freedom, at 6.5° 0.3 s long.
LEVEL: Final = {"measured": 5.0 * degree, "derived": 5.5 * degree}
PITCH_SD: Final = 2.0 * degree  # [rad]  nose off level, which tilts the wing line by tan(bank) times as much
sure: Final = 1.96  # standard deviations below the ground from which the elevation given is wrong
SURE_WIND: Final = 3.0  # standard deviations the wind must be to have a direction


def pivotal_flown(states: States, maneuver: Maneuver, profile: Profile) -> PivotalFlown:
    """Return how the wing was held on the pylons.

    Parameters
    ----------
    states, maneuver, profile
        What was flown.
    """
    samples = slice(maneuver.first, maneuver.last + 1)
    air = as_estimated(states, maneuver.first, maneuver.last)
    counted = in_loops(states, maneuver)
    height, height_sd = _height(states, maneuver, profile)
    pivotal, pivotal_sd = _pivotal(states, samples, air)
    ahead, ahead_sd = _ahead(states, maneuver, profile, air, height)

    def known(values: Floats) -> Floats:
        return np.where(counted, values, np.nan)

    return PivotalFlown(
        height=None if height is None else known(height),
        height_sd=None if height_sd is None else known(height_sd),
        pivotal=known(pivotal),
        pivotal_sd=known(pivotal_sd),
        handbook=known(handbook_height(states.ground_speed[samples])),
        ahead=known(ahead),
        ahead_sd=known(ahead_sd),
        segments=_segments(states, maneuver),
        first_into_wind=_first_into_wind(maneuver),
    )


def in_loops(states: States, maneuver: Maneuver) -> Bools:
    """Return which of the maneuver's samples lie in a loop, between rolling in and rolling out."""
    inside = np.zeros(maneuver.last - maneuver.first + 1, dtype=np.bool_)
    for lap in maneuver.laps:
        index = settled(states, lap.start, lap.end) - maneuver.first
        inside[index[(index >= 0) & (index < inside.size)]] = True
    return inside


def _height(states: States, maneuver: Maneuver, profile: Profile) -> tuple[Floats | None, Floats | None]:
    """Return the height above the pylon turned about, and its sd; None where no ground is known [m]."""
    samples, elevations = slice(maneuver.first, maneuver.last + 1), maneuver.reference.elevations
    if elevations and states.altitude is not None and states.altitude_datum in ABOVE_SEA:
        of_loop = np.array([np.nan, *(elevations[n % len(elevations)] for n in range(len(maneuver.laps)))])
        sd = np.zeros(profile.lap.size) if states.altitude_sd is None else states.altitude_sd[samples]
        height = states.altitude[samples] - of_loop[profile.lap]
        height_sd = np.hypot(sd, above_sea_sd(states.altitude_datum, height))
        return (None, None) if bool(np.any(height + sure * height_sd < 0.0)) else (height, height_sd)
    if states.height is None or states.height_sd is None:
        return None, None
    height, sd = states.height[samples], states.height_sd[samples]
    if not np.isfinite(height).any() or bool(np.any(height < 0.0)):
        return None, None
    return height, sd


def _pivotal(states: States, samples: slice, air: AirMotion) -> tuple[Floats, Floats]:
    """Return the exact pivotal height and its standard deviation [m]."""
    motion = (states.velocity_east[samples], states.velocity_north[samples], air.wind_east, air.wind_north)
    size = motion[0].size
    covariance = np.zeros((size, 4, 4))
    covariance[:, 0, 0] = covariance[:, 1, 1] = states.velocity_sd[samples] ** 2
    covariance[:, 2:, 2:] = air.covariance
    return pivotal_height_from_velocity(*motion), pivotal_height_sd(*motion, covariance)


def _ahead(
    states: States, maneuver: Maneuver, profile: Profile, air: AirMotion, height: Floats | None
) -> tuple[Floats, Floats]:
    """Return the angle of the pylon ahead of the wing line and its standard deviation [rad].

    A place that is uncertain by σ turns the line to it by σ/d, a wind that is by σ_w the heading by σ_w/V,
    and the nose off level by θ the wing line by tan(bank)·θ.
    """
    samples = slice(maneuver.first, maneuver.last + 1)
    about = np.array([(np.nan, np.nan), *((lap.about_east, lap.about_north) for lap in maneuver.laps)])
    east = about[profile.lap, 0] - states.east[samples]
    north = about[profile.lap, 1] - states.north[samples]
    bank = states.bank[samples]
    if height is None:
        ahead = ahead_of_abeam(east, north, air.heading, profile.turn)
    else:
        ahead, _ = pylon_from_wing(east, north, height, air.heading, bank, profile.turn)
    position = np.hypot(states.position_sd[samples], maneuver.reference.sd) / np.hypot(east, north)
    heading = np.sqrt(np.linalg.eigvalsh(air.covariance)[-1]) / air.airspeed
    track = states.velocity_sd[samples] / air.airspeed
    tilt = PITCH_SD * np.abs(np.tan(bank))
    return ahead, np.sqrt(position**2 + heading**2 + track**2 + tilt**2)


def _segments(states: States, maneuver: Maneuver) -> tuple[Segment, ...]:
    """Return the straight stretches between the loops: wings level after one roll and before the next."""
    return tuple(_segment(states, one, other) for one, other in pairwise(maneuver.laps))


def _segment(states: States, before: Lap, after: Lap) -> Segment:
    middle = 0.5 * (before.end + after.start)
    start = _level_from(states, before, middle)
    end = -_level_from(states, after, -middle)
    if end <= start:
        return Segment(middle, middle, 0.0)
    time = np.linspace(start, end, 20)
    track = np.interp(time, states.time, states.track)
    return Segment(start, end, float(np.std(track)))


def _level_from(states: States, lap: Lap, middle: float) -> float:
    """Return when the bank passed `LEVEL` last before a time; time runs back where it is negative."""
    way, level = 1.0 if middle > 0.0 else -1.0, LEVEL[states.bank_source]
    clock = way * states.time
    inside = np.flatnonzero((clock <= middle) & (clock >= middle - 30.0))
    inside = inside[np.argsort(clock[inside])]
    bank = np.sign(lap.turn) * states.bank[inside]
    banked = np.flatnonzero(bank > level)
    if banked.size == 0 or banked[-1] + 1 >= inside.size:
        return middle
    at = int(banked[-1])
    part = float((bank[at] - level) / (bank[at] - bank[at + 1]))
    one, other = clock[inside[at]], clock[inside[at + 1]]
    return float(one + part * (other - one))


def _first_into_wind(maneuver: Maneuver) -> float:
    """Return the angle between where the first turn leads, square to the entry, and straight upwind [rad]."""
    wind = maneuver.wind
    if wind is None or wind.speed < SURE_WIND * wind.speed_sd:
        return float("nan")
    side = 1.0 if maneuver.laps[0].turn > 0.0 else -1.0
    toward = maneuver.entry.track + side * quarter_turn
    return float(np.abs(difference(toward, wind.direction_from)))
