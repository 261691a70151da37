"""Prints how far from its planned end each kind of maneuver ends, flown back open loop from its plan.

Run `python bench/plan_flyback.py`. Columns: steepest bank and way through the air, once through; then the
distance from the planned end by the rolls alone (ordered bank integrated), in the project's point mass
and in an airplane of six degrees of freedom, in metres, and the last also as a share of the way.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from math import degrees, radians
from pathlib import Path
from typing import Final

from groundref.aircraft.loading import load_aircraft
from groundref.planning import Blowing, Plan, Wanted, plan
from groundref.planning.kinds import LAYOUTS
from groundref.units import knot

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.planning.flyback import in_library, in_own_simulator, kinematic, way
from tests.planning.test_flyback import ROLL_RATE

AIRPLANES: Final = (("c172p", 98.0), ("J3Cub", 63.0))
WINDS: Final = (0.0, 14.0, 22.0)


def main() -> None:
    """Fly every kind back in every wind, both ways, and print where it ended."""
    print(f"{'kind':22} {'airplane':8} {'first':6} {'wind':>5} {'bank':>5} {'way':>6} ", end="")
    print(f"{'rolls':>6} {'own':>6} {'6 DOF':>6} {'share':>6}")
    worst: dict[tuple[str, str], float] = {}
    for kind in LAYOUTS:
        for airplane, speed in AIRPLANES:
            for direction in ("left", "right"):
                for wind in WINDS:
                    share = _flown(kind, airplane, speed, direction, wind)
                    worst[kind, airplane] = max(worst.get((kind, airplane), 0.0), share)
    print("\nworst share of the way, six degrees of freedom")
    for (kind, airplane), share in worst.items():
        print(f"{kind:22} {airplane:8} {share:6.1%}")


def _flown(kind: str, airplane: str, speed: float, direction: str, wind: float) -> float:
    """Print one line and return the share of the way."""
    made = _planned(kind, speed, direction, wind)
    rolls, own, library = (
        each.ends for each in (kinematic(made), in_own_simulator(made), in_library(made, airplane))
    )
    share = library / way(made)
    print(
        f"{kind:22} {airplane:8} {direction:6} {wind:2.0f} kt {degrees(made.extremes.bank_max):4.0f}° "
        f"{way(made):5.0f}m {rolls:5.0f}m {own:5.0f}m {library:5.0f}m {share:6.1%}"
    )
    return share


def _planned(kind: str, speed: float, direction: str, wind: float) -> Plan:
    return plan(
        kind,
        aircraft=replace(load_aircraft("high-wing-trainer"), roll_rate=ROLL_RATE),
        wind=Blowing(wind * knot, radians(240)),
        wanted=Wanted(true_airspeed=speed * knot, direction=direction),
    )


if __name__ == "__main__":
    main()
