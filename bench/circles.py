"""Accuracy of a debrief against flights of an independent flight dynamics model: prints tables.

Run `python bench/circles.py --help` for its options. The figures of docs/accuracy.md are those of the
reserved block of draws; the development block is the one to improve an estimator on.
"""

from __future__ import annotations

import argparse
import sys
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from time import perf_counter

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.truth.flights import KNOT, TruthFlight, fly_circle
from tests.truth.grid import CONDITIONS, DEVELOPMENT, RESERVED, condition, mix
from tests.truth.measure import Recorder, Score, Summary, first_harmonic, scores, summarize, wind_bound
from tests.truth.recorders import avionics, phone, with_airspeed

RECORDERS: dict[str, Recorder] = {
    "phone": phone,
    "phone with ground velocity": lambda truth, draw: phone(truth, draw, velocity=True),
    "phone with airspeed": with_airspeed,
    "panel": avionics,
}
Key = Callable[[TruthFlight], object]
GROUPS: dict[str, Key] = {
    "condition": lambda flight: condition(flight.order),
    "wind": lambda flight: f"{flight.order.wind_kt:2.0f} kt",
    "airplane": lambda flight: flight.order.airplane,
    "laps": lambda flight: flight.order.laps,
    "laps and wind": lambda flight: f"{flight.order.laps} in {flight.order.wind_kt:2.0f} kt",
    "power": lambda flight: "tended" if flight.order.tends_power else "left as set",
}
TABLES: dict[str, dict[str, str]] = {
    "errors": {
        "flights": "flights",
        "wind_median_kt": "wind, median kt",
        "wind_95_kt": "95 %",
        "tas_median_kt": "TAS, median kt",
        "tas_95_kt": "95 %",
        "point_median_m": "point, median m",
        "point_95_m": "95 %",
        "radius_median_percent": "radius, median %",
        "radius_95_percent": "95 %",
        "bank_rms_deg": "bank, rms °",
        "height_rms_ft": "height, rms ft",
    },
    "found": {
        "flights": "flights",
        "once": "found once, right way, %",
        "laps_right": "laps right, %",
        "drifts": "said to drift, %",
        "start_95_s": "start, 95 % s",
        "start_max_s": "most",
        "end_95_s": "end, 95 % s",
        "end_max_s": "most",
    },
    "inside": {
        "flights": "flights",
        "wind_inside": "wind, %",
        "tas_inside": "TAS, %",
        "point_inside": "point, %",
        "radius_inside": "radius, %",
        "bank_inside": "bank, %",
        "height_inside": "height, %",
    },
    "ratios": {
        "wind_stated_kt": "wind stated, kt",
        "wind_ratio": "wind",
        "tas_ratio": "TAS",
        "point_ratio": "point",
        "radius_ratio": "radius",
        "bank_ratio": "bank",
        "height_ratio": "height",
    },
}
"""Figures of `Summary` by table: errors; what was found; shares of truths within the stated 95 %; error over
stated standard deviation, root mean square."""

SHARES = {"once", "laps_right", "drifts"} | {key for key in TABLES["inside"] if key.endswith("_inside")}


def grouped(results: Iterable[Score], key: Key) -> dict[str, list[Score]]:
    """Return the results by group, in the order of the groups, all together first."""
    groups: dict[str, list[Score]] = defaultdict(list)
    for one in results:
        groups["all"].append(one)
        groups[str(key(one.flight))].append(one)
    rank = {name: index for index, name in enumerate(("all", *CONDITIONS))}
    return {name: groups[name] for name in sorted(groups, key=lambda name: (rank.get(name, 9), name))}


def cell(figure: float) -> str:
    """Return a figure with two or more digits, or a count as it is."""
    if isinstance(figure, int):
        return str(figure)
    return f"{figure:.2f}" if abs(figure) < 10 else f"{figure:.0f}"


def percent(share: float) -> str:
    """Return a share of flights or samples in per cent."""
    return f"{100 * share:.1f}"


def table(summaries: Mapping[str, Summary], chosen: Mapping[str, str], by: str) -> str:
    """Return a Markdown table with one line a group."""
    lines = [f"| {by} | " + " | ".join(chosen.values()) + " |", "| --- " + "| ---: " * len(chosen) + "|"]
    for name, summary in summaries.items():
        figures = asdict(summary)
        cells = [percent(figures[key]) if key in SHARES else cell(figures[key]) for key in chosen]
        lines.append(f"| {name} | " + " | ".join(cells) + " |")
    return "\n".join(lines)


def limits_table(flights: Sequence[TruthFlight], key: Key, by: str) -> str:
    """Return what limits the wind that positions tell: their errors, and airspeed in step with the lap."""
    groups: dict[str, list[TruthFlight]] = defaultdict(list)
    for flight in flights:
        groups[str(key(flight))].append(flight)
    lines = [
        f"| {by} | flights | least wind error, median kt | airspeed once a lap, median kt | 95 % |",
        "| --- | ---: | ---: | ---: | ---: |",
    ]
    for name, members in sorted(groups.items()):
        least = np.median([wind_bound(flight) for flight in members]) / KNOT
        once = np.quantile([first_harmonic(flight) for flight in members], (0.5, 0.95)) / KNOT
        lines.append(f"| {name} | {len(members)} | {least:.2f} | {once[0]:.2f} | {once[1]:.2f} |")
    return "\n".join(lines)


def main() -> None:
    """Fly, record, debrief, compare and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--development", action="store_true", help="use the development block of draws")
    parser.add_argument("--copies", type=int, default=2, help="36 flights each, in every condition")
    parser.add_argument("--condition", choices=CONDITIONS, action="append")
    parser.add_argument("--by", choices=tuple(GROUPS), action="append")
    parser.add_argument("--recorder", choices=tuple(RECORDERS), action="append")
    parser.add_argument("--table", choices=tuple(TABLES), action="append")
    parser.add_argument("--limits", action="store_true", help="also what limits the wind, from the truth")
    asked = parser.parse_args()
    begun = perf_counter()
    ordered = mix(DEVELOPMENT if asked.development else RESERVED, asked.copies)
    flights = [fly_circle(order) for name in asked.condition or CONDITIONS for order in ordered[name]]
    print(f"{len(flights)} flights flown in {perf_counter() - begun:.0f} s")
    groupings = asked.by or ["condition"]
    if asked.limits:
        for by in groupings:
            print(f"\nlimits, by {by}\n\n{limits_table(flights, GROUPS[by], by)}")
    for name in asked.recorder or RECORDERS:
        results = scores(flights, RECORDERS[name])
        for by in groupings:
            groups = {group: summarize(one) for group, one in grouped(results, GROUPS[by]).items()}
            for kind in asked.table or TABLES:
                print(f"\n{kind}: {name}, by {by}\n\n{table(groups, TABLES[kind], by)}")


if __name__ == "__main__":
    main()
