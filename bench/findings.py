"""Which common errors a debrief finds in simulated lessons, and what it says besides: prints a table.

Each line flies the same number of lessons with one error of its usual size, in winds, radii, directions and
laps drawn anew, and counts the lessons in which the error was found and all findings that name another one.
The lessons are groundref's own simulation, so this measures the assessment and not the world.
"""

from __future__ import annotations

import argparse
from collections import Counter
from math import radians

import numpy as np

from groundref.debriefing import debrief
from groundref.simulation import simulate
from groundref.simulation.faults import FAULTS
from groundref.units import foot, knot


def lesson(fault: str, recorder: str, number: int) -> list[str]:
    """Fly one lesson and return the names of what was found."""
    draw = np.random.default_rng([number, 77])
    recording, _ = simulate(
        seed=200 + number,
        recorder=recorder,
        faults={fault: None} if fault else {},
        wind_speed=draw.uniform(6, 18) * knot,
        wind_from=radians(draw.uniform(0, 360)),
        radius=draw.uniform(1000, 1500) * foot,
        laps=int(draw.integers(2, 4)),
        direction=("left", "right")[number % 2],
    )
    return [finding.fault for each in debrief(recording).maneuvers for finding in each.findings]


def main() -> None:
    """Fly, debrief, count and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lessons", type=int, default=5, help="lessons a line")
    parser.add_argument("--recorder", choices=["phone", "avionics", "adsb"], action="append")
    asked = parser.parse_args()
    print("| recorder | error flown | found in | others said |")
    print("| --- | --- | ---: | --- |")
    for recorder in asked.recorder or ["phone", "avionics"]:
        for fault in ("", *FAULTS):
            if fault == "uncoordinated" and recorder != "avionics":
                continue  # nothing else records lateral acceleration
            found = [lesson(fault, recorder, number) for number in range(asked.lessons)]
            others = Counter(name for names in found for name in names if name != fault)
            said = ", ".join(f"{name} {count}" for name, count in others.items()) or "none"
            hits = f"{sum(fault in names for names in found)} of {asked.lessons}" if fault else "-"
            print(f"| {recorder} | {fault or 'none'} | {hits} | {said} |", flush=True)


if __name__ == "__main__":
    main()
