"""Whether loops one way and then the other are an elementary eight at all, against ordinary flying.

Each piece of evidence is a log-odds with its reason; they are named in `eights`, which tells which of
three kinds it was.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Final

import numpy as np

from groundref.detection import ordinary
from groundref.detection.carried import arc_drift
from groundref.detection.evidence import LOW, density, height_evidence, log_ratio, size_evidence
from groundref.detection.loop import SETTLED
from groundref.detection.loops import ALL_ROUND, Row, expected_turn
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.units import degree

ALONG: Final = "eights-along-a-road"
ACROSS: Final = "eights-across-a-road"
AROUND: Final = "eights-around-pylons"
ELEMENTARY: Final = (ALONG, ACROSS, AROUND)

PRIOR: Final = -0.5  # two loops one way and the other, before they are looked at closer
TWO_LOOPS: Final = 2.0
EACH_FURTHER: Final = 1.0
# What radii and layout may say at most: eights on pylons are alike in both, and must not lose by it.
IN_COMMON: Final = 0.4
STEEP: Final = 38 * degree  # above it, steep turns are meant
HELD_BANK: Final = -1.5
LETS_GO: Final = 0.125  # of students: carried away; as many drift and get back between the loops; own figure
# Of elementary eights: no published figure says which is flown more often.
USUAL: Final = {ALONG: 1.0 / 3.0, ACROSS: 1.0 / 3.0, AROUND: 1.0 / 3.0}
ROUND: Final = (346.0, 11.0)  # [°] turn of a loop along a road, what rolling takes off; on simulated flights
PART: Final = (262.0, 28.0)  # [°] turn of a loop of the others


def log_odds(states: States, row: Row, wind: Wind | None) -> float:
    """Return the log-odds that loops were flown as an elementary eight."""
    odds = PRIOR + TWO_LOOPS + EACH_FURTHER * min(len(row.loops) - 2, 2)
    odds += _places_evidence(row) + _radius_evidence(row) + _layout_evidence(row) + _turn_evidence(row)
    odds += _center_evidence(states, row, wind) + _bank_evidence(row) + size_evidence(row.radius, wind, -1.5)
    return odds + height_evidence(states, *samples(states, row), LOW)


def _places_evidence(row: Row) -> float:
    """The centers of every other loop: the same within errors, or only nearby."""
    total = 0.0
    for one, other in zip(row.loops, row.loops[2:], strict=False):
        apart = float(np.hypot(*np.subtract(one.center, other.center))) / row.radius
        total += log_ratio(density(apart, 0.0, 0.15), density(apart, 0.35, 0.35), -2.0, 2.0)
    return float(np.clip(total, -3.0, 3.0))


def _radius_evidence(row: Row) -> float:
    """How alike the radii are: ratio of one to the next, spread by 12 % against 40 %."""
    total = 0.0
    for one, other in pairwise(row.radii):
        ratio = float(np.log(other / one))
        total += log_ratio(density(ratio, 0.0, 0.17), density(ratio, 0.0, 0.57), -2.0, 1.2)
    return float(np.clip(total, -3.0, IN_COMMON))


def _layout_evidence(row: Row) -> float:
    """How well the turn of the loops goes with the distance between their centers."""
    off = (row.turn - expected_turn(row.spread)) / degree
    # Full circles that drift, and loops carried along in the air, lie as the wind will have it.
    least = -1.0 if row.in_air or row.turn > ALL_ROUND else -4.0
    return log_ratio(density(off, -8.0, 14.0), density(off, 0.0, 60.0), least, IN_COMMON)


def _turn_evidence(row: Row) -> float:
    """How far a loop turned: 360° but for the rolls, or what goes with usual ways between, or anything."""
    turn = row.turn / degree
    usual = USUAL[ALONG] * density(turn, *ROUND) + (1.0 - USUAL[ALONG]) * density(turn, *PART)
    return log_ratio(usual, density(turn, 270.0, 80.0), -2.0, 1.0)


def _center_evidence(states: States, row: Row, wind: Wind | None) -> float:
    """Whether the loops were held about places on the ground, or carried along with the air.

    Most students hold the distance; one in four lets the loops drift, wholly or in part, and does so in all
    of them. Half of those get back between the loops to where the next one begins, so that the places are
    still about the same; the others are carried away.
    """
    held = let_go = 0.0
    for loop in row.loops:
        settled = (states.time >= loop.start + SETTLED) & (states.time <= loop.end - SETTLED)
        drift = arc_drift(states.time[settled], states.east[settled], states.north[settled], wind)
        if drift is not None:
            usual = ordinary.drift_density(drift)
            held += log_ratio(drift.density(0.0, 0.15, watched=True), usual, -4.0)
            let_go += log_ratio(drift.density(0.7, 0.4, watched=True), usual, -4.0)
    drifted = float(np.log(LETS_GO) + let_go)
    total = drifted if row.in_air else float(np.logaddexp(np.log(1.0 - 2.0 * LETS_GO) + held, drifted))
    # Loops carried along at little bank, one way and then the other: a student who holds the bank.
    bank = float(np.mean([loop.bank for loop in row.loops]))
    return float(np.clip(total, -4.0 if bank > STEEP else HELD_BANK, 3.0))


def _bank_evidence(row: Row) -> float:
    total = 0.0
    for loop in row.loops:
        if np.isfinite(loop.bank):
            usual = density(loop.bank / degree, 27.0, 9.0)
            total += log_ratio(usual, ordinary.bank_density(loop.bank), most=1.0)
    return float(np.clip(total, -5.0, 1.5))


def samples(states: States, row: Row) -> tuple[int, int]:
    """Return the first and the last sample of a row."""
    inside = np.flatnonzero((states.time >= row.start) & (states.time <= row.end))
    return int(inside[0]), int(inside[-1])
