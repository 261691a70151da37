"""Numbers of a table to SI: stated units as stated, the others by what the table itself shows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref import units
from groundref.angles import wrap_signed
from groundref.readers._layout import Layout
from groundref.readers._rules import FAMILY
from groundref.readers._units import Unit

Floats = NDArray[np.float64]

_SPEED_UNITS: Final = {
    "metres per second": 1.0,
    "knots": units.knot,
    "km/h": units.kilometre_per_hour,
    "mph": units.mile_per_hour,
}
_CLOSE: Final = 0.06  # the nearest two units, knots and mph, are 15 % apart
_MOVING: Final = 10.0  # [m s⁻¹]  slower than that, position noise drowns the speed
_LONGEST_STEP: Final = 30.0  # [s]  over which a path is taken as straight for a rough speed
_EARTH: Final = 6_371_000.0  # [m]  mean radius; a rough speed needs no ellipsoid
_SIZED: Final = frozenset({"length", "speed"})  # families in which a missing unit is a doubt worth a note
_DEFAULTS: Final = {
    "angle": Unit("angle", units.degree),
    "temperature": Unit("temperature", 1.0, units.celsius_zero),
    "acceleration": Unit("acceleration", units.standard_gravity),
}


def to_si(raw: dict[str, Floats], layout: Layout, seconds: Floats) -> tuple[str, ...]:
    """Bring all channels to SI in place, and return notes on the units that the headings do not state.

    Parameters
    ----------
    raw
        Numbers as they stand in the table, by channel.
    layout
        What each column is and which units are stated.
    seconds
        Moments of the rows, for the check of the speed's unit [s]
    """
    notes: list[str] = []
    cockpit, speed = _speed_unit(raw, layout, seconds, notes)
    told = {name: unit for name in raw if (unit := _stated(layout, name))}
    if speed:
        told["ground_speed"] = speed
    assumed = [layout.channels[name].text for name in raw if name not in told and FAMILY[name] in _SIZED]
    unit_of_each = {name: told.get(name) or _default(name, cockpit, raw) for name in raw}
    # In place: a copy of each column would double the memory of a long file.
    for name, values in raw.items():
        values *= unit_of_each[name].factor
        values += unit_of_each[name].offset
    notes += _about_units(assumed, cockpit, layout.adsb)
    _count_from_one_g(raw, notes)
    return tuple(notes)


def _about_units(assumed: Sequence[str], cockpit: bool, adsb: str) -> list[str]:
    if adsb and assumed:
        family = "feet and knots" if adsb == "aviation" else "SI"
        return [f"Columns without a unit follow the state-vector convention in {family}."]
    if assumed:
        family = "feet, knots and feet per minute" if cockpit else "meters and meters per second"
        return [f"No unit is stated for {', '.join(assumed)}; taken as {family}."]
    return []


def _stated(layout: Layout, name: str) -> Unit | None:
    return layout.channels[name].unit


def _default(name: str, cockpit: bool, raw: Mapping[str, Floats]) -> Unit:
    family = FAMILY[name]
    if family == "acceleration":
        normal = raw.get("normal_acceleration")
        # Level flight shows 9.8 in m/s² and 1 in g.
        if normal is not None and np.isfinite(normal).any() and abs(np.nanmedian(normal)) > 4:
            return Unit(family, 1.0)
    if family in _DEFAULTS:
        return _DEFAULTS[family]
    if not cockpit:
        return Unit(family, 1.0)
    if family == "length":
        return Unit(family, units.foot)
    return Unit(family, units.foot_per_minute if name == "vertical_speed" else units.knot)


def _speed_unit(
    raw: Mapping[str, Floats],
    layout: Layout,
    seconds: Floats,
    notes: list[str],
) -> tuple[bool, Unit | None]:
    """Let the positions tell the unit of a ground speed that states none."""
    if layout.adsb or "ground_speed" not in raw or _stated(layout, "ground_speed"):
        return layout.cockpit, None
    latitude, longitude = (
        raw[name] * (_stated(layout, name) or _DEFAULTS["angle"]).factor for name in ("latitude", "longitude")
    )
    ratio = _ratio_to_path(raw["ground_speed"], latitude, longitude, seconds)
    for name, factor in _SPEED_UNITS.items():
        if abs(ratio * factor - 1) < _CLOSE:
            notes.append(f"The ground speed states no unit; it agrees with the positions in {name}.")
            return layout.cockpit or name == "knots", Unit("speed", factor)
    return layout.cockpit, None


def _ratio_to_path(speed: Floats, latitude: Floats, longitude: Floats, seconds: Floats) -> float:
    """Return the median of stated speed over speed from positions; NaN when nothing moves."""
    with np.errstate(invalid="ignore", divide="ignore"):
        step = np.diff(seconds)
        north = np.diff(latitude)
        east = wrap_signed(np.diff(longitude)) * np.cos(latitude[1:])
        path = _EARTH * np.hypot(north, east) / step
        usable = (step > 0) & (step < _LONGEST_STEP) & (path > _MOVING) & np.isfinite(speed[1:])
    return float(np.median(speed[1:][usable] / path[usable])) if usable.any() else np.nan


def _count_from_one_g(si: dict[str, Floats], notes: list[str]) -> None:
    """Add one g to an accelerometer that shows zero in level flight."""
    normal = si.get("normal_acceleration")
    if normal is None or not np.isfinite(normal).any():
        return
    if abs(np.nanmedian(normal)) < 0.4 * units.standard_gravity:
        si["normal_acceleration"] = normal + units.standard_gravity
        notes.append(
            "The normal acceleration is near zero in the middle of the flight and was counted from one g."
        )
