"""Laps and entry of a circling maneuver."""

from __future__ import annotations

from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

from groundref.angles import wrap
from groundref.detection.circling import POSITION_WANDER
from groundref.detection.maneuver import Entry, Lap, Reference
from groundref.errors import NoSolutionError
from groundref.estimation.states import States
from groundref.mechanics.circle_fit import fit_circle

INBOUND: Final = (10.0, 2.5)  # [s] before the turn: the stretch that shows how it was entered
FARTHEST_ABEAM: Final = 30.0  # [s] an airplane abeam longer ago than that did not enter from there


class Begun(Protocol):
    """A turn that began at a time, and the first sample of it."""

    @property
    def start(self) -> float:
        """When it began [s]."""

    @property
    def first(self) -> int:
        """Index of its first sample."""


def lap_of(states: States, start: float, end: float, point: Reference, radius: float) -> Lap:
    """Measure one lap against the point and the radius to hold.

    Parameters
    ----------
    states
        The flight.
    start, end
        The lap's times [s]
    point
        The point on the ground.
    radius
        The radius to hold [m]
    """
    index = np.flatnonzero((states.time >= start) & (states.time <= end))
    first, last = int(index[0]), int(index[-1])
    east, north = states.east[index], states.north[index]
    off = np.hypot(east - point.east, north - point.north) - radius
    tracks = np.interp([start, end], states.time, states.track)
    try:
        own = fit_circle(east, north)
        center, own_radius, rms = (own.x, own.y), own.radius, own.rms
    except NoSolutionError:
        center, own_radius, rms = (point.east, point.north), radius, float(np.std(off))
    return Lap(
        first=first,
        last=last,
        start=start,
        end=end,
        turn=float(tracks[1] - tracks[0]),
        center_east=center[0],
        center_north=center[1],
        center_sd=float(np.hypot(rms, POSITION_WANDER)),
        radius=own_radius,
        radius_sd=float(np.hypot(0.5 * rms, 0.5 * POSITION_WANDER)),
        radial_rms=float(np.sqrt(np.mean(off**2))),
        radial_max=float(off.max()),
        radial_min=float(off.min()),
        about_east=point.east,
        about_north=point.north,
    )


def _inbound(states: States, circle: Begun) -> NDArray[np.intp]:
    """Return the samples of the straight flight just before a turn."""
    return np.flatnonzero(
        (states.time >= circle.start - INBOUND[0])
        & (states.time <= circle.start - INBOUND[1])
        & (states.piece == states.piece[circle.first])
    )


def inbound_track(states: States, circle: Begun) -> float | None:
    """Return the track of the straight flight just before a turn; None where none was recorded [rad].

    Parameters
    ----------
    states, circle
        The flight, and what was begun.
    """
    before = _inbound(states, circle)
    if not before.size:
        return None
    return float(np.arctan2(np.mean(states.velocity_east[before]), np.mean(states.velocity_north[before])))


def entry_of(states: States, circle: Begun, point: Reference) -> Entry:
    """Measure how a circle was entered, from the straight flight just before the turn."""
    before = _inbound(states, circle)
    index = before if before.size else np.array([circle.first])
    east, north = float(np.mean(states.velocity_east[index])), float(np.mean(states.velocity_north[index]))
    speed = max(float(np.hypot(east, north)), 1.0)
    last = int(index[-1])
    ahead = ((point.east - states.east[last]) * east + (point.north - states.north[last]) * north) / speed
    abeam = float(states.time[last] + ahead / speed)
    at = (
        np.interp(circle.start, states.time, states.east) - point.east,
        np.interp(circle.start, states.time, states.north) - point.north,
    )
    return Entry(
        abeam_time=abeam if before.size and abs(abeam - circle.start) <= FARTHEST_ABEAM else None,
        turn_time=circle.start,
        track=float(wrap(np.arctan2(east, north))),
        distance=float(np.hypot(*at)),
        distance_sd=float(np.sqrt(point.sd**2 + states.position_sd[circle.first] ** 2 + POSITION_WANDER**2)),
    )
