"""Numbers of a table to SI: stated units as stated, the others by what the table itself shows."""

from __future__ import annotations

from collections.abc import Mapping
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
_DEFAULTS: Final = {
    "angle": Unit("angle", units.degree),
    "temperature": Unit("temperature", 1.0, units.celsius_zero),
    "acceleration": Unit("acceleration", units.standard_gravity),
}


def to_si(
    raw: Mapping[str, Floats], layout: Layout, seconds: Floats
) -> tuple[dict[str, Floats], tuple[str, ...]]:
    """Return all channels in SI, and notes on the units that the headings do not state.

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
    position = {
        name: _apply(raw[name], _stated(layout, name) or _DEFAULTS["angle"])
        for name in ("latitude", "longitude")
    }
    cockpit, speed = _speed_unit(raw, layout, position, seconds, notes)
    si: dict[str, Floats] = {}
    assumed: list[str] = []
    for name, values in raw.items():
        unit = _stated(layout, name)
        if unit is None:
            unit = speed if name == "ground_speed" and speed else _default(name, cockpit, raw)
            if FAMILY[name] in {"length", "speed"} and not (name == "ground_speed" and speed):
                assumed.append(layout.channels[name].text)
        si[name] = _apply(values, unit)
    if assumed and not layout.adsb:
        family = "feet, knots and feet per minute" if cockpit else "metres and metres per second"
        notes.append(f"No unit is stated for {', '.join(assumed)}; taken as {family}.")
    if layout.adsb:
        family = "feet and knots" if layout.adsb == "aviation" else "SI"
        notes.append(f"Columns without a unit follow the state-vector convention in {family}.")
    _count_from_one_g(si, notes)
    return si, tuple(notes)


def _stated(layout: Layout, name: str) -> Unit | None:
    return layout.channels[name].unit


def _apply(values: Floats, unit: Unit) -> Floats:
    return values * unit.factor + unit.offset


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
    position: Mapping[str, Floats],
    seconds: Floats,
    notes: list[str],
) -> tuple[bool, Unit | None]:
    """Let the positions tell the unit of a ground speed that states none."""
    if layout.adsb or "ground_speed" not in raw or _stated(layout, "ground_speed"):
        return layout.cockpit, None
    ratio = _ratio_to_path(raw["ground_speed"], position["latitude"], position["longitude"], seconds)
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
