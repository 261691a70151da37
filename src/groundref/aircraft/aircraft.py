"""An airplane: the few numbers that a debrief or a plan needs of it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Aircraft:
    """An airplane in SI units.

    Attributes
    ----------
    name
        Name on the command line.
    title
        In plain words.
    practice_speed
        Calibrated airspeed usual for ground-reference work [m s⁻¹]
    stall_speed
        Calibrated stall speed, clean, level, at ``mass`` [m s⁻¹]
    maneuvering_speed
        Calibrated maneuvering speed at ``mass`` [m s⁻¹]
    glide_speed
        Calibrated best-glide speed [m s⁻¹]
    glide_ratio
        Distance over height at that speed, still air.
    mass
        Mass the speeds are for [kg]
    roll_rate
        Roll rate in ordinary turns [rad s⁻¹]
    wing_span
        [m]
    high_wing
        Whether the wing is above the eye.
    source
        Where the numbers are from.
    """

    name: str
    title: str
    practice_speed: float
    stall_speed: float
    maneuvering_speed: float
    glide_speed: float
    glide_ratio: float
    mass: float
    roll_rate: float
    wing_span: float
    high_wing: bool
    source: str
