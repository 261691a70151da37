"""What the page is told while flying: where the airplane is, what it needs, and both in words."""

from __future__ import annotations

from collections.abc import Sequence
from math import tau
from typing import Any, Final

import numpy as np

from groundref.angles import wrap
from groundref.mechanics import circle, trochoid
from groundref.reports import words
from groundref.reports.places import NAMES
from groundref.simulation.by_hand import Flying, Seen, Try, seen, step
from groundref.units import degree, knot
from groundref.web.trying.asked import Asked

RATE: Final = 30  # steps a second
LEVEL: Final = 1.0 * degree  # below this there is no circle
PLACES: Final = (
    "downwind, the entry",
    "crosswind, downwind of the point",
    "upwind",
    "crosswind, upwind of the point",
)
_ON_IT: Final = 5.0  # [m]
_PATH: Final = 60  # chords of a lap, for the picture


def begun(asked: Asked) -> dict[str, Any]:
    """Return what stays: the circle, the wind, the limits."""
    task = asked.task
    return {
        "schema": "groundref/try/1",
        "told": "begun",
        "steps_a_second": RATE,
        "radius_m": round(task.radius, 2),
        "direction": asked.direction,
        "wind_to_deg": _rounded(float(wrap(task.downwind)), degree, 1),
        "wind_kt": asked.wind_kt,
        "bank_most_deg": _rounded(asked.aircraft.max_bank, degree, 0),
    }


def moment(now: Flying, task: Try) -> dict[str, Any]:
    """Return the airplane now."""
    at = seen(now, task)
    return {
        "told": "moment",
        "seconds": round(now.time, 2),
        "east_m": round(now.east, 2),
        "north_m": round(now.north, 2),
        "heading_deg": _rounded(float(wrap(now.heading)), degree, 1),
        "bank_deg": _rounded(now.bank, degree, 1),
        "bank_needed_deg": _rounded(at.bank_needed, degree, 1),
        "ground_speed_kt": _rounded(at.ground_speed, knot, 1),
        "crab_deg": _rounded(at.crab, degree, 1),
        "outside_m": round(at.distance - task.radius, 1),
    }


def says(now: Flying, asked: Asked) -> str:
    """Return the airplane now in one line, for who does not see the picture, with the time it is told of.

    It is read aloud, so it is told seldom; the figures beside it have gone on meanwhile.
    """
    task = asked.task
    at = seen(now, task)
    minutes, seconds = divmod(int(now.time), 60)
    return (
        f"At {minutes}:{seconds:02d}: {_place(at)}. Ground speed {words.speed(at.ground_speed)}. "
        f"Bank {sided(now.bank)}, needed {sided(at.bank_needed)}. "
        f"{off(at.distance - task.radius, asked.unit)}."
    )


def held(now: Flying, asked: Asked) -> dict[str, Any]:
    """Return what holding this bank leads to: the next lap over the ground and its drift."""
    task = asked.task
    lap = float(trochoid.lap_time(task.true_airspeed, now.bank))
    wind = asked.wind_kt * knot
    drift = float(trochoid.drift_per_lap(task.true_airspeed, wind, now.bank))
    east, north = trochoid.ground_path(
        task.true_airspeed,
        now.bank,
        now.heading,
        task.wind_east,
        task.wind_north,
        np.linspace(0, lap, _PATH + 1),
    )
    radius = float(trochoid.air_radius(task.true_airspeed, now.bank))
    return {
        "told": "held",
        "bank_deg": _rounded(now.bank, degree, 1),
        "lap_s": round(lap, 2),
        "drift_m": round(drift, 2),
        "path_m": [
            [round(now.east + e, 1), round(now.north + n, 1)]
            for e, n in zip(east.tolist(), north.tolist(), strict=True)
        ],
        "says": f"Holding {sided(now.bank)}: a circle of {length(radius, asked.unit)} through the air, "
        f"{lap:.0f} s round, which the wind carries {length(drift, asked.unit)} downwind each lap.",
    }


def drifted(begin: Flying, laps: int, asked: Asked) -> dict[str, Any]:
    """Return where so many laps with the bank held have led.

    Parameters
    ----------
    begin
        When the bank was held.
    laps
        Since then.
    asked
        Of the try.
    """
    task = asked.task
    lap = float(trochoid.lap_time(task.true_airspeed, begin.bank))
    now = step(begin, begin.bank, laps * lap, task)
    drift = float(np.hypot(now.east - begin.east, now.north - begin.north))
    return {
        "told": "drifted",
        "laps": laps,
        "from_m": [round(begin.east, 1), round(begin.north, 1)],
        "to_m": [round(now.east, 1), round(now.north, 1)],
        "drift_m": round(drift, 2),
        "says": f"After {words.count(laps, 'lap')} at {sided(begin.bank)} you are "
        f"{length(drift, asked.unit)} downwind of where that began.",
    }


def laps_held(begin: Flying, now: Flying) -> int:
    """Return how many whole turns lie between two moments."""
    return int((abs(now.heading - begin.heading) + 1e-9) / tau)


def needs(asked: Asked) -> Sequence[dict[str, str]]:
    """Return what the circle needs at its four places, in words."""
    task, wind = asked.task, asked.wind_kt * knot
    rows = []
    for name, position in zip(PLACES, np.arange(4) * tau / 4, strict=True):
        speed = float(circle.ground_speed(task.true_airspeed, wind, position))
        bank = float(circle.required_bank(task.true_airspeed, wind, task.radius, position))
        crab = float(circle.crab(task.true_airspeed, wind, position, task.side))
        rows.append(
            {
                "place": name,
                "speed": words.both_speeds(speed),
                "bank": sided(task.side * bank),
                "crab": sided(crab),
            }
        )
    return rows


def sided(angle: float) -> str:
    """Return an angle with its side in words, such as `31° left`."""
    size = round(abs(angle) / degree)
    return f"{size}°" + ("" if not size else " right" if angle > 0 else " left")


def length(metres: float, unit: str) -> str:
    """Return a length in the unit asked for."""
    return words.length_beside(metres) if unit == "m" else words.length(metres)


def off(outside: float, unit: str) -> str:
    """Return where the airplane is from the circle."""
    if abs(outside) < _ON_IT:
        return "On the circle"
    return f"{length(abs(outside), unit)} {'outside' if outside > 0 else 'inside'} of the circle"


def _place(at: Seen) -> str:
    """Return the quarter of the circle."""
    return NAMES[round(at.position / (tau / 4)) % 4]


def _rounded(value: float, unit: float, digits: int) -> float:
    return round(value / unit, digits) + 0.0
