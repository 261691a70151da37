"""Accuracy of a debrief against flights of an independent flight dynamics model: prints tables.

Run `python bench/accuracy.py --help` for its options. The figures of docs/accuracy.md are those of the
reserved block of draws; the development block is the one to improve an estimator on.
"""

from __future__ import annotations

import argparse
import sys
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict, fields
from pathlib import Path
from time import perf_counter

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.truth.flights import KNOT, TruthFlight, fly_circle
from tests.truth.grid import DEVELOPMENT, RESERVED, orders
from tests.truth.measure import Recorder, Score, Summary, first_harmonic, scores, summarize
from tests.truth.recorders import avionics, phone, with_airspeed

RECORDERS: dict[str, Recorder] = {
    "phone": phone,
    "phone+velocity": lambda truth, draw: phone(truth, draw, velocity=True),
    "phone+airspeed": with_airspeed,
    "avionics": avionics,
}
Key = Callable[[TruthFlight], object]
GROUPS: dict[str, Key] = {
    "all": lambda flight: "",
    "wind_kt": lambda flight: flight.order.wind_kt,
    "airplane": lambda flight: flight.order.airplane,
    "laps": lambda flight: flight.order.laps,
    "power": lambda flight: "tended" if flight.order.tends_power else "left as set",
}


def grouped(results: Iterable[Score], key: Key) -> dict[object, list[Score]]:
    """Return the results by group, in the order of the groups."""
    groups: dict[object, list[Score]] = defaultdict(list)
    for one in results:
        groups[key(one.flight)].append(one)
    return {name: groups[name] for name in sorted(groups, key=str)}


def columns(summaries: Sequence[tuple[str, Summary]]) -> str:
    """Return a table with one column a group and one line a figure."""
    lines = [" " * 26 + "".join(f"{name:>18}" for name, _ in summaries)]
    for field in fields(Summary):
        cells = "".join(f"{asdict(summary)[field.name]:18.3g}" for _, summary in summaries)
        lines.append(f"{field.name:26}{cells}")
    return "\n".join(lines)


def airspeed_table(flights: Sequence[TruthFlight]) -> str:
    """Return how far the airspeed varied once around, by wind: median and 95 % of the amplitude."""
    lines = ["wind_kt  flights  once-a-lap airspeed, kt: median, 95 %   without what height explains"]
    for wind in sorted({flight.order.wind_kt for flight in flights}):
        chosen = [flight for flight in flights if flight.order.wind_kt == wind]
        plain = np.array([first_harmonic(flight) for flight in chosen]) / KNOT
        energy = np.array([first_harmonic(flight, True) for flight in chosen]) / KNOT
        figures = [np.quantile(each, share) for each in (plain, energy) for share in (0.5, 0.95)]
        lines.append(f"{wind:7.0f}{len(chosen):9d}" + "".join(f"{figure:16.2f}" for figure in figures))
    return "\n".join(lines)


def main() -> None:
    """Fly, record, debrief, compare and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--development", action="store_true", help="use the development block of draws")
    parser.add_argument("--copies", type=int, default=3, help="36 flights each")
    parser.add_argument("--sloppiness", type=float, default=0.0, help="0 cleanly flown, 1 sloppily")
    parser.add_argument("--turbulence", type=float, default=0.0, help="wind at 20 ft, kt; 0 for smooth air")
    parser.add_argument("--by", choices=sorted(GROUPS), default="wind_kt")
    parser.add_argument("--recorder", choices=sorted(RECORDERS), action="append")
    parser.add_argument("--airspeed", action="store_true", help="only how the airspeed varied in the truth")
    asked = parser.parse_args()
    begun = perf_counter()
    block = DEVELOPMENT if asked.development else RESERVED
    asked_orders = orders(block, asked.copies, asked.sloppiness, asked.turbulence)
    flights = [fly_circle(order) for order in asked_orders]
    print(f"{len(flights)} flights flown in {perf_counter() - begun:.0f} s")
    if asked.airspeed:
        print(airspeed_table(flights))
        return
    for name in asked.recorder or RECORDERS:
        begun = perf_counter()
        results = scores(flights, RECORDERS[name])
        groups = {"all": results} | {str(k): v for k, v in grouped(results, GROUPS[asked.by]).items()}
        print(f"\n{name}, by {asked.by} ({perf_counter() - begun:.0f} s)")
        print(columns([(group, summarize(members)) for group, members in groups.items()]))


if __name__ == "__main__":
    main()
