"""Altitude and height above the ground, each datum by itself.

Three kinds of altitude may stand in a recording: above mean sea level, above the ellipsoid, and pressure.
One of them is used, never a mixture. A height above the ground needs the ground in the same datum: a ground
elevation that the user gives is above mean sea level, as is pressure altitude read with an altimeter setting
(`indicated`); the recording's own time on the ground gives it in any datum, together with the recorder's
offset of that day, but only for the ground that it stood on.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.estimation.altimeter import SHOWN_SD, as_set, warmth_sd
from groundref.mechanics.smoother import noise, smooth
from groundref.track.clean import FLYING_SPEED
from groundref.track.track import Track
from groundref.units import foot

Floats = NDArray[np.float64]
Elevation = Callable[[Floats, Floats], Floats]

DATUMS: Final = (
    ("msl", "altitude_msl"),
    ("pressure", "altitude_pressure"),
    ("ellipsoid", "altitude_ellipsoid"),
)
# Slow errors within some minutes, one standard deviation. Satellite heights: half the 13 m (95 %) of the
# GPS SPS Performance Standard, 5th edition, from memory; pressure: instrument lag and the day's changes,
# common practice, no source.
WANDER: Final = {"msl": 3.5, "ellipsoid": 3.5, "pressure": 1.5}  # [m]
OFFSET: Final = {"msl": 5.0, "ellipsoid": 5.0, "pressure": 3.0}  # [m] over hours
ABOVE_SEA: Final = ("msl", "indicated")
BY_PRESSURE: Final = ("pressure", "indicated")
# A receiver that is part of the airplane's own attitude system is corrected by satellite-based augmentation:
# 4 m (95 %) vertically for approaches (WAAS Performance Standard, 1st edition, from memory), and something
# for the altitude that is shown and rounded; about half of a receiver alone. Common practice, no source.
AUGMENTED: Final = 0.55
TERRAIN_SD: Final = 8.0  # [m] ground a few miles from the airfield, in country fit for low work; no source
FAR_GROUND: Final = 90.0  # [m] 300 ft: more than fields fit for low work differ within some miles; no source
ROLLING: Final = 0.35  # of the usual flying speed: slower is on the ground
STILL_TIME: Final = 8.0  # [s] shortest time on the ground that counts
_TIES: Final = {
    "pressure": "give the altimeter setting, or record from before take-off",
    "ellipsoid": "record from before take-off",
}


@dataclass(frozen=True, slots=True)
class Altitude:
    """Smoothed altitude of one datum.

    Attributes
    ----------
    datum
        `msl`, `pressure`, `ellipsoid`, or `indicated`: pressure altitude read with an altimeter setting.
    value
        [m]
    sd
        Of its changes within minutes [m]
    offset_sd
        Of its error over hours, the same for a flight [m]
    noise_sd
        Part of ``sd`` that is independent from moment to moment [m]
    vertical_speed
        [m s⁻¹]
    """

    datum: str
    value: Floats
    sd: Floats
    offset_sd: float
    noise_sd: float
    vertical_speed: Floats


@dataclass(frozen=True, slots=True)
class Height:
    """Height above the ground [m], its standard deviation [m], and how the ground was found."""

    value: Floats
    sd: Floats
    source: str


def smoothed_altitude(track: Track, setting: float | None = None) -> Altitude | None:
    """Smooth the best altitude that was recorded; None when there is none.

    Parameters
    ----------
    track
        The clean track.
    setting
        Altimeter setting to read its pressure altitude with; None when not known [Pa]
    """
    for datum, channel in DATUMS:
        recorded: Floats | None = getattr(track.recording, channel)
        if recorded is not None and np.isfinite(recorded).mean() > 0.5:
            altitude = _smooth(track, recorded, datum)
            if setting is None or datum != "pressure":
                return altitude
            return replace(altitude, datum="indicated", value=as_set(altitude.value, setting))
    return None


def _smooth(track: Track, recorded: Floats, datum: str) -> Altitude:
    has = np.flatnonzero(np.isfinite(recorded))
    middle = has[max(0, has.size // 2 - 100) : has.size // 2 + 100]
    resolution = _resolution(recorded[has]) / np.sqrt(12.0)
    sigma, density = noise([(track.time[middle], recorded[middle, None])]) if middle.size >= 8 else (3.0, 0.1)
    sigma = max(sigma, resolution, 0.1)
    result = smooth(track.time, recorded[:, None], track.piece, sigma, min(density, 0.3))
    own = np.sqrt(result.covariance[:, 0, 0])
    good = AUGMENTED if datum != "pressure" and track.recording.bank is not None else 1.0
    return Altitude(
        datum=datum,
        value=result.state[:, 0, 0],
        sd=np.hypot(own, good * WANDER[datum]),
        offset_sd=good * OFFSET[datum],
        noise_sd=float(np.median(own)),
        vertical_speed=result.state[:, 1, 0],
    )


def _resolution(values: Floats) -> float:
    """Return the step in which the values are written [m]."""
    steps = np.abs(np.diff(values))
    steps = steps[steps > 1e-6]
    return float(steps.min()) if steps.size else 0.0


def on_ground(track: Track, ground_speed: Floats) -> NDArray[np.bool_]:
    """Return which samples were taken while the airplane stood or rolled on the ground.

    Slow samples count at the start and at the end of the recording only; a headwind can make a flying
    airplane slow, but not a parked one fast.
    """
    recorded = track.recording.on_ground
    fast = ground_speed > max(FLYING_SPEED, ROLLING * float(np.percentile(ground_speed, 90)))
    slow = ~fast
    flown = np.flatnonzero(fast)
    inner = np.zeros(len(track), dtype=np.bool_)
    if flown.size:
        inner[flown[0] : flown[-1] + 1] = True
    ends = slow & ~inner
    return ends if recorded is None else ends | (recorded & slow)


def height_above_ground(
    track: Track,
    altitude: Altitude | None,
    ground_speed: Floats,
    ground: float | None,
    elevation: Elevation | None,
) -> tuple[Height | None, str]:
    """Find the height above the ground, or the reason why it cannot be told.

    Parameters
    ----------
    track
        The clean track.
    altitude
        Its smoothed altitude.
    ground_speed
        At its samples [m s⁻¹]
    ground
        Elevation of the ground where the maneuver was flown, above mean sea level [m]
    elevation
        Ground elevation above mean sea level at latitude and longitude [rad] → [m]
    """
    if altitude is None:
        return None, "No altitude was recorded, so heights cannot be told."
    parked = on_ground(track, ground_speed)
    own = _own_ground(track, altitude, parked)
    if ground is not None or elevation is not None:
        below = (
            np.full(len(track), ground)
            if elevation is None
            else elevation(track.recording.latitude, track.recording.longitude)
        )
        said = "given" if elevation is None else "from the terrain file"
        if altitude.datum in ABOVE_SEA:
            height = altitude.value - below
            shared = above_sea_sd(altitude.datum, height, altitude.offset_sd)
            sd = np.hypot(altitude.sd, shared)
            note = "" if own is None else _beside_own_ground(float(np.median(below)), own, said)
            return Height(height, sd, f"ground elevation {said}"), note
        if own is None:
            kind = "pressure" if altitude.datum == "pressure" else "ellipsoid"
            return None, (
                f"Only {kind} altitude was recorded and nothing ties it to the ground elevation {said}, "
                f"so heights cannot be told; {_TIES[kind]}."
            )
    if own is None:
        return None, (
            "There is no time on the ground in what was looked at and no ground elevation was given, "
            "so heights above the ground cannot be told."
        )
    height = altitude.value - own
    sd = np.sqrt(altitude.sd**2 + altitude.offset_sd**2 / 4 + TERRAIN_SD**2)
    if altitude.datum in BY_PRESSURE:
        sd = np.hypot(sd, warmth_sd(height))
    source = "the recording's own time on the ground, taken as level with the practice area"
    return Height(height, sd, source), ""


def above_sea_sd(datum: str, height: Floats, offset_sd: float = OFFSET["msl"]) -> Floats:
    """Return the sd that all heights over a given ground share, from an altitude above mean sea level [m].

    Parameters
    ----------
    datum
        `msl` or `indicated`.
    height
        Above the ground [m]
    offset_sd
        Of the zero of an altitude recorded as above mean sea level [m]
    """
    return np.hypot(SHOWN_SD, warmth_sd(height)) if datum == "indicated" else np.full_like(height, offset_sd)


def _beside_own_ground(ground: float, own: float, said: str) -> str:
    """Return a note when the ground is far above or below that which the recording stood on."""
    if abs(ground - own) < FAR_GROUND:
        return ""
    side = "above" if ground > own else "below"
    return (
        f"The ground elevation {said} lies {abs(ground - own) / foot:,.0f} ft {side} the ground that the "
        "recording stood on; heights are right only if the practice area does too."
    )


def _own_ground(track: Track, altitude: Altitude, parked: NDArray[np.bool_]) -> float | None:
    """Return the altitude of the ground the airplane stood on, in the altitude's own datum [m]."""
    if not parked.any():
        return None
    spent = float(np.sum(np.diff(track.time)[parked[:-1] & parked[1:]]))
    return float(np.median(altitude.value[parked])) if spent >= STILL_TIME else None
