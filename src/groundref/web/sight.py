"""Where what is flown about stands from the seat, at each moment of a flight or of a plan.

The angles are those of `mechanics.sight` and `mechanics.wing_view`, the nose level. The picture from the seat
is drawn from the same columns.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from groundref.aircraft.aircraft import Aircraft
from groundref.aircraft.loading import load_aircraft
from groundref.angles import direction_of, quarter_turn, wrap_signed
from groundref.mechanics import sight, wing_view
from groundref.units import degree

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

NOWHERE: Final = -1


@dataclass(frozen=True, slots=True)
class Spot:
    """A place that is looked at.

    Attributes
    ----------
    what
        In words, such as `the point`.
    east, north
        In the flight's frame [m]
    """

    what: str
    east: float
    north: float


@dataclass(frozen=True, slots=True)
class Moments:
    """What the view needs of the airplane, arrays of one length.

    Attributes
    ----------
    east, north
        In the flight's frame [m]
    up
        Of the eye above the ground at what is looked at [m]
    heading, bank
        True, right positive [rad]
    about
        Which spot is looked at, `NOWHERE` for none.
    side
        On which it is turned about: +1 right, −1 left; 0 with none.
    """

    east: Floats
    north: Floats
    up: Floats
    heading: Floats
    bank: Floats
    about: Ints
    side: Floats


@dataclass(frozen=True, slots=True)
class Sights:
    """Where the spot stands, arrays of one length; NaN where there is none or the height is not known.

    Attributes
    ----------
    depression
        Below the horizontal [rad]
    above, ahead
        Of the wing line, as in `sight.point_from_wing` [rad]
    hidden
        Whether the wing on that side hides it.
    """

    depression: Floats
    above: Floats
    ahead: Floats
    hidden: NDArray[np.bool_]


def sights(now: Moments, spots: tuple[Spot, ...], aircraft: Aircraft) -> Sights:
    """Return where each moment's spot stands from the left seat.

    Parameters
    ----------
    now
        The airplane.
    spots
        That are looked at.
    aircraft
        Whose wing may be in the way.
    """
    known = now.about != NOWHERE
    places = np.array([(one.east, one.north) for one in spots] or [(np.nan, np.nan)])
    at = np.where(known[:, np.newaxis], places[np.where(known, now.about, 0)], np.nan)
    to_east, to_north = at[:, 0] - now.east, at[:, 1] - now.north
    side = np.where(known, now.side, np.nan)
    depression = sight.depression(np.hypot(to_east, to_north), now.up)
    abeam = now.heading + side * quarter_turn
    ahead = -side * wrap_signed(direction_of(to_east, to_north) - abeam)
    above, ahead_of_wing = sight.point_from_wing(side * now.bank, depression, ahead)
    hidden = np.zeros(now.east.size, dtype=np.bool_)
    for way in (-1.0, 1.0):
        there = known & (now.side == way)
        corners = aircraft.wing_corners(way)
        hidden[there] = wing_view.is_hidden(corners, depression[there], ahead[there], way * now.bank[there])
    return Sights(depression, above, ahead_of_wing, hidden)


def airplane(aircraft: Aircraft | None) -> dict[str, Any]:
    """Return the wing as seen from the left seat, and whose it is.

    Parameters
    ----------
    aircraft
        That was flown; None takes one, and says so.
    """
    one = aircraft or load_aircraft()
    return {
        "title": one.title,
        "named": aircraft is not None,
        "high_wing": one.high_wing,
        "assumed": list(one.assumed),
        "wing_m": {
            name: [[round(value, 3) for value in corner] for corner in one.wing_corners(side).tolist()]
            for name, side in (("left", -1.0), ("right", 1.0))
        },
    }


def columns(now: Moments, seen: Sights) -> dict[str, list[Any]]:
    """Return the columns that the picture moves along, each with its unit in the name."""
    return {
        "up_m": numbers(now.up, 1.0, 1),
        "about": [None if one == NOWHERE else one for one in now.about.tolist()],
        "side": [round(one) for one in now.side.tolist()],
        "depression_deg": numbers(seen.depression, degree, 1),
        "above_wing_deg": numbers(seen.above, degree, 1),
        "ahead_of_wing_deg": numbers(seen.ahead, degree, 1),
        "hidden": seen.hidden.tolist(),
    }


def numbers(values: Floats, unit: float, digits: int) -> list[float | None]:
    """Return numbers in a unit, what is not known as None."""
    scaled = np.round(values / unit, digits) + 0.0
    return [value if np.isfinite(value) else None for value in scaled.tolist()]
