"""How far the debrief of a lesson is from its truth: what was found, how well, and how honestly."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from math import isfinite
from typing import Final

import numpy as np
from numpy.typing import NDArray

import groundref
from groundref.assessment.assessed import Assessed
from groundref.assessment.findings import EXPLANATIONS
from groundref.debriefing import Debrief
from groundref.detection.maneuver import Maneuver
from groundref.mechanics import airspeed as airspeeds
from groundref.mechanics.circle_fit import fit_circle
from groundref.simulation.recorders import Adsb, Avionics, Phone
from groundref.simulation.truth import TrueManeuver, Truth
from groundref.standards.loading import load_standard
from groundref.track.recording import Recording

from . import recorders
from .flown import MADE, MARGINAL, NOT_MADE, kept, made, uncoordinated
from .lessons import Lesson, applicable, fly

Floats = NDArray[np.float64]

LEVELS: Final = (0.50, 0.90, 0.95)
_NORMAL: Final = (0.674490, 1.644854, 1.959964)
_CHI_SQUARE_2: Final = tuple(-2.0 * np.log(1.0 - level) for level in LEVELS)
"""Points of chi-square with two degrees of freedom, -2·ln(1 - p)."""
OVERLAP: Final = 0.5
"""Part of the union that a maneuver found and one flown must share to be the same."""
_TOUCHES: Final = 0.15

Record = Callable[[Truth, int], Recording]


@dataclass(frozen=True, slots=True)
class _Order:
    number: int


@dataclass(frozen=True, slots=True)
class _Seen:
    """A lesson's truth as the other recorders look at it."""

    order: _Order
    time: Floats
    latitude: Floats
    longitude: Floats
    altitude: Floats
    velocity_east: Floats
    velocity_north: Floats
    true_airspeed: Floats
    calibrated_airspeed: Floats
    heading: Floats
    bank: Floats
    lateral_acceleration: Floats


def _seen(truth: Truth, draw: int) -> _Seen:
    latitude, longitude = truth.frame.to_geographic(truth.east, truth.north)
    return _Seen(
        order=_Order(draw),
        time=truth.time,
        latitude=latitude,
        longitude=longitude,
        altitude=truth.altitude,
        velocity_east=truth.velocity_east,
        velocity_north=truth.velocity_north,
        true_airspeed=truth.true_airspeed,
        calibrated_airspeed=airspeeds.calibrated_airspeed(
            truth.true_airspeed, truth.altitude, 288.15 - 0.0065 * truth.altitude
        ),
        heading=truth.heading,
        bank=truth.bank,
        lateral_acceleration=truth.lateral_acceleration,
    )


def _own(recorder: Phone | Avionics | Adsb) -> Record:
    return lambda truth, draw: recorder.record(truth, np.random.default_rng([draw, 41]))


RECORDERS: Final[dict[str, Record]] = {
    "phone 1 s": _own(Phone()),
    "phone 0.2 s": _own(Phone(interval=0.2)),
    "phone 2 s": _own(Phone(interval=2.0)),
    "phone 5 s": _own(Phone(interval=5.0)),
    "panel 1 s": _own(Avionics()),
    "panel 0.2 s": _own(Avionics(interval=0.2)),
    "ADS-B 1.2 s": _own(Adsb()),
    "other phone 1 s": lambda truth, draw: recorders.phone(_seen(truth, draw), draw),
    "phone with airspeed 1 s": lambda truth, draw: recorders.with_airspeed(_seen(truth, draw), draw),
}
"""The project's own simulated recorders, and two that were written apart from it (the last ones)."""
HEADLINE: Final = ("phone 1 s", "panel 1 s", "ADS-B 1.2 s", "other phone 1 s", "phone with airspeed 1 s")
"""Those at about one sample a second, over which the figures of all together are taken."""
GPS_ONLY: Final = ("phone 1 s", "other phone 1 s")
WITH_AIRSPEED: Final = ("panel 1 s", "phone with airspeed 1 s")


