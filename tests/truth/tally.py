"""How far the debrief of a lesson is from its truth: what was found, how well, and how honestly."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
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

from .astray import astray
from .estimates import Measure, measures, unseen, wind_bound
from .flown import MADE, MARGINAL, NOT_MADE, kept, made
from .lessons import Lesson, applicable, fly
from .placed import Given, given, rounds
from .recorded import HEADLINE, RECORDERS, told_setting

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
    named
        Whether the kind flown is the kind found or one of those named beside it.
    astray
        Why what was flown was none of its kind, or what was found lies in such a stretch; empty otherwise.
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
    named: bool = False
    astray: str = ""


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
    placed
        Whether the debrief was told the places on the ground.
    """

    lesson: int
    recorder: str
    what: str
    cases: tuple[Case, ...]
    minutes: float
    placed: bool = False


def tally(lesson: Lesson, names: Iterable[str] = RECORDERS, placed: Iterable[str] = HEADLINE) -> list[Result]:
    """Fly a lesson, record it with each recorder, debrief it and compare with the truth.

    Parameters
    ----------
    lesson
        What is flown.
    names
        Of the recorders.
    placed
        Those of them whose recording is debriefed a second time, told the places on the ground.
    """
    truth = fly(lesson)
    again = set(placed) if lesson.exercises else set()
    return [
        result
        for name in names
        for result in (
            compare(lesson, truth, name),
            *([compare_placed(lesson, truth, name)] if name in again else []),
        )
    ]


def compare(lesson: Lesson, truth: Truth, name: str) -> Result:
    """Record a flown lesson, debrief it, told the elevation of the ground, and compare with the truth."""
    debrief = _debrief(lesson, truth, name)
    return _result(lesson, truth, name, tuple(_cases(lesson, truth, name, debrief)))


def compare_placed(lesson: Lesson, truth: Truth, name: str) -> Result:
    """Do the same, told also the places that the maneuvers were to be flown about.

    One place of each type can be given at a time, so a lesson with several lines is debriefed several times,
    and each maneuver counts where its own place was given; what was found and not flown counts in the first.
    """
    cases: dict[int, Case] = {}
    extra: list[Case] = []
    for count, each in enumerate(rounds(truth.maneuvers)):
        debrief = _debrief(lesson, truth, name, given(truth, list(each.values())))
        for case in _cases(lesson, truth, name, debrief, placed=True):
            if case.number - 1 in each:
                cases[case.number] = case
            elif not case.flown and count == 0:
                extra.append(case)
    return replace(
        _result(lesson, truth, name, (*(cases[number] for number in sorted(cases)), *extra)), placed=True
    )


def _debrief(lesson: Lesson, truth: Truth, name: str, places: Given | None = None) -> Debrief:
    """Return the debrief of a recording, told places and the elevation of the ground.

    Where only pressure altitude was recorded it is told the day's altimeter setting too, which the pilot had
    in the window, and not the temperature of the air.
    """
    recording = RECORDERS[name](truth, lesson.seed)
    return groundref.debrief(
        recording,
        standard=load_standard(lesson.standard),
        ground=truth.ground_elevation,
        altimeter=told_setting(lesson.seed) if recording.altitude_msl is None else None,
        **(places or {}),
    )


def _result(lesson: Lesson, truth: Truth, name: str, cases: tuple[Case, ...]) -> Result:
    return Result(lesson.number, name, lesson.what, cases, float(truth.time[-1]) / 60.0)


def _cases(
    lesson: Lesson, truth: Truth, name: str, debrief: Debrief, *, placed: bool = False
) -> Iterator[Case]:
    flown, found = truth.maneuvers, debrief.maneuvers
    pairs = _paired(flown, [each.maneuver for each in found])
    lost = [astray(truth, maneuver) for maneuver in flown]
    for i, maneuver in enumerate(flown):
        case = Case(lesson.number, name, lesson.air.wind_kt, maneuver.kind, "", False, number=i + 1)
        case = replace(case, astray=lost[i])
        if i in pairs:
            case = _found(case, maneuver, found[pairs[i]].maneuver)
        yield (
            _measured(case, lesson, truth, debrief, maneuver, found[pairs[i]], placed) if case.same else case
        )
    taken = set(pairs.values())
    for j, assessed in enumerate(found):
        if j not in taken:
            kind, confidence = assessed.maneuver.kind, assessed.maneuver.confidence
            case = Case(lesson.number, name, lesson.air.wind_kt, "", kind, False, confidence=confidence)
            yield replace(case, astray=_within(assessed.maneuver, flown, lost))


def _within(found: Maneuver, flown: Iterable[TrueManeuver], lost: Iterable[str]) -> str:
    """Return why there was nothing to be found where the greater part of something found lies."""
    for maneuver, why in zip(flown, lost, strict=True):
        shared = min(maneuver.end, found.end) - max(maneuver.start, found.start)
        if why and shared > 0.5 * (found.end - found.start):
            return why
    return ""


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


def _found(case: Case, flown: TrueManeuver, found: Maneuver) -> Case:
    """Return a case with what was found for it."""
    enough = _shared(flown, found) >= OVERLAP
    return replace(
        case,
        found=found.kind,
        same=enough and found.kind == flown.kind,
        named=enough and flown.kind in {found.kind, *(kind for kind, _ in found.alternatives)},
        confidence=found.confidence,
    )


def _measured(
    case: Case,
    lesson: Lesson,
    truth: Truth,
    debrief: Debrief,
    maneuver: TrueManeuver,
    assessed: Assessed,
    placed: bool,
) -> Case:
    """Return a case with all that is compared where the right kind was found."""
    found = assessed.maneuver
    return replace(
        case,
        start=found.start - maneuver.start,
        end=found.end - maneuver.end,
        measures=dict(measures(truth, debrief, maneuver, found)),
        faults=_faults(truth, debrief, maneuver, assessed, placed),
        verdicts=tuple(_verdicts(lesson, truth, maneuver, assessed)),
        bound=wind_bound(maneuver),
        unseen=unseen(truth, debrief, maneuver),
        ordered=bool(maneuver.faults),
    )


def _faults(
    truth: Truth, debrief: Debrief, maneuver: TrueManeuver, assessed: Assessed, placed: bool
) -> dict[str, str]:
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
    states = {name: made(name, truth, maneuver, placed=placed) for name in can}
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
