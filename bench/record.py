"""How fast and how large the training record is with years of a school's lessons in it.

    python bench/record.py [--lessons 10000] [--record FILE] [--rounds 9]

Builds a record of invented lessons of one hour (40 students, 6 instructors, two years), each with its own
recording at 1 Hz and its own debrief of four to six maneuvers, and prints what a lesson takes and how long the
commands need. A record that is there already, named with --record, is measured without building it again.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import radians
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from bench.speed import HOUR, SIX, show, timed

STUDENTS, INSTRUCTORS, DAYS = 40, 6, 730
FIRST = date(2025, 1, 1)
# First and last names, invented, put together to people.
GIVEN = ("Ana", "Ben", "Caro", "Dev", "Ella", "Finn", "Gus", "Hana")
LAST = ("Arlow", "Brandel", "Corvin", "Dunmore", "Elstow", "Farrow")
_CELLS = '<trkpt lat="%.7f" lon="%.7f"><ele>%.1f</ele><time>%s</time></trkpt>\n'


@dataclass(frozen=True)
class Flown:
    """An hour that was simulated and debriefed, to be varied."""

    latitude: Any  # [deg]
    longitude: Any  # [deg]
    altitude: Any  # [m]
    clocks: list[str]
    document: bytes


def person(number: int) -> str:
    return f"{GIVEN[number % len(GIVEN)]} {LAST[number // len(GIVEN)]}"


def simulated(variant: int) -> Flown:
    """Fly and debrief an hour of maneuvers; each variant in another order and wind."""
    from groundref.simulation import Exercise, Weather, simulate_many
    from groundref.simulation.write import to_bytes
    from groundref.standards.usual import usual
    from groundref.units import degree, foot, knot

    wind = (6 + 3 * variant) * knot
    kinds = SIX[variant:] + SIX[:variant]
    exercises = [
        Exercise(
            kind=kind,
            east=6000.0 * (number % 3),
            north=6000.0 * (number // 3),
            radius=1200 * foot,
            side=1.0 if (number + variant) % 2 else -1.0,
            wind_speed=wind,
            downwind=radians(60),
            laps=usual(kind).laps,
            height=usual(kind).height,
            speed=95 * knot,
            bank_limit=usual(kind).bank,
        )
        for number, kind in enumerate(kinds)
    ]
    recording, _ = simulate_many(exercises, Weather.blowing(wind, radians(240)), seed=1 + variant)
    recording = replace(recording.take(recording.time < HOUR), source="lesson")
    clocks = [line[11:] for line in stamps(to_bytes(recording, "lesson.gpx"))]
    return Flown(
        recording.latitude / degree,
        recording.longitude / degree,
        recording.altitude_msl,
        clocks,
        document(to_bytes(recording, "lesson.gpx")),
    )


def stamps(gpx: bytes) -> list[str]:
    return [piece.partition("</time>")[0] for piece in gpx.decode().split("<time>")[1:]]


def document(content: bytes) -> bytes:
    from groundref.export import to_json
    from groundref.record.asked import Asked, debriefed

    return to_json(debriefed((("lesson.gpx", content),), Asked()).to_dict())


def varied(flown: Flown, day: date, rng: np.random.Generator) -> tuple[bytes, bytes]:
    """Return a recording and its debrief of another day: other positions, other figures, of the same size."""
    count = len(flown.clocks)
    cells: list[Any] = [None] * (4 * count)
    cells[0::4] = (flown.latitude + rng.normal(0, 0.02) + rng.normal(0, 3e-6, count)).tolist()
    cells[1::4] = (flown.longitude + rng.normal(0, 0.02) + rng.normal(0, 3e-6, count)).tolist()
    cells[2::4] = (flown.altitude + rng.normal(0, 20) + rng.normal(0, 0.3, count)).tolist()
    cells[3::4] = [f"{day}T{clock}" for clock in flown.clocks]
    content = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<gpx version="1.1" creator="groundref" xmlns="http://www.topografix.com/GPX/1/1">\n'
        f"<trk><name>lesson</name>\n<trkseg>\n{_CELLS * count % tuple(cells)}</trkseg>\n</trk>\n</gpx>\n"
    ).encode()
    plain = json.loads(flown.document.replace(b"2026-05-01T", f"{day}T".encode()))
    plain["maneuvers"] = [
        _shaken(each, rng) for each in plain["maneuvers"] if rng.random() < 0.9
    ] or plain["maneuvers"]
    return content, (json.dumps(plain, ensure_ascii=False, indent=1) + "\n").encode()


def _shaken(value: Any, rng: np.random.Generator) -> Any:
    """Return figures that differ by some percent, at the number of digits that they had."""
    if isinstance(value, dict):
        return {key: _shaken(each, rng) for key, each in value.items()}
    if isinstance(value, list):
        return [_shaken(each, rng) for each in value]
    if isinstance(value, float):
        digits = len(repr(value).partition(".")[2])
        return round(value * (1 + 0.05 * rng.standard_normal()), digits)
    return value


def lessons(count: int) -> Iterator[Any]:
    """Yield lessons, each of its own."""
    from groundref import __version__
    from groundref.record.asked import Asked
    from groundref.record.lessons import NewLesson

    flown = [simulated(variant) for variant in range(4)]
    rng = np.random.default_rng(5)
    for number in range(count):
        day = FIRST + timedelta(days=number * DAYS // count)
        content, debrief = varied(flown[number % len(flown)], day, rng)
        yield NewLesson(
            ((f"lesson-{number + 1}.gpx", content),),
            Asked(),
            debrief,
            __version__,
            student=person(number % STUDENTS),
            instructor=person(STUDENTS + number % INSTRUCTORS),
            remarks="Second lap wide on the downwind side; better once the bank was led.",
        )


def build(path: Path, count: int) -> tuple[float, list[float]]:
    """Build the record; return the whole time and that of each ``add`` [s]."""
    from groundref.record.lessons import add
    from groundref.record.place import Place
    from groundref.record.store import open_record

    record = open_record(Place(path=path), make=True)
    start, times = time.perf_counter(), []
    with record.outside():  # as long as it is open, the log is not folded into the file at each lesson
        for lesson in lessons(count):
            times.append(timed(lambda lesson=lesson: add(record, lesson)))
    return time.perf_counter() - start, times


def main() -> None:
    parser = argparse.ArgumentParser(description="Measure the training record of groundref.")
    parser.add_argument("--lessons", type=int, default=10_000)
    parser.add_argument("--record", type=Path)
    parser.add_argument("--rounds", type=int, default=9)
    asked = parser.parse_args()
    path = asked.record
    if not path.exists():
        whole, times = build(path, asked.lessons)
        print(f"built in {whole:.0f} s; add: median {1000*statistics.median(times):.1f} ms, last hundred {1000*statistics.median(times[-100:]):.1f} ms")


if __name__ == "__main__":
    main()
