"""The tables by numbers: lap by lap, and round the circle."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.detection.maneuver import Lap
from groundref.reports import places, words
from groundref.reports.cells import Cell, Row, length, speed
from groundref.reports.laps import Extremes, extremes


def lap_rows(debrief: Debrief, assessed: Assessed) -> list[Row]:
    """Return the lap table: a row a quantity, a column a lap."""
    laps = assessed.maneuver.laps
    altitude = _short_altitude(debrief.states.altitude_datum)
    highs = extremes(debrief.states, assessed)
    epoch = debrief.track.recording.epoch

    def by_lap(name: str, cell: Callable[[Lap], Cell]) -> Row:
        return Row(name, tuple(cell(lap) for lap in laps))

    def by_extreme(name: str, cell: Callable[[Extremes], Cell]) -> Row:
        return Row(name, tuple(cell(high) for high in highs))

    return [
        by_lap("began, UTC", lambda lap: Cell(words.moment(epoch, lap.start))),
        by_lap("lasted", lambda lap: Cell(words.duration(lap.end - lap.start))),
        by_lap("turned", lambda lap: Cell(_turned(lap.turn))),
        by_lap("radius", lambda lap: length(lap.radius, lap.radius_sd)),
        by_lap("off the circle, rms", lambda lap: length(lap.radial_rms)),
        by_lap("farthest outside", lambda lap: _beyond(lap.radial_max)),
        by_lap("farthest inside", lambda lap: _beyond(-lap.radial_min)),
        by_extreme(f"highest {altitude}", lambda high: length(high.altitude_max)),
        by_extreme(f"lowest {altitude}", lambda high: length(high.altitude_min)),
        by_extreme("largest bank", lambda high: Cell(words.degrees(high.bank_max))),
        by_extreme("smallest bank", lambda high: Cell(words.degrees(high.bank_min))),
        by_extreme("fastest (true)", lambda high: speed(high.airspeed_max)),
        by_extreme("slowest (true)", lambda high: speed(high.airspeed_min)),
        by_lap("centre, from the point", lambda lap: _center(assessed, lap)),
    ]


def _short_altitude(datum: str | None) -> str:
    return "altitude" if datum in {"msl", None} else words.altitude(datum)


def _turned(turn: float) -> str:
    return f"{words.degrees(abs(turn))} {'right' if turn > 0 else 'left'}"


def _beyond(value: float) -> Cell:
    """Return how far on one side of the circle; a lap that was never there says so."""
    return length(value) if not value < 0 else Cell("never")


def _center(assessed: Assessed, lap: Lap) -> Cell:
    """Return how far and in which direction the centre of a lap lies from the point."""
    reference = assessed.maneuver.reference
    east, north = lap.center_east - reference.east, lap.center_north - reference.north
    away = length(float(np.hypot(east, north)))
    if away.main in {"0 ft", words.CANNOT_TELL}:
        return away
    return Cell(f"{away.main} {words.bearing(float(np.arctan2(east, north)))}", away.metric)


def place_rows(debrief: Debrief, assessed: Assessed) -> list[tuple[str, list[Cell]]]:
    """Return for each place of each lap what :data:`PLACE_HEADS` names."""
    return [
        (
            f"{place.lap} · {place.name}",
            [
                Cell(words.degrees(place.bank)),
                Cell(words.degrees(place.bank_required)),
                _off(place.radial),
                speed(place.ground_speed),
                Cell(_crab(place.crab)),
            ],
        )
        for place in places.visited(debrief.states, assessed)
    ]


def place_head(assessed: Assessed) -> str:
    """Return what the first column of the places holds."""
    return "lap · place" if places.named_by_wind(assessed) else "lap · side of the point"


PLACE_HEADS: Final = ("bank flown", "bank required", "off the circle", "ground speed", "crab")


def _off(radial: float | None) -> Cell:
    said = places.side(radial)
    return Cell(said, words.metres(abs(radial)) if radial is not None and words.known(radial) else "")


def _crab(crab: float | None) -> str:
    if crab is None or not words.known(crab):
        return words.CANNOT_TELL
    whole = words.degrees(abs(crab))
    return whole if whole == "0°" else f"{whole} {'right' if crab > 0 else 'left'}"
