"""How fast and how large the training record is with years of a school's lessons in it.

    python bench/record.py [--lessons 10000] [--record FILE] [--rounds 9]

Builds a record of invented lessons of one hour (40 students, 6 instructors, two years), each with its own
recording at 1 Hz and its own debrief of four to six maneuvers, and prints what a lesson takes and how long
the commands need; what it is doing meanwhile is said on standard error. Where other programs compete for the
processor, the least times tell most. A record that is there already, named with --record, is measured without
building it again; what changes it is done to a copy.
"""

from __future__ import annotations

import argparse
import json
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial
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
    plain["maneuvers"] = [_shaken(each, rng) for each in plain["maneuvers"] if rng.random() < 0.9] or plain[
        "maneuvers"
    ]
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


def lessons(count: int, seed: int = 5) -> Iterator[Any]:
    """Yield lessons, each of its own; those of another seed are others."""
    from groundref import __version__
    from groundref.record.asked import Asked
    from groundref.record.lessons import NewLesson

    flown = [simulated(variant) for variant in range(4)]
    rng = np.random.default_rng(seed)
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


def build(path: Path, count: int) -> float:
    """Build the record; return the time it took [s]."""
    from groundref.record.lessons import add
    from groundref.record.place import Place
    from groundref.record.store import open_record

    record = open_record(Place(path=path), make=True)
    start = time.perf_counter()
    with record.outside():  # as long as it is open, the log is not folded into the file at each lesson
        for number, lesson in enumerate(lessons(count), start=1):
            add(record, lesson)
            if number % 500 == 0 or number == count:
                say(f"{number:,} of {count:,} lessons are in the record")
    return time.perf_counter() - start


def say(what: str) -> None:
    print(f"{time.strftime('%H:%M:%S')} {what}", file=sys.stderr, flush=True)


def sizes(path: Path) -> dict[str, float]:
    """Return what a lesson takes, by what it is [kB]."""
    kilobytes = "SELECT COALESCE(SUM(LENGTH(packed)), 0) / 1e3 FROM content WHERE id IN (SELECT {} FROM {})"
    with closing(sqlite3.connect(path)) as connection:
        count = connection.execute("SELECT COUNT(*) FROM lesson").fetchone()[0]
        recordings, documents = (
            connection.execute(kilobytes.format(column, table)).fetchone()[0] / count
            for column, table in (("content_id", "recording"), ("document_id", "result"))
        )
    whole = path.stat().st_size / 1e3 / count
    return {"lessons": count, "whole": whole, "recording": recordings, "debrief": documents}


def in_process(path: Path, rounds: int) -> dict[str, list[float]]:
    """Measure what the commands do once they are loaded, one after the other, several times [s]."""
    from groundref.progress import progress
    from groundref.record.lessons import flown_by, listed, number_of_lessons, shown
    from groundref.record.place import Place
    from groundref.record.store import open_record

    store = open_record(Place(path=path))

    def list_(most: int | None = 20, student: str | None = None) -> None:
        with store.reading() as connection:
            listed(connection, most=most, student=student)
            number_of_lessons(connection)

    def of_student(*, told: bool) -> None:
        with store.reading() as connection:
            name, flown = flown_by(connection, person(1))
        if told:
            progress(name, flown)

    def show_() -> None:
        with store.reading() as connection:
            shown(connection, 2)

    jobs: dict[str, Callable[[], None]] = {
        "list": list_,
        "list of a student": partial(list_, student=person(1)),
        "list --all": partial(list_, most=None),
        "show": show_,
        "a student's lessons read": partial(of_student, told=False),
        "a student's progress": partial(of_student, told=True),
    }
    return {name: measured(name, job, rounds) for name, job in jobs.items()}


def measured(name: str, job: Callable[[], object], rounds: int) -> list[float]:
    say(name)
    job()  # loads what is loaded when first used
    return [timed(job) for _ in range(rounds)]


