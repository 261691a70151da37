"""From the states of a flight to its maneuvers: all kinds propose, one explanation is chosen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from groundref.detection import (
    eights,
    on_pylons,
    ordinary_patterns,
    rectangular_course,
    s_turns,
    steep_turns,
    traffic_pattern,
    turns_around_a_point,
)
from groundref.detection.candidate import NOTHING_GIVEN, Candidate, Cut, Ground
from groundref.detection.circling import LEAST_TURNED, circling
from groundref.detection.explain import Explained, explain
from groundref.detection.loops import carried_rows, rows
from groundref.detection.maneuver import Maneuver
from groundref.detection.segments import turning_stretches
from groundref.detection.squares import square_chains
from groundref.estimation.states import States
from groundref.units import degree

LEAST_TURN: Final = 45 * degree

Propose = Callable[[States, Cut, Ground], list[Candidate]]
PROPOSERS: Final[tuple[Propose, ...]] = (
    turns_around_a_point.propose,
    on_pylons.propose,
    eights.propose,
    s_turns.propose,
    rectangular_course.propose,
    steep_turns.propose,
    traffic_pattern.propose,
    ordinary_patterns.propose,
)


def detect(states: States, ground: Ground = NOTHING_GIVEN) -> list[Maneuver]:
    """Find the maneuvers of a flight, in the order flown.

    Parameters
    ----------
    states
        The flight.
    ground
        What is known about places on the ground.
    """
    cut = first_cut(states)
    candidates = [candidate for propose in PROPOSERS for candidate in propose(states, cut, ground)]
    return [_built(one) for one in explain(candidates) if one.candidate.build is not None]


def _built(explained: Explained) -> Maneuver:
    """Return the maneuver with its confidence and with what else it may have been."""
    assert explained.candidate.build is not None  # ordinary flying is left out before
    maneuver = explained.candidate.build(explained.probability)
    return replace(maneuver, alternatives=explained.alternatives)


def first_cut(states: States) -> Cut:
    """Return the stretches of turning that all kinds look at."""
    turnings = tuple(turning_stretches(states, LEAST_TURN))
    circles = (circling(states, one) for one in turnings if abs(one.turn) >= LEAST_TURNED)
    return Cut(
        turnings=turnings,
        circles=tuple(one for one in circles if one is not None),
        rows=tuple(rows(states, turnings)),
        carried=tuple(carried_rows(states, turnings)),
        chains=tuple(square_chains(states)),
    )
