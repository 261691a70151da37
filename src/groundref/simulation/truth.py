"""What a simulated flight really did, for judging what is concluded from its recording."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from math import isnan
from typing import Any

import numpy as np
from numpy.typing import NDArray

from groundref.angles import difference, full_turn, unwrap, wrap
from groundref.geo.frame import LocalFrame
from groundref.simulation.faults import FAULTS
from groundref.units import degree, foot, foot_per_minute, knot, standard_gravity

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class TrueManeuver:
    """A maneuver as really flown.

    Attributes
    ----------
    kind, direction
        In the words of the debrief.
    reference
        What it was flown about, as in the debrief: `point`, `line`, `rectangle`, `pylons` or `none`.
    places
        Its point, the two ends of its line, its four corners in the order flown, its two pylons: east and
        north in the truth's frame [m]
    radius
        Radius that was meant, of a rectangular course the distance outside of its boundary; NaN where the
        maneuver has none [m]
    height
        Height above ground that was meant [m]
    laps
        Laps, half circles, loops or circuits that were meant.
    start, end
        When the bank passed half of the value it then took on, rolling in, and half of the value it had,
        rolling out; a rectangular course starts with its first leg, rolled out of the turn onto it [s]
    entry_time
        When the place of the entry was abeam [s]
    entry_track
        Track then [rad]
    entry_distance
        Distance from the reference at ``start`` [m]
    boundaries
        Start of each lap, half circle, loop or circuit, and the end of the last one [s]
    bank_limit
        [rad]
    faults
        Size of each fault committed in it, in the fault's own unit.
    """

    kind: str
    direction: str
    reference: str
    places: tuple[tuple[float, float], ...]
    radius: float
    height: float
    laps: float
    start: float
    end: float
    entry_time: float
    entry_track: float
    entry_distance: float
    boundaries: tuple[float, ...]
    bank_limit: float
    faults: Mapping[str, float] = field(default_factory=dict)

    @property
    def east(self) -> float:
        """East of the first place [m]."""
        return self.places[0][0]

    @property
    def north(self) -> float:
        """North of the first place [m]."""
        return self.places[0][1]


@dataclass(frozen=True, slots=True)
class Truth:
    """The real state along a simulated flight; arrays of one length, SI, radians, true north.

    Attributes
    ----------
    epoch
        Moment from which ``time`` counts, UTC.
    frame
        Local frame of ``east`` and ``north``; its origin is the point of the maneuver.
    time
        [s]
    east, north
        [m]
    altitude, height
        Above mean sea level and above the ground [m]
    velocity_east, velocity_north, climb
        Velocity over the ground and up [m s⁻¹]
    climb_rate
        Vertical acceleration [m s⁻²]
    true_airspeed
        [m s⁻¹]
    heading
        Direction of the nose, [0, 2π) [rad]
    bank
        Right positive [rad]
    wind_east, wind_north
        Velocity of the air, the direction it moves *to* [m s⁻¹]
    lateral_acceleration
        Specific force along the right wing [m s⁻²]
    on_ground
        Whether the wheels carried the airplane.
    ground_elevation
        Above mean sea level [m]
    faults
        Size of each fault committed, in the fault's own unit.
    maneuvers
        In the order flown.
    runway
        The ends of the runway used, in the direction of landing, each east and north; empty for none [m]
    """

    epoch: datetime
    frame: LocalFrame
    time: Floats
    east: Floats
    north: Floats
    altitude: Floats
    height: Floats
    velocity_east: Floats
    velocity_north: Floats
    climb: Floats
    climb_rate: Floats
    true_airspeed: Floats
    heading: Floats
    bank: Floats
    wind_east: Floats
    wind_north: Floats
    lateral_acceleration: Floats
    on_ground: NDArray[np.bool_]
    ground_elevation: float
    faults: Mapping[str, float]
    maneuvers: tuple[TrueManeuver, ...]
    runway: tuple[tuple[float, float], ...] = ()

    @property
    def maneuver(self) -> TrueManeuver:
        """The first maneuver."""
        return self.maneuvers[0]

    def where(self, maneuver: TrueManeuver) -> tuple[float, float]:
        """Return latitude and longitude of the first place of a maneuver [rad]."""
        latitude, longitude = self.frame.to_geographic(maneuver.east, maneuver.north)
        return float(latitude), float(longitude)

    @property
    def ground_speed(self) -> Floats:
        """Speed over the ground [m s⁻¹]."""
        return np.hypot(self.velocity_east, self.velocity_north)

    @property
    def track(self) -> Floats:
        """Direction of the motion over the ground, the nose's at rest, [0, 2π) [rad]."""
        moving = self.ground_speed > 1e-3
        return np.where(moving, wrap(np.arctan2(self.velocity_east, self.velocity_north)), self.heading)

    @property
    def crab(self) -> Floats:
        """Heading less track, nose to the right positive [rad]."""
        return difference(self.heading, self.track)

    @property
    def load_factor(self) -> Floats:
        """Specific force along the airplane's upward axis over gravity."""
        upward = 1.0 + self.climb_rate / standard_gravity
        sideways = self.lateral_acceleration / standard_gravity
        return upward / np.cos(self.bank) + sideways * np.tan(self.bank)

    def at(self, name: str, time: Floats) -> Floats:
        """Return one quantity between samples, straight from one to the next; angles the short way round.

        Parameters
        ----------
        name
            Name of an array or property.
        time
            [s]
        """
        values = np.asarray(getattr(self, name), dtype=np.float64)
        if name in {"heading", "track"}:
            return wrap(np.interp(time, self.time, unwrap(values)))
        return np.interp(time, self.time, values)

    def during(self, start: float, end: float) -> NDArray[np.bool_]:
        """Return which samples lie from ``start`` to ``end`` [s]."""
        return (self.time >= start) & (self.time <= end)

    def to_dict(self, interval: float = 1.0) -> dict[str, Any]:
        """Return the JSON document `groundref/truth/1`.

        Parameters
        ----------
        interval
            Time between the states written [s]
        """
        return {
            "schema": "groundref/truth/1",
            "epoch": _stamp(self.epoch, 0.0),
            "ground_elevation_ft": round(self.ground_elevation / foot, 2),
            "faults": _faults(self.faults)
            or [each for one in self.maneuvers for each in _faults(one.faults)],
            "maneuvers": [self._maneuver(maneuver) for maneuver in self.maneuvers],
            "runway": _in_degrees(self.runway, self.frame) or None,
            "states": self._states(interval),
        }

    def _maneuver(self, flown: TrueManeuver) -> dict[str, Any]:
        def stamp(time: float) -> str:
            return _stamp(self.epoch, time)

        wind_east, wind_north = self._mean_wind(flown.start, flown.end)
        return {
            "kind": flown.kind,
            "direction": flown.direction,
            "start": stamp(flown.start),
            "end": stamp(flown.end),
            "reference": reference_document(flown.reference, flown.places, self.frame),
            "radius_ft": None if isnan(flown.radius) else round(flown.radius / foot, 2),
            "height_agl_ft": round(flown.height / foot, 2),
            "bank_limit_deg": round(flown.bank_limit / degree, 3),
            "wind": {
                "from_deg": round(float(wrap(np.arctan2(-wind_east, -wind_north))) / degree, 2),
                "speed_kt": round(float(np.hypot(wind_east, wind_north)) / knot, 3),
                "east_kt": round(wind_east / knot, 3),
                "north_kt": round(wind_north / knot, 3),
            },
            "tas_kt": round(float(self.true_airspeed[self.during(flown.start, flown.end)].mean()) / knot, 3),
            "entry": {
                "time": stamp(flown.entry_time),
                "track_deg": round(flown.entry_track / degree, 2),
                "distance_ft": (
                    None if isnan(flown.entry_distance) else round(flown.entry_distance / foot, 1)
                ),
            },
            "laps": [
                {"start": stamp(start), "end": stamp(end)}
                for start, end in zip(flown.boundaries, flown.boundaries[1:], strict=False)
            ],
            "faults": _faults(flown.faults),
        }

    def _mean_wind(self, start: float, end: float) -> tuple[float, float]:
        within = self.during(start, end)
        return float(self.wind_east[within].mean()), float(self.wind_north[within].mean())

    def _states(self, interval: float) -> dict[str, Any]:
        """Return the states as columns, each with its unit in the name."""
        time = np.arange(0.0, self.time[-1], interval)
        latitude, longitude = self.frame.to_geographic(self.at("east", time), self.at("north", time))
        columns: dict[str, Any] = {
            "time_s": np.round(time, 3).tolist(),
            "lat": np.round(latitude / degree, 7).tolist(),
            "lon": np.round(longitude / degree, 7).tolist(),
        }
        for key, name, unit, places in _COLUMNS:
            columns[key] = np.round(self.at(name, time) / unit, places).tolist()
        columns["on_ground"] = (self.at("on_ground", time) > 0.5).tolist()
        return columns


