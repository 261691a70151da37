"""How far a debrief is from the truth, and whether the truth lies within what the debrief states."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import radians
from typing import Final

import numpy as np
from numpy.typing import NDArray
from pyproj import Geod

import groundref
from groundref.debriefing import Debrief
from groundref.detection.maneuver import Maneuver
from groundref.track.recording import Recording

from .flights import KNOT, POINT_LATITUDE, POINT_LONGITUDE, TruthFlight
from .recorders import MEMORY, PHONE_SD

Floats = NDArray[np.float64]
Recorder = Callable[[TruthFlight, int], Recording]

TWO_SIDED_95: Final = 1.959964
CHI_SQUARE_2_95: Final = 5.991465
"""95 % point of chi-square with two degrees of freedom, -2·ln(0.05)."""


@dataclass(frozen=True, slots=True)
class Score:
    """Errors of one debrief (estimate less truth), and the share of truths within the stated 95 %.

    Attributes
    ----------
    flight
        What was flown.
    found
        Number of turns around a point that were found; one is right.
    right_direction, laps
        Whether the direction is right; laps reported less whole laps flown.
    drifts
        Whether the circle was taken for one that the wind carried along.
    start, end
        Error of the start and the end [s]
    wind, airspeed, point, radius, height, bank, bank_established
        Wind vector error and airspeed [m s⁻¹]; point [m]; radius as a part of the radius; height, root mean
        square [m]; bank from start to end, and without the rolling in and out, root mean square [rad].
    stated_wind, stated_airspeed
        Standard deviation stated for a component of the wind and for the airspeed [m s⁻¹]
    wind_inside, airspeed_inside, point_inside, radius_inside
        1 where the truth lies within the stated 95 %, else 0.
    bank_inside, height_inside
        Share of samples of the turn where it does.
    *_ratio
        Error over the stated standard deviation, root mean square per component; 1 when it is honest.
    """

    flight: TruthFlight
    found: int
    right_direction: bool = False
    laps: float = np.nan
    drifts: float = np.nan
    start: float = np.nan
    end: float = np.nan
    wind: float = np.nan
    airspeed: float = np.nan
    point: float = np.nan
    radius: float = np.nan
    height: float = np.nan
    bank: float = np.nan
    bank_established: float = np.nan
    stated_wind: float = np.nan
    stated_airspeed: float = np.nan
    wind_inside: float = np.nan
    airspeed_inside: float = np.nan
    point_inside: float = np.nan
    radius_inside: float = np.nan
    bank_inside: float = np.nan
    height_inside: float = np.nan
    wind_ratio: float = np.nan
    airspeed_ratio: float = np.nan
    point_ratio: float = np.nan
    radius_ratio: float = np.nan
    bank_ratio: float = np.nan
    height_ratio: float = np.nan


def score(truth: TruthFlight, recording: Recording) -> Score:
    """Debrief a recording, told the elevation of the ground, and compare it with the truth."""
    debrief = groundref.debrief(recording, ground=truth.ground)
    found = [m.maneuver for m in debrief.maneuvers if m.maneuver.kind == "turns-around-a-point"]
    if not found:
        return Score(truth, 0)
    maneuver = min(found, key=lambda m: abs(m.start - truth.start))
    return Score(
        truth,
        len(found),
        right_direction=maneuver.direction == truth.order.direction,
        laps=len(maneuver.laps) - truth.order.laps,
        drifts=float(maneuver.drifts),
        start=maneuver.start - truth.start,
        end=maneuver.end - truth.end,
        **_wind(truth, maneuver),
        **_point(truth, debrief, maneuver),
        **_motion(truth, debrief),
    )


def _wind(truth: TruthFlight, maneuver: Maneuver) -> dict[str, float]:
    wind = maneuver.wind
    if wind is None:
        return {}
    error = np.array([wind.east - truth.wind_east, wind.north - truth.wind_north])
    covariance = np.array(
        [[wind.east_sd**2, wind.covariance], [wind.covariance, wind.north_sd**2]], dtype=np.float64
    )
    chi_square = float(error @ np.linalg.solve(covariance, error))
    airspeed = wind.true_airspeed - float(truth.true_airspeed[truth.turning].mean())
    return {
        "wind": float(np.hypot(*error)),
        "wind_inside": float(chi_square <= CHI_SQUARE_2_95),
        "wind_ratio": float(np.sqrt(chi_square / 2)),
        "stated_wind": float(np.sqrt(np.trace(covariance) / 2)),
        "airspeed": airspeed,
        "airspeed_inside": _inside(airspeed, wind.true_airspeed_sd),
        "airspeed_ratio": airspeed / wind.true_airspeed_sd,
        "stated_airspeed": wind.true_airspeed_sd,
    }


def _point(truth: TruthFlight, debrief: Debrief, maneuver: Maneuver) -> dict[str, float]:
    reference = maneuver.reference
    latitude, longitude = debrief.track.frame.to_geographic(reference.east, reference.north)
    error = Geod(ellps="WGS84").inv(
        POINT_LONGITUDE, POINT_LATITUDE, np.degrees(longitude), np.degrees(latitude)
    )[2]
    radius = maneuver.radius - truth.radius
    return {
        "point": float(error),
        "point_inside": float((error / reference.sd) ** 2 <= CHI_SQUARE_2_95),
        "point_ratio": float(error / reference.sd / np.sqrt(2)),
        "radius": radius / truth.radius,
        "radius_ratio": radius / maneuver.radius_sd,
        "radius_inside": _inside(radius, maneuver.radius_sd),
    }


def _motion(truth: TruthFlight, debrief: Debrief) -> dict[str, float]:
    states = debrief.states
    turning = (states.time >= truth.start) & (states.time <= truth.end)
    established = turning & (states.time >= truth.start + 4.0) & (states.time <= truth.end - 4.0)
    bank = states.bank - np.interp(states.time, truth.time, truth.bank)
    measures = {
        "bank": _rms(bank[turning]),
        "bank_established": _rms(bank[established]),
        "bank_ratio": _rms(bank[turning] / states.bank_sd[turning]),
        "bank_inside": _inside(bank[turning], states.bank_sd[turning]),
    }
    if states.height is not None and states.height_sd is not None:
        height = states.height - (np.interp(states.time, truth.time, truth.altitude) - truth.ground)
        measures["height"] = _rms(height[turning])
        measures["height_ratio"] = _rms(height[turning] / states.height_sd[turning])
        measures["height_inside"] = _inside(height[turning], states.height_sd[turning])
    return measures


def _inside(error: float | Floats, sd: float | Floats) -> float:
    return float(np.mean(np.abs(error) <= TWO_SIDED_95 * np.asarray(sd)))


def _rms(values: Floats) -> float:
    return float(np.sqrt(np.mean(values**2)))


def scores(flights: Iterable[TruthFlight], recorder: Recorder) -> list[Score]:
    """Record every flight with one recorder and score its debrief; the flight's number draws the errors."""
    return [score(flight, recorder(flight, flight.order.number)) for flight in flights]