@dataclass(frozen=True, slots=True)
class Measure:
    """One estimate beside its truth.

    Attributes
    ----------
    error
        Its size, of a vector its length; of samples the root mean square [SI]
    inside
        Share of truths within the stated interval of each of `LEVELS`.
    count
        Number of samples, 1 for a single estimate.
    """

    error: float
    inside: tuple[float, ...]
    count: int = 1


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
        measures=dict(_measures(truth, debrief, maneuver, found)),
        faults=_faults(truth, debrief, maneuver, assessed),
        verdicts=tuple(_verdicts(lesson, truth, maneuver, assessed)),
        bound=_wind_bound(maneuver),
        unseen=_unseen(truth, debrief, maneuver),
        number=number,
        ordered=bool(maneuver.faults),
    )


def _wind_bound(maneuver: TrueManeuver) -> float:
    """Return the least median wind error that a phone's positions allow; see ``measure.wind_bound``."""
    intensity = 2 * recorders.PHONE_SD**2 / recorders.MEMORY
    return float(np.sqrt(2 * np.log(2.0) * 2 * intensity / (maneuver.end - maneuver.start)))


def _unseen(truth: Truth, debrief: Debrief, maneuver: TrueManeuver) -> float:
    """Return what three exact positions one interval apart miss of the bank, root mean square [rad].

    Their second difference is the mean of the acceleration, weighted as a triangle two intervals wide: what
    happens within is averaged away, whatever is done with positions alone.
    """
    interval, step = debrief.track.interval, float(truth.time[1] - truth.time[0])
    width = max(round(interval / step), 1)
    ramp = np.concatenate((np.arange(1, width + 1), np.arange(width - 1, 0, -1)))
    averaged = np.convolve(truth.bank, ramp / ramp.sum(), mode="same")
    inside = truth.during(maneuver.start, maneuver.end)
    return float(np.sqrt(np.mean((truth.bank - averaged)[inside] ** 2)))


def _one(error: float, sd: float) -> Measure:
    return Measure(abs(error), tuple(float(abs(error) <= z * sd) for z in _NORMAL))


def _two(error: Floats, covariance: Floats) -> Measure:
    chi_square = float(error @ np.linalg.solve(covariance, error))
    return Measure(float(np.hypot(*error)), tuple(float(chi_square <= point) for point in _CHI_SQUARE_2))


def _many(error: Floats, sd: Floats) -> Measure:
    known = np.isfinite(error) & np.isfinite(sd)
    error, sd = error[known], sd[known]
    inside = tuple(float(np.mean(np.abs(error) <= z * sd)) for z in _NORMAL)
    return Measure(float(np.sqrt(np.mean(error**2))), inside, int(error.size))


def _measures(
    truth: Truth, debrief: Debrief, maneuver: TrueManeuver, found: Maneuver
) -> Iterator[tuple[str, Measure]]:
    yield from _winds(truth, maneuver, found)
    yield from _places(truth, debrief, maneuver, found)
    radius = _radius(truth, maneuver)
    if isfinite(radius) and isfinite(found.radius):
        measure = _one(found.radius - radius, found.radius_sd)
        yield "radius", Measure(measure.error / radius, measure.inside)
    yield from _samples(truth, debrief, maneuver)


def _winds(truth: Truth, maneuver: TrueManeuver, found: Maneuver) -> Iterator[tuple[str, Measure]]:
    wind = found.wind
    if wind is None:
        return
    inside = truth.during(maneuver.start, maneuver.end)
    error = np.array(
        [wind.east - truth.wind_east[inside].mean(), wind.north - truth.wind_north[inside].mean()]
    )
    covariance = np.array([[wind.east_sd**2, wind.covariance], [wind.covariance, wind.north_sd**2]])
    yield "wind", _two(error, covariance)
    if isfinite(wind.true_airspeed):
        off = wind.true_airspeed - float(truth.true_airspeed[inside].mean())
        yield "airspeed", _one(off, wind.true_airspeed_sd)


