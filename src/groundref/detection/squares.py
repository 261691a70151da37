"""Straight legs at right angles, however they weave: the first look at what may be a rectangular course.

Students weave on a leg, or overshoot a corner in the wind and come back, by more than half of a corner's 90°.
A leg by itself is then hard to see; but all legs of a rectangle have tracks that are alike in quarters of a
turn. So with w(ψ) the root of the time spent about the track ψ, the phase of

    Σ w(ψ') e^{4iψ'}    over ψ' within about half a turn of ψ

says where about ψ the legs lie, and what weaving adds to both sides of each drops out. How large the sum is
over Σ w says how square it is: little on a circle, and there no leg is looked for. (The root, since a long
way in must not outweigh the legs of a minute.) A way in or out that turns back is told from weaving by no
single limit, so several are tried.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import quarter_turn
from groundref.detection.segments import one_way
from groundref.detection.straights import CORNERS, LEAST, Chain, Stretch, chain_through, stretch_between
from groundref.estimation.states import States
from groundref.units import degree

Floats = NDArray[np.float64]

# How far the track may go back on a leg: legs flown to and fro little, corners overshot in the wind most.
REVERSALS: Final = (38 * degree, 55 * degree, 75 * degree)
# From where to where about a track legs say where its own leg lies: on the first and the last leg of a course
# those of the way in or out would say it otherwise.
ABOUT: Final = (
    (-190 * degree, 190 * degree),
    (-190 * degree, 30 * degree),
    (-30 * degree, 190 * degree),
)
SQUARE: Final = 0.1  # least share of the sum; a figure of our own


def square_chains(states: States) -> list[Chain]:
    """Find chains of three legs and more at about right angles.

    One leg may stand in several chains: they are readings that compete.

    Parameters
    ----------
    states
        The flight.
    """
    stretches: set[tuple[int, int]] = set()
    cuts = np.flatnonzero(np.diff(states.piece) != 0) + 1
    for piece in np.split(np.arange(len(states)), cuts):
        if piece.size >= 8:
            for reversal in REVERSALS:
                stretches.update(one_way(states.track, int(piece[0]), int(piece[-1]), LEAST, reversal))
    return [chain for first, last in sorted(stretches) for chain in _chains_in(states, first, last)]


def _chains_in(states: States, first: int, last: int) -> list[Chain]:
    stretch = stretch_between(states, first, last)
    runs = {run for about in ABOUT for run in _runs(_legs(stretch, *about))}
    return [chain_through(states, stretch, run) for run in sorted(runs)]


def _legs(stretch: Stretch, begin: float, end: float) -> list[float | None]:
    """Return the tracks of the legs, None where there may be one that is not to be seen [rad]."""
    grid = stretch.grid(quarter_turn)
    weight = np.sqrt(np.maximum(stretch.spent(grid), 0.0))
    total, square = np.cumsum(weight), np.cumsum(weight * np.exp(4j * grid))
    before = np.maximum(np.searchsorted(grid, grid + begin), 0)
    after = np.minimum(np.searchsorted(grid, grid + end), grid.size - 1)
    phasor = square[after] - square[before]
    share = np.abs(phasor) / np.maximum(total[after] - total[before], 1e-9)
    off = np.angle(np.exp(4j * grid) * np.conj(phasor)) / 4.0
    step = np.diff(off)
    on = np.flatnonzero((off[:-1] < 0.0) & (off[1:] >= 0.0) & (step < 0.5 * quarter_turn))
    return [_track(stretch, float(grid[i])) if share[i] >= SQUARE else None for i in on.tolist()]


def _track(stretch: Stretch, near: float) -> float | None:
    """Return the track of the leg that lies in the quarter about a track [rad]; None without a sample."""
    if not (np.abs(stretch.onward - near) <= 0.5 * quarter_turn).any():
        return None
    return stretch.level(near, 0.5 * quarter_turn)


def _runs(tracks: list[float | None]) -> list[tuple[float, ...]]:
    """Return runs of three tracks and more about 90° apart."""
    runs: list[list[float]] = [[]]
    for track in tracks:
        if track is None or (runs[-1] and not CORNERS[0] <= track - runs[-1][-1] <= CORNERS[1]):
            runs.append([])
        if track is not None:
            runs[-1].append(track)
    return [tuple(run) for run in runs if len(run) >= 3]