@dataclass(frozen=True, slots=True)
class Summary:
    """Figures over many flights, in the units they are read in.

    Attributes
    ----------
    flights, found, once
        Number of flights; shares with the maneuver found, and found exactly once with the right direction.
    laps_right, drifts
        Shares with the right number of laps, and taken for a circle that the wind carried along.
    start_95_s, end_95_s
        95 % of the errors of start and end are smaller.
    wind_median_kt … bank_rms_deg
        Median, 95th percentile or root mean square of the errors' sizes.
    *_inside, *_ratio
        Share of truths within the stated 95 %; error over stated standard deviation, root mean square.
    """

    flights: int
    found: float
    once: float
    laps_right: float
    drifts: float
    start_95_s: float
    end_95_s: float
    start_max_s: float
    end_max_s: float
    wind_median_kt: float
    wind_95_kt: float
    wind_stated_kt: float
    tas_median_kt: float
    tas_95_kt: float
    point_median_m: float
    point_95_m: float
    radius_median_percent: float
    radius_95_percent: float
    bank_rms_deg: float
    bank_established_rms_deg: float
    height_rms_ft: float
    wind_inside: float
    tas_inside: float
    point_inside: float
    radius_inside: float
    bank_inside: float
    height_inside: float
    wind_ratio: float
    tas_ratio: float
    point_ratio: float
    radius_ratio: float
    bank_ratio: float
    height_ratio: float


