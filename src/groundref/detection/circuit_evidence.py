"""What legs round a rectangle say: evidence that rectangular courses and circuits of an airport share.

Each piece is a log-odds against going round at large, with its reason:

* **closing**: the legs of a side lie on one line, time after time, and each further leg on it counts;
* **corners**: the legs are square to each other, and opposite legs are equally long;
* **size**: sides of about a mile, flown a quarter to half a mile outside (AC 61-21, chapter 11);
* **legs**: on every side more of the time is flown straight than in turns;
* **level**: one altitude all the way; circuits of an airport climb and descend, and so may their speeds. This
  one alone tells the two apart.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.detection.candidate import Candidate
from groundref.detection.circuit import Circuit, leg_length, straight_share
from groundref.detection.evidence import density, log_ratio
from groundref.estimation.states import States
from groundref.units import degree, foot, knot, nautical_mile

SAME_STRETCH: Final = 0.6  # of their time in common, from which two readings are of one stretch


def shape_evidence(states: States, circuit: Circuit) -> float:
    """Return what the legs say for going round one rectangle.

    Parameters
    ----------
    states, circuit
        The flight and the legs looked at.
    """
    fitted, flown = circuit.fitted, circuit.fitted.rectangle
    odds = sum(_closing_evidence(apart) for apart in fitted.again)
    uneven = opposite_legs_differ(states, circuit)
    odds += log_ratio(density(uneven, 0.0, 0.15), density(uneven, 0.0, 0.6), -4.0, 1.0)
    square = fitted.square / degree
    odds += log_ratio(density(square, 0.0, 6.0), density(square, 0.0, 20.0), -3.0, 1.0)
    size = np.log(np.sqrt(flown.length * flown.width))
    odds += log_ratio(
        density(size, np.log(1.1 * nautical_mile), 0.4), density(size, np.log(2.5 * nautical_mile), 0.8)
    )
    straight = straight_share(circuit.legs)
    odds += log_ratio(density(straight, 0.7, 0.15), density(straight, 0.4, 0.25), -3.0, 0.5)
    return odds


def _closing_evidence(apart: float) -> float:
    """Return what a leg says that lies so far from those before it on its side [m]."""
    # One leg in four is blown off or woven.
    again = 0.75 * density(apart, 0.0, 60.0) + 0.25 * density(apart, 0.0, 150.0)
    return log_ratio(again, density(apart, 0.0, 600.0), -5.0, 2.0)


def opposite_legs_differ(states: States, circuit: Circuit) -> float:
    """Return how far the lengths of opposite legs differ: root mean square of the logarithm of their ratio.

    The first and the last leg are left out: they are not flown all the way.

    Parameters
    ----------
    states, circuit
        The flight and the legs looked at.
    """
    inner = circuit.legs[1:-1]
    length = np.array([leg_length(states, leg) for leg in inner])
    return float(np.sqrt(np.mean(np.log(np.maximum(length[2:], 1.0) / np.maximum(length[:-2], 1.0)) ** 2)))


def level_evidence(states: States, circuit: Circuit) -> float:
    """Return what altitude and airspeed say for the practice maneuver; 0 where they are not known.

    Parameters
    ----------
    states, circuit
        The flight and the legs looked at.
    """
    part, odds = slice(circuit.first, circuit.last + 1), 0.0
    if states.altitude is not None:
        wander = np.log(max(float(np.std(states.altitude[part])), 2.0) / foot)
        # Up to a circuit of 1,000 ft and down again makes 300 ft; few stay near its altitude all the way.
        pattern = 0.9 * density(wander, np.log(300.0), 0.4) + 0.1 * density(wander, np.log(120.0), 0.6)
        odds += log_ratio(density(wander, np.log(40.0), 0.7), pattern, -3.0, 4.0)
    airspeed = states.true_airspeed[part]
    if np.isfinite(airspeed).all():
        wander = np.log(max(float(np.std(airspeed)), 0.3) / knot)
        odds += log_ratio(density(wander, np.log(2.5), 0.6), density(wander, np.log(8.0), 0.6), -1.5, 1.0)
    return odds


def likeliest_readings(proposed: list[Candidate]) -> list[Candidate]:
    """Return the candidates without those of which a likelier one explains the same stretch.

    Parameters
    ----------
    proposed
        Candidates of one kind, in any order.
    """
    kept: list[Candidate] = []
    for one in sorted(proposed, key=lambda one: -one.log_odds):
        if not any(_same_stretch(one, other) for other in kept):
            kept.append(one)
    return kept


def _same_stretch(one: Candidate, other: Candidate) -> bool:
    common = min(one.end, other.end) - max(one.start, other.start)
    return common > SAME_STRETCH * (max(one.end, other.end) - min(one.start, other.start))
