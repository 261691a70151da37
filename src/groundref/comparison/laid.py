"""A plan laid over the flight: at the place that it is for, else on what was flown about.

A plan without a place, or one that was flown elsewhere, is moved as a whole: what it is flown about onto what
was flown about, turned and, where the first turn went the other way, mirrored. Places are complex numbers,
east + i north; with a and b two places of the plan, u the direction from a to b and c an anchor, and the same
primed of the flight, z' = c' + (z − c)/u · u', conjugated in between to mirror it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.as_planned import AsPlanned
from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.detection.maneuver import AT_ONE_THROTTLE
from groundref.planning import Plan
from groundref.planning.pieces import Arc, Samples
from groundref.planning.rectangular_course import LEGS
from groundref.units import degree

Complex = NDArray[np.complex128]

_STEP: Final = 3.0 * degree
_BREAK: Final = np.array([np.nan])


@dataclass(frozen=True, slots=True)
class _Frame:
    """An anchor and a direction, east + i north."""

    anchor: complex
    along: complex = 1.0


def laid(debrief: Debrief, plan: Plan, assessed: Assessed) -> AsPlanned:
    """Return a plan as it lies beside what was flown.

    Parameters
    ----------
    debrief
        For the frame and the samples.
    plan
        As made before the flight.
    assessed
        The maneuver flown by it.
    """
    pieces = plan.layout.pieces
    sampled = [
        piece.at(plan.inputs.air, np.linspace(0.0, 1.0, 2 + round(_turned(piece) / _STEP)))
        for piece in pieces
    ]
    arcs = [(p, s) for p, s in zip(pieces, sampled, strict=True) if isinstance(p, Arc)]
    if plan.inputs.kind == "rectangular-course":
        arcs = []
    placed, path = False, np.zeros(0, dtype=np.complex128)
    if plan.layout.reference != "none":
        own = np.concatenate([s.east + 1j * s.north for s in sampled])
        placed, path = _over_the_ground(debrief, plan, assessed, own)
    held = plan.inputs.kind not in AT_ONE_THROTTLE
    return AsPlanned(
        east=path.real.copy(),
        north=path.imag.copy(),
        placed=placed,
        turn=_joined([np.full(s.bank.size, p.side) for p, s in arcs]),
        track=_joined([s.track for _, s in arcs]),
        azimuth=_joined([_from_middle(p, s) for p, s in arcs]),
        bank=_joined([s.bank for _, s in arcs]),
        height=plan.inputs.height if held else None,
        true_airspeed=plan.inputs.true_airspeed if held else None,
    )


def _turned(piece: object) -> float:
    """Return how far a piece turns; 0 of a straight one [rad]."""
    turned = getattr(piece, "turn", 0.0)
    return float(turned)


def _joined(parts: list[NDArray[np.float64]]) -> NDArray[np.float64]:
    return np.concatenate([each for part in parts for each in (part, _BREAK)]) if parts else np.zeros(0)


def _from_middle(arc: Arc, samples: Samples) -> NDArray[np.float64]:
    return np.arctan2(samples.east - arc.center[0], samples.north - arc.center[1])


def _over_the_ground(debrief: Debrief, plan: Plan, assessed: Assessed, own: Complex) -> tuple[bool, Complex]:
    """Return whether the plan lies at its own place, and its path in the track's frame."""
    m, inputs = assessed.maneuver, plan.inputs
    if inputs.latitude is not None and inputs.longitude is not None:
        east, north = debrief.track.frame.to_local(inputs.latitude, inputs.longitude)
        at_place = own + complex(float(east), float(north))
        flown = debrief.states.east[m.first : m.last + 1] + 1j * debrief.states.north[m.first : m.last + 1]
        middle = flown.mean()
        if np.abs(at_place - middle).min() <= np.abs(flown - middle).max():
            return True, at_place
    planned, found = _planned_about(plan), _flown_about(assessed, plan)
    local = (own - planned.anchor) / planned.along
    if m.laps[0].turn * inputs.side < 0.0 and m.reference.type != "point":
        local = local.conj()
    return False, found.anchor + local * found.along


def _planned_about(plan: Plan) -> _Frame:
    """Return what the plan is flown about."""
    layout = plan.layout
    if layout.reference == "point":
        return _Frame(complex(*layout.places[0]))
    if layout.reference == "rectangle":
        return _of_corners([complex(*place) for place in layout.places], -1)
    if layout.reference == "pylons":
        return _between(*[complex(*place) for place in layout.places])
    first, second = (complex(*piece.center) for piece in layout.pieces if isinstance(piece, Arc))
    if plan.inputs.kind == "s-turns":
        return _begun(first, second, layout.radius or 0.0)
    return _between(first, second)


def _flown_about(assessed: Assessed, plan: Plan) -> _Frame:
    """Return what was flown about."""
    m = assessed.maneuver
    places = [complex(*place) for place in m.reference.places]
    if m.reference.type == "point":
        return _Frame(places[0])
    if m.reference.type == "rectangle":
        name = m.laps[0].legs[0].name if m.laps[0].legs else ""
        words = [leg.removesuffix(" leg") for leg in LEGS]
        return _of_corners(places, words.index(name) if name in words else 0)
    if m.reference.type == "pylons":
        return _between(*places)
    first, *others = [complex(lap.about_east, lap.about_north) for lap in m.laps[:2]]
    if not others or not isfinite(abs(others[0] - first)):
        # One half circle or loop alone tells its middle and no direction: the plan is moved and not turned.
        along = _planned_about(plan).along
        return _Frame(first - m.radius * along if plan.inputs.kind == "s-turns" else first, along)
    if plan.inputs.kind == "s-turns":
        return _begun(first, others[0], m.radius)
    return _between(first, others[0])


def _between(first: complex, second: complex) -> _Frame:
    """Return the middle between two places."""
    return _Frame(0.5 * (first + second), (second - first) / abs(second - first))


def _begun(first: complex, second: complex, radius: float) -> _Frame:
    """Return where the first of two half circles begins on the line."""
    along = (second - first) / abs(second - first)
    return _Frame(first - radius * along, along)


def _of_corners(corners: list[complex], ending: int) -> _Frame:
    """Return the middle of a field and the direction of its downwind leg.

    Parameters
    ----------
    corners
        In the order flown.
    ending
        Number of the leg that the first of them ends, 0 for downwind; that of a plan begins the downwind leg.
    """
    end = -ending % 4
    begins, ends = corners[end - 1], corners[end]
    return _Frame(sum(corners) / 4.0, (ends - begins) / abs(ends - begins))
