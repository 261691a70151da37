"""From a clean track to states: the order in which motion, height, wind, airspeed and bank are found."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import direction_of, unwrap, wrap, wrap_signed
from groundref.estimation import height_trade
from groundref.estimation.altimeter import check_setting, setting_said
from groundref.estimation.height import (
    Altitude,
    Elevation,
    Height,
    height_above_ground,
    on_ground,
    smoothed_altitude,
)
from groundref.estimation.motion import Motion, motion
from groundref.estimation.remarks import on_air, on_given_wind
from groundref.estimation.states import States
from groundref.estimation.wind import KNOWN_SD, NODE_INTERVAL, AirData, AirMotion, estimate_wind
from groundref.estimation.wind_value import largest_sd
from groundref.mechanics.airspeed import true_airspeed as true_from_calibrated
from groundref.mechanics.turn import bank_from_acceleration
from groundref.track.track import Track
from groundref.units import standard_gravity

Floats = NDArray[np.float64]

MEASURED_BANK_SD: Final = (
    0.015  # [rad] 0.9°, an attitude sensor's error in a turn; common practice, no source
)
UNKNOWN_CRAB_BANK_SD: Final = 0.02  # [rad] tan φ changes by 1/cos δ: 1° at 30° of bank and 15° of crab
MEASURED_AIRSPEED_SD: Final = 1.0  # [m s⁻¹] 2 kt, calibration included; common practice, no source
# What an indicated airspeed is made true with, where a light airplane can be: at the bounds it is subsonic.
INDICATED_RANGE: Final = (5.0, 150.0)  # [m s⁻¹]
ALTITUDE_RANGE: Final = (-1_000.0, 12_000.0)  # [m]
TEMPERATURE_RANGE: Final = (180.0, 335.0)  # [K] the records on the ground and in the air, and a little more


@dataclass(frozen=True, slots=True)
class Given:
    """What the user knows beforehand; all optional.

    Attributes
    ----------
    ground
        Elevation of the ground at the maneuver above mean sea level [m]
    elevation
        Ground elevation as a function of latitude and longitude [rad] → [m]
    wind
        East, north, standard deviation of the air's motion [m s⁻¹]
    one_throttle
        Stretches in which the throttle is left alone and height is traded for speed, as in eights on pylons:
        start and end [s]
    altimeter
        Setting to read pressure altitude with [Pa]
    """

    ground: float | None = None
    elevation: Elevation | None = None
    wind: tuple[float, float, float] | None = None
    one_throttle: tuple[tuple[float, float], ...] = ()
    altimeter: float | None = None


def estimate(track: Track, given: Given | None = None) -> States:
    """Estimate the airplane's motion, wind, airspeed, attitude and height at every sample of a track.

    Parameters
    ----------
    track
        The clean track.
    given
        What the user knows beforehand.

    Raises
    ------
    UsageError
        When the wind is not below the airspeed flown, or the altimeter setting is of no use here.
    """
    known = given or Given()
    if known.altimeter is not None:
        check_setting(track.recording, known.altimeter)
    moved = motion(track)
    velocity = moved.smoothed.state[:, 1]
    ground_speed = np.hypot(velocity[:, 0], velocity[:, 1])
    altitude = smoothed_altitude(track, known.altimeter)
    height, reason = height_above_ground(track, altitude, ground_speed, known.ground, known.elevation)
    airspeed = _measured_airspeed(track)
    data = _air_data(track, moved, altitude, ground_speed, airspeed, known.one_throttle)
    air = estimate_wind(data, known.wind)
    setting = () if known.altimeter is None else (setting_said(known.altimeter),)
    notes = (*setting, *on_given_wind(data, known.wind))
    states = _with_air(_moving(track, moved, altitude, height), track, air, airspeed)
    return replace(states, notes=(*notes, *((reason,) if reason else ()), *on_air(track, air)))


def _measured_airspeed(track: Track) -> Floats | None:
    """Return true airspeed as recorded, or from indicated airspeed where only that was recorded."""
    recording = track.recording
    if recording.true_airspeed is not None and np.isfinite(recording.true_airspeed).mean() > 0.5:
        return recording.true_airspeed
    altitude = (
        recording.altitude_pressure if recording.altitude_pressure is not None else recording.altitude_msl
    )
    indicated = recording.indicated_airspeed
    if indicated is None or altitude is None or np.isfinite(indicated).mean() <= 0.5:
        return None
    # A cell beyond what air, instrument or airplane can show is the recorder's fault and counts as missing.
    usable = _within(indicated, INDICATED_RANGE) & _within(altitude, ALTITUDE_RANGE)
    temperature = recording.temperature
    if temperature is not None:
        usable &= _within(temperature, TEMPERATURE_RANGE)
    true = np.full(len(track), np.nan)
    outside = None if temperature is None else temperature[usable]
    true[usable] = true_from_calibrated(indicated[usable], altitude[usable], outside)
    return true


def _within(values: Floats, bounds: tuple[float, float]) -> NDArray[np.bool_]:
    return np.asarray((values >= bounds[0]) & (values <= bounds[1]))


def _measured_heading(track: Track) -> Floats | None:
    recording = track.recording
    for heading in (recording.heading, recording.heading_magnetic):
        if heading is not None and np.isfinite(heading).mean() > 0.5:
            return heading
    return None


def _air_data(
    track: Track,
    moved: Motion,
    altitude: Altitude | None,
    ground_speed: Floats,
    airspeed: Floats | None,
    one_throttle: tuple[tuple[float, float], ...],
) -> AirData:
    step = max(1, int(np.ceil(NODE_INTERVAL / track.interval - 1e-9)))
    last_of_piece = np.append(np.diff(track.piece) != 0, True)
    node = np.flatnonzero((np.arange(len(track)) % step == 0) | last_of_piece)
    heading = _measured_heading(track)
    state, covariance = moved.smoothed.state, moved.smoothed.covariance
    acceleration = np.hypot(state[node, 2, 0], state[node, 2, 1])
    return AirData(
        time=track.time[node],
        piece=track.piece[node],
        velocity_east=state[node, 1, 0],
        velocity_north=state[node, 1, 1],
        velocity_sd=np.sqrt(covariance[node, 1, 1]),
        altitude=altitude.value[node] if altitude is not None else np.full(node.size, np.nan),
        height_step_sd=np.sqrt(2.0) * altitude.noise_sd if altitude is not None else 0.0,
        load_excess=np.minimum((acceleration / standard_gravity) ** 2, 4.0),
        flying=~on_ground(track, ground_speed)[node],
        one_throttle=height_trade.within(track.time[node], one_throttle),
        true_airspeed=None if airspeed is None else airspeed[node],
        heading=None if heading is None else heading[node],
    )


def _moving(track: Track, moved: Motion, altitude: Altitude | None, height: Height | None) -> States:
    """Return states with everything that needs no wind."""
    state, covariance = moved.smoothed.state, moved.smoothed.covariance
    east, north = state[:, 1, 0], state[:, 1, 1]
    speed = np.hypot(east, north)
    safe = np.maximum(speed, 1.0)
    unknown = np.full(len(track), np.nan)
    return States(
        time=track.time,
        piece=track.piece,
        east=state[:, 0, 0],
        north=state[:, 0, 1],
        velocity_east=east,
        velocity_north=north,
        acceleration_east=state[:, 2, 0],
        acceleration_north=state[:, 2, 1],
        position_sd=np.sqrt(covariance[:, 0, 0]),
        velocity_sd=np.sqrt(covariance[:, 1, 1]),
        acceleration_sd=np.sqrt(covariance[:, 2, 2]),
        ground_speed=speed,
        track=unwrap(direction_of(east, north)),
        track_rate=(state[:, 2, 0] * north - state[:, 2, 1] * east) / safe**2,
        altitude=None if altitude is None else altitude.value,
        altitude_sd=None if altitude is None else altitude.sd,
        altitude_datum=None if altitude is None else altitude.datum,
        vertical_speed=None if altitude is None else altitude.vertical_speed,
        height=None if height is None else height.value,
        height_sd=None if height is None else height.sd,
        height_source="" if height is None else height.source,
        wind_east=unknown,
        wind_north=unknown,
        wind_east_sd=unknown,
        wind_north_sd=unknown,
        wind_covariance=unknown,
        true_airspeed=unknown,
        true_airspeed_sd=unknown,
        airspeed_source="derived",
        airspeed_wander=float("nan"),
        heading=unknown,
        crab=unknown,
        bank=unknown,
        bank_sd=unknown,
        bank_source="derived",
        lateral_acceleration=track.recording.lateral_acceleration,
    )


def _with_air(states: States, track: Track, air: AirMotion, airspeed: Floats | None) -> States:
    """Add what follows from wind and airspeed: heading, crab, bank."""
    wind_east = np.interp(states.time, air.time, air.east)
    wind_north = np.interp(states.time, air.time, air.north)
    variance_east = np.interp(states.time, air.time, air.east_variance)
    variance_north = np.interp(states.time, air.time, air.north_variance)
    covariance = np.interp(states.time, air.time, air.covariance)
    known = largest_sd(variance_east, variance_north, covariance) <= KNOWN_SD

    air_east, air_north = states.velocity_east - wind_east, states.velocity_north - wind_north
    derived = np.hypot(air_east, air_north)
    measured_heading = _measured_heading(track)
    heading = wrap(direction_of(air_east, air_north))
    if measured_heading is not None and air.heading_offset is not None:
        steered = wrap(measured_heading + air.heading_offset)
        heading = np.where(np.isfinite(steered), steered, heading)
        has_heading = known | np.isfinite(steered)
    else:
        has_heading = known
    track_over_ground = wrap(states.track)
    across = np.where(has_heading, heading, track_over_ground)
    bank, bank_sd, bank_source = _bank(states, track, across, has_heading)
    east, north = np.sin(heading), np.cos(heading)
    along = variance_east * east**2 + variance_north * north**2 + 2.0 * covariance * east * north
    derived_sd = derived_airspeed_sd(along, states.velocity_sd, air.wander)
    return replace(
        states,
        wind_east=np.where(known, wind_east, np.nan),
        wind_north=np.where(known, wind_north, np.nan),
        wind_east_sd=np.sqrt(variance_east),
        wind_north_sd=np.sqrt(variance_north),
        wind_covariance=covariance,
        true_airspeed=np.where(known, derived, np.nan) if airspeed is None else airspeed,
        true_airspeed_sd=derived_sd if airspeed is None else np.full(len(track), MEASURED_AIRSPEED_SD),
        airspeed_source="derived" if airspeed is None else "measured",
        airspeed_wander=air.wander,
        heading=np.where(has_heading, heading, np.nan),
        crab=np.where(has_heading, wrap_signed(heading - track_over_ground), np.nan),
        bank=bank,
        bank_sd=bank_sd,
        bank_source=bank_source,
    )


def derived_airspeed_sd(wind_along: Floats, velocity_sd: Floats, wander: float) -> Floats:
    """Return the standard deviation of an airspeed derived from ground velocity and wind [m s⁻¹].

    With u the direction of the nose, V = u·(v − w): its error holds that of the wind along the heading and
    that of the ground velocity. The wind is the slow one; a gust goes into the real airspeed and not into
    this, and what of the wander is a gust nothing tells, so all of it belongs to the error.

    Parameters
    ----------
    wind_along
        Variance of the wind along the heading [m² s⁻²]
    velocity_sd
        Of the ground velocity, per axis [m s⁻¹]
    wander
        Of the airspeed within seconds, gusts included [m s⁻¹]
    """
    gusts = wander if np.isfinite(wander) else 0.0
    return np.sqrt(np.maximum(wind_along, 0.0) + velocity_sd**2 + gusts**2)


def _bank(
    states: States, track: Track, across: Floats, has_heading: NDArray[np.bool_]
) -> tuple[Floats, Floats, str]:
    """Return bank from the acceleration across the heading: a coordinated level turn has a = g tan φ.

    The bank that the recorder measured is used where there is one.
    """
    acceleration = states.acceleration_east * np.cos(across) - states.acceleration_north * np.sin(across)
    bank = bank_from_acceleration(acceleration)
    sd = states.acceleration_sd / standard_gravity * np.cos(bank) ** 2
    sd = np.where(has_heading, sd, np.hypot(sd, UNKNOWN_CRAB_BANK_SD))
    recorded = track.recording.bank
    if recorded is None or np.isfinite(recorded).mean() <= 0.5:
        return bank, sd, "derived"
    has = np.isfinite(recorded)
    return np.where(has, recorded, bank), np.where(has, MEASURED_BANK_SD, sd), "measured"
