"""Recorders with their real flaws: what a phone, the panel or a receiver on the ground makes of a flight.

The figures are round ones for equipment in good order (common practice, no source), except the steps of the
ADS-B message, which are those of its standard: whole knots of velocity east and north, 25 ft of pressure
altitude, 64 ft/min of vertical rate, 17 bits for 6° of latitude (RTCA DO-260B, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

from groundref.angles import full_turn, wrap
from groundref.errors import UsageError
from groundref.mechanics import airspeed as airspeeds
from groundref.mechanics import atmosphere
from groundref.simulation.truth import Truth
from groundref.track.recording import Recording
from groundref.units import degree, foot, foot_per_minute, hectopascal, knot, standard_gravity

Floats = NDArray[np.float64]
Chance = np.random.Generator


@dataclass(frozen=True, slots=True)
class Day:
    """The day's air and magnetism.

    Attributes
    ----------
    altimeter_setting
        QNH [Pa]
    warmer
        Temperature above the standard one at each height [K]
    variation
        Magnetic variation, east positive; an invented round value near that of the practice area [rad]
    geoid
        Height of mean sea level above the WGS 84 ellipsoid there, from memory [m]
    """

    altimeter_setting: float = 1004.6 * hectopascal
    warmer: float = 7.0
    variation: float = -1.5 * degree
    geoid: float = -33.0

    def temperature(self, truth: Truth, time: Floats) -> Floats:
        """Return the outside air temperature [K]."""
        return atmosphere.temperature(truth.at("altitude", time)) + self.warmer

    def pressure_altitude(self, truth: Truth, time: Floats) -> Floats:
        """Return the pressure altitude; in warm air the levels of pressure lie further apart [m]."""
        field = float(
            atmosphere.pressure_altitude_from_indicated(truth.ground_elevation, self.altimeter_setting)
        )
        standard = atmosphere.temperature(truth.at("altitude", time))
        return field + truth.at("height", time) * standard / (standard + self.warmer)


class Recorder(Protocol):
    """Makes a recording of a true flight."""

    def record(self, truth: Truth, chance: Chance) -> Recording:
        """Return what the recorder wrote."""


@dataclass(frozen=True, slots=True)
class Phone:
    """A phone with satellite positioning, carried in the cockpit.

    Attributes
    ----------
    interval
        Time between samples [s]
    drift_sd, drift_time
        Slowly wandering error of position on each axis [m], [s]
    white_sd
        Error of position from sample to sample on each axis [m]
    height_offset_sd, height_drift_sd, height_drift_time, height_white_sd
        The same of height, with a fixed part [m], [s]
    lost
        Share of samples lost.
    repeated
        Share of samples written twice.
    gap
        Length of one gap outside the maneuver; 0 for none [s]
    """

    interval: float = 1.0
    drift_sd: float = 2.5
    drift_time: float = 120.0
    white_sd: float = 0.4
    height_offset_sd: float = 3.0
    height_drift_sd: float = 5.0
    height_drift_time: float = 300.0
    height_white_sd: float = 0.5
    lost: float = 0.002
    repeated: float = 0.001
    gap: float = 8.0

    def record(self, truth: Truth, chance: Chance) -> Recording:
        """Return what the phone wrote."""
        time = _written(_clock(truth, self.interval), self, truth, chance)
        off_east, off_north = (
            wandering(time, self.drift_sd, self.drift_time, chance)
            + chance.normal(0.0, self.white_sd, time.size)
            for _ in range(2)
        )
        latitude, longitude = _place(truth, time, off_east, off_north)
        height_error = (
            chance.normal(0.0, self.height_offset_sd)
            + wandering(time, self.height_drift_sd, self.height_drift_time, chance)
            + chance.normal(0.0, self.height_white_sd, time.size)
        )
        kept = _with_repeats(time.size, self.repeated, chance)
        return Recording(
            source="simulated phone",
            format="simulated",
            epoch=truth.epoch,
            time=time[kept],
            latitude=_stepped(latitude, 1e-7 * degree)[kept],
            longitude=_stepped(longitude, 1e-7 * degree)[kept],
            altitude_msl=_stepped(truth.at("altitude", time) + height_error, 0.1)[kept],
        )


@dataclass(frozen=True, slots=True)
class Avionics:
    """The panel's own log.

    Attributes
    ----------
    interval
        Time between samples [s]
    day
        The day's air and magnetism.
    drift_sd, drift_time, white_sd
        Errors of position on each axis [m], [s], [m]
    altitude_sd
        Slowly wandering error of altitude [m]
    airspeed_bias_sd, airspeed_white_sd
        Errors of indicated airspeed: one for the flight, one a sample [m s⁻¹]
    attitude_bias_sd, attitude_white_sd
        The same of bank and pitch [rad]
    heading_bias_sd
        Error of magnetic heading for the flight [rad]
    acceleration_bias_sd, acceleration_white_sd
        Errors of the accelerometers [m s⁻²]
    incidence
        Angle of attack at the mean airspeed in level flight [rad]
    """

    interval: float = 1.0
    day: Day = Day()
    drift_sd: float = 1.5
    drift_time: float = 120.0
    white_sd: float = 0.2
    altitude_sd: float = 3.0
    airspeed_bias_sd: float = 0.7 * knot
    airspeed_white_sd: float = 0.3 * knot
    attitude_bias_sd: float = 0.4 * degree
    attitude_white_sd: float = 0.15 * degree
    heading_bias_sd: float = 0.7 * degree
    acceleration_bias_sd: float = 0.006 * standard_gravity
    acceleration_white_sd: float = 0.012 * standard_gravity
    incidence: float = 3.5 * degree

    def record(self, truth: Truth, chance: Chance) -> Recording:
        """Return what the panel wrote."""
        time = _clock(truth, self.interval)
        errors = [
            wandering(time, self.drift_sd, self.drift_time, chance)
            + chance.normal(0.0, self.white_sd, time.size)
            for _ in range(2)
        ]
        latitude, longitude = _place(truth, time, errors[0], errors[1])
        altitude = truth.at("altitude", time) + wandering(time, self.altitude_sd, 300.0, chance)
        pressure = self.day.pressure_altitude(truth, time)
        temperature = _stepped(self.day.temperature(truth, time), 0.5)
        indicated, true = self._airspeeds(truth, time, pressure, temperature, chance)
        lateral, normal = self._accelerations(truth, time, chance)
        return Recording(
            source="simulated avionics",
            format="simulated",
            epoch=truth.epoch,
            time=time,
            latitude=_stepped(latitude, 1e-7 * degree),
            longitude=_stepped(longitude, 1e-7 * degree),
            altitude_msl=_stepped(altitude, foot),
            altitude_pressure=_stepped(pressure, foot),
            ground_speed=_stepped(truth.at("ground_speed", time), 0.1 * knot),
            track=wrap(_stepped(truth.at("track", time), 0.1 * degree)),
            vertical_speed=_stepped(truth.at("climb", time), 10 * foot_per_minute),
            true_airspeed=true,
            indicated_airspeed=indicated,
            heading_magnetic=self._heading(truth, time, chance),
            bank=self._attitude(truth.at("bank", time), chance),
            pitch=self._attitude(self._pitch(truth, time), chance),
            lateral_acceleration=lateral,
            normal_acceleration=normal,
            temperature=temperature,
        )

    def _airspeeds(
        self, truth: Truth, time: Floats, pressure: Floats, temperature: Floats, chance: Chance
    ) -> tuple[Floats, Floats]:
        """Return indicated airspeed as sensed, and the true airspeed the panel computes from it [m s⁻¹]."""
        calibrated = airspeeds.calibrated_airspeed(truth.at("true_airspeed", time), pressure, temperature)
        sensed = calibrated + chance.normal(0.0, self.airspeed_bias_sd)
        sensed = np.maximum(sensed + chance.normal(0.0, self.airspeed_white_sd, time.size), 0.0)
        true = airspeeds.true_airspeed(sensed, pressure, temperature)
        return _stepped(sensed, 0.1 * knot), _stepped(true, 0.1 * knot)

    def _heading(self, truth: Truth, time: Floats, chance: Chance) -> Floats:
        magnetic = truth.at("heading", time) - self.day.variation + chance.normal(0.0, self.heading_bias_sd)
        return wrap(_stepped(magnetic, 0.1 * degree))

    def _attitude(self, angle: Floats, chance: Chance) -> Floats:
        error = chance.normal(0.0, self.attitude_bias_sd)
        return _stepped(angle + error + chance.normal(0.0, self.attitude_white_sd, angle.size), 0.01 * degree)

    def _pitch(self, truth: Truth, time: Floats) -> Floats:
        """Return pitch: climb angle, and an angle of attack that follows lift over speed squared [rad]."""
        speed = np.maximum(truth.at("true_airspeed", time), 1.0)
        flying = truth.at("on_ground", time) < 0.5
        reference = float(np.median(truth.true_airspeed[~truth.on_ground]))
        attack = self.incidence * truth.at("load_factor", time) * (reference / speed) ** 2
        climb = np.arctan2(truth.at("climb", time), speed)
        return np.where(flying, climb + attack * np.cos(truth.at("bank", time)), 2.0 * degree)

    def _accelerations(self, truth: Truth, time: Floats, chance: Chance) -> tuple[Floats, Floats]:
        """Return specific forces along the right wing and upward [m s⁻²]."""
        sideways = truth.at("lateral_acceleration", time)
        upward = truth.at("load_factor", time) * standard_gravity
        read = [
            _stepped(
                force
                + chance.normal(0.0, self.acceleration_bias_sd)
                + chance.normal(0.0, self.acceleration_white_sd, time.size),
                0.001 * standard_gravity,
            )
            for force in (sideways, upward)
        ]
        return read[0], read[1]


@dataclass(frozen=True, slots=True)
class Adsb:
    """A receiver on the ground that hears the airplane's ADS-B.

    Attributes
    ----------
    interval
        Mean time between state vectors [s]
    spread
        Shortest and longest time between two, over the mean.
    day
        The day's air.
    drift_sd, drift_time
        Error of position on each axis [m], [s]
    velocity_sd
        Error of each velocity component before rounding [m s⁻¹]
    """

    interval: float = 1.2
    spread: tuple[float, float] = (0.42, 2.5)
    day: Day = Day()
    drift_sd: float = 1.5
    drift_time: float = 120.0
    velocity_sd: float = 0.1

    def record(self, truth: Truth, chance: Chance) -> Recording:
        """Return what the receiver wrote."""
        time = self._times(truth, chance)
        errors = [wandering(time, self.drift_sd, self.drift_time, chance) for _ in range(2)]
        latitude, longitude = _place(truth, time, errors[0], errors[1])
        latitude, longitude = _compact(latitude, longitude)
        east, north = (
            _stepped(truth.at(name, time) + chance.normal(0.0, self.velocity_sd, time.size), knot)
            for name in ("velocity_east", "velocity_north")
        )
        height = truth.at("altitude", time) + self.day.geoid + wandering(time, 4.0, 300.0, chance)
        return Recording(
            source="simulated ads-b receiver",
            format="simulated",
            epoch=truth.epoch,
            time=time,
            latitude=latitude,
            longitude=longitude,
            altitude_ellipsoid=_stepped(height, 25 * foot),
            altitude_pressure=_stepped(self.day.pressure_altitude(truth, time), 25 * foot),
            ground_speed=np.hypot(east, north),
            track=wrap(np.arctan2(east, north)),
            vertical_speed=_stepped(truth.at("climb", time), 64 * foot_per_minute),
            on_ground=truth.at("on_ground", time) > 0.5,
        )

    def _times(self, truth: Truth, chance: Chance) -> Floats:
        """Return uneven times of reception, to the millisecond [s]."""
        shortest, longest = self.spread
        # A power of a uniform number, chosen so that the mean between the two ends is 1.
        power = (longest - 1.0) / (1.0 - shortest)
        count = int(truth.time[-1] / (self.interval * shortest)) + 1
        steps = shortest + (longest - shortest) * chance.random(count) ** power
        times = _stepped(np.cumsum(steps) * self.interval, 0.001)
        return times[times < truth.time[-1]]


RECORDERS: Final[dict[str, Recorder]] = {"phone": Phone(), "avionics": Avionics(), "adsb": Adsb()}


def named_recorder(recorder: str | Recorder, interval: float | None = None) -> Recorder:
    """Return a recorder by its name, or the one given, with another interval where one is given.

    Parameters
    ----------
    recorder
        `phone`, `avionics`, `adsb` or a recorder.
    interval
        Time between samples [s]

    Raises
    ------
    UsageError
        When the name is unknown or the interval out of range.
    """
    if isinstance(recorder, str):
        if recorder not in RECORDERS:
            raise UsageError(f"{recorder!r} is not a recorder", "recorder", "choose " + ", ".join(RECORDERS))
        recorder = RECORDERS[recorder]
    if interval is None:
        return recorder
    if not 0.02 <= interval <= 60.0:
        raise UsageError("the interval is out of range", "interval", "choose 0.02 to 60 s")
    if not isinstance(recorder, Phone | Avionics | Adsb):
        raise UsageError("this recorder has no interval to change", "interval", "leave it out")
    return replace(recorder, interval=interval)


def wandering(time: Floats, sd: float, correlation_time: float, chance: Chance) -> Floats:
    """Return a first-order Gauss–Markov error at any increasing times.

    x(t₂) = a x(t₁) + sd √(1−a²) ξ with a = exp(−(t₂−t₁)/τ), exact for any spacing.

    Parameters
    ----------
    time
        [s]
    sd
        Standard deviation, in the unit of the error.
    correlation_time
        τ [s]
    chance
        Source of chance.
    """
    draws = chance.standard_normal(time.size)
    keep = np.exp(-np.diff(time) / correlation_time)
    kicks = sd * np.sqrt(1.0 - keep**2) * draws[1:]
    value = sd * float(draws[0])
    values = [value]
    for factor, kick in zip(keep.tolist(), kicks.tolist(), strict=True):
        value = factor * value + kick
        values.append(value)
    return np.array(values)


def _clock(truth: Truth, interval: float) -> Floats:
    """Return even times to the millisecond, as receivers sample on the whole second [s]."""
    return _stepped(np.arange(0.0, truth.time[-1], interval), 0.001)


def _written(time: Floats, phone: Phone, truth: Truth, chance: Chance) -> Floats:
    """Return the times of the samples that were not lost."""
    kept = chance.random(time.size) >= phone.lost
    if phone.gap > 0.0:
        begin = _gap_start(truth, phone.gap, chance)
        kept &= (time < begin) | (time > begin + phone.gap)
    return time[kept]


def _gap_start(truth: Truth, gap: float, chance: Chance) -> float:
    """Return the start of a gap in flight and at least half a minute away from every maneuver [s]."""
    possible = ~truth.on_ground & (truth.time < truth.time[-1] - gap)
    for maneuver in truth.maneuvers:
        possible &= (truth.time < maneuver.start - 30.0 - gap) | (truth.time > maneuver.end + 30.0)
    times = truth.time[possible]
    return float(times[int(chance.random() * times.size)]) if times.size else -2.0 * gap


def _with_repeats(count: int, share: float, chance: Chance) -> NDArray[np.int64]:
    """Return indices of samples in which some come twice."""
    return np.repeat(np.arange(count), 1 + (chance.random(count) < share))


def _place(truth: Truth, time: Floats, off_east: Floats, off_north: Floats) -> tuple[Floats, Floats]:
    """Return latitude and longitude with an error east and north of the true place [rad]."""
    return truth.frame.to_geographic(truth.at("east", time) + off_east, truth.at("north", time) + off_north)


def _stepped(values: Floats, step: float) -> Floats:
    """Round to whole steps."""
    return np.asarray(np.round(values / step) * step, dtype=np.float64)


def _compact(latitude: Floats, longitude: Floats) -> tuple[Floats, Floats]:
    """Round a position as the compact position report does: 17 bits for about 6° each way.

    Zones of longitude are counted so that their steps stay about as long as those of latitude.
    """
    step = full_turn / 60.0 / 2**17
    zones = np.maximum(np.floor(59.0 * np.cos(latitude)), 1.0)
    return _stepped(latitude, step), np.round(longitude / (full_turn / zones / 2**17)) * (
        full_turn / zones / 2**17
    )
