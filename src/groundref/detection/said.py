"""What an instructor who was there says was flown, in the place of what the recording was taken for.

The instructor decides what a stretch of the flight was; the recording still says how it was flown. So a
stretch that is said to be a kind is looked at by that kind alone, and by itself: its bounds are those
given, as far as the turns in it allow. A bound that is that of what was found there, to the second that it is
shown with, was not moved: the flight beyond it is looked at as before, or the roll into the first turn would
be cut off and the entry judged otherwise.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from groundref.detection.candidate import Candidate, Ground
from groundref.detection.detect import PROPOSERS, first_cut
from groundref.detection.maneuver import Maneuver
from groundref.detection.segments import turning_stretches
from groundref.estimation.states import States
from groundref.track.counting import counted
from groundref.units import degree

_SHARE = 0.5  # of the shorter of two stretches, from which both are the same
_LEAST = 8  # samples; fewer are no maneuver
_SHOWN = 1.0  # [s] to which the bounds of what was found are shown
_BEYOND = 15.0  # [s] of flight looked at beyond a bound that was not moved: a roll into a turn, and out
_TURN = 45 * degree  # less is a turn like any other
_MOST = 5  # turns that are told one by one
_NEEDS: Final = {  # what each kind is made of
    "turns-around-a-point": "once round a point, 360° to one side",
    "s-turns": "two half circles of 180°, one to either side, each begun and ended over one line",
    "rectangular-course": "a whole circuit, four turns of 90° to one side with straight legs between them",
    "eights-along-a-road": "two loops of 360°, one to either side, one after the other along a road",
    "eights-across-a-road": "two loops, one to either side, that meet where they cross a road",
    "eights-around-pylons": "two loops, one to either side, each round a pylon",
    "eights-on-pylons": "two turns, one to either side, each about a pylon abeam, straight on between",
    "steep-turns": "one whole turn of 360° to one side at a steep bank",
}


@dataclass(frozen=True, slots=True)
class Said:
    """What a stretch of the flight was.

    Attributes
    ----------
    start, end
        The stretch [s]
    kind
        What was flown; None for no maneuver.
    """

    start: float
    end: float
    kind: str | None


@dataclass(frozen=True, slots=True)
class Unread:
    """A stretch that cannot be read as what it is said to be.

    Attributes
    ----------
    said
        The stretch.
    why
        What the kind needs and what was flown instead, as a clause.
    """

    said: Said
    why: str


def corrected(
    states: States, ground: Ground, found: Sequence[Maneuver], said: Sequence[Said]
) -> tuple[list[Maneuver], list[Unread]]:
    """Return the maneuvers as the instructor says, and what could not be read so.

    Parameters
    ----------
    states
        The flight.
    ground
        What is known about places on the ground.
    found
        What the recording was taken for.
    said
        What the instructor says, each in the place of what was found there.

    Returns
    -------
    tuple
        The maneuvers in the order flown, and what could not be read.
    """
    kept = [one for one in found if not any(_same(one.start, one.end, each) for each in said)]
    unread: list[Unread] = []
    for each in said:
        if each.kind is None:
            continue
        maneuver = _as_kind(states, ground, each, _within(each, found))
        if maneuver is not None:
            kept.append(maneuver)
        else:
            unread.append(Unread(each, _why(states, each)))
    return sorted(kept, key=lambda one: one.start), unread


def _same(start: float, end: float, said: Said) -> bool:
    """Whether a stretch is the one that is spoken of."""
    common = min(end, said.end) - max(start, said.start)
    return common > _SHARE * min(end - start, said.end - said.start)


def _within(said: Said, found: Sequence[Maneuver]) -> tuple[float, float]:
    """Return where a stretch is looked for: beyond its bounds, where those are of what was found [s]."""
    there = [one for one in found if _same(one.start, one.end, said)]
    starts = any(abs(one.start - said.start) <= _SHOWN for one in there)
    ends = any(abs(one.end - said.end) <= _SHOWN for one in there)
    return said.start - (_BEYOND if starts else 0.0), said.end + (_BEYOND if ends else 0.0)


def _as_kind(states: States, ground: Ground, said: Said, within: tuple[float, float]) -> Maneuver | None:
    """Return a stretch as the kind that it is said to be; None when its turns do not make one."""
    inner = np.flatnonzero((states.time >= within[0]) & (states.time <= within[1]))
    if inner.size < _LEAST:
        return None
    first = int(inner[0])
    part = states.part(first, int(inner[-1]))
    cut = first_cut(part)
    proposed = [one for propose in PROPOSERS for one in propose(part, cut, ground) if one.kind == said.kind]
    best = max(proposed, key=_reach, default=None)
    if best is None or best.build is None:
        return None
    return _moved(best.build(1.0), first)


def _why(states: States, said: Said) -> str:
    """Return what a kind needs and what a stretch has of it."""
    inner = np.flatnonzero((states.time >= said.start) & (states.time <= said.end))
    if inner.size < _LEAST:
        return f"there {'is' if inner.size == 1 else 'are'} {counted(int(inner.size), 'sample')} in it"
    part = states.part(int(inner[0]), int(inner[-1]))
    turns = [
        f"{abs(one.turn) / degree:.0f}° to the {'right' if one.turn > 0 else 'left'}"
        for one in turning_stretches(part, _TURN)
    ]
    more = [f"{len(turns) - _MOST} more"] if len(turns) > _MOST else []
    told = ", then ".join([*turns[:_MOST], *more])
    flown = f"its turns are {told}" if turns else "there is no turn of 45° or more in it"
    return f"that takes {_NEEDS[said.kind or '']}, and {flown}"


def _reach(candidate: Candidate) -> tuple[float, float]:
    """Return what makes the better of two candidates: explaining more of the stretch, then being likelier."""
    return round(candidate.end - candidate.start, -1), candidate.log_odds


def _moved(maneuver: Maneuver, by: int) -> Maneuver:
    """Return a maneuver found in a part of the flight with its places in the whole."""
    laps = tuple(
        replace(
            lap,
            first=lap.first + by,
            last=lap.last + by,
            legs=tuple(replace(leg, first=leg.first + by, last=leg.last + by) for leg in lap.legs),
        )
        for lap in maneuver.laps
    )
    return replace(maneuver, first=maneuver.first + by, last=maneuver.last + by, laps=laps, alternatives=())