def changing(path: Path, folder: Path, rounds: int) -> dict[str, list[float]]:
    """Measure the rest on a copy: backup, add, check, a student's part out and in, forgetting [s]."""
    from groundref.export import to_table
    from groundref.record.checking import check
    from groundref.record.copying import copy_to
    from groundref.record.folder.read import brought
    from groundref.record.folder.take import take
    from groundref.record.folder.write import write_folder
    from groundref.record.forgetting import Judged, forget, look
    from groundref.record.lessons import add
    from groundref.record.migrations import NEWEST
    from groundref.record.place import Place
    from groundref.record.store import open_record
    from groundref.record.wiping import wipe

    store, copy = open_record(Place(path=path)), Place(path=folder / "copy.sqlite")
    found: dict[str, list[float]] = {}

    def once(name: str, job: Callable[[], object]) -> None:
        say(name)
        found[name] = [timed(job)]

    once("backup", lambda: copy_to(store, folder / "copy.sqlite", NEWEST))
    record = open_record(copy)
    say("add, beyond the debrief")
    new = [replace(lesson, student=person(1)) for lesson in lessons(rounds + 1, seed=6)]
    add(record, new[0])  # loads what is loaded when first used
    found["add, beyond the debrief"] = [timed(lambda each=each: add(record, each)) for each in new[1:]]
    once("check", lambda: check(record))
    part = folder / "part"
    once("export of a student's part", lambda: write_folder(record, part, student=person(3), tabled=to_table))

    def import_() -> None:
        with brought(part, beside=folder) as read:
            take(open_record(Place(path=folder / "own.sqlite"), make=True), read)

    once("import of it into an empty record", import_)
    judged = Judged()
    once(
        "forget: looking through everything",
        lambda: look(record, person(2), keep_lessons=False, judged=judged),
    )
    once(
        "forget: taking out, and wiping",
        lambda: (forget(record, person(2), keep_lessons=False, judged=judged), wipe(record)),
    )
    return found


def cold(path: Path, rounds: int) -> dict[str, list[float]]:
    """Measure whole commands, from their start to their end [s]."""
    commands = {
        "command: list --last 1": ("list", "--last", "1"),
        "command: list": ("list",),
        "command: progress": ("progress", person(1)),
        "command: show": ("show", "2"),
    }
    return {
        name: measured(name, partial(_run, "record", *words, "--record", str(path)), rounds)
        for name, words in commands.items()
    }


def _run(*words: str) -> None:
    command = [sys.executable, "-m", "groundref", *words]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)


TARGETS = {
    "list": 0.100,
    "a student's progress": 0.200,
    "add, beyond the debrief": 0.150,
    "command: list --last 1": 0.500,
}


def report(path: Path, rounds: int, built: float | None) -> None:
    size = sizes(path)
    rows: list[tuple[str, str, str, bool | None]] = [
        ("lessons", f"{size['lessons']:,.0f}", "", None),
        ("a lesson takes", f"{size['whole']:.1f} kB", "", None),
        ("  its recording, packed", f"{size['recording']:.1f} kB", "", None),
        ("  its debrief, packed", f"{size['debrief']:.1f} kB", "", None),
        (
            "  its rows and their indexes",
            f"{size['whole'] - size['recording'] - size['debrief']:.1f} kB",
            "",
            None,
        ),
    ]
    if built is not None:
        rows.append(("made and put in, each lesson", f"{1000 * built / size['lessons']:.0f} ms", "", None))
    with tempfile.TemporaryDirectory(dir=path.parent) as folder:
        found = in_process(path, rounds) | cold(path, rounds) | changing(path, Path(folder), rounds)
    for name, times in found.items():
        least, middle = min(times), statistics.median(times)
        shown = f"{_time(least)}, median {_time(middle)}" if len(times) > 1 else _time(least)
        target = TARGETS.get(name)
        rows.append((name, shown, "" if target is None else f"≤ {_time(target)}", target and least <= target))
    show(rows)


def _time(seconds: float) -> str:
    return f"{1000 * seconds:.0f} ms" if seconds < 1 else f"{seconds:.1f} s"


def main() -> None:
    parser = argparse.ArgumentParser(description="Measure the training record of groundref.")
    parser.add_argument("--lessons", type=int, default=10_000)
    parser.add_argument("--record", type=Path)
    parser.add_argument("--rounds", type=int, default=9)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = asked.record or Path(folder) / "record.sqlite"
        built = None if path.exists() else build(path, asked.lessons)
        report(path, asked.rounds, built)


if __name__ == "__main__":
    main()
