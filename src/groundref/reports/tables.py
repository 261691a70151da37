"""The tables by numbers: lap by lap, and round the circle."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.detection.maneuver import Lap
from groundref.reports import naming, places, words
from groundref.reports.cells import Cell, Row, length, speed
from groundref.reports.laps import Extremes, extremes
from groundref.units import degree


def lap_rows(debrief: Debrief, assessed: Assessed) -> list[Row]:
    """Return the lap table of circles, half circles and loops: a row a quantity, a column a lap."""
    m = assessed.maneuver
    shape = "circle" if m.kind == "turns-around-a-point" else naming.lap(m.kind)
    rows = common_rows(debrief, assessed)
    circle = [
        _by_lap(assessed, "radius", lambda lap: length(lap.radius, lap.radius_sd)),
        _by_lap(assessed, f"off the {shape}, rms", lambda lap: length(lap.radial_rms)),
        _by_lap(assessed, "farthest outside", lambda lap: _beyond(lap.radial_max)),
        _by_lap(assessed, "farthest inside", lambda lap: _beyond(-lap.radial_min)),
    ]
    where = "center, from the point" if m.kind == "turns-around-a-point" else "center out of place by"
    center = _by_lap(assessed, where, _center)
    return [*rows[:3], *circle, *rows[3:], center]


def common_rows(debrief: Debrief, assessed: Assessed) -> list[Row]:
    """Return what every kind has by lap: when, how far round, height, bank and airspeed."""
    altitude = _short_altitude(debrief.states.altitude_datum)
    highs = extremes(debrief.states, assessed)
    epoch = debrief.track.recording.epoch

    def by_extreme(name: str, cell: Callable[[Extremes], Cell], *, told: bool = True) -> Row:
        return Row(name, tuple(cell(high) if told else Cell(words.CANNOT_TELL) for high in highs))

    # What was too poorly known to be judged is not told by lap either.
    bank, airspeed = assessed.bank is not None, assessed.airspeed is not None

    return [
        _by_lap(assessed, "began, UTC", lambda lap: Cell(words.moment(epoch, lap.start))),
        _by_lap(assessed, "lasted", lambda lap: Cell(words.duration(lap.end - lap.start))),
        _by_lap(assessed, "turned", lambda lap: Cell(turned(lap.turn))),
        by_extreme(f"highest {altitude}", lambda high: length(high.altitude_max)),
        by_extreme(f"lowest {altitude}", lambda high: length(high.altitude_min)),
        by_extreme("largest bank", lambda high: Cell(words.degrees(high.bank_max)), told=bank),
        by_extreme("smallest bank", lambda high: Cell(words.degrees(high.bank_min)), told=bank),
        by_extreme("fastest (true)", lambda high: speed(high.airspeed_max), told=airspeed),
        by_extreme("slowest (true)", lambda high: speed(high.airspeed_min), told=airspeed),
    ]


def _by_lap(assessed: Assessed, name: str, cell: Callable[[Lap], Cell]) -> Row:
    return Row(name, tuple(cell(lap) for lap in assessed.maneuver.laps))


def _short_altitude(datum: str | None) -> str:
    return "altitude" if datum in {"msl", None} else words.altitude(datum)


def turned(turn: float | None) -> str:
    """Return how far and which way was turned [rad]."""
    if turn is None or not words.known(turn):
        return words.CANNOT_TELL
    return f"{words.degrees(abs(turn))} {'right' if turn > 0 else 'left'}"


def _beyond(value: float) -> Cell:
    """Return how far on one side of the circle; a lap that was never there says so."""
    return length(value) if not value < 0 else Cell("never")


def _center(lap: Lap) -> Cell:
    """Return how far and in which direction the center of a lap lies from the place to turn about."""
    east, north = lap.center_east - lap.about_east, lap.center_north - lap.about_north
    away = length(float(np.hypot(east, north)))
    if away.main in {words.length(0.0), words.CANNOT_TELL}:
        return away
    return Cell(f"{away.main} {words.bearing(float(np.arctan2(east, north)))}", away.metric)


def place_rows(debrief: Debrief, assessed: Assessed) -> list[tuple[str, list[Cell]]]:
    """Return for each place of each lap what the heads name."""
    return [
        (
            f"{place.lap} · {place.name}",
            [
                Cell(words.degrees(place.bank)),
                Cell(words.degrees(place.bank_required)),
                _off(place.radial),
                speed(place.ground_speed),
                Cell(sided(place.crab)),
            ],
        )
        for place in places.visited(debrief.states, assessed)
    ]


def place_head(assessed: Assessed) -> str:
    """Return what the first column of the places holds."""
    kind = assessed.maneuver.kind
    side = "place" if places.named_by_wind(assessed) else f"side of {naming.place_of(kind)}"
    return f"{naming.lap(kind)} · {side}"


def place_heads(assessed: Assessed) -> tuple[str, ...]:
    """Return what the other columns hold."""
    kind = assessed.maneuver.kind
    shape = "circle" if kind == "turns-around-a-point" else naming.lap(kind)
    return "bank flown", "bank required", f"off the {shape}", "ground speed", "crab"


def _off(radial: float | None) -> Cell:
    said = places.side(radial)
    return Cell(said, words.length_beside(abs(radial)) if radial is not None and words.known(radial) else "")


_LEAST: Final = 0.1 * degree
_FINE: Final = 0.95 * degree  # a standard deviation below this is printed with a decimal


def sided(angle: float | None, sd: float | None = None) -> str:
    """Return an angle with the side it lies on, as ``4° right`` or ``4 ±1° left`` [rad]."""
    if angle is None or not words.known(angle):
        return words.CANNOT_TELL
    printed = words.number(abs(angle) / degree, 1 if _fine(sd) else 0)
    side = " right" if angle > 0 else " left"
    return with_degrees(abs(angle), sd) + (side if printed.strip("0.") else "")


def with_degrees(angle: float | None, sd: float | None = None) -> str:
    """Return an angle with its standard deviation, as ``4 ±1°`` or ``4.2 ±0.3°`` [rad]."""
    fine = _fine(sd)
    # Rounded up: nothing is known to 0°.
    shown = max(sd, _LEAST) if fine and sd is not None else sd
    said = words.with_sd(angle, shown, degree, 1 if fine else 0)
    return said if said == words.CANNOT_TELL else f"{said}°"


def _fine(sd: float | None) -> bool:
    """Return whether an angle is known well enough to be printed with a decimal."""
    return sd is not None and 0.0 < sd < _FINE
