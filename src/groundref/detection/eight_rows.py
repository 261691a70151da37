"""Which rows of loops may be eights: of those that share loops the likelier, whole ones before parts."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.detection.candidate import Cut
from groundref.detection.eight_evidence import log_odds, samples
from groundref.detection.evidence import climb
from groundref.detection.loops import Row
from groundref.estimation.mean_wind import wind_over
from groundref.estimation.states import States

CLIMB_LIMIT: Final = 1.7  # [m s⁻¹] 330 fpm all the way is a climb, not an error
ALTITUDE_SPREAD: Final = 75.0  # [m] standard deviation beyond which it climbs and dives
# Log-odds that a loop left over costs. A loop at the end of a row is none if it comes after a way so much
# longer than all others, and the row is likelier by so much without it; figures of our own.
EACH_LEFT: Final = 1.0
LONGER: Final = 1.5
TRIMMED: Final = 1.0
LEAST_WAY: Final = 4.0  # [s] from one loop to the next, at least, before one is called long


def likeliest_rows(states: States, cut: Cut) -> list[Row]:
    """Return of the rows over the ground and those in the air that share loops the likelier ones.

    Two eights one directly after the other are one, where there is a row of the loops of both.

    Parameters
    ----------
    states, cut
        The flight and its first cut.
    """
    level = [part for row in (*cut.rows, *cut.carried) if (part := level_part(states, row)) is not None]
    # What a shorter row leaves over would be a loop of ordinary flying, so one that holds it is worth more.
    likelier = sorted(level, key=lambda row: _odds(states, row) + EACH_LEFT * len(row.loops), reverse=True)
    kept: list[Row] = []
    for row in likelier:
        if all(row.start >= other.end or row.end <= other.start for other in kept):
            kept.append(row)
    for row in likelier:
        parts = [other for other in kept if _within(other, row)]
        if len(parts) > 1:
            kept = [other for other in kept if other not in parts] + [row]
    return [_trimmed(states, row) for row in kept]


def _within(part: Row, row: Row) -> bool:
    """Tell whether a row holds a part of the loops of another, and no more."""
    return len(part.loops) < len(row.loops) and part.start >= row.start and part.end <= row.end


def _trimmed(states: States, row: Row) -> Row:
    """Return a row without a loop at its end that is better explained by itself.

    Someone who turns on the way to or from an eight, the right way by chance, flies no loop of it.
    """
    least = _odds(states, row) + TRIMMED
    return next((part for part in _without_an_end(row) if _odds(states, part) > least), row)


def _without_an_end(row: Row) -> list[Row]:
    """Return a row without its first or its last loop, where the way to it was longer than all others."""
    ways, count = [end - start for start, end in row.between], len(row.loops)
    ends = ((1, count, ways[0], ways[1:]), (0, count - 1, ways[-1], ways[:-1]))
    return [
        row.part(first, last)
        for first, last, way, others in ends
        if others and way > LONGER * max(*others, LEAST_WAY)
    ]


def _odds(states: States, row: Row) -> float:
    return log_odds(states, row, wind_over(states, *samples(states, row)))


def level_part(states: States, row: Row) -> Row | None:
    """Return the longest part of a row that is level, the row itself where it is; None where none is."""
    count = len(row.loops)
    parts = (row.part(k, k + size) for size in range(count, 1, -1) for k in range(count - size + 1))
    return next((part for part in parts if can_be(states, part)), None)


def can_be(states: States, row: Row) -> bool:
    """Leave out what climbs, or climbs and dives."""
    if states.altitude is None:
        return True
    first, last = samples(states, row)
    level = abs(climb(states, first, last)) <= CLIMB_LIMIT
    return level and float(np.std(states.altitude[first : last + 1])) <= ALTITUDE_SPREAD
