"""Invented students: lessons as figures, with what is true of them known."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from groundref.progress.flown import ElementFlown, FaultFlown, LessonFlown, ManeuverFlown

ALTITUDE = ("X.7", "altitude held within 100 ft", "altitude", 100.0, None, None, "ft", "standard")
AIRSPEED = ("X.7", "airspeed held within 10 kt", "airspeed", 10.0, None, None, "kt", "standard")
BAND = ("X.3", "height between 600 and 1,000 ft", "height-band", 1000.0, 600.0, None, "ft", "standard")
BANK = ("handbook-bank", "bank not above 45°", "bank", 45.0, None, None, "deg", "handbook")
RADIUS = ("practice-radius", "within 200 ft of the radius", "radius", 200.0, None, None, "ft", "practice")
SEGMENT = ("practice-straight", "straight flight", "straight-segment", None, None, None, "s", "practice")
SEEN = ("X.6", "attention divided", "observed", None, None, None, "", "standard")
FIRST = date(2026, 5, 3)


def element(asked=ALTITUDE, worst=80.0, sd=8.0, verdict="met", own=None, **changed) -> ElementFlown:
    """Return one element as flown; ``worst`` None for not measured."""
    code, what, quantity, limit, minimum, target, unit, basis = asked
    return replace(
        ElementFlown(code, what, quantity, verdict, limit, minimum, target, unit, basis, worst, sd, own),
        **({"worst_sd": None} if worst is None else {}) | changed,
    )


def maneuver(*elements, kind="turns-around-a-point", direction="left", wind=8.0, faults=(), number=1):
    """Return one maneuver as flown."""
    return ManeuverFlown(
        number=number,
        kind=kind,
        direction=direction,
        confidence=0.98,
        start="2026-05-03T14:00:00.000Z",
        end="2026-05-03T14:03:00.000Z",
        laps=2,
        wind_from_deg=240.0 if wind is not None else None,
        wind_kt=wind,
        wind_sd_kt=0.8 if wind is not None else None,
        tas_kt=95.0,
        radius_ft=1200.0,
        radius_sd_ft=12.0,
        elements=tuple(elements),
        faults=tuple(FaultFlown(fault, 6.0, 1.0, "deg", 2.0) for fault in faults),
    )


def lesson(n: int, *maneuvers) -> LessonFlown:
    """Return the lesson with a number from 1, a week after the one before."""
    return LessonFlown(n, (FIRST + timedelta(days=7 * (n - 1))).isoformat(), "private-pilot", maneuvers)


def altitudes(*worst, sd=8.0, **conditions) -> tuple[LessonFlown, ...]:
    """Return lessons in which only the altitude was measured."""
    return tuple(
        lesson(n, maneuver(element(worst=value, sd=sd), **conditions)) for n, value in enumerate(worst, 1)
    )


def student(seed=1, lessons=9, kinds=("turns-around-a-point", "s-turns", "steep-turns")):
    """Return a summer of a student who improves, with a bad day, in several maneuvers."""
    random = np.random.default_rng(seed)
    return tuple(
        lesson(n, *(_flown(random, kind, n, place) for place, kind in enumerate(kinds, 1)))
        for n in range(1, lessons + 1)
    )


_COURSE = (
    (BAND, 0.6, -0.03), (ALTITUDE, 1.7, -0.13), (AIRSPEED, 1.0, -0.05), (BANK, 0.8, 0.0), (RADIUS, 1.5, -0.1),
)  # fmt: skip


def _flown(random, kind, n, place):
    wind = float(random.uniform(3.0, 15.0))
    every = []
    for asked, begin, change in _COURSE:
        limit = asked[3] if asked[4] is None else (asked[3] - asked[4]) / 2.0
        away = max(begin + change * n, 0.3) + 0.02 * (wind - 8.0) + 0.15 * random.standard_normal()
        off, sd = abs(away) * limit, 0.08 * limit
        worst = off if asked[4] is None else 800.0 + off * random.choice((-1.0, 1.0))
        own = "met" if (asked, n) == (ALTITUDE, 1) else None
        every.append(element(asked, round(float(worst), 2), sd, _verdict(asked, off, limit, sd), own))
    direction = ("left", "right")[n % 2] if kind == "turns-around-a-point" else "both"
    seen = element(SEEN, None, verdict="undetermined", own="met" if n > 7 else None)
    faults = [name for name, least in (("overbanked-upwind", 6), ("altitude-not-held", 4)) if n < least]
    return maneuver(*every, seen, kind=kind, direction=direction, wind=wind, faults=faults, number=place)


def _verdict(asked, off, limit, sd):
    if asked[7] == "practice":
        return "undetermined"
    if off + 1.2816 * sd < limit:
        return "met"
    return "not-met" if off - 1.2816 * sd > limit else "undetermined"
