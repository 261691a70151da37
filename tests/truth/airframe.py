"""Any legs of a simulated lesson, flown by an airplane of the independent flight dynamics model.

What the pilot means to do comes from the project's own legs: they say, twenty times a second, which bank,
height, airspeed and side force they want, seeing no more than the motion. Everything that answers is not the
project's: the inner loops of ``autopilot`` move aileron, elevator, rudder and throttle, and the library
`jsbsim` makes the motion of it, with its own aerodynamics, engine, rotating ellipsoidal earth and turbulence.
The flight begins and ends in the air.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from math import atan2, cos, hypot, pi, radians, sin, sqrt
from typing import Any, Final

import jsbsim
import numpy as np
from numpy.typing import NDArray

from groundref.angles import wrap
from groundref.geo.frame import LocalFrame
from groundref.simulation.airplane import Airplane
from groundref.simulation.fly import Motion as Seen
from groundref.simulation.legs import Leg, course_bank
from groundref.simulation.maneuver_leg import ManeuverLeg
from groundref.simulation.pilot import Pilot, Skill, Wish
from groundref.simulation.truth import Truth
from groundref.simulation.wind_field import Wander

from .autopilot import GRAVITY, Autopilot, Controls, Motion
from .sortie import FOOT, KNOT, TYPES, Sortie

Floats = NDArray[np.float64]

LATITUDE: Final = radians(40.0)
LONGITUDE: Final = radians(-90.0)
GROUND_FT: Final = 820.0
EPOCH: Final = datetime(2026, 5, 1, 14, 0, tzinfo=UTC)

_STEP: Final = 1.0 / 60.0
_STEPS_A_CONTROL: Final = 3
_CONTROLS_A_SAMPLE: Final = 2
CONTROL: Final = _STEP * _STEPS_A_CONTROL
_SETTLING: Final = 40.0
_RISING: Final = 20.0
_MILSPEC: Final = 3
_MILDEST: Final = 1
_LONGEST: Final = 1.5 * 3600.0
_UNPOWERED: Final = 1.0
"""Power is set for a climb or a descent, but not for a correction of less than this [m s⁻¹]."""
_FULL_POWER: Final = 1.2
_HEIGHT_GAIN: Final = 0.15
_TURN_DRAG: Final = 0.18
"""Half of the drag that turning adds, for each unit of load factor squared beyond one [m s⁻²]: the rest of it
costs a little speed."""


_READ: Final = (
    "position/lat-geod-rad",
    "position/long-gc-rad",
    "position/h-sl-ft",
    "velocities/v-east-fps",
    "velocities/v-north-fps",
    "velocities/h-dot-fps",
    "velocities/vt-fps",
    "attitude/psi-rad",
    "attitude/phi-rad",
    "attitude/theta-rad",
    "velocities/p-rad_sec",
    "velocities/q-rad_sec",
    "velocities/r-rad_sec",
    "aero/beta-rad",
    "accelerations/Ny",
    "atmosphere/total-wind-east-fps",
    "atmosphere/total-wind-north-fps",
)


class Place:
    """East and north of the origin of a frame, quick and to some centimetres within 20 km.

    To third order in the differences of latitude and longitude, x = N cos(φ) Δλ and
    y = M Δφ + N sin(φ) cos(φ) Δλ²/2, with the radii of curvature M (at the middle latitude) and N.
    """

    __slots__ = ("_latitude", "_longitude")

    def __init__(self, latitude: float, longitude: float) -> None:
        self._latitude, self._longitude = latitude, longitude

    def of(self, latitude: float, longitude: float) -> tuple[float, float]:
        """Return east and north of a place [m]."""
        away, sine, cosine = longitude - self._longitude, sin(latitude), cos(latitude)
        prime_vertical, _ = _curvatures(latitude)
        _, meridian = _curvatures(0.5 * (latitude + self._latitude))
        bent = 0.5 * prime_vertical * sine * cosine * away * away
        return prime_vertical * cosine * away, meridian * (latitude - self._latitude) + bent


def _curvatures(latitude: float) -> tuple[float, float]:
    """Return the radii of curvature of WGS 84 across and along the meridian [m]."""
    semi_major, eccentricity_2 = 6378137.0, 6.69437999014e-3
    squeezed = 1.0 - eccentricity_2 * sin(latitude) ** 2
    across = semi_major / sqrt(squeezed)
    return across, across * (1.0 - eccentricity_2) / squeezed


class Cockpit:
    """The airplane, its air and its autopilot: takes wishes and moves on by one control step."""

    def __init__(self, sortie: Sortie, frame: LocalFrame) -> None:
        self.sortie, self.type = sortie, TYPES[sortie.airplane]
        chance = np.random.default_rng([sortie.number, 23]).spawn(6)
        skill = Skill().times(sortie.unsteadiness)
        self.pilot = Pilot(
            Airplane(trim_speed=sortie.speed, roll_rate=sortie.roll_rate), skill, CONTROL, chance[0]
        )
        self._bank = Wander(skill.bank, skill.bank_time, CONTROL, chance[1])
        self._height = Wander(skill.height, skill.height_time, CONTROL, chance[2])
        self._speed = Wander(skill.speed, skill.speed_time, CONTROL, chance[3])
        gust = sortie.air.gust_kt * KNOT
        self._gusts = [Wander(gust, 6.0, CONTROL, each) for each in chance[4:]]
        self._place = Place(LATITUDE, LONGITUDE)
        self._model = _airplane(sortie, frame)
        properties = self._model.get_property_manager()
        self._read = [properties.get_node(name) for name in _READ]
        self._levers = {
            name: properties.get_node(f"fcs/{name}-cmd-norm")
            for name in ("aileron", "elevator", "rudder", "throttle")
        }
        self._wind = [properties.get_node(f"atmosphere/wind-{way}-fps") for way in ("east", "north")]
        self._trim = {name: node.get_double_value() for name, node in self._levers.items()}
        self._autopilot = Autopilot(
            self.type.gains,
            interval=CONTROL,
            pitch=self._model["attitude/theta-rad"],
            throttle=self._trim["throttle"],
            tends_power=True,
            power=0.12,
            power_integral=0.003,
        )
        self.now = Seen(-_SETTLING, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
        self.row: tuple[float, ...] = ()
        self.look()

    def look(self) -> None:
        """Read the instruments."""
        row = tuple(node.get_double_value() for node in self._read)
        now = self.now
        now.east, now.north = self._place.of(row[0], row[1])
        now.height = (row[2] - GROUND_FT) * FOOT
        now.velocity_east, now.velocity_north, now.climb = row[3] * FOOT, row[4] * FOOT, row[5] * FOOT
        now.airspeed, now.heading, now.bank, now.roll_rate = row[6] * FOOT, row[7], row[8], row[10]
        now.ground_speed = hypot(now.velocity_east, now.velocity_north)
        now.track = atan2(now.velocity_east, now.velocity_north)
        now.side_force = row[14] * GRAVITY
        # a pilot knows the wind of the minute, not the gust of the moment
        now.wind_east, now.wind_north = (node.get_double_value() * FOOT for node in self._wind)
        self.row = row

    def fly(self, wish: Wish) -> None:
        """Move on by one control step towards what is wanted."""
        asked = self._asked(wish)
        for name in ("aileron", "rudder"):
            self._levers[name].set_double_value(self._trim[name] + getattr(asked, name))
        self._levers["elevator"].set_double_value(self._trim["elevator"] - asked.elevator)
        self._levers["throttle"].set_double_value(min(max(asked.throttle, 0.0), 1.0))
        self._blow()
        for _ in range(_STEPS_A_CONTROL):
            self._model.run()
        self.now.time += CONTROL
        self.look()

    def _asked(self, wish: Wish) -> Controls:
        now, row = self.now, self.row
        at = Motion(
            now.east,
            now.north,
            now.velocity_east,
            now.velocity_north,
            now.height,
            now.climb,
            now.airspeed,
            now.heading,
            now.bank,
            row[9],
            now.roll_rate,
            row[11],
            row[12],
            row[13],
        )
        climb, load_factor_2 = self._climb(wish), 1.0 / cos(min(abs(now.bank), 1.2)) ** 2
        powered = climb - max(min(climb, _UNPOWERED), -_UNPOWERED)
        power = wish.speed_change + GRAVITY * powered / now.airspeed + _TURN_DRAG * (load_factor_2 - 1.0)
        return self._autopilot.command(
            at,
            wish.bank + self._bank.advance(),
            climb,
            wish.speed + self._speed.advance(),
            power / _FULL_POWER,
            self._autopilot.sideslip_for(wish.side_force, now.side_force) if wish.side_force else 0.0,
        )

    def _climb(self, wish: Wish) -> float:
        """Return the rate of climb to fly: towards the height, no more than power and airspeed allow."""
        climb = wish.climb + _HEIGHT_GAIN * (wish.height + self._height.advance() - self.now.height)
        possible = self.type.climb + 0.2 * (self.now.airspeed - wish.speed)
        return max(min(climb, wish.climb_limit, possible), -wish.sink_limit)

    def _blow(self) -> None:
        """Let the wind rise while the airplane settles, then shift and gust."""
        air, time = self.sortie.air, self.now.time
        risen = min(1.0 + (time + _SETTLING - _RISING) / _RISING, 1.0)
        shifted = min(max(time / air.shift_time, 0.0), 1.0)
        blowing = air.gust_kt > 0 or air.shift_east_kt or air.shift_north_kt
        if risen >= 1.0 and not blowing:
            return
        means, shifts = (air.east, air.north), (air.shift_east_kt * KNOT, air.shift_north_kt * KNOT)
        for node, mean, shift, gust in zip(self._wind, means, shifts, self._gusts, strict=True):
            node.set_double_value((risen * mean + shifted * shift + gust.advance()) / FOOT)


def _airplane(sortie: Sortie, frame: LocalFrame) -> Any:
    """Return the model in trimmed level flight, so far back that it settles before the beginning."""
    library: Any = jsbsim
    library.FGJSBBase().debug_lvl = 0
    model = library.FGFDMExec(None)
    model.load_model(sortie.airplane)
    model.disable_output()
    model.set_output_filename(0, os.devnull)  # some airplanes come with a log file of their own
    model.set_dt(_STEP)
    air, sine, cosine = sortie.air, sin(sortie.course), cos(sortie.course)
    along, across = air.east * sine + air.north * cosine, air.east * cosine - air.north * sine
    # the airplane flies through still air for a third of the time that it takes to settle
    back = (_SETTLING - 0.5 * _RISING) * (along + sqrt(sortie.speed**2 - across**2))
    back += 0.5 * _RISING * sortie.speed
    latitude, longitude = frame.to_geographic(sortie.east - back * sine, sortie.north - back * cosine)
    for name, value in {
        "ic/lat-geod-rad": float(latitude),
        "ic/long-gc-rad": float(longitude),
        "ic/terrain-elevation-ft": GROUND_FT,
        "ic/h-sl-ft": GROUND_FT + sortie.height / FOOT,
        "ic/psi-true-rad": sortie.course % (2 * pi),
        "ic/vt-kts": sortie.speed / KNOT,
    }.items():
        model[name] = value
    model.run_ic()
    model["propulsion/set-running"] = -1
    model["fcs/mixture-cmd-norm"] = 0.95
    model["simulation/do_simple_trim"] = 1
    if air.turbulence_kt > 0:
        model["simulation/randomseed"] = sortie.number
        model["atmosphere/turb-type"] = _MILSPEC
        model["atmosphere/turbulence/milspec/windspeed_at_20ft_AGL-fps"] = air.turbulence_kt * KNOT / FOOT
        model["atmosphere/turbulence/milspec/severity"] = _MILDEST
    return model


def local_frame() -> LocalFrame:
    """Return the frame that places are given in."""
    return LocalFrame(LATITUDE, LONGITUDE)


def fly_legs(legs: Sequence[Leg], sortie: Sortie) -> Truth:
    """Fly legs one after the other and return the truth, ten samples a second.

    Raises
    ------
    RuntimeError
        When they are not flown to their end within hours, or the airplane flew into the ground.
    """
    frame = local_frame()
    cockpit = Cockpit(sortie, frame)
    while cockpit.now.time < -0.5 * CONTROL:
        cockpit.fly(Wish(course_bank(cockpit.now, sortie.course), sortie.height, sortie.speed))
    cockpit.now.time = 0.0
    rows, marks = [(0.0, *cockpit.row)], []
    for leg in legs:
        begin = cockpit.now.time
        rows.extend(_flown(leg, cockpit))
        marks.append((leg, begin, cockpit.now.time))
    return _truth(np.array(rows), marks, frame)


def _flown(leg: Leg, cockpit: Cockpit) -> Iterator[tuple[float, ...]]:
    """Fly one leg and yield its samples."""
    now = cockpit.now
    for wish in leg.steer(now, cockpit.pilot):
        cockpit.fly(wish)
        tick = round(now.time / CONTROL)
        if tick % _CONTROLS_A_SAMPLE == 0:
            yield (tick * CONTROL, *cockpit.row)
        if now.time > _LONGEST or now.height < 8.0:
            raise RuntimeError(f"not flown to the end at {now.time:.0f} s: {leg}, {cockpit.sortie}")


def _truth(rows: Floats, marks: Sequence[tuple[Leg, float, float]], frame: LocalFrame) -> Truth:
    column = dict(zip(("time", *_READ), rows.T, strict=True))
    east, north = frame.to_local(column["position/lat-geod-rad"], column["position/long-gc-rad"])
    altitude, time = column["position/h-sl-ft"] * FOOT, column["time"].copy()
    climb = column["velocities/h-dot-fps"] * FOOT
    arrays = {
        "time": time,
        "east": np.asarray(east, dtype=np.float64),
        "north": np.asarray(north, dtype=np.float64),
        "height": altitude - GROUND_FT * FOOT,
        "velocity_east": column["velocities/v-east-fps"] * FOOT,
        "velocity_north": column["velocities/v-north-fps"] * FOOT,
        "climb": climb,
        "climb_rate": np.gradient(climb, time),
        "heading": wrap(column["attitude/psi-rad"]),
        "bank": column["attitude/phi-rad"].copy(),
        "wind_east": column["atmosphere/total-wind-east-fps"] * FOOT,
        "wind_north": column["atmosphere/total-wind-north-fps"] * FOOT,
    }
    airspeed, side_force = column["velocities/vt-fps"] * FOOT, column["accelerations/Ny"] * GRAVITY
    # When a roll began is told from the bank without the shaking of the air, as one sees it.
    seen = arrays | {
        "bank": _calmed(arrays["bank"]),
        "airspeed": airspeed,
        "side_force": side_force,
        "on_ground": np.zeros_like(time),
    }
    maneuvers = tuple(
        leg.flown(begin, end, seen) for leg, begin, end in marks if isinstance(leg, ManeuverLeg)
    )
    return Truth(
        epoch=EPOCH,
        frame=frame,
        altitude=altitude,
        true_airspeed=airspeed,
        lateral_acceleration=side_force,
        on_ground=np.zeros(time.size, dtype=bool),
        ground_elevation=GROUND_FT * FOOT,
        faults={},
        maneuvers=maneuvers,
        **arrays,
    )


def _calmed(values: Floats, width: int = 11) -> Floats:
    """Return the running mean over about a second."""
    padded = np.pad(values, width // 2, mode="edge")
    return np.convolve(padded, np.full(width, 1.0 / width), mode="valid")