def _places(
    truth: Truth, debrief: Debrief, maneuver: TrueManeuver, found: Maneuver
) -> Iterator[tuple[str, Measure]]:
    """Yield errors of what was fitted on the ground; the places are brought into the truth's frame."""
    reference = found.reference
    if reference.type != maneuver.reference or reference.type == "none" or reference.sd <= 0:
        return
    frame = debrief.track.frame
    at = [
        np.array([float(v) for v in truth.frame.to_local(*frame.to_geographic(east, north))])
        for east, north in reference.places
    ]
    round_ = reference.sd**2 * np.eye(2)
    if reference.type == "line":
        ends = np.array(maneuver.places)
        along = (ends[1] - ends[0]) / np.hypot(*(ends[1] - ends[0]))
        across = np.array([along[1], -along[0]])
        yield "line", _one(float((0.5 * (at[0] + at[1]) - ends.mean(axis=0)) @ across), reference.sd)
        meant = np.arctan2(along[0], along[1])
        off = float((reference.bearing - meant + 0.5 * np.pi) % np.pi - 0.5 * np.pi)
        yield "bearing", _one(off, reference.bearing_sd)
        return
    places = _boundary(maneuver) if reference.type == "rectangle" else np.array(maneuver.places)
    if reference.type == "rectangle" and "leg-distance-uneven" in maneuver.faults:
        return
    worst = [places[np.argmin(np.hypot(*(places - each).T))] - each for each in at]
    measures = [_two(off, round_) for off in worst]
    yield (
        {"point": "point", "pylons": "pylons", "rectangle": "corners"}[reference.type],
        Measure(
            float(np.sqrt(np.mean([m.error**2 for m in measures]))),
            tuple(float(np.mean([m.inside[k] for m in measures])) for k in range(len(LEVELS))),
        ),
    )


def _boundary(maneuver: TrueManeuver) -> Floats:
    """Return the corners of the rectangle that was to be flown: the field's, moved out by the distance."""
    corners = np.array(maneuver.places)
    before, after = np.roll(corners, 1, axis=0) - corners, np.roll(corners, -1, axis=0) - corners
    out = before / np.hypot(*before.T)[:, None] + after / np.hypot(*after.T)[:, None]
    moved: Floats = corners - maneuver.radius * out
    return moved


def _radius(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return the radius flown [m].

    It is the mean distance from a point or from the pylon of each loop, the rolling left aside; of half
    circles and of eights about a road it is that of circles fitted to the true path where it was banked.
    """
    if not isfinite(maneuver.radius) or maneuver.kind == "rectangular-course":
        return float("nan")
    bank = np.abs(truth.bank)
    radii = []
    for begin, end in pairwise(maneuver.boundaries):
        inside = truth.during(begin, end)
        banked = inside & (bank > 0.5 * np.median(bank[inside]))
        if banked.sum() < 50:
            continue
        east, north = truth.east[banked], truth.north[banked]
        if maneuver.reference in ("point", "pylons"):
            away = [np.hypot(east - x, north - y) for x, y in maneuver.places]
            radii.append(min(float(each.mean()) for each in away))
        else:
            radii.append(fit_circle(east[::5], north[::5]).radius)
    return float(np.mean(radii)) if radii else float("nan")


def _samples(truth: Truth, debrief: Debrief, maneuver: TrueManeuver) -> Iterator[tuple[str, Measure]]:
    states = debrief.states
    inside = (states.time >= maneuver.start) & (states.time <= maneuver.end)
    time = states.time[inside]
    if not time.size:
        return
    bank = states.bank[inside] - truth.at("bank", time)
    slipping = states.lateral_acceleration is None and uncoordinated(truth, maneuver) > 0.05
    if np.isfinite(bank).any():
        yield (
            "bank in a slip" if slipping and states.bank_source == "derived" else "bank",
            _many(bank, states.bank_sd[inside]),
        )
    if states.height is not None and states.height_sd is not None:
        yield "height", _many(states.height[inside] - truth.at("height", time), states.height_sd[inside])
    speed = states.true_airspeed[inside] - truth.at("true_airspeed", time)
    if np.isfinite(speed).any():
        yield "airspeed at samples", _many(speed, states.true_airspeed_sd[inside])


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
