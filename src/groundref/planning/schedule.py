"""The schedule of a plan: what should be seen and flown at each position, in the order flown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from groundref.angles import difference, direction_of, quarter_turn, wrap, wrap_signed
from groundref.mechanics import sight, turn
from groundref.planning.air import Air
from groundref.planning.pieces import Piece, Place, Samples
from groundref.units import degree

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Schedule:
    """Positions along the path, each array (n,), SI, true.

    Attributes
    ----------
    piece
        Which piece of the path each position belongs to, from 0.
    name
        Of each position.
    marked
        Whether it is one of those with a name of its own, which a short table shows.
    time
        Since the maneuver began [s]
    east, north, track, heading, ground_speed, true_airspeed, crab, bank, height
        As in `Samples`.
    load_factor
        1/cos φ
    origin_bearing, origin_distance
        From the plan's origin, true [rad], horizontal [m]
    side
        Of the place that it is flown about: +1 to the right, −1 to the left; NaN where there is none.
    bearing, distance
        From that place, true [rad], horizontal [m]; NaN likewise.
    depression
        Of that place below the horizontal [rad]; NaN likewise.
    ahead
        Of that place ahead of abeam, behind negative [rad]; NaN likewise.
    above_wing, ahead_of_wing
        Where it sits from the wing line, as in `sight.point_from_wing` [rad]; NaN likewise.
    """

    piece: Ints
    name: tuple[str, ...]
    marked: NDArray[np.bool_]
    time: Floats
    east: Floats
    north: Floats
    track: Floats
    heading: Floats
    ground_speed: Floats
    true_airspeed: Floats
    crab: Floats
    bank: Floats
    height: Floats
    load_factor: Floats
    origin_bearing: Floats
    origin_distance: Floats
    side: Floats
    bearing: Floats
    distance: Floats
    depression: Floats
    ahead: Floats
    above_wing: Floats
    ahead_of_wing: Floats


@dataclass(frozen=True, slots=True)
class Extremes:
    """The extremes of a path, exact: taken where they lie, not at the schedule's positions.

    Attributes
    ----------
    bank_max, bank_min
        Of the turns, sizes; both 0 for a path without a turn [rad]
    ground_speed_max, ground_speed_min
        [m s⁻¹]
    crab_max
        Its size [rad]
    height_max, height_min
        Above the ground [m]
    time
        Of the whole path [s]
    """

    bank_max: float
    bank_min: float
    ground_speed_max: float
    ground_speed_min: float
    crab_max: float
    height_max: float
    height_min: float
    time: float


def extremes(pieces: Sequence[Piece], air: Air) -> Extremes:
    """Return the extremes of a path."""
    found = [piece.at(air, piece.critical(air)) for piece in pieces]
    banks = [np.abs(one.bank) for one, piece in zip(found, pieces, strict=True) if piece.side]
    bank = np.concatenate(banks) if banks else np.zeros(1)
    speed, height = (
        np.concatenate([getattr(one, name) for one in found]) for name in ("ground_speed", "height")
    )
    crab = np.concatenate([np.abs(one.crab) for one in found])
    return Extremes(
        bank_max=float(bank.max()),
        bank_min=float(bank.min()),
        ground_speed_max=float(speed.max()),
        ground_speed_min=float(speed.min()),
        crab_max=float(crab.max()),
        height_max=float(height.max()),
        height_min=float(height.min()),
        time=float(sum(duration(piece, air) for piece in pieces)),
    )


def duration(piece: Piece, air: Air) -> float:
    """Return how long a piece is flown [s]."""
    return float(piece.at(air, np.array([1.0])).time[0])


def schedule(pieces: Sequence[Piece], air: Air, places: Sequence[Place]) -> Schedule:
    """Return the schedule of a path.

    Parameters
    ----------
    pieces
        Of the path, in the order flown.
    air
        It is flown in.
    places
        The reference places, which the pieces are flown about: east and north [m]

    Notes
    -----
    A path that ends where it begins, as a circle does, shows that position once, at its begin.
    """
    parts, names, marked, which = [], [], [], []
    begun = 0.0
    for number, piece in enumerate(pieces):
        fraction = piece.spread()
        if len(pieces) == 1 and _closes(piece, air):
            fraction = fraction[:-1]
        samples = piece.at(air, fraction)
        parts.append((samples, begun))
        named = [_mark(piece, f) for f in fraction.tolist()]
        names += [own or other for own, other in zip(named, _between(piece, samples, air), strict=True)]
        marked += [bool(name) for name in named]
        which.append(np.full(fraction.size, number))
        begun += duration(piece, air)
    joined = {
        field.name: np.concatenate([getattr(samples, field.name) for samples, _ in parts])
        for field in fields(Samples)
        if field.name != "time"
    }
    time = np.concatenate([samples.time + since for samples, since in parts])
    belongs = np.concatenate(which)
    return Schedule(
        piece=belongs,
        name=tuple(names),
        marked=np.array(marked),
        time=time,
        **joined,
        load_factor=turn.load_factor(joined["bank"]),
        origin_bearing=direction_of(joined["east"], joined["north"]),
        origin_distance=np.hypot(joined["east"], joined["north"]),
        **_seen(pieces, places, belongs, joined),
    )


def _closes(piece: Piece, air: Air) -> bool:
    """Return whether a piece ends where it begins."""
    ends = piece.at(air, np.array([0.0, 1.0]))
    return bool(np.hypot(np.diff(ends.east), np.diff(ends.north))[0] < 1e-6 * max(float(ends.height[0]), 1.0))


def _mark(piece: Piece, fraction: float) -> str:
    """Return the name of a position; empty for one without."""
    return next((mark.name for mark in piece.marks if abs(mark.fraction - fraction) < 1e-9), "")


def _between(piece: Piece, samples: Samples, air: Air) -> list[str]:
    """Return names for positions without one: how far the track is past downwind, the way it is flown."""
    if not piece.side:
        return [piece.name] * samples.track.size
    past = wrap(piece.side * (samples.track - air.downwind)) / degree
    return [f"{piece.name}, {angle:.0f}° past downwind" for angle in past.tolist()]


def _seen(
    pieces: Sequence[Piece], places: Sequence[Place], belongs: Ints, joined: dict[str, Floats]
) -> dict[str, Floats]:
    """Return where the place that each position is flown about is seen from it."""
    about = np.array([np.nan if one.about is None else one.about for one in pieces])[belongs]
    known = np.isfinite(about)
    east, north = np.full(about.size, np.nan), np.full(about.size, np.nan)
    if known.any():
        spots = np.array(places)[about[known].astype(int)]
        east[known], north[known] = spots[:, 0], spots[:, 1]
    to_east, to_north = east - joined["east"], north - joined["north"]
    distance = np.hypot(to_east, to_north)
    depression = sight.depression(distance, joined["height"])
    bearing_to = direction_of(to_east, to_north)
    side = np.where(difference(bearing_to, joined["heading"]) >= 0.0, 1.0, -1.0)
    turns = np.array([one.side for one in pieces])[belongs]
    side = np.where(turns == 0.0, side, turns)
    abeam = joined["heading"] + side * quarter_turn
    ahead = -side * wrap_signed(bearing_to - abeam)
    above, ahead_of_wing = sight.point_from_wing(side * joined["bank"], depression, ahead)
    return {
        "side": np.where(known, side, np.nan),
        "bearing": wrap(bearing_to + 2 * quarter_turn),
        "distance": distance,
        "depression": depression,
        "ahead": ahead,
        "above_wing": above,
        "ahead_of_wing": ahead_of_wing,
    }
