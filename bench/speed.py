"""How long a debrief takes, beside what another program needs only to parse the same file.

    python3 run.py bench

Flies an hour and ten hours of invented lessons, writes each as a 1 Hz GPX, and prints: reading; everything
from the file to the JSON in one process; the same for ten hours; peak memory; the cold command; ``--help``;
the time that gpxpy needs to parse the hour, taken in turns with ours in the same process; and plans.
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
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from math import log
from pathlib import Path
from typing import Any

import numpy as np
from rich.console import Console
from rich.table import Table

HOUR = 3600.0


def lessons(hours: float) -> Any:
    """Return a recording of invented lessons one after the other, of that length at 1 Hz."""
    from groundref.simulation.lesson import LESSON_EPOCH, simulate
    from groundref.track.joining import join

    parts, flown, number = [], 0.0, 0
    while flown < hours * HOUR:
        number += 1
        recording, _ = simulate(
            seed=number,
            direction="left" if number % 2 else "right",
            epoch=LESSON_EPOCH + timedelta(seconds=flown),
            faults={"overbanked-upwind": None} if number % 3 == 0 else None,
        )
        parts.append(recording)
        flown += float(np.nanmax(recording.time)) + 60.0
    whole = join(parts)
    return replace(whole.take(whole.time < hours * HOUR), source=f"{hours:g} h of lessons", part=None)


SIX = (
    "s-turns",
    "turns-around-a-point",
    "rectangular-course",
    "eights-around-pylons",
    "eights-on-pylons",
    "steep-turns",
)


def six_maneuvers() -> Any:
    """Return the recording of one lesson with six kinds of maneuver, an hour at 1 Hz."""
    from math import radians

    from groundref.simulation import Exercise, Weather, simulate_many
    from groundref.standards.usual import usual
    from groundref.units import foot, knot

    exercises = [
        Exercise(
            kind=kind,
            east=6000.0 * (number % 3),
            north=6000.0 * (number // 3),
            radius=1200 * foot,
            side=1.0 if number % 2 else -1.0,
            wind_speed=10 * knot,
            downwind=radians(60),
            laps=usual(kind).laps,
            height=usual(kind).height,
            speed=95 * knot,
            bank_limit=usual(kind).bank,
        )
        for number, kind in enumerate(SIX)
    ]
    recording, _ = simulate_many(exercises, Weather.blowing(10 * knot, radians(240)))
    return replace(recording, source="a lesson of six maneuvers")


def glider_day(hours: float = 24.0) -> Any:
    """Return a day of thermal climbs and glides at 1 Hz: nothing but turns, and not one maneuver."""
    from math import radians

    from groundref.simulation import Weather, airborne, compose
    from groundref.simulation.airplane import GLIDER
    from groundref.simulation.legs import Straight
    from groundref.simulation.lesson import LESSON_EPOCH
    from groundref.simulation.patterns import thermal_climb
    from groundref.track.joining import join

    weather, parts, flown = Weather.blowing(5.0, radians(240)), [], 0.0
    glide = Straight(height=0.0, speed=25.0, seconds=240.0)
    while flown < hours * HOUR:
        legs = [leg for turns in (9.0, 12.0, 8.0, 14.0) for leg in (*thermal_climb(turns=turns), glide)]
        start = airborne(0.0, 0.0, 900.0, radians(30), 23.0, weather)
        recording, _ = compose(
            legs,
            start,
            airplane=GLIDER,
            weather=weather,
            seed=1 + len(parts),
            epoch=LESSON_EPOCH + timedelta(seconds=flown),
        )
        parts.append(recording)
        flown += float(np.nanmax(recording.time)) + 2.0
    return replace(join(parts), source=f"{hours:g} h of gliding", part=None)


def make(folder: Path, recording: Any, name: str) -> Path:
    from groundref.simulation.write import write

    path = folder / f"{name}.gpx"
    write(recording, path)
    return path


def timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def everything(path: Path) -> bytes:
    """Do in this process all that ``groundref debrief PATH --json`` does, but for writing the file."""
    from groundref import debrief, export, read

    return export.to_json(debrief(read(path)).to_dict())


def in_turns(path: Path, rounds: int) -> dict[str, list[float]]:
    """Measure reading, the whole debrief and gpxpy's parse one after the other, several times."""
    import gpxpy

    from groundref import read

    def parse() -> None:
        with path.open(encoding="utf-8") as stream:
            gpxpy.parse(stream)

    jobs: dict[str, Callable[[], object]] = {
        "read": lambda: read(path),
        "everything": lambda: everything(path),
        "gpxpy": parse,
    }
    first = {name: [timed(job)] for name, job in jobs.items()}  # loads what is loaded when first used
    for _ in range(rounds):
        for name, job in jobs.items():
            first[name].append(timed(job))
    return first


PLANNED = (
    "turns-around-a-point",
    "--metar",
    "KXYZ 121753Z 24009KT 10SM 22/12 A2992",
    "--elevation-ft",
    "620",
)


def plan_in_turns(rounds: int) -> dict[str, list[float]]:
    """Measure a plan of each kind to its JSON as plain data, in this process, once it is warm."""
    from math import radians

    from groundref.planning import Blowing, plan
    from groundref.planning.kinds import LAYOUTS
    from groundref.units import knot

    wind = Blowing(14 * knot, radians(240))
    found: dict[str, list[float]] = {kind: [] for kind in LAYOUTS}
    for kind in LAYOUTS:
        plan(kind, wind=wind).to_dict()
    for _ in range(rounds):
        for kind, times in found.items():
            times.append(timed(lambda kind=kind: plan(kind, wind=wind).to_dict()))
    return found


