"""Should the engine stop: what ground can be reached from every position of the maneuver, gliding.

From each position the airplane flies on for a reaction time, wings level, at its height: what it is faster
than best glide pays for that, and where it is slower the height to gain the speed is taken off. Then it turns
at a stated bank, at best-glide speed, and goes straight to the ground (`mechanics.glide_reach`): level
ground, the wind of the maneuver's height all the way down, no approach pattern, no flare.

For each position the ends of all turns to the right and to the left make a curve on the ground. It is taken
at steps of 5° as a polygon, which lies up to 0.1 % inside of the curve. About a center, the farther of the
two curves in a direction is the outline there: exactly where the ray cuts the polygon's side. The ground that
can be reached from *every* position is, about a center inside all outlines, the least of their distances in
each direction, which needs no cutting of polygons: a point on a ray lies in all of them when it lies in the
nearest. The center is the place that lies deepest inside all outlines, each taken as a circle of its size;
as the outlines are close to circles, where it lies outside of one there is hardly any ground that all have in
common, and none is said.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import direction_of, full_turn
from groundref.mechanics import airspeed, atmosphere, glide, glide_reach
from groundref.planning.inputs import Inputs
from groundref.planning.outlines import middle_of, outline
from groundref.planning.pieces import Place
from groundref.planning.schedule import Schedule
from groundref.units import degree, standard_gravity

Floats = NDArray[np.float64]

_TURN_STEP: Final = 5.0 * degree
_LARGEST_TURN: Final = 270.0 * degree
_DIRECTIONS: Final = 72


@dataclass(frozen=True, slots=True)
class Landing:
    """How a landing place is reached from each position (n,).

    Attributes
    ----------
    place
        East and north of the origin [m]
    height
        Left over it, negative where the glide ends short of it, (n,) [m]
    worst
        The position from which the least is left.
    """

    place: Place
    height: Floats
    worst: int

    @property
    def least(self) -> float:
        """Height left from the worst position [m]."""
        return float(self.height[self.worst])


@dataclass(frozen=True, slots=True)
class EngineOut:
    """What ground can be reached, gliding from n positions, in m directions.

    Attributes
    ----------
    reaction_time
        [s]
    bank
        Of the gliding turn [rad]
    glide_speed
        Best glide, true [m s⁻¹]
    glide_ratio
        In still air.
    half_turn_loss
        Height lost in a half turn [m]
    east, north, height
        Where the glides begin, (n,) [m]
    bearing
        Directions, true (m,) [rad]
    reach
        How far from where the glide begins, 0 where nothing is reached that way, (n, m) [m]
    center
        Of the ground that can be reached from every position; None where there is none [m]
    common
        How far it extends from there, (m,); None likewise [m]
    landing
        None where no landing place is given, or the wind is not less than the glide's speed.
    """

    reaction_time: float
    bank: float
    glide_speed: float
    glide_ratio: float
    half_turn_loss: float
    east: Floats
    north: Floats
    height: Floats
    bearing: Floats
    reach: Floats
    center: Place | None
    common: Floats | None
    landing: Landing | None

    def outline(self, position: int) -> tuple[Floats, Floats]:
        """Return the outline of what can be reached from a position, east and north (m,) [m]."""
        far = self.reach[position]
        return (
            self.east[position] + far * np.sin(self.bearing),
            self.north[position] + far * np.cos(self.bearing),
        )

    def common_outline(self) -> tuple[Floats, Floats] | None:
        """Return the outline of what can be reached from every position, east and north (m,) [m]."""
        if self.center is None or self.common is None:
            return None
        return (
            self.center[0] + self.common * np.sin(self.bearing),
            self.center[1] + self.common * np.cos(self.bearing),
        )


def engine_out(inputs: Inputs, schedule: Schedule) -> EngineOut:
    """Return what ground can be reached gliding from the positions of a schedule.

    Parameters
    ----------
    inputs
        Of the plan; its aircraft's glide and its ``around`` are used.
    schedule
        Positions of the plan.
    """
    air, around, plane = inputs.air, inputs.around, inputs.aircraft
    pressure = float(
        atmosphere.pressure_altitude_from_indicated(inputs.elevation + inputs.height, inputs.altimeter)
    )
    speed = float(airspeed.true_airspeed(plane.glide_speed, pressure, inputs.temperature))
    gliding = {
        "true_airspeed": speed,
        "bank": around.glide_bank,
        "glide_ratio": plane.glide_ratio,
        "wind_east": air.east,
        "wind_north": air.north,
    }
    flown = schedule.true_airspeed
    east = schedule.east + around.reaction_time * (flown * np.sin(schedule.heading) + air.east)
    north = schedule.north + around.reaction_time * (flown * np.cos(schedule.heading) + air.north)
    slower = np.maximum(speed**2 - flown**2, 0.0) / (2.0 * standard_gravity)
    height = np.maximum(schedule.height - slower, 0.0)
    curves = _curves(height, schedule.heading, gliding)
    curves = curves[0] + east[:, None, None], curves[1] + north[:, None, None]
    bearing = full_turn * np.arange(_DIRECTIONS) / _DIRECTIONS
    center = middle_of(*curves)
    common = outline(curves, np.full(east.size, center[0]), np.full(east.size, center[1]), bearing).min(
        axis=0
    )
    some = bool(common.min() > 0.0)
    in_turn = float(glide_reach.ratio_in_turn(plane.glide_ratio, around.glide_bank))
    return EngineOut(
        reaction_time=around.reaction_time,
        bank=around.glide_bank,
        glide_speed=speed,
        glide_ratio=plane.glide_ratio,
        half_turn_loss=float(glide.height_lost(0.5 * full_turn, speed, around.glide_bank, in_turn)),
        east=east,
        north=north,
        height=height,
        bearing=bearing,
        reach=outline(curves, east, north, bearing),
        center=center if some else None,
        common=common if some else None,
        landing=_landing(inputs, height, schedule.heading, east, north, gliding),
    )


def _landing(
    inputs: Inputs, height: Floats, heading: Floats, east: Floats, north: Floats, gliding: dict[str, float]
) -> Landing | None:
    place = inputs.around.landing
    level = gliding["true_airspeed"] * float(np.cos(glide.glide_angle(gliding["glide_ratio"])))
    if place is None or inputs.wind_speed >= level:
        return None
    left = glide_reach.arrival_height(place[0] - east, place[1] - north, height, heading, **gliding)
    return Landing(place, left, int(left.argmin()))


def _curves(height: Floats, heading: Floats, gliding: dict[str, float]) -> tuple[Floats, Floats]:
    """Return the ends of all turns of n glides, right and left, from where they begin: (n, 2, k) [m]."""
    longest = glide_reach.longest_turn(
        height, gliding["true_airspeed"], gliding["bank"], gliding["glide_ratio"]
    )
    part = np.linspace(0.0, 1.0, round(_LARGEST_TURN / _TURN_STEP) + 1)
    turned = np.minimum(longest, _LARGEST_TURN)[:, None, None] * part
    side = np.array([1.0, -1.0])[:, None]
    return glide_reach.ends(height[:, None, None], heading[:, None, None], side, turned, **gliding)


def nearest_edge(found: EngineOut) -> tuple[float, float] | None:
    """Return how near the common outline comes to the origin, and in which direction [m], [rad].

    None where no ground is common or the origin lies outside of it.
    """
    edge = found.common_outline()
    if edge is None or found.center is None or found.common is None:
        return None
    toward = float(direction_of(-found.center[0], -found.center[1]))
    if hypot(*found.center) >= float(np.interp(toward, found.bearing, found.common, period=full_turn)):
        return None
    away = np.hypot(*edge)
    nearest = int(away.argmin())
    return float(away[nearest]), float(direction_of(edge[0][nearest], edge[1][nearest]))
