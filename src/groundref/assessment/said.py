"""How numbers are said in findings and notes."""

from __future__ import annotations

from groundref.units import degree, foot, knot


def feet(length: float) -> str:
    """Say a length on the ground in feet, to the ten feet that can be judged by eye [m]."""
    return f"{round(length / foot, -1):,.0f} ft"


def plus_minus(length: float) -> str:
    """Say the standard deviation of a length, to the foot [m]."""
    return f"± {whole(length / foot)} ft"


def whole(value: float) -> str:
    """Say a whole number with thousands apart and a true minus sign."""
    return f"{round(value) + 0:,d}".replace("-", "−")


def degrees(angle: float) -> str:
    """Say an angle in whole degrees [rad]."""
    return f"{angle / degree:.0f}°"


def knots(speed: float) -> str:
    """Say a speed in whole knots [m s⁻¹]."""
    return f"{speed / knot:.0f} kt"


def laps_named(laps: tuple[int, ...]) -> str:
    """Say lap numbers within a sentence, with a space before: ` in lap 2`; empty for none."""
    said = laps_said(laps)
    return f" in {said[0].lower()}{said[1:]}" if laps else ""


def laps_said(laps: tuple[int, ...]) -> str:
    """Say lap numbers as the beginning of a sentence: `Lap 2`, `Laps 1 and 3`."""
    if not laps:
        return "In the turn"
    if len(laps) == 1:
        return f"Lap {laps[0]}"
    return f"Laps {', '.join(str(lap) for lap in laps[:-1])} and {laps[-1]}"