_COLUMNS = (
    ("altitude_ft", "altitude", foot, 2),
    ("height_agl_ft", "height", foot, 2),
    ("ground_speed_kt", "ground_speed", knot, 3),
    ("track_deg", "track", degree, 3),
    ("vertical_speed_fpm", "climb", foot_per_minute, 1),
    ("tas_kt", "true_airspeed", knot, 3),
    ("heading_deg", "heading", degree, 3),
    ("crab_deg", "crab", degree, 3),
    ("bank_deg", "bank", degree, 3),
    ("wind_east_kt", "wind_east", knot, 3),
    ("wind_north_kt", "wind_north", knot, 3),
    ("lateral_acceleration_g", "lateral_acceleration", standard_gravity, 4),
)


def lap_boundaries(time: Floats, track: Floats, start: float, end: float) -> tuple[float, ...]:
    """Return when each further 360° of track was complete, the start first, the end last.

    Parameters
    ----------
    time, track
        Samples of the flight [s], [rad]
    start, end
        Of the maneuver [s]

    Notes
    -----
    A remainder of less than 20° belongs to the lap before it.
    """
    inside = np.linspace(start, end, max(int((end - start) * 10.0), 2))
    turned = np.abs(np.interp(inside, time, unwrap(track)) - np.interp(start, time, unwrap(track)))
    whole = np.arange(1, int(turned[-1] // full_turn) + 1) * full_turn
    times = [float(np.interp(angle, turned, inside)) for angle in whole]
    if times and turned[-1] - whole[-1] < 20 * degree:
        times.pop()
    return (start, *times, end)


def reference_document(kind: str, places: Sequence[tuple[float, float]], frame: LocalFrame) -> dict[str, Any]:
    """Return what was flown about as in the debrief: point, line, rectangle or pylons in degrees.

    Parameters
    ----------
    kind, places
        As in ``TrueManeuver``.
    frame
        Of the places.
    """
    at = _in_degrees(places, frame)
    if kind == "point":
        return {"type": kind, "lat": at[0][0], "lon": at[0][1]}
    if kind == "line":
        (east, north), (to_east, to_north) = places[0], places[1]
        bearing = float(wrap(np.arctan2(to_east - east, to_north - north))) / degree
        return {"type": kind, "lat": at[0][0], "lon": at[0][1], "bearing_deg": round(bearing, 2), "ends": at}
    return {"type": kind, **({"corners": at} if kind == "rectangle" else {})} | (
        {"points": at} if kind == "pylons" else {}
    )


def _in_degrees(places: Sequence[tuple[float, float]], frame: LocalFrame) -> list[list[float]]:
    """Return latitude and longitude of places in a frame [deg]."""
    at = [frame.to_geographic(east, north) for east, north in places]
    return [
        [round(float(latitude) / degree, 7), round(float(longitude) / degree, 7)]
        for latitude, longitude in at
    ]


def _faults(sizes: Mapping[str, float]) -> list[dict[str, Any]]:
    return [
        {"fault": name, "size": round(size, 6), "size_unit": FAULTS[name].unit}
        for name, size in sizes.items()
    ]


def _stamp(epoch: datetime, time: float) -> str:
    moment = epoch + timedelta(seconds=time)
    return moment.isoformat(timespec="milliseconds").replace("+00:00", "Z")
