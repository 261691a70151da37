"""What an instructor who was there says was flown, in the place of what the recording was taken for.

The instructor decides what a stretch of the flight was; the recording still says how it was flown. So a
stretch that is said to be a kind is looked at by that kind alone, and by itself: its bounds are those
given, as far as the turns in it allow.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from groundref.detection import named
from groundref.detection.candidate import Candidate, Ground
from groundref.detection.detect import PROPOSERS, first_cut
from groundref.detection.maneuver import Maneuver
from groundref.estimation.states import States

_SHARE = 0.5  # of the shorter of two stretches, from which both are the same
_LEAST = 8  # samples; fewer are no maneuver


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


def corrected(
    states: States, ground: Ground, found: Sequence[Maneuver], said: Sequence[Said]
) -> tuple[list[Maneuver], list[str]]:
    """Return the maneuvers as the instructor says, and a sentence for what could not be read so.

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
        The maneuvers in the order flown, and the sentences.
    """
    kept = [one for one in found if not any(_same(one.start, one.end, each) for each in said)]
    notes: list[str] = []
    for each in said:
        if each.kind is None:
            continue
        maneuver = _as_kind(states, ground, each)
        if maneuver is not None:
            kept.append(maneuver)
        else:
            name = named.in_sentence(each.kind)
            notes.append(f"What was said to be {name} cannot be read as that: its turns do not make any.")
    return sorted(kept, key=lambda one: one.start), notes


def _same(start: float, end: float, said: Said) -> bool:
    """Whether a stretch is the one that is spoken of."""
    common = min(end, said.end) - max(start, said.start)
    return common > _SHARE * min(end - start, said.end - said.start)


def _as_kind(states: States, ground: Ground, said: Said) -> Maneuver | None:
    """Return a stretch as the kind that it is said to be; None when its turns do not make one."""
    inner = np.flatnonzero((states.time >= said.start) & (states.time <= said.end))
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
