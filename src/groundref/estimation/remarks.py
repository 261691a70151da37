"""What a reader should know about how wind and airspeed were found, one plain sentence each."""

from __future__ import annotations

import numpy as np

from groundref.angles import direction_of
from groundref.errors import UsageError
from groundref.estimation.wind import AIRSPEED_SCALE_SD, KNOWN_SD, AirData, AirMotion, estimate_wind
from groundref.estimation.wind_value import largest_sd
from groundref.track.track import Track
from groundref.units import knot


def on_given_wind(data: AirData, given: tuple[float, float, float] | None) -> tuple[str, ...]:
    """Return what the recording itself says of a wind that was given.

    Raises
    ------
    UsageError
        When the wind is not below the airspeed flown.
    """
    if given is None:
        return ()
    east, north, _ = given
    own = estimate_wind(data)
    speed, flown = float(np.hypot(east, north)), float(np.median(own.true_airspeed[data.flying]))
    said = _wind_words(east, north)
    if speed >= flown:
        raise UsageError(
            f"a wind of {said} is not below the airspeed of about {flown / knot:.0f} kt",
            "--wind",
            "leave it out, and the wind is found from the recording",
        )
    spread = np.sqrt(own.east_variance + own.north_variance)
    best = int(np.argmin(spread))
    if spread[best] > KNOWN_SD:
        return (f"The wind was given, {said}; the recording alone cannot tell one.",)
    off = float(np.hypot(own.east[best] - east, own.north[best] - north))
    verb = "contradicts it with" if off > 3.0 * np.hypot(spread[best], 0.5 * knot) else "agrees with it:"
    found = f"{_wind_words(float(own.east[best]), float(own.north[best]))} (± {spread[best] / knot:.1f} kt)"
    return (f"The wind was given, {said}, and used; the recording itself {verb} {found}.",)


def _wind_words(east: float, north: float) -> str:
    direction = np.degrees(direction_of(-east, -north))
    return f"{float(direction):03.0f}° at {np.hypot(east, north) / knot:.0f} kt"


def on_air(track: Track, air: AirMotion) -> tuple[str, ...]:
    """Return how airspeed and heading were used, and what they leave open."""
    notes = []
    uncertain = largest_sd(air.east_variance, air.north_variance, air.covariance)
    if air.airspeed_scale is None and bool((uncertain <= KNOWN_SD).any()):
        notes.append(
            "Airspeed was not recorded: wind and airspeed were found from the ground speed on different "
            "headings; an airspeed that rises and falls once a lap would look like a wind of that speed."
        )
    if track.recording.heading is None and track.recording.heading_magnetic is not None:
        notes.append(
            "The recorded heading is magnetic; its offset from true was found from the flight itself."
        )
    if air.airspeed_scale is not None and abs(air.airspeed_scale) > 2.0 * AIRSPEED_SCALE_SD:
        notes.append(
            f"The recorded airspeed seems {abs(air.airspeed_scale):.0%} too "
            f"{'high' if air.airspeed_scale > 0 else 'low'} against the ground speeds of the flight."
        )
    return tuple(notes)
