"""The panel's log: position with airspeeds, attitude, heading, accelerations, pressure and temperature.

The figures are round ones for equipment in good order (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from groundref.angles import wrap
from groundref.mechanics import airspeed as airspeeds
from groundref.simulation.sensing import Chance, Day, Floats, clock, place, stepped, wandering
from groundref.simulation.truth import Truth
from groundref.track.recording import Recording
from groundref.units import celsius_zero, degree, foot, foot_per_minute, knot, standard_gravity


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
    day: Day = field(default_factory=Day)
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
        time = clock(truth, self.interval)
        errors = [
            wandering(time, self.drift_sd, self.drift_time, chance)
            + chance.normal(0.0, self.white_sd, time.size)
            for _ in range(2)
        ]
        latitude, longitude = place(truth, time, errors[0], errors[1])
        altitude = truth.at("altitude", time) + wandering(time, self.altitude_sd, 300.0, chance)
        pressure = self.day.pressure_altitude(truth, time)
        temperature = stepped(self.day.temperature(truth, time) - celsius_zero, 0.5) + celsius_zero
        indicated, true = self._airspeeds(truth, time, pressure, temperature, chance)
        lateral, normal = self._accelerations(truth, time, chance)
        return Recording(
            source="simulated avionics",
            format="simulated",
            epoch=truth.epoch,
            time=time,
            latitude=stepped(latitude, 1e-7 * degree),
            longitude=stepped(longitude, 1e-7 * degree),
            altitude_msl=stepped(altitude, foot),
            altitude_pressure=stepped(pressure, foot),
            ground_speed=stepped(truth.at("ground_speed", time), 0.1 * knot),
            track=wrap(stepped(truth.at("track", time), 0.1 * degree)),
            vertical_speed=stepped(truth.at("climb", time), 10 * foot_per_minute),
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
        return stepped(sensed, 0.1 * knot), stepped(true, 0.1 * knot)

    def _heading(self, truth: Truth, time: Floats, chance: Chance) -> Floats:
        magnetic = truth.at("heading", time) - self.day.variation + chance.normal(0.0, self.heading_bias_sd)
        return wrap(stepped(magnetic, 0.1 * degree))

    def _attitude(self, angle: Floats, chance: Chance) -> Floats:
        error = chance.normal(0.0, self.attitude_bias_sd)
        return stepped(angle + error + chance.normal(0.0, self.attitude_white_sd, angle.size), 0.01 * degree)

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
            stepped(
                force
                + chance.normal(0.0, self.acceleration_bias_sd)
                + chance.normal(0.0, self.acceleration_white_sd, time.size),
                0.001 * standard_gravity,
            )
            for force in (sideways, upward)
        ]
        return read[0], read[1]
