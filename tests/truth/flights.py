"""Circles around a point, flown by airplanes of an independent six-degree-of-freedom flight dynamics model.

The model is the open-source library `jsbsim` with the airplanes that come with it. Nothing of what is under
test takes part in the flying: the motion is the library's, on its own rotating ellipsoidal earth.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import atan, cos, hypot, pi, radians, sin, sqrt
from typing import Any, Final

import jsbsim
import numpy as np
from numpy.typing import NDArray
from pyproj import Geod

from .autopilot import GRAVITY, Autopilot, Gains, Motion, bank_on_circle, bank_onto_line, bearing

Floats = NDArray[np.float64]

KNOT: Final = 1852.0 / 3600.0
FOOT: Final = 0.3048
POINT_LATITUDE: Final = 40.0
POINT_LONGITUDE: Final = -90.0
GROUND_FT: Final = 820.0

_STEP: Final = 1.0 / 60.0
_STEPS_A_CONTROL: Final = 3
_CONTROLS_A_SAMPLE: Final = 2
SAMPLE: Final = _STEP * _STEPS_A_CONTROL * _CONTROLS_A_SAMPLE
_SETTLING: Final = 30.0
_DRIFT_STEP: Final = 10.0
_CROSSWIND_LEG: Final = 45.0
_DOWNWIND_LEG: Final = 75.0
_LAST_LEG: Final = 60.0
_MILSPEC: Final = 3
_MILDEST: Final = 1
LIGHT_TURBULENCE_KT: Final = 15.0
"""Wind at 20 ft that MIL-F-8785C calls light (paragraph 3.7.3.4, from memory): gusts of a tenth of it."""
_ROLL_RATE: Final = radians(12.0)

AIRPLANES: Final = {
    "c172p": Gains(speed=95.0 * KNOT),
    "c172x": Gains(speed=95.0 * KNOT),
    "J3Cub": Gains(speed=62.0 * KNOT),
}


@dataclass(frozen=True, slots=True)
class Order:
    """What to fly.

    Attributes
    ----------
    airplane
        One of `AIRPLANES`.
    wind_kt, wind_from_deg
        Steady wind.
    direction
        `left` or `right`.
    radius_ft, tas_kt, height_ft, laps
        Radius, true airspeed in level flight, height above the ground, whole laps.
    number
        Number of the draw of the pilot's small deviations.
    sloppiness
        0 for a cleanly flown circle (height within about 30 ft, radius within about 60 ft); 1 for height
        wandering by some 60 ft, radius by some 150 ft and power so that the airspeed wanders by some 5 kt.
    tends_power
        Whether the pilot holds the airspeed with power or leaves the power as it was set.
    turbulence_kt
        Wind at 20 ft that the turbulence model of MIL-F-8785C takes its strength from; 0 for smooth air.
        The library enters the model with the altitude above the sea and mixes in, from 1,000 ft on, the
        curve of exceedance for higher air; with its mildest curve, and at `LIGHT_TURBULENCE_KT`, both give
        gusts of 1.3 to 1.5 kt, one standard deviation.
    wind_drift_kt
        How far each component of the wind wanders in ten minutes, as a random walk: one standard deviation.
    """

    airplane: str
    wind_kt: float
    wind_from_deg: float
    direction: str
    radius_ft: float
    tas_kt: float
    height_ft: float = 900.0
    laps: int = 2
    number: int = 0
    sloppiness: float = 0.0
    tends_power: bool = False
    turbulence_kt: float = 0.0
    wind_drift_kt: float = 0.0

    @property
    def steepest_bank(self) -> float:
        """Bank that the circle needs directly downwind, (V + W)² = g·R·tan(bank) [rad]."""
        fastest = (self.tas_kt + self.wind_kt) * KNOT
        return atan(fastest**2 / (GRAVITY * self.radius_ft * FOOT))


@dataclass(frozen=True, slots=True)
class TruthFlight:
    """A flight as it was, ten times a second; SI, radians, true north, right positive.

    Attributes
    ----------
    order
        What was asked for.
    time
        From the first sample [s]
    latitude, longitude, altitude
        Position on WGS 84 [rad], [m]
    east, north
        From the point [m]
    velocity_east, velocity_north
        Over the ground [m s⁻¹]
    true_airspeed, calibrated_airspeed, heading, track, bank, pitch, sideslip,
    angle_of_attack
        As the flight dynamics model has them.
    lateral_acceleration
        Specific force along the right wing [m s⁻²]
    wind_east, wind_north
        Velocity the air moved with, mean from start to end [m s⁻¹]
    gust_east, gust_north
        What it was from moment to moment, less that mean [m s⁻¹]
    ground
        Elevation of the ground [m]
    start, end
        When the bank passed half of what followed, and half of what had been, at the end [s]
    radius
        Mean distance from the point from start to end, the rolling in and out left aside [m]
    """

    order: Order
    time: Floats
    latitude: Floats
    longitude: Floats
    altitude: Floats
    east: Floats
    north: Floats
    velocity_east: Floats
    velocity_north: Floats
    true_airspeed: Floats
    calibrated_airspeed: Floats
    heading: Floats
    track: Floats
    bank: Floats
    pitch: Floats
    sideslip: Floats
    angle_of_attack: Floats
    lateral_acceleration: Floats
    wind_east: float
    wind_north: float
    gust_east: Floats
    gust_north: Floats
    ground: float
    start: float
    end: float
    radius: float

    @property
    def turning(self) -> NDArray[np.bool_]:
        """Samples from the start to the end of the turn."""
        return (self.time >= self.start) & (self.time <= self.end)

    @property
    def established(self) -> NDArray[np.bool_]:
        """Samples in the turn, rolling in and out left aside."""
        return (self.time >= self.start + 4.0) & (self.time <= self.end - 4.0)

    @property
    def distance(self) -> Floats:
        """Distance from the point [m]."""
        return np.hypot(self.east, self.north)

    @property
    def turn(self) -> float:
        """+1 for a turn to the right, -1 to the left."""
        return _turn(self.order)


def _turn(order: Order) -> float:
    return 1.0 if order.direction == "right" else -1.0


Wander = Callable[[float], float]
Wind = Callable[[float], tuple[float, float]]


def _wander(rng: np.random.Generator, size: float, period: float) -> Wander:
    """Return a smooth deviation of standard deviation `size` with periods about `period` [s]."""
    rates = 2 * pi / (period * rng.uniform(0.6, 1.6, 4))
    phases = rng.uniform(0, 2 * pi, 4)
    scale = size / sqrt(2.0)
    return lambda t: scale * float(np.sin(rates * t + phases).sum())


@dataclass(slots=True)
class _Pilot:
    """Where to fly next: crosswind leg, downwind leg, circle, last leg."""

    order: Order
    height: Wander
    radius: Wander
    power: Wander
    first_track: float
    first_place: tuple[float, float]
    downwind_leg: bool = False
    circling: bool = False
    flown: float = 0.0
    entered_at: float = 0.0
    left_at: float | None = None
    _azimuth: float = 0.0
    _level_at: tuple[float, float, float] = (0.0, 0.0, 0.0)

    @property
    def downwind(self) -> float:
        return radians(self.order.wind_from_deg + 180.0)

    def bank(self, at: Motion, time: float) -> float:
        """Return the bank to fly now."""
        turn = _turn(self.order)
        if self.left_at is not None:
            return self._bank_after(at, time)
        if not self.circling and 0 > self._past_abeam(at) > -self._lead(at) and self._lined_up(at):
            self.circling, self.entered_at = True, time
            self._azimuth = bearing(at.east, at.north)
        if not self.circling:
            return self._bank_before(at, turn)
        self._advance(at, turn)
        if self.flown > 2 * pi * self.order.laps:
            self.left_at = time
        if time < self.entered_at + self.order.steepest_bank / _ROLL_RATE:
            return turn * self.order.steepest_bank
        return bank_on_circle(at, self.order.radius_ft * FOOT + self.radius(time), turn)

    def _bank_before(self, at: Motion, turn: float) -> float:
        """Fly the crosswind leg until the turn of 90° onto the downwind leg is due, then that leg."""
        side, offset = self.downwind - turn * pi / 2, self.order.radius_ft * FOOT
        place = offset * sin(side), offset * cos(side)
        across = (at.east - place[0]) * cos(self.downwind) - (at.north - place[1]) * sin(self.downwind)
        self.downwind_leg = self.downwind_leg or abs(across) < 10.0 * self.order.tas_kt * KNOT
        if self.downwind_leg:
            return bank_onto_line(at, self.downwind, *place)
        return bank_onto_line(at, self.first_track, *self.first_place)

    def _bank_after(self, at: Motion, time: float) -> float:
        """Roll out, then keep to the line through the place where the wings were level."""
        if self.left_at is not None and time < self.left_at + 1.3 * self.order.steepest_bank / _ROLL_RATE:
            self._level_at = (at.east, at.north, bearing(at.velocity_east, at.velocity_north))
            return 0.0
        east, north, track = self._level_at
        return bank_onto_line(at, track, east, north)

    def _past_abeam(self, at: Motion) -> float:
        return at.east * sin(self.downwind) + at.north * cos(self.downwind)

    def _lined_up(self, at: Motion) -> bool:
        across = at.east * cos(self.downwind) - at.north * sin(self.downwind)
        return abs(across + _turn(self.order) * self.order.radius_ft * FOOT) < 100.0

    def _lead(self, at: Motion) -> float:
        """Distance flown in half of the time that rolling in takes [m]."""
        return hypot(at.velocity_east, at.velocity_north) * (
            0.5 * self.order.steepest_bank / _ROLL_RATE + 0.3
        )

    def _advance(self, at: Motion, turn: float) -> None:
        azimuth = bearing(at.east, at.north)
        step = (azimuth - self._azimuth + pi) % (2 * pi) - pi
        self.flown += turn * step
        self._azimuth = azimuth


_READ: Final = (
    "position/lat-geod-deg",
    "position/long-gc-deg",
    "position/h-sl-ft",
    "velocities/v-east-fps",
    "velocities/v-north-fps",
    "velocities/h-dot-fps",
    "velocities/vt-fps",
    "velocities/vc-kts",
    "attitude/psi-rad",
    "attitude/phi-rad",
    "attitude/theta-rad",
    "velocities/p-rad_sec",
    "velocities/q-rad_sec",
    "velocities/r-rad_sec",
    "aero/beta-rad",
    "accelerations/Ny",
    "aero/alpha-rad",
    "atmosphere/total-wind-east-fps",
    "atmosphere/total-wind-north-fps",
)


def _motion(seen: tuple[float, ...], metres_a_degree: tuple[float, float]) -> Motion:
    return Motion(
        east=(seen[1] - POINT_LONGITUDE) * metres_a_degree[0],
        north=(seen[0] - POINT_LATITUDE) * metres_a_degree[1],
        velocity_east=seen[3] * FOOT,
        velocity_north=seen[4] * FOOT,
        height=(seen[2] - GROUND_FT) * FOOT,
        climb=seen[5] * FOOT,
        airspeed=seen[6] * FOOT,
        heading=seen[8],
        bank=seen[9],
        pitch=seen[10],
        roll_rate=seen[11],
        pitch_rate=seen[12],
        yaw_rate=seen[13],
        sideslip=seen[14],
    )


def _metres_a_degree() -> tuple[float, float]:
    """Return the length of a degree of longitude and of latitude at the point on WGS 84 [m]."""
    semi_major, eccentricity_2 = 6378137.0, 6.69437999014e-3
    s = sin(radians(POINT_LATITUDE))
    prime_vertical = semi_major / sqrt(1 - eccentricity_2 * s * s)
    meridian = prime_vertical * (1 - eccentricity_2) / (1 - eccentricity_2 * s * s)
    return radians(1) * prime_vertical * cos(radians(POINT_LATITUDE)), radians(1) * meridian


def _start_place(order: Order, side: float) -> tuple[float, float]:
    """Return where the crosswind leg begins, so that the legs have their lengths in time [m]."""
    downwind, turn = radians(order.wind_from_deg + 180.0), _turn(order)
    along = -(order.tas_kt + order.wind_kt) * KNOT * _DOWNWIND_LEG
    across = -turn * order.radius_ft * FOOT - side * order.tas_kt * KNOT * (_CROSSWIND_LEG + _SETTLING)
    return (
        along * sin(downwind) + across * cos(downwind),
        along * cos(downwind) - across * sin(downwind),
    )


def _airplane(order: Order, place: tuple[float, float], track: float) -> Any:
    """Return the model in trimmed level flight at a place east and north of the point."""
    library: Any = jsbsim
    library.FGJSBBase().debug_lvl = 0
    model = library.FGFDMExec(None)
    model.load_model(order.airplane)
    model.disable_output()
    model.set_output_filename(0, os.devnull)  # some airplanes come with a log file of their own
    model.set_dt(_STEP)
    east_a_degree, north_a_degree = _metres_a_degree()
    crab = np.arcsin(order.wind_kt / order.tas_kt * sin(radians(order.wind_from_deg) - track))
    for name, value in {
        "ic/lat-geod-deg": POINT_LATITUDE + place[1] / north_a_degree,
        "ic/long-gc-deg": POINT_LONGITUDE + place[0] / east_a_degree,
        "ic/terrain-elevation-ft": GROUND_FT,
        "ic/h-sl-ft": GROUND_FT + order.height_ft,
        "ic/psi-true-rad": float(track + crab) % (2 * pi),
        "ic/vt-kts": order.tas_kt,
    }.items():
        model[name] = value
    model.run_ic()
    model["propulsion/set-running"] = -1
    model["fcs/mixture-cmd-norm"] = 0.95
    model["simulation/do_simple_trim"] = 1
    if order.turbulence_kt > 0:
        model["simulation/randomseed"] = order.number
        model["atmosphere/turb-type"] = _MILSPEC
        model["atmosphere/turbulence/milspec/windspeed_at_20ft_AGL-fps"] = order.turbulence_kt * KNOT / FOOT
        model["atmosphere/turbulence/milspec/severity"] = _MILDEST
    return model


def _drift(order: Order) -> Wind:
    """Return a random walk of each component of the wind over time, zero until the wind has risen [m s⁻¹]."""
    rng = np.random.default_rng([order.number, 19])
    time = np.arange(0.0, 1200.0, _DRIFT_STEP)
    size = order.wind_drift_kt * KNOT * sqrt(_DRIFT_STEP / 600.0)
    walk = np.cumsum(rng.normal(0.0, size, (2, time.size)), axis=1)
    walk -= walk[:, :1]
    return lambda t: (
        float(np.interp(t - _SETTLING, time, walk[0])),
        float(np.interp(t - _SETTLING, time, walk[1])),
    )


def _blow(model: Any, order: Order, time: float, drift: Wind) -> None:
    """Let the wind rise while the airplane settles, and then drift."""
    speed = min(time / (0.6 * _SETTLING), 1.0) * order.wind_kt * KNOT
    north, east = drift(time)
    model["atmosphere/wind-north-fps"] = (north - speed * cos(radians(order.wind_from_deg))) / FOOT
    model["atmosphere/wind-east-fps"] = (east - speed * sin(radians(order.wind_from_deg))) / FOOT


def _rows(order: Order) -> tuple[Floats, float, float]:
    """Fly, and return what was read ten times a second and when the circle was begun and left."""
    rng = np.random.default_rng([order.number, 7])
    clean = 1.0 - order.sloppiness
    side = 1.0 if rng.random() < 0.5 else -1.0
    track, place = radians(order.wind_from_deg + 180.0 + 90.0 * side), _start_place(order, side)
    pilot = _Pilot(
        order,
        first_track=track,
        first_place=place,
        height=_wander(rng, (9.0 * clean + 22.0 * order.sloppiness) * FOOT, 45.0),
        radius=_wander(rng, (18.0 * clean + 60.0 * order.sloppiness) * FOOT, 30.0),
        power=_wander(rng, 0.004 * clean + 0.015 * order.sloppiness, 40.0),
    )
    model = _airplane(order, place, track)
    autopilot = Autopilot(
        AIRPLANES[order.airplane],
        interval=_STEP * _STEPS_A_CONTROL,
        pitch=model["attitude/theta-rad"],
        throttle=model["fcs/throttle-cmd-norm"],
        tends_power=order.tends_power,
    )
    trim = {name: model[f"fcs/{name}-cmd-norm"] for name in ("aileron", "elevator", "rudder")}
    scale, drift, rows, tick, time = _metres_a_degree(), _drift(order), [], 0, 0.0
    interval = _STEP * _STEPS_A_CONTROL
    longest = _SETTLING + _CROSSWIND_LEG + 2 * _DOWNWIND_LEG + _LAST_LEG + 200.0 * order.laps
    while pilot.left_at is None or time < pilot.left_at + _LAST_LEG:
        if time > longest:
            raise RuntimeError(f"the circle was not flown: {order}")
        seen = tuple(model[name] for name in _READ)
        if tick % _CONTROLS_A_SAMPLE == 0 and time >= _SETTLING:
            rows.append((time, *seen))
        at = _motion(seen, scale)
        asked = autopilot.steer(
            at,
            pilot.bank(at, time),
            order.height_ft * FOOT + pilot.height(time),
            order.tas_kt * KNOT,
            pilot.power(time),
        )
        model["fcs/aileron-cmd-norm"] = trim["aileron"] + asked.aileron
        model["fcs/elevator-cmd-norm"] = trim["elevator"] - asked.elevator
        model["fcs/rudder-cmd-norm"] = trim["rudder"] + asked.rudder
        model["fcs/throttle-cmd-norm"] = min(max(asked.throttle, 0.0), 1.0)
        if time < _SETTLING or order.wind_drift_kt > 0:
            _blow(model, order, time, drift)
        for _ in range(_STEPS_A_CONTROL):
            model.run()
        tick += 1
        time = tick * interval
    return np.array(rows), pilot.entered_at, pilot.left_at


def _half_passed(time: Floats, bank: Floats, moment: float, window: tuple[float, float]) -> float:
    """Return when, after a moment, the bank first passes half of its middle value in a window about it."""
    size = np.abs(bank)
    steady = float(np.median(size[(time >= moment + window[0]) & (time <= moment + window[1])]))
    later = time >= moment
    below = size[later] < steady / 2
    return float(time[later][np.argmax(below != below[0])])


@lru_cache(maxsize=1024)
def fly_circle(order: Order) -> TruthFlight:
    """Fly a circle about the point: crosswind leg, turn of 90°, downwind leg, laps, downwind leg.

    Raises
    ------
    RuntimeError
        When it was not flown as ordered.
    """
    flight = _flight(order)
    off = departures(flight)
    if off:
        raise RuntimeError(f"not flown as ordered ({'; '.join(off)}): {order}")
    return flight


def departures(flight: TruthFlight) -> list[str]:
    """Return in what the flight is none: too far off the circle or the height, or rolling about."""
    inside, order = flight.established, flight.order
    figures = {
        "ft off the radius": (
            flight.distance[inside] / FOOT - order.radius_ft,
            100.0 + 80.0 * order.sloppiness,
        ),
        "ft off the height": (
            flight.altitude[inside] / FOOT - GROUND_FT - order.height_ft,
            50.0 + 50.0 * order.sloppiness,
        ),
        "kt off the mean airspeed": (
            (flight.true_airspeed[inside] - flight.true_airspeed[inside].mean()) / KNOT,
            8.0 + 8.0 * (order.sloppiness > 0 or order.turbulence_kt > 0),
        ),
        "deg/s of roll": (np.degrees(np.gradient(flight.bank, flight.time))[inside], 15.0),
    }
    return [
        f"{np.abs(values).max():.0f} {what}"
        for what, (values, limit) in figures.items()
        if np.abs(values).max() > limit
    ]


def _flight(order: Order) -> TruthFlight:
    rows, entered_at, left_at = _rows(order)
    column = dict(zip(("time", *_READ), rows.T, strict=True))
    time = column["time"]
    latitude, longitude = column["position/lat-geod-deg"], column["position/long-gc-deg"]
    away = np.full_like(time, POINT_LONGITUDE), np.full_like(time, POINT_LATITUDE)
    azimuth, _, distance = Geod(ellps="WGS84").inv(*away, longitude, latitude)
    bank = column["attitude/phi-rad"]
    start = _half_passed(time, bank, entered_at, (4.0, 8.0))
    end = _half_passed(time, bank, left_at, (-5.0, -1.0))
    inside = (time >= start + 4.0) & (time <= end - 4.0)
    velocity_east = column["velocities/v-east-fps"] * FOOT
    velocity_north = column["velocities/v-north-fps"] * FOOT
    turning = (time >= start) & (time <= end)
    air_east = column["atmosphere/total-wind-east-fps"] * FOOT
    air_north = column["atmosphere/total-wind-north-fps"] * FOOT
    wind_east, wind_north = float(air_east[turning].mean()), float(air_north[turning].mean())
    return TruthFlight(
        order=order,
        time=time - time[0],
        latitude=np.radians(latitude),
        longitude=np.radians(longitude),
        altitude=column["position/h-sl-ft"] * FOOT,
        east=distance * np.sin(np.radians(azimuth)),
        north=distance * np.cos(np.radians(azimuth)),
        velocity_east=velocity_east,
        velocity_north=velocity_north,
        true_airspeed=column["velocities/vt-fps"] * FOOT,
        calibrated_airspeed=column["velocities/vc-kts"] * KNOT,
        heading=column["attitude/psi-rad"],
        track=np.unwrap(np.arctan2(velocity_east, velocity_north)),
        bank=bank,
        pitch=column["attitude/theta-rad"],
        sideslip=column["aero/beta-rad"],
        angle_of_attack=column["aero/alpha-rad"],
        lateral_acceleration=column["accelerations/Ny"] * GRAVITY,
        wind_east=wind_east,
        wind_north=wind_north,
        gust_east=air_east - wind_east,
        gust_north=air_north - wind_north,
        ground=GROUND_FT * FOOT,
        start=start - time[0],
        end=end - time[0],
        radius=float(distance[inside].mean()),
    )