def peak(path: Path) -> int:
    """Return the peak memory of this process after a debrief [MB]."""
    import resource

    everything(path)
    unit = 1 if sys.platform == "darwin" else 1024
    return int(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit / 1e6)


def child(*words: str) -> Any:
    """Run a part of this file in a fresh process and return what it printed."""
    done = subprocess.run(
        [sys.executable, __file__, *words], check=True, stdout=subprocess.PIPE, text=True, env=os.environ
    )
    return json.loads(done.stdout)


def command(*words: str, rounds: int) -> tuple[float, float]:
    """Return the least and the median wall time of the command; a busy machine parts the two [s]."""
    program = Path(sys.executable).with_name("groundref.exe" if os.name == "nt" else "groundref")
    times = [
        timed(lambda: subprocess.run([program, *words], check=True, stdout=subprocess.DEVNULL))
        for _ in range(rounds)
    ]
    return min(times), statistics.median(times)


def report(rounds: int) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        hour, ten = make(folder, lessons(1), "1h"), make(folder, lessons(10), "10h")
        six, day = make(folder, six_maneuvers(), "six"), make(folder, glider_day(), "day")
        turns = child("turns", str(hour), str(rounds))
        turns_ten = child("turns", str(ten), str(max(1, rounds // 3)))
        turns_six = child("turns", str(six), str(rounds))
        turns_day = child("turns", str(day), "1")
        median_six = {job: statistics.median(times[1:]) for job, times in turns_six.items()}
        median = {job: statistics.median(times[1:]) for job, times in turns.items()}
        median_ten = {job: statistics.median(times[1:]) for job, times in turns_ten.items()}
        memory = None if os.name == "nt" else (child("peak", str(hour)), child("peak", str(ten)))
        cold = command("debrief", str(hour), "--json", str(folder / "out.json"), "--quiet", rounds=rounds)
        help_ = command("--help", rounds=rounds)
        planned = command("plan", *PLANNED, "--json", str(folder / "plan.json"), rounds=rounds)
        briefed = command("plan", *PLANNED, "--pdf", str(folder / "brief.pdf"), rounds=rounds)
    plans = child("plans", "-", str(rounds))
    whole, parse = median["everything"], median["gpxpy"]
    # Time grows as samples to this power; 1 is linear. The least times are the least disturbed.
    growth = log(min(turns_ten["everything"]) / min(turns["everything"])) / log(10)
    of_six = median_six["everything"] / median_six["gpxpy"]
    of_day = turns_day["everything"][1] / turns_day["gpxpy"][1]
    rows: list[tuple[str, str, str, bool | None]] = [
        ("gpxpy parses 1 h", f"{parse:.3f} s", "", None),
        ("read 1 h", f"{median['read']:.3f} s", "", None),
        ("file to JSON, 1 h", f"{whole:.3f} s", "", None),
        ("  the first time in a process", f"{turns['everything'][0]:.3f} s", "", None),
        ("  over gpxpy's parse", f"{whole / parse:.2f}", "≤ 1.0, aim 0.5", whole / parse <= 1.0),
        ("file to JSON, 10 h", f"{median_ten['everything']:.3f} s", "", None),
        ("  grows as samples to the power", f"{growth:.2f}", "≤ 1.1, linear is 1", growth <= 1.1),
        ("  over gpxpy's parse of 10 h", f"{median_ten['everything'] / median_ten['gpxpy']:.2f}", "", None),
        ("file to JSON, a lesson of six maneuvers", f"{median_six['everything']:.3f} s", "", None),
        ("  over gpxpy's parse of it", f"{of_six:.2f}", "≤ 1.5", of_six <= 1.5),
        ("file to JSON, 24 h of gliding", f"{turns_day['everything'][1]:.2f} s", "", None),
        ("  over gpxpy's parse of it", f"{of_day:.2f}", "≤ 1.5", of_day <= 1.5),
    ]
    if memory is not None:
        rows.append(("peak memory, 1 h", f"{memory[0]} MB", "≤ 250 MB", memory[0] <= 250))
        rows.append(("peak memory, 10 h", f"{memory[1]} MB", "", None))
    for kind, times in plans.items():
        least, middle = min(times), statistics.median(times)
        shown = f"{1000 * least:.1f} ms, median {1000 * middle:.1f} ms"
        rows.append((f"plan of {kind}", shown, "≤ 20 ms", least <= 0.020))
    for what, (least, middle), target in (
        ("cold command, 1 h", cold, 1.2),
        ("cold command, a plan from a METAR", planned, 0.8),
        ("cold command, the same with its brief", briefed, 1.5),
        ("--help", help_, 0.3),
    ):
        rows.append((what, f"{least:.2f} s, median {middle:.2f} s", f"≤ {target} s", least <= target))
    show(rows)


def show(rows: list[tuple[str, str, str, bool | None]]) -> None:
    table = Table("what", "measured", "to reach", "", box=None, padding=(0, 2, 0, 0))
    for what, measured, target, met in rows:
        table.add_row(what, measured, target, "" if met is None else "reached" if met else "MISSED")
    Console(width=100).print(table)


def main() -> None:
    parser = argparse.ArgumentParser(description="Measure the speed of groundref.")
    parser.add_argument("job", nargs="?", choices=["all", "turns", "peak", "plans"], default="all")
    parser.add_argument("path", nargs="?", type=Path)
    parser.add_argument("rounds", nargs="?", type=int, default=9)
    asked = parser.parse_args()
    if asked.job == "turns":
        print(json.dumps(in_turns(asked.path, asked.rounds)))
    elif asked.job == "plans":
        print(json.dumps(plan_in_turns(asked.rounds)))
    elif asked.job == "peak":
        print(json.dumps(peak(asked.path)))
    else:
        report(asked.rounds)


if __name__ == "__main__":
    main()
