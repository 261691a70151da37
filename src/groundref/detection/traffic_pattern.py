"""Circuits of an airport, as ordinary flying that competes with the rectangular course.

The shape is the same and says the same for both; what tells them apart is a landing, a touch-and-go or a low
approach, the climb on the way up and the descent on the way down, and the airspeed that goes with them.
"""

from __future__ import annotations

from typing import Final

from groundref.detection.candidate import Candidate, Cut, Ground
from groundref.detection.circuit import Circuit, circuits, goes_low
from groundref.detection.circuit_evidence import likeliest_readings, shape_evidence
from groundref.estimation.states import States

KIND: Final = "traffic-pattern"
PRIOR: Final = 1.0  # circuits are flown on most flights
LOW_PASS: Final = 3.0  # what a landing or a low approach is worth
SAME_LINE: Final = 0.3  # circuits of an airport vary more than a practice maneuver


def propose(states: States, cut: Cut, ground: Ground) -> list[Candidate]:
    """Propose circuits of an airport; they are not reported as maneuvers.

    Parameters
    ----------
    states, cut
        The flight and its first cut.
    ground
        What is known about places on the ground.
    """
    found = [circuit for chain in cut.chains for circuit in circuits(states, chain, SAME_LINE)]
    return likeliest_readings(
        [Candidate(KIND, circuit.start, circuit.end, _log_odds(states, circuit)) for circuit in found]
    )


def _log_odds(states: States, circuit: Circuit) -> float:
    """Return the log-odds of a circuit of an airport; it may be low on the way in or out."""
    low = LOW_PASS if goes_low(states, *circuit.led) else 0.0
    return PRIOR + shape_evidence(states, circuit) + low
