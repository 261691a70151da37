"""How far the debrief of a lesson is from its truth: what was found, how well, and how honestly."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

import groundref
from groundref.assessment.assessed import Assessed
from groundref.assessment.findings import EXPLANATIONS
from groundref.debriefing import Debrief
from groundref.detection.maneuver import Maneuver
from groundref.simulation.truth import TrueManeuver, Truth
from groundref.standards.loading import load_standard

from .estimates import Measure, measures, unseen, wind_bound
from .flown import MADE, MARGINAL, NOT_MADE, kept, made
from .lessons import Lesson, applicable, fly
from .recorded import RECORDERS

Floats = NDArray[np.float64]

OVERLAP: Final = 0.5
"""Part of the union that a maneuver found and one flown must share to be the same."""
_TOUCHES: Final = 0.15


@dataclass(frozen=True, slots=True)
class Case:
    """One maneuver flown, found or both, in one recording.

    Attributes
    ----------
    lesson, recorder, wind_kt
        Where it is from.
    flown, found
        Kinds; empty where nothing was flown or found.
    same
        Whether what was found is what was flown.
    ordered
        Whether an error was to be made in it.
    confidence
        Stated; NaN where nothing was found.
    start, end
        Errors [s]
    measures
        Errors of what was estimated, by quantity.
    faults
        By name: `found`, `missed`, `false`, or `explained` where only its cause was said.
    verdicts
        By quantity of the element: `right`, `wrong` or `undetermined`.
    bound
        Least median wind error that a phone's positions allow over a full circle [m s⁻¹]
    unseen
        What even exact positions at the recorder's interval miss of the bank, root mean square [rad]
    number
        Of the maneuver in the lesson, from 1.
    """

    lesson: int
    recorder: str
    wind_kt: float
    flown: str
    found: str
    same: bool
    confidence: float = np.nan
    start: float = np.nan
    end: float = np.nan
    measures: dict[str, Measure] = field(default_factory=dict)
    faults: dict[str, str] = field(default_factory=dict)
    verdicts: tuple[tuple[str, str], ...] = ()
    bound: float = np.nan
    unseen: float = np.nan
    number: int = 0
    ordered: bool = False


@dataclass(frozen=True, slots=True)
class Result:
    """One lesson in one recording.

    Attributes
    ----------
    lesson, recorder, what
        Where it is from, and what was flown.
    cases
        One for each maneuver flown, and one for each found where none was flown.
    minutes
        Length of the flight.
    """

    lesson: int
    recorder: str
    what: str
    cases: tuple[Case, ...]
    minutes: float


def tally(lesson: Lesson, names: Iterable[str] = RECORDERS) -> list[Result]:
    """Fly a lesson, record it with each recorder, debrief it and compare with the truth."""
    truth = fly(lesson)
    return [compare(lesson, truth, name) for name in names]


def compare(lesson: Lesson, truth: Truth, name: str) -> Result:
    """Record a flown lesson, debrief it, told the elevation of the ground, and compare with the truth."""
    recording = RECORDERS[name](truth, lesson.seed)
    debrief = groundref.debrief(
        recording, standard=load_standard(lesson.standard), ground=truth.ground_elevation
    )
    cases = tuple(_cases(lesson, truth, name, debrief))
    return Result(lesson.number, name, lesson.what, cases, float(truth.time[-1]) / 60.0)


def _cases(lesson: Lesson, truth: Truth, name: str, debrief: Debrief) -> Iterator[Case]:
    flown, found = truth.maneuvers, debrief.maneuvers
    pairs = _paired(flown, [each.maneuver for each in found])
    for i, maneuver in enumerate(flown):
        j = pairs.get(i)
        if j is None:
            yield Case(lesson.number, name, lesson.air.wind_kt, maneuver.kind, "", False, number=i + 1)
            continue
        yield _case(lesson, truth, name, debrief, maneuver, found[j], i + 1)
    taken = set(pairs.values())
    for j, assessed in enumerate(found):
        if j not in taken:
            yield Case(
                lesson.number,
                name,
                lesson.air.wind_kt,
                "",
                assessed.maneuver.kind,
                False,
                confidence=assessed.maneuver.confidence,
            )


def _shared(flown: TrueManeuver, found: Maneuver) -> float:
    """Return the part of the union of two stretches that they share."""
    shared = min(flown.end, found.end) - max(flown.start, found.start)
    return max(shared, 0.0) / (max(flown.end, found.end) - min(flown.start, found.start))


def _paired(flown: Iterable[TrueManeuver], found: list[Maneuver]) -> dict[int, int]:
    """Return which was found for each flown: most shared first, each but once."""
    shares = sorted(
        (
            (_shared(one, other), i, j)
            for i, one in enumerate(flown)
            for j, other in enumerate(found)
            if _shared(one, other) >= _TOUCHES
        ),
        reverse=True,
    )
    pairs: dict[int, int] = {}
    for _, i, j in shares:
        if i not in pairs and j not in pairs.values():
            pairs[i] = j
    return pairs


def _case(
    lesson: Lesson,
    truth: Truth,
    name: str,
    debrief: Debrief,
    maneuver: TrueManeuver,
    assessed: Assessed,
    number: int,
) -> Case:
    found = assessed.maneuver
    same = found.kind == maneuver.kind and _shared(maneuver, found) >= OVERLAP
    if not same:
        return Case(
            lesson.number,
            name,
            lesson.air.wind_kt,
            maneuver.kind,
            found.kind,
            False,
            confidence=found.confidence,
            number=number,
        )
    return Case(
        lesson=lesson.number,
        recorder=name,
        wind_kt=lesson.air.wind_kt,
        flown=maneuver.kind,
        found=found.kind,
        same=True,
        confidence=found.confidence,
        start=found.start - maneuver.start,
        end=found.end - maneuver.end,
        measures=dict(measures(truth, debrief, maneuver, found)),
        faults=_faults(truth, debrief, maneuver, assessed),
        verdicts=tuple(_verdicts(lesson, truth, maneuver, assessed)),
        bound=wind_bound(maneuver),
        unseen=unseen(truth, debrief, maneuver),
        number=number,
        ordered=bool(maneuver.faults),
    )


def _faults(truth: Truth, debrief: Debrief, maneuver: TrueManeuver, assessed: Assessed) -> dict[str, str]:
    """Return what became of each error made, and of each said.

    An error whose cause was said is not missed: only the cause is to be said. One that was said and not made
    is not false where it is what a made one leads to, nor where it was made to a marginal size.
    """
    said = {finding.fault for finding in assessed.findings}
    can = set(applicable(maneuver.kind)) | said
    if debrief.states.height is None or assessed.maneuver.reference.type == "none":
        can.discard("outside-height-band")
    if debrief.states.lateral_acceleration is None:
        can.discard("uncoordinated")
    states = {name: made(name, truth, maneuver) for name in can}
    ordered = {name for name, state in states.items() if state == MADE} | set(maneuver.faults)
    outcomes: dict[str, str] = {}
    for name, state in states.items():
        causes = {each.cause for each in EXPLANATIONS if each.effect == name}
        if state == MADE:
            outcomes[name] = "found" if name in said else "explained" if causes & said else "missed"
        elif state == NOT_MADE and name in said and not causes & ordered:
            outcomes[name] = "false"
        elif name in said and state == MARGINAL:
            outcomes[name] = "marginal"
    return outcomes


def _verdicts(
    lesson: Lesson, truth: Truth, maneuver: TrueManeuver, assessed: Assessed
) -> Iterator[tuple[str, str]]:
    """Yield quantity and outcome of each element whose number is printed."""
    task = load_standard(lesson.standard).task(maneuver.kind)
    if task is None:
        return
    for element, result in zip(task.elements, assessed.elements, strict=True):
        if not element.published or element.quantity == "observed":
            continue
        truly = kept(element, truth, maneuver)
        if truly is None:
            continue
        if result.verdict == "undetermined":
            yield element.quantity, "undetermined"
        else:
            yield element.quantity, "right" if (result.verdict == "met") == truly else "wrong"
