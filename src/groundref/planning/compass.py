"""Magnetic directions of a plan: the variation, from a place and a day where it is not given."""

from __future__ import annotations

from datetime import date
from math import degrees

from groundref.errors import UsageError


def variation(
    latitude: float | None, longitude: float | None, altitude: float, when: date | None
) -> tuple[float | None, tuple[str, ...]]:
    """Return the magnetic variation by the magnetic model, and what is to be said of it.

    Parameters
    ----------
    latitude, longitude
        Of the place [rad]
    altitude
        Above mean sea level [m]
    when
        Day, or moment UTC.

    Returns
    -------
    tuple
        East positive, None where place or day are not known [rad]; sentences.

    Raises
    ------
    InputError
        When the day is outside the span of the magnetic model.
    """
    if latitude is None or longitude is None or when is None:
        return None, ()
    from groundref.geo.declination import declination

    found = declination(latitude, longitude, altitude, when)
    said = (
        f"Magnetic variation {spoken(found.value)} (±{degrees(found.sd):.1f}°) by the World Magnetic Model "
        f"2025 on {when:%Y-%m-%d}."
    )
    return found.value, (said, found.note) if found.note else (said,)


def true_from(magnetic: float, known: float | None) -> float:
    """Return a true direction from a magnetic one [rad].

    Raises
    ------
    UsageError
        When the variation is not known.
    """
    if known is None:
        raise UsageError(
            "the magnetic variation is not known",
            "--magnetic",
            "give --point with --when, or --variation-deg",
        )
    return magnetic + known


def spoken(value: float) -> str:
    """Return a variation in words, such as `2.1° W`."""
    size = abs(degrees(value))
    return f"{size:.1f}°" + ("" if size < 0.05 else " E" if value > 0 else " W")
