"""Progress as JSON: `groundref/progress/1`; figures of an element in the unit beside them."""

from __future__ import annotations

from dataclasses import asdict
from math import isfinite
from typing import Final

from groundref.progress.evidence import STANDING
from groundref.progress.told import Contrast, ElementProgress, Figure, ManeuverProgress, Progress, Trend

SCHEMA: Final = "groundref/progress/1"
_DIGITS: Final = {"ft": 1, "kt": 2, "deg": 2, "g": 3, "s": 2}


def to_dict(progress: Progress) -> dict[str, object]:
    """Return a student's progress as plain data.

    Parameters
    ----------
    progress
        As told from the lessons.
    """
    return {
        "schema": SCHEMA,
        "name": progress.name,
        "lessons": progress.lessons,
        "first": progress.first or None,
        "last": progress.last or None,
        "tries": progress.tries,
        "maneuvers": [_maneuver(one) for one in progress.maneuvers],
        "standing": STANDING,
    }


def _maneuver(one: ManeuverProgress) -> dict[str, object]:
    return {
        "kind": one.kind,
        "dates": list(one.dates),
        "flown": one.flown,
        "standard": one.standard,
        "directions": list(one.directions),
        "wind_least_kt": one.wind_least_kt,
        "wind_most_kt": one.wind_most_kt,
        "evidence": list(one.evidence),
        "elements": [_element(element) for element in one.elements],
        "faults": [{**asdict(fault), "rarer": _number(fault.rarer, 3)} for fault in one.faults],
    }


def _element(one: ElementProgress) -> dict[str, object]:
    digits = _DIGITS.get(one.unit, 3)
    return {
        "name": one.name,
        "code": one.code,
        "what": one.what,
        "quantity": one.quantity,
        "unit": one.unit,
        "basis": one.basis,
        "limit": one.limit,
        "minimum": one.minimum,
        "target": one.target,
        "asked": one.asked,
        "figures": [_figure(figure, digits) for figure in one.figures],
        "trend": None if one.trend is None else _trend(one.trend, digits),
        "turns": _contrast(one.turns, digits),
        "wind": _contrast(one.wind, digits),
        "last_three": asdict(one.last_three)
        | {"dates": list(one.last_three.dates), "verdicts": list(one.last_three.verdicts)},
    }


def _figure(figure: Figure, digits: int) -> dict[str, object]:
    maneuver, element = figure.maneuver, figure.element
    return {
        "lesson": figure.lesson,
        "date": figure.date,
        "maneuver": maneuver.number,
        "at": figure.at,
        "worst": element.worst,
        "worst_sd": element.worst_sd,
        "off": _number(figure.off, digits),
        "verdict": element.verdict,
        "own": element.own,
        "decided": element.decided,
        "reason": element.reason or None,
        "direction": maneuver.direction,
        "wind_from_deg": maneuver.wind_from_deg,
        "wind_kt": maneuver.wind_kt,
        "wind_sd_kt": _number(maneuver.wind_sd_kt, 2),
        "radius_ft": maneuver.radius_ft,
        "radius_sd_ft": maneuver.radius_sd_ft,
    }


def _trend(trend: Trend, digits: int) -> dict[str, object]:
    return {
        "lessons": trend.lessons,
        "a_lesson": _number(trend.a_lesson, digits + 1),
        "a_lesson_sd": _number(trend.a_lesson_sd, digits + 1),
        "low": _number(trend.low, digits + 1),
        "high": _number(trend.high, digits + 1),
        "smaller": _number(trend.smaller, 3),
        "says": trend.says,
        "now": _number(trend.now, digits),
        "now_sd": _number(trend.now_sd, digits),
        "scatter": _number(trend.scatter, digits),
        "at": list(trend.at),
        "line": [_number(value, digits) for value in trend.line],
        "line_sd": [_number(value, digits) for value in trend.line_sd],
    }


def _contrast(contrast: Contrast, digits: int) -> dict[str, object]:
    return {
        "difference": _number(contrast.difference, digits),
        "difference_sd": _number(contrast.difference_sd, digits),
        "low": _number(contrast.low, digits),
        "high": _number(contrast.high, digits),
        "says": contrast.says,
        "why": contrast.why or None,
    }


def _number(value: float | None, digits: int) -> float | None:
    return None if value is None or not isfinite(value) else round(value, digits) + 0.0
