"""Where a glide ends that turns first and then goes straight, in steady wind, over level ground.

The best-glide speed V is held throughout. In the turn the wing carries n times the lift of the straight
glide, at more drag: `ratio_in_turn` tells the glide ratio there. In the air, which moves with the wind, the
turn is an arc of radius V² cos γ/(g tan φ) and the rest a straight line (`glide` has the angles γ, the rates
and the heights); over the ground the way of the wind in the time of both is added, w T.

No wind changes what is lost for a way through the air, so a place on the ground is a target that moves upwind
through the air, −w t. For a given time it stands still; then turn and line follow from the tangent to the
circle, and the time that they take is compared with the given one.

Angles of turns are sizes, ``side`` is +1 for a right and −1 for a left turn. Numbers or arrays that broadcast
together in, their common shape out.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.angles import full_turn, quarter_turn, wrap
from groundref.mechanics import glide, turn

Floats = NDArray[np.float64]

_HALVINGS: Final = 34  # of a time of some minutes: to less than a microsecond
_NO_TURN: Final = 1e-9  # [rad]  a full turn that is none but for rounding


def ratio_in_turn(glide_ratio: ArrayLike, bank: ArrayLike) -> Floats:
    """Return the glide ratio in a turn at the best-glide speed.

    With a parabolic polar D/L₀ = (v² + n²/v²)/(2E), v the speed over the best-glide speed and E the best
    ratio, the ratio at v = 1 and load factor n is n·2E/(1 + n²): 1.0 % less than E at 30° of bank, 5.7 % less
    at 45°.

    Parameters
    ----------
    glide_ratio
        E, the best one, of the straight glide
    bank
        φ, either side [rad]

    Raises
    ------
    NoSolutionError
        At 90° of bank or more.

    Notes
    -----
    Source: own derivation, above; n = 1/cos φ, as the glide is flat.
    """
    factor = turn.load_factor(bank)
    return 2.0 * np.asarray(glide_ratio, dtype=np.float64) * factor / (1.0 + factor**2)


def longest_turn(
    height: ArrayLike, true_airspeed: ArrayLike, bank: ArrayLike, glide_ratio: ArrayLike
) -> Floats:
    """Return how far the airplane turns until the height is used up [rad].

    Parameters
    ----------
    height
        Above the ground [m]
    true_airspeed
        V, best glide [m s⁻¹]
    bank
        φ, either side, not 0 [rad]
    glide_ratio
        Of the straight glide
    """
    a_radian = glide.height_lost(1.0, true_airspeed, bank, ratio_in_turn(glide_ratio, bank))
    return np.maximum(np.asarray(height, dtype=np.float64), 0.0) / a_radian


def ends(
    height: ArrayLike,
    heading: ArrayLike,
    side: ArrayLike,
    turned: ArrayLike,
    *,
    true_airspeed: float,
    bank: float,
    glide_ratio: float,
    wind_east: float,
    wind_north: float,
) -> tuple[Floats, Floats]:
    """Return where on the ground the glide ends, east and north of where it begins [m].

    Parameters
    ----------
    height
        At its begin, above the ground [m]
    heading
        At its begin, true [rad]
    side
        Of the turn.
    turned
        α, no more than `longest_turn` [rad]
    true_airspeed
        V, best glide [m s⁻¹]
    bank
        φ in the turn, its size [rad]
    glide_ratio
        Of the straight glide
    wind_east, wind_north
        Velocity of the air [m s⁻¹]

    Raises
    ------
    NoSolutionError
        Where the glide ratio is not positive, or at 90° of bank or more.
    """
    radius, sink_a_radian, time_a_radian, slope, over_ground = _rates(true_airspeed, bank, glide_ratio)
    nose, way, angle = (np.asarray(each, dtype=np.float64) for each in (heading, side, turned))
    after = nose + way * angle
    left = np.asarray(height, dtype=np.float64) - angle * sink_a_radian
    straight = left / slope
    time = angle * time_a_radian + straight / over_ground
    sine, cosine = np.sin(after), np.cos(after)
    east = way * radius * (np.cos(nose) - cosine) + straight * sine + wind_east * time
    north = way * radius * (sine - np.sin(nose)) + straight * cosine + wind_north * time
    return east, north


def arrival_height(
    east: ArrayLike,
    north: ArrayLike,
    height: ArrayLike,
    heading: ArrayLike,
    *,
    true_airspeed: float,
    bank: float,
    glide_ratio: float,
    wind_east: float,
    wind_north: float,
) -> Floats:
    """Return the height left over a place that is glided to, negative where the glide ends short of it [m].

    The turn is to the side that is quicker. A place inside the turning circles cannot be turned to: then the
    glide goes straight on until a circle reaches it, and turns after that; a real pilot may find a way that
    loses a little less.

    Parameters
    ----------
    east, north
        Of the place from where the glide begins [m]
    height, heading, true_airspeed, bank, glide_ratio, wind_east, wind_north
        As in `ends`.

    Raises
    ------
    NoSolutionError
        As in `ends`; and where the wind is not less than the horizontal airspeed.

    Notes
    -----
    With T(q) the time to a fixed place q of the air, T(q − w t) = t is solved by halving: at t = 0 the way
    takes longer, and from t = (|q| + (8 + 2π) r)/(V cos γ − W) on it does not. As a place that moves by ds
    changes T by no more than ds/V, there is one solution. Where T jumps, at the edge of a turning circle, the
    time to spare is taken to be turned away, at the greater rate of sink.
    """
    radius, sink_a_radian, time_a_radian, slope, over_ground = _rates(true_airspeed, bank, glide_ratio)
    wind = float(np.hypot(wind_east, wind_north))
    glide.reach(1.0, glide_ratio, true_airspeed, wind, 0.0)  # refuses a wind too strong
    nose = np.asarray(heading, dtype=np.float64)
    ahead, right = _axes(np.asarray(east), np.asarray(north), nose)
    air_ahead, air_right = _axes(np.asarray(wind_east), np.asarray(wind_north), nose)

    def way(time: Floats) -> tuple[Floats, Floats, Floats]:
        """Return turn, line and time of the quicker way to where the place then is in the air."""
        along, across = ahead - air_ahead * time, right - air_right * time
        turned, line = _turn_and_line(along, np.stack((across, -across)), radius)
        lasting = turned * time_a_radian + line / over_ground
        quicker = lasting[0] <= lasting[1]
        return (
            np.where(quicker, turned[0], turned[1]),
            np.where(quicker, line[0], line[1]),
            np.where(quicker, lasting[0], lasting[1]),
        )

    early = np.zeros(np.broadcast(ahead, height).shape)
    late = early + (np.hypot(ahead, right) + (8.0 + full_turn) * radius) / (over_ground - wind)
    for _ in range(_HALVINGS):
        middle = 0.5 * (early + late)
        enough = way(middle)[2] <= middle
        early, late = np.where(enough, early, middle), np.where(enough, middle, late)
    turned, line, lasting = way(late)
    spare = np.maximum(late - lasting, 0.0) * sink_a_radian / time_a_radian
    return np.asarray(height, dtype=np.float64) - turned * sink_a_radian - line * slope - spare


def _axes(east: Floats, north: Floats, heading: Floats) -> tuple[Floats, Floats]:
    """Return a vector ahead and to the right."""
    return (
        east * np.sin(heading) + north * np.cos(heading),
        east * np.cos(heading) - north * np.sin(heading),
    )


def _rates(true_airspeed: float, bank: float, glide_ratio: float) -> tuple[float, float, float, float, float]:
    """Return radius [m], height lost and time a radian of turn [m], [s], slope and horizontal speed."""
    in_turn = float(ratio_in_turn(glide_ratio, bank))
    level = float(np.cos(glide.glide_angle(in_turn, bank)))
    time = float(glide.time_in_turn(1.0, true_airspeed, bank))
    return (
        true_airspeed * level * time,
        float(glide.height_lost(1.0, true_airspeed, bank, in_turn)),
        time,
        1.0 / glide_ratio,
        true_airspeed * float(np.cos(glide.glide_angle(glide_ratio))),
    )


def _turn_and_line(ahead: Floats, beside: Floats, radius: float) -> tuple[Floats, Floats]:
    """Return how far to turn and how far to go straight to a place of the air [rad], [m].

    The center of the turn is a radius r to the side. Seen from it the place lies at angle β (ahead 0, away
    from the begin of the turn 90°) and distance D; the line is d = √(D² − r²) long, and the place is r at
    α − 90° plus d at α, so α = β + atan(r/d). Straight flight ahead, where D < r, counts to the line.
    """
    across = beside - radius
    chord = np.sqrt(np.maximum(radius**2 - across**2, 0.0))
    inside = ahead**2 + across**2 < radius**2
    first = np.where(inside, ahead + chord, 0.0)
    along = ahead - first
    line = np.sqrt(np.maximum(along**2 + across**2 - radius**2, 0.0))
    turned = wrap(np.arctan2(across, along) + quarter_turn - np.arctan2(line, radius))
    return np.where(turned > full_turn - _NO_TURN, 0.0, turned), first + line