def summarize(results: list[Score]) -> Summary:
    """Return the figures over these flights; a maneuver that was not found leaves its errors out."""

    def values(name: str) -> Floats:
        return np.array([getattr(one, name) for one in results if one.found], dtype=np.float64)

    def size(name: str, share: float, unit: float) -> float:
        known = np.abs(values(name))
        return float(np.quantile(known[np.isfinite(known)], share) / unit)

    def rms(name: str, unit: float) -> float:
        return float(np.sqrt(np.nanmean(values(name) ** 2)) / unit)

    def share(name: str) -> float:
        return float(np.nanmean(values(name)))

    return Summary(
        flights=len(results),
        found=float(np.mean([one.found > 0 for one in results])),
        once=float(np.mean([one.found == 1 and one.right_direction for one in results])),
        laps_right=float(np.mean([one.laps == 0 for one in results])),
        drifts=share("drifts"),
        start_95_s=size("start", 0.95, 1.0),
        end_95_s=size("end", 0.95, 1.0),
        start_max_s=size("start", 1.0, 1.0),
        end_max_s=size("end", 1.0, 1.0),
        wind_median_kt=size("wind", 0.5, KNOT),
        wind_95_kt=size("wind", 0.95, KNOT),
        wind_stated_kt=size("stated_wind", 0.5, KNOT),
        tas_median_kt=size("airspeed", 0.5, KNOT),
        tas_95_kt=size("airspeed", 0.95, KNOT),
        point_median_m=size("point", 0.5, 1.0),
        point_95_m=size("point", 0.95, 1.0),
        radius_median_percent=size("radius", 0.5, 0.01),
        radius_95_percent=size("radius", 0.95, 0.01),
        bank_rms_deg=rms("bank", radians(1.0)),
        bank_established_rms_deg=rms("bank_established", radians(1.0)),
        height_rms_ft=rms("height", 0.3048),
        wind_inside=share("wind_inside"),
        tas_inside=share("airspeed_inside"),
        point_inside=share("point_inside"),
        radius_inside=share("radius_inside"),
        bank_inside=share("bank_inside"),
        height_inside=share("height_inside"),
        wind_ratio=rms("wind_ratio", 1.0),
        tas_ratio=rms("airspeed_ratio", 1.0),
        point_ratio=rms("point_ratio", 1.0),
        radius_ratio=rms("radius_ratio", 1.0),
        bank_ratio=rms("bank_ratio", 1.0),
        height_ratio=rms("height_ratio", 1.0),
    )


def wind_bound(truth: TruthFlight) -> float:
    """Return the least median wind error that a phone's positions allow, airspeed being steady [m s⁻¹].

    The derivative of an exponentially correlated error (sd, memory) is, for times well below the memory,
    white noise of intensity q = 2·sd²/memory. N velocities, one each dt, then have σ² = q/dt, and the
    Cramér-Rao bound of a full circle, var(w) = 2·σ²/N per component, becomes 2·q/T with T the time of the
    turn. White position errors add nothing to speak of: they telescope. The median of the length of a
    vector of two such components is √(2·ln 2) of their standard deviation.
    """
    intensity = 2 * PHONE_SD**2 / MEMORY
    return float(np.sqrt(2 * np.log(2.0) * 2 * intensity / (truth.end - truth.start)))


def first_harmonic(truth: TruthFlight, exchanging_height: bool = False) -> float:
    """Return how far the airspeed varied once around the heading: what a GPS alone takes for wind [m s⁻¹].

    The amplitude of the first harmonic of true airspeed over heading, by least squares with a constant.

    Parameters
    ----------
    truth
        The flight.
    exchanging_height
        Take √(V² + 2·g·h) instead, that is with speed gained by losing height left out.
    """
    inside = np.flatnonzero(truth.established)[::5]
    speed = truth.true_airspeed[inside]
    if exchanging_height:
        height = truth.altitude[inside] - truth.altitude[inside].mean()
        speed = np.sqrt(speed**2 + 2 * 9.80665 * height)
    heading = truth.heading[inside]
    columns = np.stack([np.ones_like(speed), np.cos(heading), np.sin(heading)], axis=1)
    _, along, across = np.linalg.lstsq(columns, speed, rcond=None)[0]
    return float(np.hypot(along, across))
