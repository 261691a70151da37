"""Plan and flight as plain data, the unit in every name: the part `plan` of the debrief's JSON."""

from __future__ import annotations

from typing import Final

from groundref.comparison.compare import Comparison
from groundref.comparison.row import Row
from groundref.units import degree, foot, knot

_UNITS: Final[dict[str, tuple[str, float, int]]] = {
    "speed": ("kt", knot, 1),
    "direction": ("deg", degree, 0),
    "length": ("ft", foot, 0),
    "angle": ("deg", degree, 1),
    "time": ("s", 1.0, 1),
}


def to_dict(comparison: Comparison) -> dict[str, object]:
    """Return the comparison for the debrief's JSON."""
    as_flown, limit = comparison.as_flown, comparison.plan.inputs.bank_limit
    return {
        "kind": comparison.plan.inputs.kind,
        "maneuver": comparison.number,
        "bank_limit_deg": None if comparison.plan.fit is None else round(limit / degree, 1),
        "compared": [_row(row) for row in comparison.rows],
        "bank_needed_in_this_wind_deg": (
            None if as_flown is None else round(as_flown.extremes.bank_max / degree, 1)
        ),
        "radius_needed_in_this_wind_ft": (
            None if as_flown is None or as_flown.fit is None else round(as_flown.fit.radius_needed / foot)
        ),
        "says": list(comparison.says) or [comparison.in_short],
    }


def _row(row: Row) -> dict[str, object]:
    unit, size, digits = _UNITS[row.quantity]

    def number(value: float | None) -> float | None:
        return None if value is None else round(value / size, digits) + 0.0

    return {
        "what": row.name,
        f"planned_{unit}": number(row.planned),
        f"flown_{unit}": number(row.flown),
        f"flown_sd_{unit}": None if row.sd is None else round(row.sd / size, digits + 1),
    }
